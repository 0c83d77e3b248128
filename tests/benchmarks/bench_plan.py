"""Measure whole commands side by side with the imports that they rest on.

    python tests/benchmarks/bench_plan.py [rounds]

Prints medians of processor time and of the ratios of pairs run in turn, and ends with status 1
where a goal is missed: run it by hand, on a quiet machine, and never in a test.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from made_files import write_route, write_sources, write_trip
from processes import compared, machine

STACK = [sys.executable, "-c", "import geopandas, folium, gpxpy, pyproj"]
BARE = [sys.executable, "-c", "pass"]
LONGDRY = [str(Path(sys.executable).with_name("longdry"))]


def commands(folder: Path) -> list[tuple[str, list[str], list[str], float]]:
    """Return what to measure: in words, the command, what stands beside it, the largest ratio."""
    write_route(folder / "route.gpx", 20_000)
    write_sources(folder / "water.geojson", 200, 20_000)
    write_trip(folder / "trip.toml")
    plan = [*LONGDRY, "plan", f"{folder}/route.gpx", "--water", f"{folder}/water.geojson"]
    loaded = [*plan, "--trip", f"{folder}/trip.toml"]
    as_json, as_page = ["--json", f"{folder}/plan.json"], ["--out", f"{folder}/plan.html"]
    return [
        ("plan and page / imports", [*plan, *as_page, *as_json], STACK, 1.5),
        ("plan, JSON only / imports", [*plan, *as_json], STACK, 0.6),
        ("plan with fills and what-ifs, and page / imports", [*loaded, *as_page, *as_json], STACK,
         2.0),
        ("plan with fills and what-ifs, JSON only / imports", [*loaded, *as_json], STACK, 0.6),
        ("--help / bare python", [*LONGDRY, "--help"], BARE, 3.0),
    ]  # fmt: skip


def main() -> int:
    """Print the table; 1 where a goal is missed."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    missed = 0
    print(f"{machine()}; 20,000 points, 200 sources\n")
    print("| whole process | longdry, s | beside it, s | ratio | goal |\n|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as name:
        for words, command, other, goal in commands(Path(name)):
            found = compared(command, other, rounds)
            missed += found.ratio > goal
            print(
                f"| {words} | {found.ours_s:.3f} | {found.theirs_s:.3f} | {found.ratio:.2f} "
                f"| {goal:g} |"
            )
    return int(missed > 0)


if __name__ == "__main__":
    sys.exit(main())
