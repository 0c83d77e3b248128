"""The last km of each stretch from which the party can still go back.

Up to there it lives on the ration that the plan has for the stretch, on the way back on the bare
one, on its own clock: through the moving hours of each day, camps where they end.
"""

from __future__ import annotations

from collections.abc import Callable

from longdry.computing.loaded_plan import LoadedPlan
from longdry.computing.moving_hours import Moment
from longdry.computing.needs import needs_on_rations
from longdry.computing.ways_out import moment_at_end, need_on, planned_ration, way_between
from longdry.model.dry_stretch import DryStretch, Span, StretchEnd
from longdry.model.what_if import TurnBack
from longdry.model.words import Ration

WITHIN_KM = 0.001
_LOOKS = 24
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
    """Return the last km of a stretch with water enough for the way back to its beginning.

    The km before it all have enough too. None where not even the beginning has.
    """
    stretch = plan.stretch(index)
    ration = planned_ration(stretch)

    def enough(km: float) -> bool:
        asked_l = used_l(plan, stretch, km, ration) + bare_back_l(plan, stretch, km)
        return asked_l <= plan.on_board_l[index] + _HAIR_L

    return last_km(enough, stretch.begin.km, stretch.end.km)


def used_l(plan: LoadedPlan, stretch: DryStretch, km: float, ration: Ration) -> float:
    """Return the litres used from the water at the beginning of a stretch to ``km``."""
    length_km = stretch.begin.way_km + km - stretch.begin.km
    span = span_to(plan, stretch, km)
    return need_on(needs_on_rations(plan.going.trip, span, length_km, plan.going.heat), ration)


def span_to(plan: LoadedPlan, stretch: DryStretch, km: float) -> Span:
    """Return how long it takes from the water at the beginning of a stretch to ``km``."""
    begin = stretch.begin
    back_h = begin.way_km / plan.going.trip.pace.off_route_kmh
    return plan.going.clock.span(begin.km, km, way_back_h=back_h)


def bare_back_l(plan: LoadedPlan, stretch: DryStretch, km: float) -> float:
    """Return the litres that the way back from ``km`` to the beginning asks for."""
    now = moment_at_end(plan, stretch.begin.km, span_to(plan, stretch, km))
    return way_between(plan, now, StretchEnd(km), stretch.begin).bare_l


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
    where it first fails.
    """
    if not holds(from_km):
        return None
    good_km = from_km
    for look in range(1, _LOOKS + 1):
        bad_km = to_km if look == _LOOKS else from_km + (to_km - from_km) * look / _LOOKS
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
