"""Measure the desk: from its start to its first answer, and from a change to the plan of it.

    python tests/benchmarks/bench_desk.py [rounds]

20,000 points, 200 sources, 20 calls: the pace is changed again and again over the desk's own
socket, and the plan asked for. Prints medians of the time that passes and of the processor time
that the server takes (the process that searches mends is another). Ends with status 1 where a goal
is missed: run it by hand, on a quiet machine, and never in a test.
"""

from __future__ import annotations

import json
import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

import numpy as np
from made_files import TRIP
from open_desk import OpenDesk, open_desk
from processes import machine

GOAL_S = 0.3
GOAL_START_S = 2.0
POINTS, CALLS, OTHERS = 20_000, 20, 180
LENGTH_DEG = 40.0
_TICKS = os.sysconf("SC_CLK_TCK")


def write_folder(folder: Path) -> None:
    """Write a line over open sea with a tap a day; invented: not for navigation."""
    lon = np.linspace(-30.0, -30.0 + LENGTH_DEG, POINTS)
    lat = -35.0 + 0.01 * np.sin(np.arange(POINTS) / 50.0)
    rows = "\n".join(f'<trkpt lat="{a:.6f}" lon="{o:.6f}"/>' for a, o in zip(lat, lon, strict=True))
    (folder / "route.gpx").write_text(
        '<gpx version="1.1" creator="bench" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><trkseg>{rows}</trkseg></trk></gpx>"
    )
    taps = [(lon[POINTS * n // (CALLS + 1)], "potable", "certain") for n in range(1, CALLS + 1)]
    others = [(lon[POINTS * n // (OTHERS + 1)], None, "doubtful") for n in range(1, OTHERS + 1)]
    features = [
        {
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": [round(float(at), 6), -34.995]},
            "properties": {"id": f"s{n}", "name": f"Source {n}", "grade": grade,
                           "certainty": certainty},
        }
        for n, (at, grade, certainty) in enumerate([*taps, *others])
    ]  # fmt: skip
    (folder / "water.geojson").write_text(
        json.dumps({"type": "FeatureCollection", "features": features})
    )
    (folder / "trip.toml").write_text(TRIP)


def server_cpu_s(desk: OpenDesk) -> float:
    """Return the processor time that the server itself has taken."""
    fields = Path(f"/proc/{desk.process.pid}/stat").read_text().rpartition(") ")[2].split()
    return (int(fields[11]) + int(fields[12])) / _TICKS


def change_costs(desk: OpenDesk, rounds: int) -> tuple[list[float], list[float]]:
    """Return of each round the time that passes from the change to its plan, and the server's."""
    passes_s, server_s = [], []
    for number in range(rounds + 1):
        begin_s, begin_cpu_s = time.perf_counter(), server_cpu_s(desk)
        change = {"section": "pace", "key": "speed_kmh", "value": 40.0 + number / 8.0}
        assert desk.post("/api/trip", changes=[change]).status == 200
        plan = desk.get("/api/plan").json
        passes_s.append(time.perf_counter() - begin_s)
        server_s.append(server_cpu_s(desk) - begin_cpu_s)
        assert plan["ready"]["plan"], plan["faults"]
        assert plan["html"]["way"].count("<details") >= CALLS
    return passes_s[1:], server_s[1:]


def main() -> int:
    """Print the table; 1 where a goal is missed."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    with tempfile.TemporaryDirectory() as name:
        write_folder(Path(name))
        begin_s = time.perf_counter()
        with open_desk(Path(name)) as desk:
            desk.get("/")
            start_s, start_cpu_s = time.perf_counter() - begin_s, server_cpu_s(desk)
            desk.get("/api/plan")
            passes_s, server_s = change_costs(desk, rounds)
            desk.close()
    rows = (
        ("start to the first page, time that passes", [start_s], GOAL_START_S),
        ("start to the first page, the server's processor time", [start_cpu_s], GOAL_START_S),
        ("change to its plan, time that passes", passes_s, GOAL_S),
        ("change to its plan, the server's processor time", server_s, GOAL_S),
    )
    print(f"{machine()}; 20,000 points, 200 sources, 20 calls, {rounds} changes\n")
    print("| | least, s | median, s | goal, s |\n|---|---|---|---|")
    for words, costs, goal in rows:
        print(f"| {words} | {min(costs):.3f} | {statistics.median(costs):.3f} | {goal:g} |")
    return int(any(statistics.median(costs) > goal for _, costs, goal in rows))


if __name__ == "__main__":
    sys.exit(main())
