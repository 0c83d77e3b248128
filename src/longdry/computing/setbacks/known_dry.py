"""The stretches of a party that knows beforehand that a source is dry, and does not call there.

They are those of the plan made without it, the other calls and their minutes kept.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from longdry.computing.clock.camps import camps_at_calls
from longdry.computing.clock.clock import Call, Clock
from longdry.computing.needs.drinking import moving_by_waking_day
from longdry.computing.setbacks.dry_run import DryRun
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.model.plan.stretch import DryStretch
from longdry.model.plan.travel import Travel
from longdry.units import HOURS_PER_DAY

_DAYS_BEYOND = 2
"""On foot and by bicycle what is drunk on a stretch hangs on the hours of its days; what is done so
many days after or before it changes none of it."""


@dataclass(frozen=True, slots=True, eq=False)
class _Left:
    """What is left of the calls."""

    clock: Clock
    stops: tuple[int, ...]
    """Indices of the ends."""
    calls: tuple[Call, ...]
    """At them."""


def known_stretches(plan: SuppliedPlan, runs: Sequence[DryRun]) -> Mapping[int, DryStretch]:
    """Return the stretch past each run of dry stops, by the index of the end behind it."""
    left = _left(plan, runs)
    position = _first_that_differs(plan, left, runs[0].behind)
    demand = plan.demand
    by_hours = demand.hours.l_per_moving_h > 0.0
    walked = _walked(plan, left, position, runs[-1].ahead, _DAYS_BEYOND if by_hours else 0)
    journey = plan.journey
    if by_hours:
        before = _of_the_days_before(plan, position)
        moving_h = moving_by_waking_day([*before, *walked.values()], demand.hours.start_hour)
        hours = replace(demand.hours, moving_h=moving_h)
        journey = replace(journey, demand=replace(demand, hours=hours))
    return {
        run.behind: journey.judged(
            run.behind + 1,
            plan.ends[run.behind],
            plan.ends[run.ahead],
            walked[run.ahead],
            carried_l=plan.carried_l[run.behind],
        )
        for run in runs
    }


def _left(plan: SuppliedPlan, runs: Sequence[DryRun]) -> _Left:
    dry = {stop for run in runs for stop in run.stops}
    stops = tuple(index for index in range(1, plan.last) if index not in dry)
    calls = tuple(plan.call(index) for index in stops)
    clock = plan.journey.clock
    camps = plan.journey.prepared.camps
    if camps:
        bare = [replace(call, pinned_nights=0, dry_nights=0) for call in calls]
        calls, away = camps_at_calls(camps, bare)
        clock = replace(clock, camps=away)
    return _Left(clock, stops, calls)


def _first_that_differs(plan: SuppliedPlan, left: _Left, behind: int) -> int:
    """Return the position of the first stop that is left otherwise than planned, or that behind.

    Whether a party camps at a call may hang on what it has to go to the end.
    """
    near_day_end = plan.stops_near_day_end()
    for position, stop in enumerate(left.stops):
        if stop > behind:
            return position
        call, stay = left.calls[position], plan.journey.itinerary.stays[stop - 1]
        if plan.journey.prepared.camps and call != plan.call(stop):
            return position
        if stop in near_day_end:
            came = stay.arrives.at(stay.arrives.hour - stay.wait_h)
            to_halt = left.clock.to_halt(left.calls, position)
            if left.clock.stay(came, call, to_halt).leaves != stay.leaves:
                return position
    return len(left.stops)


def _of_the_days_before(plan: SuppliedPlan, position: int) -> list[Travel]:
    travels = plan.journey.itinerary.travels
    from_h = travels[position].begin_h - _DAYS_BEYOND * HOURS_PER_DAY
    return [travel for travel in travels[:position] if travel.end_h > from_h]


def _walked(
    plan: SuppliedPlan, left: _Left, position: int, through: int, days_beyond: int
) -> dict[int, Travel]:
    """Go on from the stop before a position, and return the ways to the ends by their indices.

    Parameters
    ----------
    through
        Index of the last end that is asked for.
    days_beyond
        Days beyond it that are asked for too.
    """
    travels: dict[int, Travel] = {}
    here = left.calls[position - 1] if position else Call(0.0)
    now = plan.leaves(left.stops[position - 1]) if position else plan.leaves(0)
    enough_day: int | None = None
    legs = left.clock.from_call_to_call(now, here, left.calls[position:])
    for stop, call, (travel, stay) in zip(
        left.stops[position:], left.calls[position:], legs, strict=False
    ):
        travels[stop] = travel
        here, now = call, stay.leaves
        if stop >= through and enough_day is None:
            enough_day = stay.arrives.day + days_beyond
        if enough_day is not None and now.day >= enough_day:
            return travels
    travels[plan.last], _ = left.clock.onward(now, here, Call(left.clock.length_km))
    return travels
