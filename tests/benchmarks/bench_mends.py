"""Time all mends of a trip of 21 stretches of which one is bad, after imports.

python tests/benchmarks/bench_mends.py
"""

from __future__ import annotations

import sys
import time
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

import dataclasses

from make import container, pace, policy, source_at, straight_route, trip, use
from mending import Case, planned

from longdry.computing.mends.search import mends_of
from longdry.computing.plan.rounds import settled_trip
from longdry.model.plan.mends import Mends
from longdry.model.trip.heat import Effort, HeatExpectation, HeatOutlook, PersonInHeat, TripHeat
from longdry.model.words import Accrual, Certainty, Grade, Ration, Travel, Verdict

CALLS = 20
OTHERS = 180
GOAL_S = 1.0
HOT = TripHeat(HeatOutlook(HeatExpectation(38.0)), PersonInHeat(Effort(1.5)))


def case(travel: Travel, length_km: float, size_l: float, heat: TripHeat | None = None) -> Case:
    """Make a trip with a call a day, one of them missing, and other water that does not count."""
    apart_km = length_km / (CALLS + 2)
    wells = [
        dataclasses.replace(
            source_at(apart_km * number, offset_km=number % 3 * 0.5, id=f"well {number}"),
            certainty=Certainty.CERTAIN,
        )
        for number in range(1, CALLS + 2)
        if number != CALLS // 2
    ]
    others = [
        dataclasses.replace(
            source_at(
                length_km * (number + 0.5) / OTHERS,
                offset_km=(0.2, 3.0, 9.0, 20.0)[number % 4],
                grade=(None, Grade.TREAT, Grade.POTABLE, Grade.NOT_FOR_DRINKING)[number % 4],
                id=f"other {number}",
            ),
            certainty=Certainty.DOUBTFUL,
        )
        for number in range(OTHERS)
    ]
    made = trip(
        can_treat=True,
        uses=[
            use(),
            use("cooking", 2.0, per=Accrual.PARTY_DAY, kept=Ration.LEAN),
            use("washing", 6.0, per=Accrual.PARTY_DAY, kept=Ration.FULL),
        ],
        containers=[container(size_l, 2)],
        policy=policy(reserve_days=1.0, loss_percent=5.0),
        pace=pace(
            travel=travel,
            speed_kmh=length_km / 126.0,
            off_route_kmh=10.0 if travel is Travel.VEHICLE else 3.0,
            fill_minutes=15.0,
        ),
    )
    trip_in_heat = dataclasses.replace(made, heat=heat)
    return Case(straight_route(length_km, points=2000), (*wells, *others), trip_in_heat)


def timed(name: str, asked: Case) -> float:
    """Print a row with the best of three rounds and return it."""
    settled, water = planned(asked)
    best_s, mends = min((_seconds(settled, water) for _ in range(3)), key=lambda pair: pair[0])
    bad = sum(one.verdict is not Verdict.CLEAR for one in settled.stretches)
    row = f"| {name} | {len(settled.stretches)} | {bad} | {len(mends.found)} |"
    sys.stdout.write(f"{row} {best_s * 1000.0:.0f} | {GOAL_S * 1000.0:.0f} |\n")
    return best_s


def _seconds(settled: object, water: object) -> tuple[float, Mends]:
    begun = time.perf_counter()
    mends = mends_of(settled, water, partial(settled_trip, fill=settled.fill))
    return time.perf_counter() - begun, mends


def main() -> None:
    """Print the table; fail where the mends of a trip take more than their second."""
    sys.stdout.write("| trip | stretches | bad | mends | ms | goal |\n|---|---|---|---|---|---|\n")
    seconds = [
        timed("by vehicle", case(Travel.VEHICLE, 6300.0, 11.0)),
        timed("on foot", case(Travel.FOOT, 420.0, 19.0)),
        timed("in heat", case(Travel.VEHICLE, 6300.0, 18.0, HOT)),
    ]
    sys.exit(int(max(seconds) > GOAL_S))


if __name__ == "__main__":
    main()
