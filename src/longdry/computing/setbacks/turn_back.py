"""The last km of each stretch from which the party can still go back.

Up to there it lives on the ration that the plan has for the stretch, on the way back on the bare
one, by the same clock and with a margin: the trip's share of the way's litres, and at least a litre
a head.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from longdry.computing.clock.day_rules import Moment
from longdry.computing.setbacks.giving import has_water_at, has_water_passed_by, water_behind
from longdry.computing.setbacks.supplied import SuppliedPlan, planned_ration
from longdry.computing.setbacks.water_in_reach import certain_passed
from longdry.computing.setbacks.ways import (
    WayOffPlan,
    moment_after,
    ration_for,
    way_off_plan,
    with_margin,
)
from longdry.computing.stretches.halving import halved
from longdry.computing.water.opening import has_hours
from longdry.model.plan.setbacks import TurnBack
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.words import Ration
from longdry.units import TOLERANCE_L

TURN_TO_WITHIN_KM = 0.01
MOST_LOOKS = 24
LEAST_LOOKS = 4
LOOK_EVERY_KM = 1.0
NEAR_WATER_KM = 0.3
"""Nobody turns round within so many km of the next water: it is in sight."""
_SHORT_OF_IT_KM = 1.0
"""Where the water at hand does not do that near, the party turns so much earlier."""


def turn_backs(
    plan: SuppliedPlan,
    *,
    back_by_h: float | None = None,
    goes_back_from: Mapping[int, bool] | None = None,
) -> tuple[TurnBack, ...]:
    """Return the turn-back km of every stretch, by water and by time.

    Parameters
    ----------
    back_by_h
        Hours after departure by which the party must be back at the start of the route; None:
        no limit, and no km by time.
    goes_back_from
        For the index of each end whether the party, finding it dry, can go back: then it can go on
        to it from anywhere on the stretch before it. Ends that are not named are not asked.
    """
    by_time_km = None if back_by_h is None else turn_by_time_km(plan, back_by_h)
    held = goes_back_from or {}
    return tuple(
        replace(
            turn_by_water(plan, index, is_held=held.get(index + 1, False)),
            time_km=_inside(by_time_km, plan.ends[index], plan.ends[index + 1]),
        )
        for index in range(plan.last)
    )


def _inside(km: float | None, begin: StretchEnd, end: StretchEnd) -> float | None:
    return None if km is None or km < begin.km else min(km, end.km)


@dataclass(frozen=True, slots=True)
class _Turning:
    """The party where it turns round."""

    left_l: float
    end: StretchEnd
    """Where it goes back to."""
    way: WayOffPlan


@dataclass(frozen=True, slots=True, eq=False)
class _Back:
    """Going back from a stretch to the water behind."""

    plan: SuppliedPlan
    index: int
    stretch: DryStretch
    behind: int
    """Index of the last end with water."""
    always_open: int
    """Index of the last of them that has no hours; the start at worst."""
    passed: tuple[StretchEnd, ...]
    """Certain water on the stretch that the plan passes by."""

    def at(self, km: float) -> _Turning:
        """Return what is left at a km, and the way back: past a door that is shut by then."""
        plan = self.plan
        done = self.stretch.travel.until_km(km)
        used_l = plan.demand.need_l(planned_ration(self.stretch), done)
        left_l = plan.free_l(self.index) - used_l
        now = moment_after(plan.journey.clock, plan.leaves(self.index), done)
        back = self._to_call(now, km)
        near = [end for end in self.passed if end.km <= km]
        if near:
            way = way_off_plan(plan, now, km, near[-1], near[-1].way_km)
            is_wet = has_water_passed_by(plan, near[-1], way.arrived.hour, through=self.index)
            if is_wet and way.bare_l < back.way.bare_l:
                back = _Turning(left_l, near[-1], way)
        return replace(back, left_l=left_l)

    def _to_call(self, now: Moment, km: float) -> _Turning:
        """Return the way back to the last call, or past it where it is shut by then."""
        plan, end = self.plan, self.plan.behind_at(self.behind)
        way = way_off_plan(plan, now, km, end, end.way_km)
        if self.behind == self.always_open or has_water_at(
            plan, self.behind, way.arrived.hour, through=self.index
        ):
            return _Turning(0.0, end, way)
        off_km = 2.0 * end.way_km + plan.behind_at(self.always_open).way_km
        end = plan.behind_at(self.always_open)
        return _Turning(0.0, end, way_off_plan(plan, now, km, end, off_km))

    def holds(self, km: float) -> bool:
        """Whether what is left at a km is enough for the way back and its margin."""
        here = self.at(km)
        return with_margin(here.way.bare_l, self.plan.trip) <= here.left_l + TOLERANCE_L


def turn_by_water(plan: SuppliedPlan, index: int, *, is_held: bool = False) -> TurnBack:
    """Return the last km of a stretch with water enough for the way back to water behind it.

    The km before it all have enough too.

    Parameters
    ----------
    is_held
        Whether the party can still go back from the water at its end where that is dry.
    """
    behind = water_behind(plan, index)
    begin_km, end_km = plan.ends[index].km, plan.ends[index + 1].km
    back = _Back(
        plan,
        index,
        plan.stretch(index),
        behind,
        always_open=always_open_behind(plan, behind),
        passed=tuple(
            end
            for end in certain_passed(plan, end_km)
            if end.km >= begin_km or (behind == 0 and plan.trip.here)
        ),
    )
    km = end_km if is_held else _not_near_water(back, last_km(back.holds, begin_km, end_km))
    if km is None:
        return TurnBack(index + 1, None)
    here = back.at(km)
    ration = ration_for(here.way.litres, here.left_l, plan.trip) or Ration.BARE
    return TurnBack(
        index + 1,
        km,
        behind_km=here.end.km,
        behind=here.end.label,
        ration=ration,
        left_l=max(0.0, here.left_l - here.way.litres[ration]),
    )


def _not_near_water(back: _Back, km: float | None) -> float | None:
    """Return the km, or the end of the stretch where that is as near as makes no difference."""
    begin, end = back.stretch.begin, back.stretch.end
    if km is None or km <= end.km - NEAR_WATER_KM or km >= end.km:
        return km
    there = back.at(end.km)
    if there.way.bare_l <= there.left_l + TOLERANCE_L:
        return end.km
    return max(begin.km, end.km - _SHORT_OF_IT_KM)


def always_open_behind(plan: SuppliedPlan, index: int) -> int:
    """Return the last water up to an end that has no hours: at worst the start."""
    while index > 0 and any(has_hours(water.source) for water in plan.ends[index].waters):
        index = water_behind(plan, index - 1)
    return index


def turn_by_time_km(plan: SuppliedPlan, back_by_h: float) -> float | None:
    """Return the last km from which the party is back at the start of the route in time.

    It calls at every stop again on the way back. None where it has no time at all.
    """
    latest_h = plan.journey.clock.departs_h + back_by_h

    def in_time(km: float) -> bool:
        return _back_at_start_h(plan, km) <= latest_h + TOLERANCE_L

    return last_km(in_time, plan.ends[0].km, plan.ends[-1].km)


def _back_at_start_h(plan: SuppliedPlan, km: float) -> float:
    index = max(i for i in range(plan.last) if i == 0 or plan.ends[i].km < km)
    done = plan.journey.itinerary.travels[index].until_km(km)
    now = moment_after(plan.journey.clock, plan.leaves(index), done)
    behind = [end for end in plan.passed if end.km < plan.ends[0].km]
    ways_km = sum(2.0 * end.way_km for end in (*behind, *plan.ends[1 : index + 1]))
    there = StretchEnd(0.0) if plan.trip.here else plan.ends[0]
    return way_off_plan(plan, now, km, there, ways_km).arrived.hour


def last_km(holds: Callable[[float], bool], from_km: float, to_km: float) -> float | None:
    """Return the end of the first unbroken part of a way in which a condition holds.

    The way is looked through in steps first, so that one that fails and holds again later ends
    where it first fails: a kilometre each, but no fewer than 4 and no more than 24. Then the step
    in which it fails is halved.

    Parameters
    ----------
    holds
        Whether the condition holds at a km.

    Returns
    -------
    float or None
        None where the condition does not even hold at the beginning.
    """
    if not holds(from_km):
        return None
    looks = min(max(int((to_km - from_km) / LOOK_EVERY_KM), LEAST_LOOKS), MOST_LOOKS)
    good_km = from_km
    for look in range(1, looks + 1):
        km = to_km if look == looks else from_km + (to_km - from_km) * look / looks
        if not holds(km):
            return halved(holds, good_km, km, TURN_TO_WITHIN_KM)
        good_km = km
    return to_km
