"""Fill plans that heed limits that stops and legs share: time for treating, and stocks.

No more is treated at a stop and on the leg after it together than can be. First both are given all
that can be treated in the time of the leg. A plan that uses no more than that in sum is the best
there is. Else what can be treated is shared out between stop and leg in a few ways; every share is
a plan that keeps up, and the best of them is kept. It is proved best only where it comes to the
same as the plan that was given too much. Stocks: see `filled_way_from_stocks`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import islice

from longdry.computing.fills.filled_way import FilledWay
from longdry.computing.fills.plan import filled_way
from longdry.model.plan.fills import FillPlan, FillProblem
from longdry.model.words import ContainerGrade, FillHabit
from longdry.units import TOLERANCE_L

_EVEN_SHARES = (0.0, 0.5, 1.0)
"""Of what can be treated, at the stop."""

_VERDICT_PARTS = 7
"""Leading parts of the objective that are about verdicts and litres missing."""
_GOOD_PLANS_ENOUGH = 2
_MOST_LEGS = 240
"""Legs planned in all shares together, so that a long way is tried in fewer of them."""
_THOROUGH_LEGS = 24
"""A way of more legs is looked at quickly in each share: the search for the best of bad verdicts
grows with its length, and a share is proved best by the plan given too much alone."""

Shares = Sequence[float | None]
"""For each leg the litres to be treated at the stop before it; None: no limit in common."""


def best_fills(
    problem: FillProblem,
    habit: FillHabit = FillHabit.LEAST,
    *,
    whole_containers: bool = False,
) -> FillPlan:
    """Plan what to take at every stop, with stocks and treating in common heeded.

    Where nothing is in common this is `filled_way`, told.

    Raises
    ------
    ValueError
        Where the problem contradicts itself.
    """
    relaxed = _with_full_limits(problem)
    if habit is FillHabit.LEAST:
        return _best(problem, relaxed, whole=whole_containers).told()
    return _treating_as_least(problem, relaxed, habit, whole=whole_containers).told()


def _treating_as_least(
    problem: FillProblem, relaxed: FillProblem, habit: FillHabit, *, whole: bool
) -> FilledWay:
    """Fill by another habit, treating at the stops as the least fills do where they must."""
    too_much = _filled(relaxed, habit, whole=whole)
    if keeps_up(problem, too_much):
        return too_much
    least = _best(problem, relaxed, whole=whole)
    shared = _shared_out(problem, [least.treated_l(k) for k in range(len(problem.legs))])
    way = _filled(shared, habit, whole=whole, thorough=_is_short_way(problem))
    return replace(way, is_proved=_is_as_good(way, too_much))


def _best(problem: FillProblem, relaxed: FillProblem, *, whole: bool) -> FilledWay:
    """Try shares until enough of them come to verdicts that nothing can better."""
    habit = FillHabit.LEAST
    too_much = _filled(relaxed, habit, whole=whole)
    if keeps_up(problem, too_much):
        return too_much
    thorough = _is_short_way(problem)
    ways: list[FilledWay] = []
    tried = max(_GOOD_PLANS_ENOUGH, _MOST_LEGS // len(problem.legs))
    for shares in islice(_ways_of_sharing(problem, too_much), tried):
        shared = _shared_out(problem, shares)
        ways.append(_filled(shared, habit, whole=whole, thorough=thorough))
        good = (_verdicts(one) == _verdicts(too_much) for one in ways)
        if sum(good) >= _GOOD_PLANS_ENOUGH:
            break
    best = min(ways, key=lambda one: one.objective)
    return replace(best, is_proved=_is_as_good(best, too_much))


def _verdicts(way: FilledWay) -> tuple[int, ...]:
    return way.objective[:_VERDICT_PARTS]


def _is_short_way(problem: FillProblem) -> bool:
    return len(problem.legs) <= _THOROUGH_LEGS


def _is_as_good(way: FilledWay, too_much: FilledWay) -> bool:
    """Whether nothing can better it: the best that was given too much does not."""
    return too_much.is_proved and way.objective == too_much.objective


def keeps_up(problem: FillProblem, way: FilledWay) -> bool:
    """Whether no more is treated at any stop and on the leg after it than can be."""
    return not any(_falls_behind(problem, way, k) for k in range(len(problem.legs)))


def _falls_behind(problem: FillProblem, way: FilledWay, k: int) -> bool:
    most_l = problem.legs[k].treat_with_stop_l
    if most_l is None:
        return False
    return way.treated_l(k) + way.treated_on_leg_l(k) > most_l + TOLERANCE_L


def _filled(
    problem: FillProblem,
    habit: FillHabit,
    *,
    whole: bool,
    thorough: bool = True,
) -> FilledWay:
    has_stocks = any(stop.stock is not None for stop in problem.stops)
    filled = filled_way_from_stocks if has_stocks else filled_way
    return filled(problem, habit, whole_containers=whole, thorough=thorough)


def _with_full_limits(problem: FillProblem) -> FillProblem:
    """Give each stop and each leg all that can be treated in the time of the leg."""
    limits = [leg.treat_with_stop_l for leg in problem.legs]
    return _with_limits(problem, [(limit, limit) for limit in limits])


def _shared_out(problem: FillProblem, shares: Shares) -> FillProblem:
    limits: list[tuple[float | None, float | None]] = []
    for leg, share_l in zip(problem.legs, shares, strict=True):
        most_l = leg.treat_with_stop_l
        if most_l is None or share_l is None:
            limits.append((None, None))
            continue
        here_l = min(max(share_l, 0.0), most_l)
        limits.append((here_l, most_l - here_l))
    return _with_limits(problem, limits)


def _with_limits(
    problem: FillProblem, limits: Sequence[tuple[float | None, float | None]]
) -> FillProblem:
    stops = (
        replace(stop, treat_l=smaller_known(stop.treat_l, here_l))
        for stop, (here_l, _) in zip(problem.stops, limits, strict=False)
    )
    legs = (
        replace(leg, treat_l=smaller_known(leg.treat_l, way_l), treat_with_stop_l=None)
        for leg, (_, way_l) in zip(problem.legs, limits, strict=True)
    )
    return replace(problem, stops=(*stops, problem.stops[-1]), legs=tuple(legs))


def smaller_known(one: float | None, other: float | None) -> float | None:
    """Return the smaller of two limits; None, where neither is known, is no limit."""
    known = [litres for litres in (one, other) if litres is not None]
    return min(known, default=None)


def _ways_of_sharing(problem: FillProblem, too_much: FilledWay) -> Iterator[Shares]:
    """Yield the shares to try: what the way given too much would do, and shares of the whole.

    Legs on which that one keeps up are given what it treats there; the others a share.
    """
    limits = [leg.treat_with_stop_l for leg in problem.legs]
    at_stops = [too_much.treated_l(k) for k in range(len(limits))]
    yield at_stops
    yield [most and most - too_much.treated_on_leg_l(k) for k, most in enumerate(limits)]
    behind = [_falls_behind(problem, too_much, k) for k in range(len(limits))]
    for share in sorted({*_EVEN_SHARES, _share_kept_for_potable(problem)}):
        whole = [most and most * share for most in limits]
        yield [
            part if is_behind else stop_l
            for part, is_behind, stop_l in zip(whole, behind, at_stops, strict=True)
        ]
        yield whole


def _share_kept_for_potable(problem: FillProblem) -> float:
    """Give the share of all containers' litres that no untreated water goes into."""
    whole_l = sum(vessel.size_l for vessel in problem.vessels)
    kept_l = sum(v.size_l for v in problem.vessels if v.grade is ContainerGrade.POTABLE)
    return kept_l / whole_l if whole_l else 0.0


def filled_way_from_stocks(
    problem: FillProblem,
    habit: FillHabit = FillHabit.LEAST,
    *,
    whole_containers: bool = False,
    thorough: bool = True,
) -> FilledWay:
    """Find what to take at every stop, no stock being drawn on for more than it holds.

    A stock that several stops draw on: a cache that the way passes twice. Each of them is first
    given the whole limit. Takes that come to no more than the stock are the best plan of all. Else
    the stock is shared out between its stops, so that no share counts twice: the later stops first,
    and the earlier ones first; the better plan is kept and not proved best.

    Where no two stops share a stock this is :func:`filled_way`.
    """
    way = filled_way(problem, habit, whole_containers=whole_containers, thorough=thorough)
    overdrawn = _overdrawn(problem, way)
    if not overdrawn:
        return way
    ways = [
        filled_way(_stock_shared_out(problem, way, overdrawn, later_first=later_first), habit,
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


def _stock_shared_out(
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
