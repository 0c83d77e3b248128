"""The last km of each stretch from which the party can still go back.

Up to there it lives on the ration that the plan has for the stretch, on the way back on the bare
one, on its own clock: through the moving hours of each day, camps where they end.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from longdry.computing.loaded_plan import LoadedPlan
from longdry.computing.moving_hours import Moment
from longdry.computing.refilling import water_behind
from longdry.computing.ways_out import bare_way_l, planned_ration
from longdry.model.dry_stretch import DryStretch, Span, StretchEnd
from longdry.model.what_if import TurnBack
from longdry.model.words import Ration

WITHIN_KM = 0.001
_LOOKS = 24
_LEAST_LOOKS = 4
_LOOK_EVERY_KM = 1.0
_HAIR_L = 1e-9


def turn_backs(plan: LoadedPlan, *, back_by_h: float | None = None) -> tuple[TurnBack, ...]:
    """Return the turn-back km of every stretch, by water and by time.

    Parameters
    ----------
    back_by_h
        Hours after departure by which the party must be back at the start of the route; None:
        no limit, and no km by time.
    """
    by_time_km = None if back_by_h is None else turn_by_time_km(plan, back_by_h)
    return tuple(
        TurnBack(
            stretch=index + 1,
            water_km=turn_by_water_km(plan, index),
            time_km=_inside(by_time_km, plan.ends[index], plan.ends[index + 1]),
        )
        for index in range(len(plan.on_board_l))
    )


def _inside(km: float | None, begin: StretchEnd, end: StretchEnd) -> float | None:
    return None if km is None or km < begin.km else min(km, end.km)


def turn_by_water_km(plan: LoadedPlan, index: int) -> float | None:
    """Return the last km of a stretch with water enough for the way back to water behind it.

    The km before it all have enough too. None where not even the beginning has.
    """
    stretch = plan.stretch(index)
    ration = planned_ration(stretch)
    leaves = plan.going.clock.departure_from(stretch.begin.km)
    behind = plan.ends[water_behind(plan, index)]

    def enough(km: float) -> bool:
        now = _moment_at(plan, stretch, leaves, km)
        gone_l = _used_by(plan, stretch, plan.going.clock.between(leaves, now), km, ration)
        back_l = bare_way_l(plan, now, StretchEnd(km), behind)
        return gone_l + back_l <= plan.on_board_l[index] + _HAIR_L

    return last_km(enough, stretch.begin.km, stretch.end.km)


def used_l(plan: LoadedPlan, stretch: DryStretch, km: float, ration: Ration) -> float:
    """Return the litres used from the water at the beginning of a stretch to ``km``."""
    return _used_by(plan, stretch, span_to(plan, stretch, km), km, ration)


def _used_by(plan: LoadedPlan, stretch: DryStretch, span: Span, km: float, ration: Ration) -> float:
    length_km = stretch.begin.way_km + km - stretch.begin.km
    return plan.going.asking.need_l(ration, span, length_km)


def span_to(plan: LoadedPlan, stretch: DryStretch, km: float) -> Span:
    """Return how long it takes from the water at the beginning of a stretch to ``km``."""
    clock = plan.going.clock
    leaves = clock.departure_from(stretch.begin.km)
    return clock.between(leaves, _moment_at(plan, stretch, leaves, km))


def _moment_at(plan: LoadedPlan, stretch: DryStretch, leaves: Moment, km: float) -> Moment:
    """Return when the party is at ``km``; it leaves the water behind at ``leaves``."""
    back_h = stretch.begin.way_km / plan.going.trip.pace.off_route_kmh
    return plan.going.clock.onward(leaves, stretch.begin.km, km, way_back_h=back_h)


def turn_by_time_km(plan: LoadedPlan, back_by_h: float) -> float | None:
    """Return the last km from which the party is back at the start of the route in time.

    It calls at every counted source again on the way back. None where it has no time at all.
    """
    clock = plan.going.clock
    latest_h = clock.depart.hour + back_by_h

    def in_time(km: float) -> bool:
        return _back_at_start(plan, km).hour <= latest_h + _HAIR_L

    return last_km(in_time, 0.0, plan.going.length_km)


def _back_at_start(plan: LoadedPlan, km: float) -> Moment:
    clock = plan.going.clock
    profile = plan.back or clock.profile
    behind = [end for end in plan.ends if end.km < km]
    ways_h = sum(2.0 * end.way_km for end in behind) / plan.going.trip.pace.off_route_kmh
    return clock.moving.after_moving(clock.arrival(km), profile.between(0.0, km) + ways_h)


def last_km(holds: Callable[[float], bool], from_km: float, to_km: float) -> float | None:
    """Return the end of the first unbroken part in which a condition holds, by bisection.

    The part is looked through in steps first, so that one that fails and holds again later ends
    where it first fails: a kilometre each, but no fewer than 4 and no more than 24.
    """
    if not holds(from_km):
        return None
    good_km = from_km
    looks = min(max(math.ceil((to_km - from_km) / _LOOK_EVERY_KM), _LEAST_LOOKS), _LOOKS)
    for look in range(1, looks + 1):
        bad_km = to_km if look == looks else from_km + (to_km - from_km) * look / looks
        if not holds(bad_km):
            return _bisected(holds, good_km, bad_km)
        good_km = bad_km
    return to_km


def _bisected(holds: Callable[[float], bool], good_km: float, bad_km: float) -> float:
    while bad_km - good_km > WITHIN_KM:
        middle_km = (good_km + bad_km) / 2.0
        if holds(middle_km):
            good_km = middle_km
        else:
            bad_km = middle_km
    return good_km
