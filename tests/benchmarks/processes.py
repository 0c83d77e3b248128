"""Whole processes measured: time that passes, processor time and memory."""

from __future__ import annotations

import os
import platform
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Cost:
    """What one process took."""

    wall_s: float
    cpu_s: float
    peak_mb: float


def cost_of(command: list[str], cache: Path) -> Cost:
    """Run a command, its bytecode kept as that of any installed program is, and measure it."""
    environment = {
        name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"
    } | {"PYTHONPYCACHEPREFIX": str(cache)}
    begin_s = time.perf_counter()
    child = subprocess.Popen(command, stdout=subprocess.DEVNULL, env=environment)
    _, status, used = os.wait4(child.pid, 0)
    wall_s = time.perf_counter() - begin_s
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode:
        raise SystemExit(f"{' '.join(command)} ended with {child.returncode}")
    return Cost(wall_s, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024.0)


@dataclass(frozen=True)
class Compared:
    """Two commands run in turn: medians of both, and of the ratios of each pair."""

    ours: Cost
    theirs: Cost
    wall_ratio: float
    cpu_ratio: float

    @property
    def ratio(self) -> float:
        """The worse of the two: a goal is reached where both are."""
        return max(self.wall_ratio, self.cpu_ratio)


def compared(command: list[str], other: list[str], rounds: int) -> Compared:
    """Run both in turn, after one round that does not count, and take medians."""
    with tempfile.TemporaryDirectory() as name:
        cache = Path(name)
        pairs = [(cost_of(command, cache), cost_of(other, cache)) for _ in range(rounds + 1)][1:]
    return Compared(
        _median_cost([ours for ours, _ in pairs]),
        _median_cost([theirs for _, theirs in pairs]),
        statistics.median(ours.wall_s / theirs.wall_s for ours, theirs in pairs),
        statistics.median(ours.cpu_s / theirs.cpu_s for ours, theirs in pairs),
    )


def _median_cost(costs: list[Cost]) -> Cost:
    return Cost(
        statistics.median(cost.wall_s for cost in costs),
        statistics.median(cost.cpu_s for cost in costs),
        statistics.median(cost.peak_mb for cost in costs),
    )


def machine() -> str:
    """Name the machine and what runs on it."""
    model = platform.machine()
    info = Path("/proc/cpuinfo")
    if info.exists():
        names = [line for line in info.read_text().splitlines() if line.startswith("model name")]
        model = names[0].partition(":")[2].strip() if names else model
    return f"{model}, {os.cpu_count()} cores, Python {sys.version.split()[0]}"
