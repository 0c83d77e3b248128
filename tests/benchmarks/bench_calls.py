"""How long it takes to choose where to call; ends with status 1 where a goal is missed.

Goals: 60 passes within 0.2 s, 4,000 passes in 144 km within 3 s, on a quiet machine. The time is
that of the process, from the passes to calls, clock, stretches and fills.
"""

from __future__ import annotations

import dataclasses
import random
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "helpers"))

from make import container, pace, policy, source_at, straight_route, trip
from random_plans import Case

from longdry.model.words import Certainty, Travel

AT_CALLS_OF = (
    (60, 1500.0, Travel.VEHICLE, 0.2),
    (60, 300.0, Travel.FOOT, 0.2),
    (4000, 144.0, Travel.VEHICLE, 3.0),
    (4000, 144.0, Travel.FOOT, 3.0),
)
"""Passes, km, way of travel, and the seconds that it may take."""
RUNS = 3


def case_of(passes: int, length_km: float, travel: Travel) -> Case:
    """Make a trip past so many invented sources, at random km and up to 4 km off the route."""
    dice = random.Random(passes)
    sources = [
        dataclasses.replace(
            source_at(dice.uniform(0.0, length_km), offset_km=dice.uniform(0.0, 4.0), id=f"s{one}"),
            certainty=dice.choice([Certainty.CERTAIN, Certainty.LIKELY]),
        )
        for one in range(passes)
    ]
    by_vehicle = travel is Travel.VEHICLE
    own_pace = pace() if by_vehicle else pace(travel=travel, speed_kmh=4.0, off_route_kmh=3.0)
    cans = container(10.0 if by_vehicle else 4.0, 3)
    its_trip = trip(policy=policy(reserve_days=1.0, fill=None), containers=[cans], pace=own_pace)
    return Case(straight_route(length_km, points=100), tuple(sources), its_trip)


def seconds_of(case: Case) -> tuple[float, int]:
    """Return the shortest of some runs, and the calls."""
    took = []
    for _ in range(RUNS):
        begin = time.process_time()
        settled = case.settled()
        took.append(time.process_time() - begin)
    return min(took), len(settled.stretches) - 1


def main() -> int:
    """Print the table."""
    print("| passes | km | by | calls | s | goal |")
    print("|---|---|---|---|---|---|")
    is_missed = False
    for passes, length_km, travel, goal_s in AT_CALLS_OF:
        took_s, calls = seconds_of(case_of(passes, length_km, travel))
        is_missed |= took_s > goal_s
        print(f"| {passes} | {length_km:g} | {travel} | {calls} | {took_s:.2f} | {goal_s:g} |")
    return int(is_missed)


if __name__ == "__main__":
    raise SystemExit(main())
