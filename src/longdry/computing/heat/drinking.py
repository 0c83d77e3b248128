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

from longdry.computing.heat.hourly import HourKind, HourTable, hour_tables
from longdry.computing.heat.iso_7933 import LONGEST_MINUTES, LOWEST_AIR_C, Posture
from longdry.computing.heat.tb_med_507 import DAILY_CEILING_L, HOURLY_CEILING_L
from longdry.model.plan.heat_day import DayInHeat, HeatRemark, Phase, PhaseLoss, RemarkKind
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
    """Work out what each day asks for, with one call of the standard for all of them.

    Hotter never asks for less, nor does an hour more of moving, work or sun in place of rest.

    Parameters
    ----------
    cases
        All the days of a plan together: equal hours are computed once.

    Returns
    -------
    tuple
        An answer for each case; always finite, never below the basic need.

    Examples
    --------
    >>> drinking_in_heat([])
    ()
    """
    if not cases:
        return ()
    distinct = tuple(dict.fromkeys(cases))
    kinds = {case: _hour_kinds(case) for case in distinct}
    hottest_c = max(case.expected.shade_max_c for case in distinct)
    tables = hour_tables((kind for by in kinds.values() for kind in by.values()), hottest_c)
    answers = {
        case: _day(case, {hour: tables[kind] for hour, kind in kinds[case].items()})
        for case in distinct
    }
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
        humidity_percent=case.expected.humidity_percent,
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


def _day(case: HeatCase, tables: dict[_Hour, HourTable]) -> DayInHeat:
    """Add up the phases; no hour of the day is below rest in the shade."""
    night = tables[_Hour.SHADE_BY_NIGHT]
    shade = tables[_Hour.SHADE_BY_DAY].at_least(night)
    hours, expected = case.hours, case.expected
    moving_c = ranked_c(expected, DAY_H if hours.moving_by_night else 0.0)
    busy = (
        (_Hour.MOVING, Phase.MOVING, hours.moving_h, moving_c),
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
    return DayInHeat(tuple(phases), BASIC_L, _remarks(case, phases))


def _busy(phase: Phase, hours: float, table: HourTable, air_c: float) -> PhaseLoss:
    l_per_h = table.litres_at(air_c)
    return PhaseLoss(
        phase=phase,
        hours=hours,
        litres=hours * l_per_h,
        worst_l_per_h=l_per_h,
        outside=table.outside_at(air_c),
        core_limit_min=table.core_limit_at(air_c),
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
        outside=table.outside_at(hottest_c),
        core_limit_min=table.core_limit_at(hottest_c),
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


def _remarks(case: HeatCase, phases: Sequence[PhaseLoss]) -> tuple[HeatRemark, ...]:
    found = [*_ceilings(phases), *_core(case, phases), *_outside(phases)]
    if case.expected.shade_max_c < LOWEST_AIR_C:
        found.append(
            HeatRemark(
                RemarkKind.COOLER_THAN_STANDARD,
                f"ISO 7933 begins at {LOWEST_AIR_C:g} °C; the day counts as that warm.",
            )
        )
    return tuple(found)


def _ceilings(phases: Sequence[PhaseLoss]) -> list[HeatRemark]:
    """Tell where TB MED 507's ceilings are passed."""
    found = []
    hourly_l = max((phase.worst_l_per_h for phase in phases), default=0.0)
    daily_l = BASIC_L + sum(phase.litres for phase in phases)
    advice = (
        "More water will not make that day safe: move less, move by night, or do not go. "
        "Medical advice and local authorities come first."
    )
    if hourly_l > HOURLY_CEILING_L:
        text = (
            f"A person loses {hourly_l:.2f} L in an hour; US Army TB MED 507 (2003) sets "
            f"1.5 US qt (1.42 L) as the most to drink in one. {advice}"
        )
        found.append(HeatRemark(RemarkKind.HOURLY_CEILING, text))
    if daily_l > DAILY_CEILING_L:
        text = (
            f"A person would have to drink {daily_l:.1f} L in a day; US Army TB MED 507 (2003) "
            f"sets 12 US qt (11.4 L) as the most. {advice}"
        )
        found.append(HeatRemark(RemarkKind.DAILY_CEILING, text))
    return found


def _core(case: HeatCase, phases: Sequence[PhaseLoss]) -> list[HeatRemark]:
    """Tell the phase in which the body's core overheats first, however much is drunk."""
    over = [
        phase
        for phase in phases
        if phase.core_limit_min < LONGEST_MINUTES and phase.core_limit_min < phase.hours * 60.0
    ]
    if not over:
        return []
    first = min(over, key=lambda phase: phase.core_limit_min)
    state = "acclimatised" if case.expected.acclimatised else "not acclimatised"
    text = (
        f"By ISO 7933 the core of a body ({state}) passes 38 °C after about "
        f"{first.core_limit_min:.0f} minutes of {first.phase} in its hottest hour, however much "
        "it drinks: rest in the shade before that. Medical advice comes first."
    )
    return [HeatRemark(RemarkKind.CORE_TEMPERATURE, text)]


def _outside(phases: Sequence[PhaseLoss]) -> list[HeatRemark]:
    """Tell each reason once for which the standard does not hold."""
    reasons = dict.fromkeys(phase.outside for phase in phases if phase.outside)
    return [
        HeatRemark(
            RemarkKind.OUTSIDE_STANDARD,
            f"{reason} There the larger counts of the standard's last figure and US Army "
            "TB MED 507's hourly drinking (2003), which takes its rests for granted.",
        )
        for reason in reasons
    ]
