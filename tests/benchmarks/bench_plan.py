"""Measure whole commands side by side with the imports that they rest on.

    python tests/benchmarks/bench_plan.py [rounds]

Prints medians of the time that passes and of processor time, and of their ratios to what ran in
turn with them; a goal is reached where both ratios are. Ends with status 1 where a goal is missed:
run it by hand, on a quiet machine, and never in a test.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from made_files import write_route, write_sources, write_trip
from processes import Cost, compared, machine

STACK = [sys.executable, "-c", "import geopandas, folium, gpxpy, pyproj"]
BARE = [sys.executable, "-c", "pass"]
LONGDRY = [str(Path(sys.executable).with_name("longdry"))]


def commands(folder: Path) -> list[tuple[str, list[str], list[str], float]]:
    """Return what to measure: in words, the command, what stands beside it, the largest ratio."""
    write_route(folder / "route.gpx", 20_000)
    write_sources(folder / "water.geojson", 200, 20_000)
    write_trip(folder / "trip.toml")
    write_sources(folder / "sparse.geojson", 200, 20_000, near_share=0.05)
    trip = ["--trip", f"{folder}/trip.toml"]
    dense = [*LONGDRY, "plan", f"{folder}/route.gpx", "--water", f"{folder}/water.geojson"]
    sparse = [*LONGDRY, "plan", f"{folder}/route.gpx", "--water", f"{folder}/sparse.geojson"]
    as_json, as_page = ["--json", f"{folder}/plan.json"], ["--out", f"{folder}/plan.html"]
    return [
        *_both("plan", dense, as_json, as_page, goals=(1.5, 1.0)),
        *_both(
            "with containers, 6 stretches", [*sparse, *trip], as_json, as_page, goals=(3.0, 1.5)
        ),
        *_both(
            "with containers, 147 stretches", [*dense, *trip], as_json, as_page, goals=(3.0, 1.5)
        ),
        ("--help / bare python", [*LONGDRY, "--help"], BARE, 3.0),
    ]


def _both(
    words: str,
    plan: list[str],
    as_json: list[str],
    as_page: list[str],
    *,
    goals: tuple[float, float],
) -> list[tuple[str, list[str], list[str], float]]:
    of_page, of_json = goals
    return [
        (f"{words}, page / imports", [*plan, *as_json, *as_page], STACK, of_page),
        (f"{words}, JSON only / imports", [*plan, *as_json], STACK, of_json),
    ]


def main() -> int:
    """Print the table; 1 where a goal is missed."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    missed = 0
    print(f"{machine()}; 20,000 points, 200 sources\n")
    print("| whole process | longdry, s (processor) | beside it, s (processor) | ratio (processor)"
          " | goal |\n|---|---|---|---|---|")  # fmt: skip
    with tempfile.TemporaryDirectory() as name:
        for words, command, other, goal in commands(Path(name)):
            found = compared(command, other, rounds)
            missed += found.ratio > goal
            print(
                f"| {words} | {_seconds(found.ours)} | {_seconds(found.theirs)} "
                f"| {found.wall_ratio:.2f} ({found.cpu_ratio:.2f}) | {goal:g} |",
                flush=True,
            )
    return int(missed > 0)


def _seconds(cost: Cost) -> str:
    return f"{cost.wall_s:.3f} ({cost.cpu_s:.3f})"


if __name__ == "__main__":
    sys.exit(main())
