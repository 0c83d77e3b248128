"""Litres that a person must drink in a day of heat.

A day's water is the loss of each of its hours plus a basic need. Hours under way, at work or at
rest in the sun count at the shade maximum, whenever they are; moving by night counts at the mean
of the shade maximum and the night minimum; the hours of rest in the shade lie on a cosine between
the two, the hottest that the others leave.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache

from longdry.computing.heat.hourly import (
    HourKind,
    HourTable,
    counted_humidity_percent,
    hour_table,
)
from longdry.computing.heat.iso_7933 import Posture
from longdry.computing.heat.remarks import remarks_on
from longdry.computing.heat.tb_med_507 import (
    most_moving_min_per_h,
    shade_wbgt_c,
    simplified_wbgt_c,
    work_class,
)
from longdry.model.plan.heat_day import DayInHeat, Phase, PhaseLoss, WorkRest
from longdry.model.trip.heat import (
    HOURS,
    NIGHT_H,
    USUAL_BODY_MASS_KG,
    DayHours,
    Effort,
    HeatExpectation,
)

BASIC_L = 2.0
"""Drinks for a temperate day without heavy work. WHO: about 2 L; EFSA Journal 8(3):1459 (2010):
2.5 L of total water for men, of which about a fifth comes with food. The part of it that leaves
through skin and lungs is also in ISO 7933's loss, some 0.3 L a day in cool air: counted twice on
purpose, since food on the way is dry."""
RESTING_MET = 1.0
"""ASHRAE 55: seated, quiet."""
STILL_AIR_M_S = 0.5
"""Nearly still air outdoors. Common practice, no source."""
DAY_H = HOURS - NIGHT_H
"""The hottest hours of the day, in which shade has hot ground around it."""
OWN_MOTION_M_S = 1.0
"""Air past a person under way: slower than a walk of 4 km/h, 1.1 m/s."""


class _Hour(StrEnum):
    """The kinds of hours that have a table of their own."""

    MOVING = "moving"
    WORKING = "working"
    SUN = "sun"
    SHADE_BY_DAY = "shade by day"
    SHADE_BY_NIGHT = "shade by night"


@dataclass(frozen=True, slots=True)
class HeatCase:
    """One person's day in the heat."""

    expected: HeatExpectation
    hours: DayHours
    effort: Effort
    body_mass_kg: float = USUAL_BODY_MASS_KG


def resting_case(expected: HeatExpectation, body_mass_kg: float = USUAL_BODY_MASS_KG) -> HeatCase:
    """Return the day of somebody who stays in the shade: the floor of the bare ration."""
    return HeatCase(expected, DayHours(), Effort(RESTING_MET, RESTING_MET), body_mass_kg)


def drinking_in_heat(cases: Sequence[HeatCase]) -> tuple[DayInHeat, ...]:
    """Work out what each day asks for; hours of one kind are computed once.

    Hotter or damper never asks for less, nor does an hour more of moving, work or sun in place of
    rest.

    Parameters
    ----------
    cases
        Days of people, any number.

    Returns
    -------
    tuple
        An answer for each case; always finite, never below the basic need.

    Examples
    --------
    >>> drinking_in_heat([])
    ()
    """
    answers = {case: _day(case) for case in dict.fromkeys(cases)}
    return tuple(answers[case] for case in cases)


def _hour_kinds(case: HeatCase) -> dict[_Hour, HourKind]:
    """Return the kinds of hours in the day; rest in the shade is always there, as the floor."""
    expected, hours, effort = case.expected, case.hours, case.effort
    shade_c, sun_c = expected.shade_excess_c, expected.sun_excess_c
    kinds = {
        _Hour.SHADE_BY_NIGHT: _resting_kind(case, excess_c=0.0, in_sun=False),
        _Hour.SHADE_BY_DAY: _resting_kind(case, excess_c=shade_c, in_sun=False),
    }
    if hours.resting_in_sun_h > 0.0:
        kinds[_Hour.SUN] = _resting_kind(case, excess_c=sun_c, in_sun=True)
    if hours.working_h > 0.0:
        sun = hours.working_in_sun
        rest = _resting_kind(case, excess_c=sun_c if sun else shade_c, in_sun=sun)
        kinds[_Hour.WORKING] = _busy_kind(rest, effort.working_met, STILL_AIR_M_S)
    if hours.moving_h > 0.0:
        sun = hours.moving_in_sun and not hours.moving_by_night
        by_day_c = sun_c if sun else shade_c
        excess_c = 0.0 if hours.moving_by_night else by_day_c
        rest = _resting_kind(case, excess_c=excess_c, in_sun=sun)
        kinds[_Hour.MOVING] = _busy_kind(rest, effort.moving_met, OWN_MOTION_M_S)
    return kinds


def _busy_kind(rest: HourKind, met: float, own_m_s: float) -> HourKind:
    return replace(rest, resting=False, met=met, posture=Posture.STANDING, stillest_m_s=own_m_s)


def _resting_kind(case: HeatCase, *, excess_c: float, in_sun: bool) -> HourKind:
    return HourKind(
        humidity_percent=counted_humidity_percent(case.expected.humidity_percent),
        radiant_excess_c=excess_c,
        in_sun=in_sun,
        resting=True,
        met=RESTING_MET,
        posture=Posture.SITTING,
        stillest_m_s=STILL_AIR_M_S,
        wind_m_s=case.expected.wind_m_s,
        body_mass_kg=case.body_mass_kg,
        acclimatised=bool(case.expected.acclimatised),
    )


@lru_cache(maxsize=4096)
def _day(case: HeatCase) -> DayInHeat:
    """Add up the phases; no hour of the day is below rest in the shade.

    Kept: the plans of many dates ask for the same days.
    """
    tables = {hour: hour_table(kind) for hour, kind in _hour_kinds(case).items()}
    night = tables[_Hour.SHADE_BY_NIGHT]
    shade = tables[_Hour.SHADE_BY_DAY].at_least(night)
    hours, expected = case.hours, case.expected
    busy = (
        (_Hour.MOVING, Phase.MOVING, hours.moving_h, _moving_c(case)),
        (_Hour.WORKING, Phase.WORKING, hours.working_h, expected.shade_max_c),
        (_Hour.SUN, Phase.RESTING_IN_SUN, hours.resting_in_sun_h, expected.shade_max_c),
    )
    phases = [
        _busy(phase, phase_h, tables[hour].at_least(shade), air_c)
        for hour, phase, phase_h, air_c in busy
        if hour in tables
    ]
    if case.hours.resting_in_shade_h > 0.0:
        phases.append(_resting(case, shade, night))
    work_rest = _work_rest(case, tables[_Hour.MOVING].kind) if _Hour.MOVING in tables else None
    day = DayInHeat(tuple(phases), BASIC_L, work_rest, remarks=())
    return replace(day, remarks=remarks_on(day, expected, hours))


def _moving_c(case: HeatCase) -> float:
    """Return the air temperature that moving counts at."""
    return ranked_c(case.expected, DAY_H if case.hours.moving_by_night else 0.0)


def _work_rest(case: HeatCase, moving: HourKind) -> WorkRest:
    """Hold the moving hours against TB MED 507."""
    air_c, humidity_percent = _moving_c(case), moving.humidity_percent
    if moving.in_sun:
        wbgt_c = simplified_wbgt_c(air_c, humidity_percent)
    else:
        wbgt_c = shade_wbgt_c(air_c, humidity_percent, moving.radiant_excess_c)
    return WorkRest(
        wbgt_c=wbgt_c,
        work=work_class(moving.met).value,
        moving_min_per_h=60.0 * min(case.hours.moving_h, 1.0),
        most_min_per_h=most_moving_min_per_h(wbgt_c, moving.met),
    )


def _busy(phase: Phase, hours: float, table: HourTable, air_c: float) -> PhaseLoss:
    l_per_h = table.litres_at(air_c)
    return PhaseLoss(
        phase=phase,
        hours=hours,
        litres=hours * l_per_h,
        worst_l_per_h=l_per_h,
        outside=table.kind.outside_at(air_c),
        core_limit_min=table.core_limit_at(air_c),
        core_c=table.core_at(air_c),
    )


def _resting(case: HeatCase, by_day: HourTable, by_night: HourTable) -> PhaseLoss:
    """Add up the hours that are left of the day, each at the temperature of its hotter end.

    Moving by night takes the coolest hours, all else the hottest.
    """
    end_h = HOURS - case.hours.night_moving_h
    begin_h = end_h - case.hours.resting_in_shade_h
    hottest = math.floor(begin_h)
    litres = 0.0
    for rank in range(hottest, math.ceil(end_h)):
        share_h = min(rank + 1.0, end_h) - max(float(rank), begin_h)
        table = by_day if rank < DAY_H else by_night
        litres += share_h * table.litres_at(ranked_c(case.expected, rank))
    hottest_c = ranked_c(case.expected, hottest)
    table = by_day if hottest < DAY_H else by_night
    return PhaseLoss(
        phase=Phase.RESTING_IN_SHADE,
        hours=case.hours.resting_in_shade_h,
        litres=litres,
        worst_l_per_h=table.litres_at(hottest_c),
        outside=table.kind.outside_at(hottest_c),
        core_limit_min=table.core_limit_at(hottest_c),
        core_c=table.core_at(hottest_c),
    )


def ranked_c(expected: HeatExpectation, rank_h: float) -> float:
    """Return the temperature that ``rank_h`` hours of the day pass.

    T(u) = Tmax - R (1 - cos(pi u / 24)) / 2: a sinusoid over the day, sorted from its hottest
    hour to its coolest. Common practice, no source.

    >>> ranked_c(HeatExpectation(40.0), 0.0), ranked_c(HeatExpectation(40.0), 24.0)
    (40.0, 28.0)
    """
    fall = (1.0 - math.cos(math.pi * rank_h / HOURS)) / 2.0
    return expected.shade_max_c - expected.day_range_c * fall
