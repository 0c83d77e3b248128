"""Fill plans where several stops draw on one stock: a cache that the way passes twice.

Each stop of a stock is first given the whole limit. Takes that come to no more than the stock are
the best plan of all. Else the stock is shared out between its stops, so that no share counts twice:
the later stops first, and the earlier ones first; the better plan is kept and not proved best.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

from longdry.computing.fills.filled_way import FilledWay
from longdry.computing.fills.plan import filled_way
from longdry.model.plan.fills import FillProblem
from longdry.model.words import FillHabit
from longdry.units import TOLERANCE_L


def filled_way_from_stocks(
    problem: FillProblem,
    habit: FillHabit = FillHabit.LEAST,
    *,
    whole_containers: bool = False,
    thorough: bool = True,
) -> FilledWay:
    """Find what to take at every stop, no stock being drawn on for more than it holds.

    Where no two stops share a stock this is :func:`filled_way`.
    """
    way = filled_way(problem, habit, whole_containers=whole_containers, thorough=thorough)
    overdrawn = _overdrawn(problem, way)
    if not overdrawn:
        return way
    ways = [
        filled_way(_shared_out(problem, way, overdrawn, later_first=later_first), habit,
                   whole_containers=whole_containers, thorough=thorough)
        for later_first in (True, False)
    ]  # fmt: skip
    return replace(min(ways, key=lambda one: one.objective), is_proved=False)


def _overdrawn(problem: FillProblem, way: FilledWay) -> list[list[int]]:
    """Give the stops of every stock that a way takes more from than it holds."""
    stocks: dict[str, list[int]] = defaultdict(list)
    for k, stop in enumerate(problem.stops[:-1]):
        if stop.stock is not None and stop.limit_l is not None:
            stocks[stop.stock].append(k)
    return [
        stops
        for stops in stocks.values()
        if sum(way.take_l(k) for k in stops) > _stock_l(problem, stops) + TOLERANCE_L
    ]


def _stock_l(problem: FillProblem, stops: list[int]) -> float:
    return max(problem.stops[k].limit_l or 0.0 for k in stops)


def _shared_out(
    problem: FillProblem, way: FilledWay, overdrawn: list[list[int]], *, later_first: bool
) -> FillProblem:
    """Give each stop of an overdrawn stock what it took, in turn, as long as the stock lasts.

    The last of the turn is given all that is left.
    """
    found = list(problem.stops)
    for stops in overdrawn:
        left_l = _stock_l(problem, stops)
        turn = stops[::-1] if later_first else stops
        for k in turn:
            own_l = min(left_l, problem.stops[k].limit_l or 0.0)
            share_l = own_l if k == turn[-1] else min(own_l, way.take_l(k))
            found[k] = replace(found[k], limit_l=share_l)
            left_l -= share_l
    return replace(problem, stops=tuple(found))
