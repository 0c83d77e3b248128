"""Time whole plans of a dense layer: 10,044 invented wells along 144 km, with page and document.

python tests/benchmarks/bench_dense.py

Seconds are those of the processor; ends with status 1 where a plan takes longer than its goal.
"""

from __future__ import annotations

import contextlib
import io
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from small_files import write_dense

from longdry.cli.main import main as longdry

WELLS = 10_044
GOAL_S = 10.0
WAYS = (("vehicle", 15.0, ()), ("bicycle", 12.0, ()), ("foot", 4.0, ()))
COUNTING_ALL = ("foot", 4.0, ("--count-on", "any"))


def seconds_of(folder: Path, words: tuple[str, ...]) -> float:
    """Plan once, with page and document."""
    begun = time.process_time()
    files = [f"{folder}/route.gpx", "--water", f"{folder}/wells.geojson"]
    outputs = ["--out", f"{folder}/plan.html", "--json", f"{folder}/plan.json"]
    with contextlib.redirect_stdout(io.StringIO()):
        longdry(["plan", *files, "--trip", f"{folder}/trip.toml", *outputs, *words])
    return time.process_time() - begun


def main() -> int:
    """Print the table."""
    print("| by | options | s | goal | page, kB |")
    print("|---|---|---|---|---|")
    is_missed = False
    for travel, speed_kmh, words in (*WAYS, COUNTING_ALL):
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            write_dense(folder, WELLS, travel=travel, speed_kmh=speed_kmh)
            took_s = seconds_of(folder, words)
            page_kb = (folder / "plan.html").stat().st_size / 1000.0
        is_missed |= took_s > GOAL_S
        print(f"| {travel} | {' '.join(words)} | {took_s:.1f} | {GOAL_S:g} | {page_kb:.0f} |")
    return int(is_missed)


if __name__ == "__main__":
    raise SystemExit(main())
