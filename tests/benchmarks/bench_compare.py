"""Measure ``longdry compare``: a year both ways, many routes, and how time and memory grow.

    python tests/benchmarks/bench_compare.py [--quick] [--workers 2] [--plot FILE.svg]

A year: 365 days of departure both ways along a sample, with two processes; goal 60 s. Many: 2,000
routes of 2,000 points among 200,000 sources; goal 1 GB for all processes together. Doubling days,
routes or sources may cost 2.2 times the processor's time. Ends with status 1 where a goal is
missed. All files are invented: not for navigation.
"""

from __future__ import annotations

import argparse
import itertools
import json
import math
import os
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from growth_plot import growth_svg
from made_files import write_trip
from processes import machine

SAMPLES = Path(__file__).parents[2] / "sample_routes"
YEAR_S = 60.0
MOST_MB = 1024.0
MOST_GROWTH = 2.2
LOOK_S = 0.1
"""Between two looks at the memory; longer as the command takes longer, up to two seconds."""
MOST_LOOK_S = 2.0


@dataclass(frozen=True)
class Seen:
    """What a command and all that it started took."""

    wall_s: float
    cpu_s: float
    peak_mb: float
    """Of all its processes together, shared pages counted once (PSS, Linux)."""


def seen(words: list[str]) -> Seen:
    """Run a command and watch it."""
    begin_s = time.perf_counter()
    child = subprocess.Popen([sys.executable, "-m", "longdry", *words], stdout=subprocess.DEVNULL)
    peak_mb, look_s = 0.0, LOOK_S
    while True:
        pid, status, used = os.wait4(child.pid, os.WNOHANG)
        if pid:
            break
        peak_mb = max(peak_mb, sum(map(_pss_mb, _tree(child.pid))))
        time.sleep(look_s)
        look_s = min(1.1 * look_s, MOST_LOOK_S)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode:
        raise SystemExit(f"{' '.join(words)} ended with {child.returncode}")
    return Seen(time.perf_counter() - begin_s, used.ru_utime + used.ru_stime, peak_mb)


def _tree(pid: int) -> list[int]:
    """Return a process and all that it has started."""
    try:
        threads = list(Path(f"/proc/{pid}/task").iterdir())
        children = [int(one) for t in threads for one in (t / "children").read_text().split()]
    except OSError:
        return []
    return [pid, *itertools.chain.from_iterable(map(_tree, children))]


def _pss_mb(pid: int) -> float:
    try:
        rows = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
    except OSError:
        return 0.0
    return sum(float(row.split()[1]) for row in rows if row.startswith("Pss:")) / 1024.0


def year_of(name: str, step_days: int, workers: int) -> Seen:
    """Compare departures of a year both ways along a sample: seasons differ in what they ask."""
    folder = SAMPLES / name
    words = ["compare", str(folder / "route.gpx"), "--water", str(folder / "water.geojson")]
    words += ["--trip", str(folder / "trip.toml"), "--dates", "2027-01-01..2027-12-31"]
    words += ["--step", str(step_days), "--both-ways", "--workers", str(workers)]
    return seen(words)


def departures(step_days: int) -> int:
    """Return how many days of departure a year has, so many days apart."""
    return math.ceil(365 / step_days)


def write_routes(folder: Path, count: int, points: int) -> None:
    """Write tracks of about 60 m a step that wander over open sea."""
    for number in range(count):
        dice = np.random.default_rng(number)
        heading = np.cumsum(dice.normal(0.0, 0.05, points)) + dice.uniform(0.0, 6.3)
        lat = dice.uniform(-40.0, -20.0) + np.cumsum(np.cos(heading)) * 5e-4
        lon = dice.uniform(-24.0, -4.0) + np.cumsum(np.sin(heading)) * 6e-4
        rows = "".join(
            f'<trkpt lat="{a:.6f}" lon="{o:.6f}"/>' for a, o in zip(lat, lon, strict=True)
        )
        (folder / f"track{number:05}.gpx").write_text(
            '<gpx version="1.1" creator="bench" xmlns="http://www.topografix.com/GPX/1/1">'
            f"<trk><name>Track {number}</name><trkseg>{rows}</trkseg></trk></gpx>"
        )


def write_sources(path: Path, count: int) -> None:
    """Spread sources over the sea where the tracks are."""
    dice = np.random.default_rng(1)
    lats, lons = dice.uniform(-41.0, -19.0, count), dice.uniform(-25.0, -3.0, count)
    features = [
        {
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": [round(o, 6), round(a, 6)]},
            "properties": {"id": f"s{n}", "name": f"Source {n}", "grade": "potable"},
        }
        for n, (a, o) in enumerate(zip(lats.tolist(), lons.tolist(), strict=True))
    ]
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))


def many(folder: Path, routes: int, sources: int, workers: int) -> Seen:
    """Compare so many routes of 2,000 points among so many sources."""
    tracks, water, trip = folder / f"r{routes}", folder / f"w{sources}.json", folder / "trip.toml"
    if not tracks.exists():
        tracks.mkdir()
        write_routes(tracks, routes, 2000)
    if not water.exists():
        write_sources(water, sources)
    write_trip(trip)
    words = ["compare", str(tracks), "--water", str(water), "--trip", str(trip)]
    outputs = ["--out", str(folder / "c.html"), "--gpkg-out", str(folder / "c.gpkg")]
    return seen([*words, *outputs, "--workers", str(workers)])


def main() -> int:
    """Print the tables; 1 where a goal is missed."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="a tenth of the size")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--plot", type=Path, help="write growth as a log-log plot (SVG) here")
    asked = parser.parse_args()
    share = 10 if asked.quick else 1
    print(f"{machine()}, load {os.getloadavg()[0]:.1f}\n")
    print("| what | passed, s | processor, s | memory, MB | goal |\n|---|---|---|---|---|")
    missed = 0
    for name in ("stock_route_ride", "gorge_walk"):
        found = year_of(name, share, asked.workers)
        missed += found.wall_s > YEAR_S
        _print(f"{departures(share)} days both ways, {name}", found, f"{YEAR_S:.0f} s")
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        found = many(folder, 2000 // share, 200_000 // share, asked.workers)
        missed += found.peak_mb > MOST_MB
        words = f"{2000 // share:,} routes, {200_000 // share:,} sources"
        _print(words, found, f"{MOST_MB:.0f} MB")
        grown = growth(folder, share)
    print("\n| doubled | processor, s | largest ratio | goal |\n|---|---|---|---|")
    for what, series in grown.items():
        ratios = [later / sooner for (_, sooner), (_, later) in itertools.pairwise(series)]
        missed += max(ratios) > MOST_GROWTH
        told = ", ".join(f"{count:,}: {seconds:.1f}" for count, seconds in series)
        print(f"| {what} | {told} | {max(ratios):.2f} | {MOST_GROWTH:g} |", flush=True)
    if asked.plot:
        asked.plot.write_text(growth_svg(grown))
    return int(missed > 0)


def growth(folder: Path, share: int) -> dict[str, list[tuple[int, float]]]:
    """Return for each thing that may double its numbers and the processor's seconds."""
    steps = range(4)
    return {
        "days": [
            (departures(n := share * 8 // 2**k), year_of("gorge_walk", n, 1).cpu_s) for k in steps
        ],
        "routes": [
            (n := 125 * 2**k // share, many(folder, n, 20_000, 1).cpu_s) for k in steps
        ],
        "sources": [
            (n := 25_000 * 2**k // share, many(folder, 10, n, 1).cpu_s) for k in steps
        ],
    }  # fmt: skip


def _print(words: str, found: Seen, goal: str) -> None:
    cells = (words, f"{found.wall_s:.1f}", f"{found.cpu_s:.1f}", f"{found.peak_mb:.0f}", goal)
    print(f"| {' | '.join(cells)} |", flush=True)


if __name__ == "__main__":
    sys.exit(main())
