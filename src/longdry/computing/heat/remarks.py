"""What to tell people about a day of heat: a plain rule first, then each limit that is passed."""

from __future__ import annotations

from collections.abc import Sequence

from longdry.computing.heat.iso_7933 import LOWEST_AIR_C
from longdry.model.plan.heat_day import (
    DAILY_CEILING_L,
    HOURLY_CEILING_L,
    DayInHeat,
    HeatRemark,
    Phase,
    PhaseLoss,
    RemarkKind,
)
from longdry.model.trip.heat import DayHours, HeatExpectation
from longdry.units import rounded_up

_DO_NOT = {
    Phase.MOVING: "move",
    Phase.WORKING: "work",
    Phase.RESTING_IN_SUN: "rest in the sun",
}
_NOT_SAFE = "More water will not make that day safe."


def remarks_on(
    day: DayInHeat, expected: HeatExpectation, hours: DayHours
) -> tuple[HeatRemark, ...]:
    """Return what there is to tell of a day, the gravest first; nothing of a mild one."""
    found = [
        *_plain_rule(day, expected, hours),
        *_ceilings(day),
        *_core(day.phases, expected),
        *_work_rest(day, expected),
        *_outside(day.phases),
    ]
    if expected.shade_max_c < LOWEST_AIR_C:
        found.append(
            HeatRemark(
                RemarkKind.COOLER_THAN_STANDARD,
                f"ISO 7933 begins at {LOWEST_AIR_C:g} °C; the day counts as that warm.",
            )
        )
    return tuple(found)


def _plain_rule(day: DayInHeat, expected: HeatExpectation, hours: DayHours) -> list[HeatRemark]:
    """Say in a word what nobody should do that day."""
    risky = _risky(day)
    if not risky:
        return []
    wrong = [_DO_NOT[phase] for phase in Phase if phase in risky and phase in _DO_NOT]
    moves_by_day = Phase.MOVING in risky and not hours.moving_by_night
    when = " by day" if wrong and (moves_by_day or Phase.MOVING not in risky) else ""
    rest = "Rest in the shade, move by night, or do not go." if moves_by_day else "Do not go."
    if Phase.RESTING_IN_SHADE in risky:
        rest = "Even rest in the shade is dangerous: do not go."
    elif Phase.MOVING not in risky:
        rest = "Rest in the shade."
    rule = f"do not {' or '.join(wrong)}{when}. {rest}" if wrong else f"{rest}"
    text = f"{_degrees(expected)}: {rule} Medical advice and local authorities come first."
    return [HeatRemark(RemarkKind.KEEP_STILL, text)]


def _degrees(expected: HeatExpectation) -> str:
    return f"{rounded_up(expected.shade_max_c, 0.1):.3g} °C"


def _risky(day: DayInHeat) -> set[Phase]:
    """Return what of the day is dangerous; where only its sum is, what takes most of it."""
    risky = {phase.phase for phase in day.phases if phase.is_dangerous}
    if not risky and day.passes_daily_ceiling:
        busy = [phase for phase in day.phases if phase.phase in _DO_NOT]
        risky.add(max(busy or day.phases, key=lambda phase: phase.litres).phase)
    return risky


def _ceilings(day: DayInHeat) -> list[HeatRemark]:
    """Tell where TB MED 507's ceilings of drinking are passed."""
    found = []
    hourly_l = max((phase.worst_l_per_h for phase in day.phases), default=0.0)
    if hourly_l > HOURLY_CEILING_L:
        text = (
            f"A person loses {rounded_up(hourly_l, 0.01):.2f} L in an hour; US Army TB MED 507"
            f" (2003) sets 1.5 US qt (1.42 L) as the most to drink in one. {_NOT_SAFE}"
        )
        found.append(HeatRemark(RemarkKind.HOURLY_CEILING, text))
    if day.litres > DAILY_CEILING_L:
        text = (
            f"A person would have to drink {rounded_up(day.litres, 0.1):.1f} L in a day; US Army"
            f" TB MED 507 (2003) sets 12 US qt (11.4 L) as the most. {_NOT_SAFE}"
        )
        found.append(HeatRemark(RemarkKind.DAILY_CEILING, text))
    return found


def _core(phases: Sequence[PhaseLoss], expected: HeatExpectation) -> list[HeatRemark]:
    """Tell the phase in which the body's core overheats first, however much is drunk."""
    over = [phase for phase in phases if phase.passes_core_limit]
    if not over:
        return []
    first = min(over, key=lambda phase: (not phase.rises, phase.core_limit_min))
    state = "acclimatised" if expected.acclimatised else "not acclimatised"
    goes_on = "goes on rising" if first.rises else f"settles near {first.core_c:.1f} °C"
    text = (
        f"By the stricter edition of ISO 7933 the core of a body ({state}) passes 38 °C, the"
        f" standard's limit, after {first.core_limit_min:.0f} minutes of {first.phase} in its"
        f" hottest hour and {goes_on}, however much it drinks: rest in the shade before that."
        " Medical advice comes first."
    )
    kind = RemarkKind.CORE_RISES if first.rises else RemarkKind.CORE_SETTLES_HIGH
    return [HeatRemark(kind, text)]


def _work_rest(day: DayInHeat, expected: HeatExpectation) -> list[HeatRemark]:
    """Tell where more moving in an hour is planned than TB MED 507's hottest row allows."""
    limit = day.work_rest
    if limit is None or not limit.is_passed:
        return []
    text = (
        f"{_degrees(expected)}: move no more than {limit.most_min_per_h:.0f} minutes of an hour and"
        f" rest in the shade for the others, says US Army TB MED 507 (2003) of {limit.work} work at"
        f" a wet-bulb globe temperature of {limit.wbgt_c:.0f} °C. The plan moves for"
        f" {limit.moving_min_per_h:.0f}."
    )
    return [HeatRemark(RemarkKind.WORK_REST, text)]


def _outside(phases: Sequence[PhaseLoss]) -> list[HeatRemark]:
    """Tell each reason once for which the standard does not hold."""
    reasons = dict.fromkeys(phase.outside for phase in phases if phase.outside)
    return [
        HeatRemark(
            RemarkKind.OUTSIDE_STANDARD,
            f"{reason} There the larger counts of what the standard gives at its limit and US Army "
            "TB MED 507's hourly drinking (2003), which takes its rests for granted.",
        )
        for reason in reasons
    ]
