"""Measure long routes and large layers, and how the time grows.

    python tests/benchmarks/bench_scale.py [--quick] [--plot docs/why/speed-growth.svg]

1,000,000 points and 200,000 sources, 1 % of them near the route: reading and the whole plan beside
GDAL's reading of the same track, memory; then what doubling points, sources, stops and calls does
to the time. No goal is slower than 1.3 times what the last release took beside the same.
Ends with status 1 where a goal is missed. All files are invented: not for navigation.
"""

from __future__ import annotations

import argparse
import dataclasses
import itertools
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from growth_plot import growth_svg
from made_files import write_route, write_sources, write_trip
from processes import Compared, compared, cost_of, machine

from longdry import api
from longdry.reading.water.layer import read_water

GDAL = "import pyogrio.raw, sys; pyogrio.raw.read(sys.argv[1], layer='track_points')"
OWN_GPX = (
    "from longdry.reading.route.route_file import read_route; import sys; read_route(sys.argv[1])"
)
SLOWER = 1.3
MOST_TO_READ = SLOWER * 0.56
MOST_TO_PLAN = SLOWER * 1.62
"""The last release took 2.56 s to read and 7.52 s to plan and draw, GDAL 4.65 s to read."""
MOST_GROWTH = 2.2
MOST_MB = 1536.0


def python(code: str, *words: str) -> list[str]:
    """Return the command that runs some code."""
    return [sys.executable, "-c", code, *words]


def row(words: str, value: str, goal: str) -> None:
    """Print a row of the table."""
    print(f"| {words} | {value} | {goal} |", flush=True)


def at_scale(folder: Path, points: int, sources: int, rounds: int) -> int:
    """Print reading, planning and memory at full size; return how many goals are missed."""
    route, water = str(folder / "route.gpx"), str(folder / "water.geojson")
    write_route(Path(route), points)
    write_sources(Path(water), sources, points, near_share=0.01)
    print(f"{points:,} points, {sources:,} sources, 1 % of them near\n")
    print("| what | measured | goal |\n|---|---|---|")
    read = compared(python(OWN_GPX, route), python(GDAL, route), rounds)
    row("reading the GPX / GDAL reading its track_points", _told(read), f"{MOST_TO_READ:.2f}")
    page = [str(Path(sys.executable).with_name("longdry")), "plan", route, "--water", water]
    page += ["--out", str(folder / "plan.html")]
    whole = compared(page, python(GDAL, route), rounds)
    row("whole plan and page / the same", _told(whole), f"{MOST_TO_PLAN:.2f}")
    peak_mb = cost_of(page, folder / "cache").peak_mb
    row("memory of the whole plan", f"{peak_mb:.0f} MB", f"{MOST_MB:.0f} MB")
    return (read.ratio > MOST_TO_READ) + (whole.ratio > MOST_TO_PLAN) + (peak_mb > MOST_MB)


def _told(found: Compared) -> str:
    return f"{found.ours.cpu_s:.2f} s / {found.theirs.cpu_s:.2f} s = {found.ratio:.2f}"


def planned_in(
    folder: Path,
    points: int,
    sources: int,
    near: float,
    trip: str | None,
    limit_l: float | None = None,
) -> float:
    """Return the seconds of processor time to read and plan, the best of three."""
    route, water = folder / f"r{points}.gpx", folder / f"w{points}-{sources}.geojson"
    write_route(route, points)
    write_sources(water, sources, points, near_share=near, limit_l=limit_l)
    its_trip = api.read_trip(trip)

    def work() -> None:
        api.plan_trip(api.read_route(route), read_water(water), its_trip)

    return min(_cpu_s(work) for _ in range(3))


def called_in(folder: Path, calls: int, limit_l: float | None = None) -> float:
    """Return the seconds of processor time to plan so many calls, the best of three."""
    route, water = folder / "rc.gpx", folder / f"wc{limit_l}.geojson"
    if not water.exists():
        write_route(route, 20_000)
        write_sources(water, 600, 20_000, near_share=1.0, limit_l=limit_l)
    line, layer = api.read_route(route), read_water(water)
    its_trip = api.read_trip(folder / "trip.toml")
    counted = [one for one in api.plan_trip(line, layer, its_trip).passes if one.counted]
    some = (counted[number * len(counted) // calls] for number in range(calls))
    called = tuple(f"{one.source.id}@{one.km:.3f}" for one in some)
    policy = dataclasses.replace(its_trip.policy, call_at=called)
    calling = dataclasses.replace(its_trip, policy=policy)
    return min(_cpu_s(lambda: api.plan_trip(line, layer, calling)) for _ in range(3))


def _cpu_s(work: Callable[[], object]) -> float:
    begin = time.process_time()
    work()
    return time.process_time() - begin


def growth(folder: Path, times: int) -> dict[str, list[tuple[int, float]]]:
    """Return for each thing that may double its numbers and the seconds they take."""
    trip = folder / "trip.toml"
    write_trip(trip)
    planned_in(folder, 1000, 10, 1.0, str(trip))  # loads what is loaded when needed
    steps = range(times + 1)
    return {
        "points": [(n := 125_000 * 2**k, planned_in(folder, n, 100, 0.1, None)) for k in steps],
        "sources": [(n := 12_500 * 2**k, planned_in(folder, 10_000, n, 0.01, None)) for k in steps],
        "stops": [(n := 40 * 2**k, planned_in(folder, 20_000, n, 1.0, str(trip))) for k in steps],
        "limited stops": [
            (n := 40 * 2**k, planned_in(folder, 20_000, n, 1.0, str(trip), 60.0)) for k in steps
        ],
        "calls": [(n := 20 * 2**k, called_in(folder, n)) for k in steps],
        "limited calls": [(n := 20 * 2**k, called_in(folder, n, 60.0)) for k in steps],
    }  # fmt: skip


def main() -> int:
    """Print both tables; 1 where a goal is missed."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="a tenth of the size, one round")
    parser.add_argument("--plot", type=Path, help="write growth as a log-log plot (SVG) here")
    asked = parser.parse_args()
    share, rounds, times = (10, 1, 2) if asked.quick else (1, 3, 3)
    print(f"{machine()}\n")
    with tempfile.TemporaryDirectory() as name:
        missed = at_scale(Path(name), 1_000_000 // share, 200_000 // share, rounds)
        grown = growth(Path(name), times)
    print("\n| doubled | seconds | largest ratio | goal |\n|---|---|---|---|")
    for what, found in grown.items():
        ratios = [later / sooner for (_, sooner), (_, later) in itertools.pairwise(found)]
        missed += max(ratios) > MOST_GROWTH
        told = ", ".join(f"{count:,}: {seconds:.2f}" for count, seconds in found)
        print(f"| {what} | {told} | {max(ratios):.2f} | {MOST_GROWTH:g} |")
    if asked.plot:
        asked.plot.write_text(growth_svg(grown))
    return int(missed > 0)


if __name__ == "__main__":
    sys.exit(main())
