"""How long the party can wait where it stands, on the bare ration, resting in shade.

Also here:

- what is published about people who are stranded, read at the place where waiting is shortest.
- expected survival of people who are stranded: a published table, never a planning allowance.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np

from longdry.computing.needs.needs import HeatDemand, WaterDemand
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.setbacks.ways import need_on, planned_ration
from longdry.computing.stretches.many_needs import litres_on_rations
from longdry.computing.stretches.many_spans import begun_and_reached, between
from longdry.model.arrays import FloatArray, frozen_floats
from longdry.model.plan.setbacks import (
    CAUTION,
    DAYS,
    FROM_MEMORY,
    SHADE_MAX_F,
    SOURCE,
    WATER_QT,
    SitOut,
    Stranded,
    SurvivalFigure,
    is_from_memory,
)
from longdry.model.plan.stretch import DryStretch, Span
from longdry.model.words import Ration
from longdry.units import HOURS_PER_DAY, L_PER_US_QUART

LOOK_EVERY_KM = 10.0
MOST_LOOKS = 50
_LEAST_LOOKS = 4
_ONE_DAY = Span(0.0, HOURS_PER_DAY, 1)


def sit_out(plan: SuppliedPlan, *, help_days: float | None = None) -> SitOut:
    """Return how many days the party can wait at each km, and where that is least.

    The litres on board go down along a stretch. The value of a km is that of what is on board
    there at the hottest of the days since the km before: none in between has less.

    Parameters
    ----------
    help_days
        Days until help can be there; None where not known.
    """
    rates_l = _rates_by_day(plan)
    points = _points(plan, rates_l)
    least = min(points, key=lambda point: point[1])
    return SitOut(
        km=frozen_floats([point[0] for point in points]),
        days=frozen_floats([point[1] for point in points]),
        least_days=least[1],
        at_km=least[0],
        rest_l_per_day=least[3],
        on_board_l=least[2],
        help_days=help_days,
    )


_Point = tuple[float, float, float, float]
"""Km, days, litres on board, litres a day of waiting."""


def _points(plan: SuppliedPlan, rates_l: tuple[float, ...]) -> list[_Point]:
    """Return the points of all stretches, by km."""
    going, stretches = plan.going, plan.stretches()
    looks = [_looks(stretch) for stretch in stretches]
    of = np.repeat(np.arange(len(stretches)), [len(some) for some in looks])
    km = np.concatenate(looks)
    begin_km = np.array([stretch.begin.km for stretch in stretches])[of]
    way_km = np.array([stretch.begin.way_km for stretch in stretches])[of]
    begun, reached = begun_and_reached(begin_km, way_km, km, going)
    spans = between(begun, reached, going)
    rations = [planned_ration(stretches[index]) for index in of.tolist()]
    used_l = litres_on_rations(rations, spans, way_km + km - begin_km, going)
    along = iter(zip(km.tolist(), spans.end_h.tolist(), used_l.tolist(), strict=True))
    return [
        point
        for stretch, some in zip(stretches, looks, strict=True)
        for point in _points_of(plan, stretch, list(itertools.islice(along, len(some))), rates_l)
    ]


def _points_of(
    plan: SuppliedPlan,
    stretch: DryStretch,
    along: list[tuple[float, float, float]],
    rates_l: tuple[float, ...],
) -> list[_Point]:
    """Return the points of a stretch from the km, hours and litres used along it, and its end."""
    used_l = need_on(stretch.needs, planned_ration(stretch))
    passed = [*along, (stretch.end.km, stretch.span.end_h, used_l)]
    since_h = [stretch.span.start_h, *(now_h for _, now_h, _ in along)]
    return [
        _point(km, stretch.available_l - litres, _hottest(plan, before_h, now_h, rates_l))
        for before_h, (km, now_h, litres) in zip(since_h, passed, strict=True)
    ]


def _looks(stretch: DryStretch) -> FloatArray:
    """Return the km at which to look, the end left out: its own point has the way out in it."""
    along_km = stretch.end.km - stretch.begin.km
    looks = min(max(math.ceil(along_km / LOOK_EVERY_KM), _LEAST_LOOKS), MOST_LOOKS)
    return np.linspace(stretch.begin.km, stretch.end.km, looks + 1)[:-1]


def _point(km: float, on_board_l: float, rate_l: float) -> _Point:
    litres = max(0.0, on_board_l)
    return (km, litres / rate_l if rate_l > 0.0 else math.inf, litres, rate_l)


def _hottest(plan: SuppliedPlan, since_h: float, now_h: float, rates_l: tuple[float, ...]) -> float:
    """Return the largest rate of the days between two times."""
    midnight_h = plan.going.heat.midnight_h
    first = int((since_h - midnight_h) // HOURS_PER_DAY)
    last = int((now_h - midnight_h) // HOURS_PER_DAY)
    if last >= len(rates_l):
        return max(rates_l)
    return max(rates_l[first : last + 1])


def _rates_by_day(plan: SuppliedPlan) -> tuple[float, ...]:
    heat = plan.going.heat
    by_litres = {litres: rest_l_per_day(plan, litres) for litres in set(heat.resting_l.tolist())}
    return tuple(by_litres[litres] for litres in heat.resting_l.tolist())


def rest_l_per_day(plan: SuppliedPlan, asked_l: float) -> float:
    """Return what a day and a night of waiting take on the bare ration.

    Parameters
    ----------
    asked_l
        What the heat asks of the whole party on that day, resting in shade.
    """
    one_day = frozen_floats([asked_l])
    heat = HeatDemand(midnight_h=0.0, moving_l=one_day, resting_l=one_day)
    return WaterDemand(plan.going.trip, heat).need_l(Ration.BARE, _ONE_DAY, 0.0)


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
    caution = f"{CAUTION} {FROM_MEMORY}" if recalled else CAUTION
    return SurvivalFigure(float(rows @ np.array(DAYS) @ columns), recalled, caution, SOURCE)


def _weights(value: float, marks: tuple[float, ...]) -> FloatArray | None:
    """Return what each mark weighs in a linear interpolation; None outside the marks."""
    hair = 1e-9 * marks[-1]
    if not marks[0] - hair <= value <= marks[-1] + hair:
        return None
    nearest = min(marks, key=lambda mark: abs(mark - value))
    exact = nearest if abs(nearest - value) <= hair else value
    return frozen_floats([float(np.interp(exact, marks, unit)) for unit in np.eye(len(marks))])
