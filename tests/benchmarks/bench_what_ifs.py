"""Time what goes wrong on a plan of 60 stops, after imports.

    python tests/benchmarks/bench_what_ifs.py [stops]

The heat is a stand-in: what it costs to make it again is timed by its own benchmark.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from loaded import flat_heat, loaded
from make import source_at, straight_route

from longdry.computing.clock.clock import Clock
from longdry.computing.needs.needs import HeatDemand
from longdry.computing.setbacks.chance import chance_of_short
from longdry.computing.setbacks.dry import dry_sources
from longdry.computing.setbacks.dry_proof import proof_against_one_dry
from longdry.computing.setbacks.setbacks import Asked, setbacks_of
from longdry.computing.setbacks.turn_back import turn_backs
from longdry.computing.setbacks.waiting import sit_out
from longdry.computing.setbacks.what_ifs import standard_changes, what_ifs
from longdry.model.trip.trip import Trip


def heat_of(trip: Trip, clock: Clock, hotter_c: float) -> HeatDemand:
    """Ask for 6 L a head under way, 3 L at rest, a litre more for 5 degrees."""
    litres = (6.0 + hotter_c / 5.0) * trip.party.people
    return flat_heat(litres, litres / 2.0, midnight_h=-clock.depart.hour)


def tell(row: str) -> None:
    """Print a row."""
    sys.stdout.write(f"{row}\n")


def timed(name: str, goal_s: float, work: Callable[[], object]) -> bool:
    """Print a row with the best of three rounds; return whether its goal is missed."""
    best_s = min(_seconds(work) for _ in range(3))
    tell(f"| {name} | {best_s * 1000.0:.0f} | {goal_s * 1000.0:g} |")
    return best_s > goal_s


def _seconds(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def main() -> int:
    """Print the table; 1 where a goal is missed."""
    stops = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    every_km = 80.0
    route = straight_route(every_km * (stops + 1), points=200)
    wells = [source_at(every_km * (n + 1), offset_km=1.0) for n in range(stops)]
    plan = loaded(*wells, route=route, heat=flat_heat(12.0, 6.0))
    ids = {well.id for well in wells}
    chances = dict.fromkeys(ids, 0.8)
    tell(f"| {stops} stops, {len(plan.on_board_l)} stretches | ms | goal |\n|---|---|---|")
    rows: list[tuple[str, float, Callable[[], object]]] = [
        ("each source dry, and each two neighbours", 0.5, lambda: dry_sources(plan)),
        ("day lost, slower, hotter, container lost", 0.5,
         lambda: what_ifs(plan, standard_changes(plan, heat_of), heat_of)),
        ("litres that survive one dry source", 0.5,
         lambda: proof_against_one_dry(plan, ids, can_hold_l=100.0)),
        ("turn-back km, water and time", 1.0, lambda: turn_backs(plan, back_by_h=200.0)),
        ("sit-out", 1.0, lambda: sit_out(plan)),
        ("chance, 10,000 trials", 1.0,
         lambda: chance_of_short(plan, chances, trials=10_000, seed=1)),
        ("all of it together", 3.0,
         lambda: setbacks_of(plan, {}, heat_of=heat_of,
                             asked=Asked(back_by_h=200.0, trials=10_000))),
    ]  # fmt: skip
    missed = [timed(*row) for row in rows]
    return int(any(missed))


if __name__ == "__main__":
    sys.exit(main())
