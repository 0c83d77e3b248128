"""How long the party can wait where it stands, on the bare ration, resting in shade.

And what is published about the survival of people who are stranded, read at the place where waiting
is shortest: never a planning allowance.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from longdry.computing.setbacks.supplied import SuppliedPlan, planned_ration, used_of
from longdry.model.arrays import FloatArray, frozen_floats
from longdry.model.plan.least import WaitingHere
from longdry.model.plan.setbacks import (
    DAYS,
    FROM_MEMORY,
    SHADE_MAX_F,
    SOURCE,
    SURVIVAL_CAUTION,
    WATER_QT,
    HelpWanted,
    SitOut,
    Stranded,
    SurvivalFigure,
    is_from_memory,
)
from longdry.model.plan.stretch import DryStretch
from longdry.units import HOURS_PER_DAY, L_PER_US_QUART

LOOK_EVERY_KM = 10.0
MOST_LOOKS = 50
_LEAST_LOOKS = 4


@dataclass(frozen=True, slots=True)
class _Point:
    """The party somewhere on its way."""

    km: float
    since_h: float
    """When it was at the place looked at before."""
    now_h: float
    litres: float
    """Carried, never below zero."""
    rate_l: float
    """A day of waiting, on the hottest day since the place before."""

    @property
    def days(self) -> float:
        """How long the litres last."""
        return self.litres / self.rate_l if self.rate_l > 0.0 else math.inf


@dataclass(frozen=True, slots=True)
class HelpComes:
    """When help is there."""

    after_days: float | None = None
    """Of waiting, anywhere; None: it is only looked for when the party is overdue."""
    overdue_h: float = 0.0
    """Hour at which the party is overdue, since the midnight before departure."""
    search_days: float = 0.0
    """From there until it is found."""

    def days_from(self, hour: float) -> float:
        """Return the days until help is there for a party that begins to wait at an hour."""
        if self.after_days is not None:
            return self.after_days
        return max(self.overdue_h - hour, 0.0) / HOURS_PER_DAY + self.search_days


def sit_out(plan: SuppliedPlan) -> SitOut:
    """Return how many days the party can wait at each km, where that is least, and what is asked.

    The litres carried go down along a stretch. The value of a km is that of what is carried there
    at the hottest of the days since the km before: none in between has less.
    """
    rates_l = _rates_by_day(plan)
    points = [point for index in range(plan.last) for point in _points(plan, index, rates_l)]
    least = min(points, key=lambda point: point.days)
    comes, by_due_back = help_of(plan)
    is_enough_known = plan.trip.contact.can_call or by_due_back
    return SitOut(
        km=frozen_floats([point.km for point in points]),
        days=frozen_floats([point.days for point in points]),
        least_days=least.days,
        at_km=least.km,
        rest_l_per_day=least.rate_l,
        on_board_l=least.litres,
        help_days=plan.trip.policy.help_days,
        wanted=_wanted(points, comes, rates_l, is_enough_known=is_enough_known),
        by_due_back=by_due_back,
    )


def help_of(plan: SuppliedPlan) -> tuple[HelpComes | None, bool]:
    """Return when help is there, and whether only because the party is overdue.

    Who can call waits `help_days`, and `check_in_days` more should the call fail. Who cannot is
    looked for from the end of the day on which it is due back, never counted as before the day on
    which the plan ends: who is looked for while still going may not be where the search is. Where
    that day or the days of the search are not known, `help_days` is the least that it must wait.
    None where nothing is known.
    """
    contact, departs_on = plan.trip.contact, plan.journey.prepared.departs_on
    is_dated = contact.due_back and contact.search_days is not None and departs_on
    if not contact.can_call and is_dated and contact.due_back and departs_on:
        ends_on_day = math.ceil(plan.stretch(plan.last - 1).travel.end_h / HOURS_PER_DAY)
        overdue_day = max((contact.due_back - departs_on).days + 1, ends_on_day)
        overdue_h = overdue_day * HOURS_PER_DAY
        return HelpComes(overdue_h=overdue_h, search_days=contact.search_days or 0.0), True
    if plan.trip.policy.help_days is None:
        return None, False
    return HelpComes(plan.trip.policy.help_days + contact.check_in_days), False


def waiting_here(plan: SuppliedPlan) -> WaitingHere:
    """Return what waiting takes anywhere on the way, on the hottest day, and when help is there."""
    hottest_l = float(plan.demand.heat.resting_l.max())
    comes, by_due_back = help_of(plan)
    is_called = comes is not None and not by_due_back
    return WaitingHere(
        l_per_day=plan.demand.waiting_l_per_day(hottest_l),
        always_l=plan.demand.always_l,
        help_days=comes.after_days if comes and is_called else None,
        found_by_h=comes.overdue_h + comes.search_days * HOURS_PER_DAY
        if comes and by_due_back
        else None,
    )


def _wanted(
    points: Sequence[_Point],
    comes: HelpComes | None,
    rates_l: FloatArray,
    *,
    is_enough_known: bool,
) -> HelpWanted | None:
    """Return what waiting asks for where most is missing, or least is to spare.

    A party waits from any time since the place before: it is counted from then.
    """
    if comes is None:
        return None
    wanted = [_asked(point, comes, rates_l) for point in points]
    hardest = min(wanted, key=lambda one: one.carried_l - one.asked_l)
    return hardest if is_enough_known or not hardest.enough else None


def _asked(point: _Point, comes: HelpComes, rates_l: FloatArray) -> HelpWanted:
    days = comes.days_from(point.since_h)
    until_h = point.now_h + days * HOURS_PER_DAY
    asked_l = days * _hottest(point.since_h, until_h, rates_l)
    return HelpWanted(point.km, days, asked_l, point.litres)


def _points(plan: SuppliedPlan, index: int, rates_l: FloatArray) -> list[_Point]:
    """Return the points of a stretch from its beginning on, and its end with the way there."""
    stretch = plan.stretch(index)
    free_l, ration = plan.free_l(index), planned_ration(stretch)
    points = []
    since_h = stretch.travel.begin_h
    for km in _looks(stretch):
        done = stretch.travel.until_km(km)
        litres = free_l - plan.demand.need_l(ration, done)
        points.append(_point(km, since_h, done.end_h, litres, rates_l))
        since_h = done.end_h
    end_h = stretch.travel.end_h
    points.append(_point(stretch.end.km, since_h, end_h, free_l - used_of(stretch), rates_l))
    return points


def _looks(stretch: DryStretch) -> list[float]:
    """Return the km at which to look, the end left out: its own point has the way out in it."""
    along_km = stretch.end.km - stretch.begin.km
    looks = min(max(math.ceil(along_km / LOOK_EVERY_KM), _LEAST_LOOKS), MOST_LOOKS)
    return [stretch.begin.km + along_km * look / looks for look in range(looks)]


def _point(km: float, since_h: float, now_h: float, litres: float, rates_l: FloatArray) -> _Point:
    return _Point(km, since_h, now_h, max(0.0, litres), _hottest(since_h, now_h, rates_l))


def _hottest(since_h: float, until_h: float, rates_l: FloatArray) -> float:
    """Return the largest rate of the days between two times."""
    first, last = int(since_h // HOURS_PER_DAY), int(until_h // HOURS_PER_DAY)
    if last >= rates_l.size:
        return float(rates_l.max())
    return float(rates_l[first : last + 1].max())


def _rates_by_day(plan: SuppliedPlan) -> FloatArray:
    asked_l = plan.demand.heat.resting_l.tolist()
    rates = {litres: plan.demand.waiting_l_per_day(litres) for litres in set(asked_l)}
    return frozen_floats([rates[litres] for litres in asked_l])


def stranded_at_worst(
    sit_out: SitOut, hot_days: Sequence[tuple[float, float]], people: int
) -> Stranded | None:
    """Return the table's figure there; None without heat and outside the limits of the table.

    Parameters
    ----------
    hot_days
        For each day of the trip the km that it ends at and its shade maximum in °C, in order.
    people
        Who share what is on board; nothing is set aside for animals.

    Examples
    --------
    >>> import numpy as np
    >>> km = np.array([0.0])
    >>> wait = SitOut(km, km, least_days=1.0, at_km=0.0, rest_l_per_day=2.0, on_board_l=2.0)
    >>> stranded_at_worst(wait, (), 2) is None
    True
    """
    still_to_come = [shade_max_c for to_km, shade_max_c in hot_days if to_km >= sit_out.at_km]
    if not still_to_come or not math.isfinite(sit_out.least_days):
        return None
    hottest_c, litres_each = max(still_to_come), sit_out.on_board_l / people
    figure = expected_survival(hottest_c, litres_each)
    if figure is None:
        return None
    return Stranded(sit_out.at_km, hottest_c, litres_each, figure)


def expected_survival(shade_max_c: float, water_l: float) -> SurvivalFigure | None:
    """Return the days that the table gives, linear between its cells; None outside its limits.

    Parameters
    ----------
    shade_max_c
        Highest shade temperature of the day: 10 to 48.9 degrees (50 to 120 °F).
    water_l
        What one person has in all: 0 to 18.9 L (20 US quarts).

    Examples
    --------
    >>> expected_survival(40.0, 25.0) is None
    True
    """
    shade_f, water_qt = shade_max_c * 1.8 + 32.0, water_l / L_PER_US_QUART
    rows = _weights(shade_f, SHADE_MAX_F)
    columns = _weights(water_qt, WATER_QT)
    if rows is None or columns is None:
        return None
    recalled = any(
        is_from_memory(shade, water)
        for shade, row in zip(SHADE_MAX_F, rows, strict=True)
        for water, column in zip(WATER_QT, columns, strict=True)
        if row * column > 0.0
    )
    caution = f"{SURVIVAL_CAUTION} {FROM_MEMORY}" if recalled else SURVIVAL_CAUTION
    return SurvivalFigure(float(rows @ np.array(DAYS) @ columns), recalled, caution, SOURCE)


def _weights(value: float, marks: tuple[float, ...]) -> FloatArray | None:
    """Return what each mark weighs in a linear interpolation; None outside the marks."""
    hair = 1e-9 * marks[-1]
    if not marks[0] - hair <= value <= marks[-1] + hair:
        return None
    nearest = min(marks, key=lambda mark: abs(mark - value))
    exact = nearest if abs(nearest - value) <= hair else value
    return frozen_floats([float(np.interp(exact, marks, unit)) for unit in np.eye(len(marks))])
