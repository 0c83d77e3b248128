"""The last km of each stretch from which the party can still go back.

Up to there it lives on the ration that the plan has for the stretch, on the way back on the bare
one, on its own clock: through the moving hours of each day, camps where they end.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from longdry.computing.clock.moving_hours import Moment
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.setbacks.water_in_reach import water_behind
from longdry.computing.setbacks.ways import planned_ration
from longdry.computing.stretches.many_needs import ManyNeeds, litres_on_rations
from longdry.computing.stretches.many_spans import (
    BoolArray,
    Moments,
    after_moving,
    begun_and_reached,
    between,
)
from longdry.computing.water.opening import has_hours, is_open_at
from longdry.model.arrays import FloatArray, IntArray
from longdry.model.plan.setbacks import TurnBack
from longdry.model.plan.stretch import StretchEnd
from longdry.model.words import Ration

WITHIN_KM = 0.001
_LOOKS = 24
_LEAST_LOOKS = 4
_LOOK_EVERY_KM = 1.0
TOLERANCE_L = 1e-9


def turn_backs(plan: SuppliedPlan, *, back_by_h: float | None = None) -> tuple[TurnBack, ...]:
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
            water_km=water_km,
            time_km=_inside(by_time_km, plan.ends[index], plan.ends[index + 1]),
        )
        for index, water_km in enumerate(turns_by_water_km(plan))
    )


def _inside(km: float | None, begin: StretchEnd, end: StretchEnd) -> float | None:
    return None if km is None or km < begin.km else min(km, end.km)


def turns_by_water_km(plan: SuppliedPlan) -> list[float | None]:
    """Return for each stretch the last km with water enough for the way back to water behind it.

    The km before it all have enough too. None where not even the beginning has. Where the water
    behind is closed when the party is back, it goes on to the one before it that is never closed.
    """
    going = plan.going
    stretches = plan.stretches()
    behind = np.array([water_behind(plan, index) for index in range(len(stretches))])
    always_open = np.array([_never_closed_behind(plan, index) for index in behind.tolist()])
    has_hours_there = behind != always_open
    begin_km = np.array([stretch.begin.km for stretch in stretches])
    way_km = np.array([stretch.begin.way_km for stretch in stretches])
    on_board_l = np.array(plan.on_board_l)
    rations = [planned_ration(stretch) for stretch in stretches]

    def enough(of: IntArray, km: FloatArray) -> BoolArray:
        leaves, now = begun_and_reached(begin_km[of], way_km[of], km, going)
        gone_km = way_km[of] + km - begin_km[of]
        lived_on = [rations[index] for index in of.tolist()]
        gone_l = litres_on_rations(lived_on, between(leaves, now, going), gone_km, going)
        hour, back_l = _back_to(plan, behind[of], km, now)
        shut = has_hours_there[of]
        shut[shut] = _shut(plan, behind[of][shut], hour[shut])
        if shut.any():
            further_l = _back_to(plan, always_open[of][shut], km[shut], now.of(shut))[1]
            back_l[shut] = np.maximum(back_l[shut], further_l)
        return np.asarray(gone_l + back_l <= on_board_l[of] + TOLERANCE_L, dtype=np.bool_)

    return last_kms(enough, begin_km, np.array([stretch.end.km for stretch in stretches]))


def _never_closed_behind(plan: SuppliedPlan, index: int) -> int:
    """Return the last water up to an end that has no hours: at worst the start."""
    while index > 0 and _has_hours(plan.ends[index]):
        index = water_behind(plan, index - 1)
    return index


def _has_hours(end: StretchEnd) -> bool:
    return end.water is not None and has_hours(end.water.source)


def _back_to(
    plan: SuppliedPlan, places: IntArray, km: FloatArray, now: Moments
) -> tuple[FloatArray, FloatArray]:
    """Return when a party is back at some ends, and the litres for it on the bare ration."""
    going, profile = plan.going, plan.back or plan.going.clock.profile
    behind_km = np.array([end.km for end in plan.ends])[places]
    way_km = np.array([end.way_km for end in plan.ends])[places]
    along_h = profile.moving_h_at_each(km) - profile.moving_h_at_each(behind_km)
    moving_h = way_km / going.trip.pace.off_route_kmh + along_h
    arrived = after_moving(going.clock.moving, now, moving_h)
    needs = ManyNeeds(between(now, arrived, going), way_km + np.abs(behind_km - km), going)
    return arrived.hour, needs.litres(Ration.BARE)


def _shut(plan: SuppliedPlan, places: IntArray, hour: FloatArray) -> BoolArray:
    """Return where a source is closed when the party is back."""
    ends = [plan.ends[place] for place in places.tolist()]
    shut = [
        end.water is not None and not is_open_at(end.water.source, at)
        for end, at in zip(ends, hour.tolist(), strict=True)
    ]
    return np.array(shut, dtype=np.bool_)


def turn_by_time_km(plan: SuppliedPlan, back_by_h: float) -> float | None:
    """Return the last km from which the party is back at the start of the route in time.

    It calls at every counted source again on the way back. None where it has no time at all.
    """
    clock = plan.going.clock
    latest_h = clock.depart.hour + back_by_h

    def in_time(km: float) -> bool:
        return _back_at_start(plan, km).hour <= latest_h + TOLERANCE_L

    return last_km(in_time, 0.0, plan.going.length_km)


def _back_at_start(plan: SuppliedPlan, km: float) -> Moment:
    clock = plan.going.clock
    profile = plan.back or clock.profile
    behind = [end for end in plan.ends if end.km < km]
    ways_h = sum(2.0 * end.way_km for end in behind) / plan.going.trip.pace.off_route_kmh
    return clock.moving.after_moving(clock.arrival(km), profile.between(0.0, km) + ways_h)


def last_km(holds: Callable[[float], bool], from_km: float, to_km: float) -> float | None:
    """Return `last_kms` of one way."""

    def holds_at(_: IntArray, km: FloatArray) -> BoolArray:
        return np.array([holds(one) for one in km.tolist()])

    return last_kms(holds_at, np.array([from_km]), np.array([to_km]))[0]


def last_kms(
    holds: Callable[[IntArray, FloatArray], BoolArray], from_km: FloatArray, to_km: FloatArray
) -> list[float | None]:
    """Return for many ways the end of the first unbroken part in which a condition holds.

    Each way is looked through in steps first, so that one that fails and holds again later ends
    where it first fails: a kilometre each, but no fewer than 4 and no more than 24. Then the steps
    in which it fails are halved, those of all ways at once.

    Parameters
    ----------
    holds
        Whether the condition holds on the ways of some indices at a km of each.
    from_km, to_km
        Shape (n,), where each way begins and ends.

    Returns
    -------
    list
        One km for each way; None where the condition does not even hold at its beginning.
    """
    along_km = to_km - from_km
    looks = np.clip(np.ceil(along_km / _LOOK_EVERY_KM), _LEAST_LOOKS, _LOOKS).astype(np.int64)
    each = np.repeat(np.arange(looks.size), looks + 1)
    look = np.concatenate([np.arange(count + 1) for count in looks])
    km = from_km[each] + along_km[each] * look / looks[each]
    km[look == looks[each]] = to_km
    firsts = np.cumsum(looks + 1) - (looks + 1)
    failed_at = np.minimum.reduceat(np.where(holds(each, km), looks[each] + 1, look), firsts)
    halved = np.flatnonzero((failed_at > 0) & (failed_at <= looks))
    good_km = km[firsts + np.maximum(failed_at - 1, 0)]
    bad_km = km[(firsts + failed_at)[halved]]
    good_km[halved] = _bisected(holds, halved, good_km[halved], bad_km)
    return [
        one_km if failed > 0 else None
        for one_km, failed in zip(good_km.tolist(), failed_at.tolist(), strict=True)
    ]


def _bisected(
    holds: Callable[[IntArray, FloatArray], BoolArray],
    of: IntArray,
    good_km: FloatArray,
    bad_km: FloatArray,
) -> FloatArray:
    good_km, bad_km = good_km.copy(), bad_km.copy()
    while (wide := np.flatnonzero(bad_km - good_km > WITHIN_KM)).size:
        middle_km = (good_km[wide] + bad_km[wide]) / 2.0
        held = holds(of[wide], middle_km)
        good_km[wide[held]] = middle_km[held]
        bad_km[wide[~held]] = middle_km[~held]
    return good_km
