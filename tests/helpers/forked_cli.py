"""Runs the command line again and again, each time in a fork of a process that has loaded it.

Reads lines of JSON, [folder to run in, folder for the files out and err, words], and answers each
with the exit status and the MB by which the fork grew. Limits: 60 s of a processor and 2 GB.
"""

from __future__ import annotations

import importlib
import json
import os
import resource
import sys
import traceback
from pathlib import Path

from longdry.cli.main import command_parser, main

LOADED_ONCE = (
    "folium",
    "geopandas",
    "longdry.computing.plan.planning",
    "longdry.showing.page.page",
)
"""What all forks use."""

for name in LOADED_ONCE:
    importlib.import_module(name)
command_parser("plan")


def ended_as() -> int:
    """Run the command as its own process would; taking all of Python down again takes longer."""
    try:
        return main()
    except SystemExit as ended:
        return int(ended.code or 0)
    except BaseException:  # noqa: BLE001 - as Python ends a process
        traceback.print_exc()
        return 1
    finally:
        sys.stdout.flush()


def held_mb() -> float:
    """Tell what this process holds in memory."""
    return int(Path("/proc/self/statm").read_text().split()[1]) * resource.getpagesize() / 2**20


def run(folder: str, beside: str, words: list[str]) -> tuple[int, float]:
    """Fork, run, and return the status and by how many MB the fork grew at its largest."""
    before_mb = held_mb()
    child = os.fork()
    if child == 0:
        os.chdir(folder)
        for number, name in ((1, "out"), (2, "err")):
            place = os.open(Path(beside) / name, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
            os.dup2(place, number)
        resource.setrlimit(resource.RLIMIT_CPU, (60, 60))
        resource.setrlimit(resource.RLIMIT_AS, (2 << 30, 2 << 30))
        sys.argv[1:] = words
        os._exit(ended_as())
    _, status, used = os.wait4(child, 0)
    return os.waitstatus_to_exitcode(status), used.ru_maxrss / 1024.0 - before_mb


if __name__ == "__main__":
    for line in sys.stdin:
        status, grown_mb = run(*json.loads(line))
        sys.stdout.write(f"{status} {grown_mb:.1f}\n")
        sys.stdout.flush()
