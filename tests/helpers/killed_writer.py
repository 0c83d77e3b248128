"""A writer that is killed at some moment, and what it confirmed before."""

from __future__ import annotations

import signal
import subprocess
import sys
import threading
from pathlib import Path


def killed_writer(
    program: str, file: Path, number: int, rest_s: float, way: signal.Signals
) -> set[str]:
    """Let a program write a file until it is killed; return what it confirmed before."""
    words = [sys.executable, "-c", program, str(file), str(number)]
    with subprocess.Popen(
        words, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    ) as writer:
        lines = [writer.stdout.readline()]
        killer = threading.Timer(rest_s, writer.send_signal, [way])
        killer.start()
        lines += writer.stdout.readlines()
        killer.join()
    return {line.split()[1] for line in lines if line.endswith("\n")}
