"""Time the fill plan for 60 stops and 12 containers; the bound is half a second after imports.

Run it by hand: ``python tests/benchmarks/bench_fill_plan.py``. All figures are invented. The last
way is worse than any that a party would set out on: it shows what the search costs at worst, and
may take a second.
"""

from __future__ import annotations

import random
import sys
import time
from dataclasses import replace

from longdry.computing.fills.plan import filled_way
from longdry.computing.fills.shared_limits import best_fills
from longdry.model.plan.fills import FillHabit, FillProblem, GradeNeed, Leg, Stop, Vessel
from longdry.model.trip.party import Vehicle
from longdry.model.words import ContainerGrade, Grade

STOPS = 60
BOUND_S = 0.5
BOUND_AT_WORST_S = 1.0
CONTAINERS = (
    *(Vessel(f"can {n}", 20.0, ContainerGrade.POTABLE, "first", 1.0) for n in range(6)),
    *(Vessel(f"bladder {n}", 10.0, ContainerGrade.ANY, "second", 0.5) for n in range(3)),
    *(Vessel(f"drum {n}", 25.0, ContainerGrade.ANY, "second", 2.0) for n in range(3)),
)
CARRIERS = (Vehicle("first", 120.0), Vehicle("second", 100.0))
WAYS = {
    "taps and creeks, little treated": (0.6, 0.3, 0.10),
    "creeks only, little treated": (1.0, 0.3, 0.06),
    "small sources": (0.6, 0.9, 0.10),
    "more than can be carried": (0.6, 0.3, 0.35),
}
"""Share of creeks, share of sources with a limit, mean use of a leg over all room."""


def made_up(seed: int, creeks: float, limited: float, use: float) -> FillProblem:
    """Make a way of 60 stops up."""
    dice = random.Random(seed)
    room_l = sum(v.size_l for v in CONTAINERS)
    stops, legs, km = [Stop(0.0, None, Grade.POTABLE)], [], 0.0
    for number in range(STOPS - 1):
        litres = dice.uniform(0.2, 1.8) * use * room_l
        need = [GradeNeed(litres * a, litres * b) for a, b in ((0.6, 0.4), (0.5, 0.2), (0.3, 0.0))]
        reserve = GradeNeed(0.04 * room_l, 0.02 * room_l)
        legs.append(Leg(dice.uniform(20.0, 300.0), dice.uniform(0.3, 2.5), *need, reserve,
                        dice.choice((3.0, 8.0, 15.0)), 4.0))  # fmt: skip
        km += legs[-1].km
        grade = Grade.TREAT if dice.random() < creeks else Grade.POTABLE
        limit_l = dice.uniform(0.2, 0.9) * room_l if dice.random() < limited else None
        stops.append(Stop(km, f"source {number}", grade, limit_l, dice.choice((0.0, 5.0, 10.0))))
    return FillProblem(tuple(stops), tuple(legs), CONTAINERS, CARRIERS)


def falling_behind(problem: FillProblem, litres_per_day: float) -> FillProblem:
    """Let stop and leg together treat no more than so many litres a day."""
    stops = tuple(replace(stop, treat_l=None) for stop in problem.stops)
    legs = tuple(
        replace(leg, treat_l=None, treat_with_stop_l=litres_per_day * leg.days)
        for leg in problem.legs
    )
    return replace(problem, stops=stops, legs=legs)


def slowest_falling_behind(shares: tuple[float, float, float], litres_per_day: float) -> float:
    """Return the processor seconds of the slowest of five."""
    times = []
    for seed in range(5):
        problem = falling_behind(made_up(seed, *shares), litres_per_day)
        begin = time.process_time()
        best_fills(problem)
        times.append(time.process_time() - begin)
    return max(times)


def bound_s(name: str) -> float:
    """Return the seconds that a way may take."""
    return BOUND_AT_WORST_S if name == "more than can be carried" else BOUND_S


def main() -> int:
    """Print the slowest of five for each way; 1 where one passes its bound."""
    slow = False
    for name, shares in WAYS.items():
        for habit in FillHabit:
            times = []
            for seed in range(5):
                problem = made_up(seed, *shares)
                begin = time.perf_counter()
                plan = filled_way(problem, habit).told()
                times.append(time.perf_counter() - begin)
            slow = slow or max(times) > bound_s(name)
            proved = "proved best" if plan.is_proved else "not proved best"
            sys.stdout.write(f"{name}, {habit}: {max(times):.3f} s, {proved}\n")
    for name, shares in WAYS.items():
        for litres_per_day in (2.0, 10.0):
            seconds = slowest_falling_behind(shares, litres_per_day)
            slow = slow or seconds > bound_s(name)
            sys.stdout.write(f"{name}, {litres_per_day:g} L a day treated: {seconds:.3f} s\n")
    return int(slow)


if __name__ == "__main__":
    sys.exit(main())
