"""Whole processes measured: processor time and memory, which a busy machine blurs least."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Cost:
    """What one process took."""

    cpu_s: float
    peak_mb: float


def cost_of(command: list[str], cache: Path) -> Cost:
    """Run a command, its bytecode kept as that of any installed program is, and measure it."""
    environment = {
        name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"
    } | {"PYTHONPYCACHEPREFIX": str(cache)}
    child = subprocess.Popen(command, stdout=subprocess.DEVNULL, env=environment)
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode:
        raise SystemExit(f"{' '.join(command)} ended with {child.returncode}")
    return Cost(used.ru_utime + used.ru_stime, used.ru_maxrss / 1024.0)


@dataclass(frozen=True)
class Compared:
    """Two commands run in turn."""

    ours_s: float
    theirs_s: float
    ratio: float
    """Median of the ratios of each pair."""


def compared(command: list[str], other: list[str], rounds: int) -> Compared:
    """Run both in turn, after one round that does not count, and take medians."""
    with tempfile.TemporaryDirectory() as name:
        cache = Path(name)
        pairs = [
            (cost_of(command, cache).cpu_s, cost_of(other, cache).cpu_s) for _ in range(rounds + 1)
        ][1:]
    return Compared(
        statistics.median(ours for ours, _ in pairs),
        statistics.median(theirs for _, theirs in pairs),
        statistics.median(ours / theirs for ours, theirs in pairs),
    )


def machine() -> str:
    """Name the machine and what runs on it."""
    import platform  # noqa: PLC0415 - only for the heading

    model = platform.machine()
    info = Path("/proc/cpuinfo")
    if info.exists():
        names = [line for line in info.read_text().splitlines() if line.startswith("model name")]
        model = names[0].partition(":")[2].strip() if names else model
    return f"{model}, {os.cpu_count()} cores, Python {sys.version.split()[0]}"
