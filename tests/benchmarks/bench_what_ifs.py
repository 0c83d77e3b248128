"""Time what goes wrong on a plan of 60 calls, after imports.

    python tests/benchmarks/bench_what_ifs.py [calls]

By vehicle and on foot, whose drinking hangs on the hours of each day; the heat is another
benchmark's.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from loaded import bore_at, loaded, under
from make import pace, straight_route

from longdry.computing.setbacks.chance import chance_of_short
from longdry.computing.setbacks.dry import dry_sources
from longdry.computing.setbacks.dry_proof import proof_against_one_dry
from longdry.computing.setbacks.setbacks import chances, setbacks_of_plan
from longdry.computing.setbacks.turn_back import turn_backs
from longdry.computing.setbacks.waiting import sit_out
from longdry.computing.setbacks.what_ifs import standard_changes, what_ifs
from longdry.model.trip.what_if import Inquiry
from longdry.model.words import Travel

KM_BETWEEN = {Travel.VEHICLE: 80.0, Travel.FOOT: 12.0}
PACES = {
    Travel.VEHICLE: pace(fill_minutes=15.0),
    Travel.FOOT: pace(travel=Travel.FOOT, speed_kmh=4.0, off_route_kmh=3.0, fill_minutes=15.0),
}


def tell(row: str) -> None:
    """Print a row."""
    sys.stdout.write(f"{row}\n")


def timed(name: str, goal_s: float, work: Callable[[], object]) -> float:
    """Print a row with the best of three rounds and return it."""
    best_s = min(_seconds(work) for _ in range(3))
    tell(f"| {name} | {best_s * 1000.0:.0f} | {goal_s * 1000.0:g} |")
    return best_s


def _seconds(work: Callable[[], object]) -> float:
    begun = time.process_time()
    work()
    return time.process_time() - begun


def table(calls: int, travel: Travel) -> float:
    """Print the table of one way of travel, and return the seconds of all of it together."""
    every_km = KM_BETWEEN[travel]
    route = straight_route(every_km * (calls + 1), points=200)
    wells = [bore_at(every_km * (n + 1), offset_km=1.0) for n in range(calls)]
    plan = loaded(*wells, route=route, pace=PACES[travel])
    ids = {well.id for well in wells}
    tell(f"| {calls} calls, {travel} | ms | goal |\n|---|---|---|")
    timed("each source dry, and each two neighbours", 0.3, lambda: dry_sources(plan))
    timed("the standard set", 0.1, lambda: what_ifs(under(plan), standard_changes(plan)))
    timed("litres that survive one dry source", 0.1, lambda: proof_against_one_dry(
        plan, ids, can_hold_l=100.0))  # fmt: skip
    timed("turn-back km, water and time", 0.3, lambda: turn_backs(plan, back_by_h=200.0))
    timed("waiting", 0.1, lambda: sit_out(plan))
    timed("chance, 20,000 trials", 0.3, lambda: chance_of_short(
        plan, chances(plan), trials=20_000, seed=1))  # fmt: skip
    return timed("all of it together", 1.0, lambda: setbacks_of_plan(
        plan.journey, plan.stretches(), Inquiry()))  # fmt: skip


def main() -> None:
    """Print the tables; fail where all of it together is over its second."""
    calls = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    slowest_s = max(table(calls, travel) for travel in PACES)
    if slowest_s > 1.0:
        sys.exit(f"what goes wrong took {slowest_s:.2f} s, more than one second")


if __name__ == "__main__":
    main()
