"""Which passes the plan drinks from, and why not the others.

Where the route comes by no source at all, the latitudes and longitudes of the layer may have been
exchanged: the plan warns where that would explain it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from longdry.computing.water.certainty import judge_source
from longdry.computing.water.priors import holds_in_month
from longdry.model.arrays import BoolArray, FloatArray
from longdry.model.plan.plan import PlanWarning
from longdry.model.route import MeasuredRoute
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import Approach, Judgement, WaterPass
from longdry.model.water.source import UNACCEPTABLE_MG_PER_L, WaterLayer, WaterSource
from longdry.model.words import Certainty, CountOn, Grade, known_kind
from longdry.plain_text import one_line
from longdry.units import rounded_down


def why_not_counted(source: WaterSource, *, can_treat: bool) -> str:
    """Return the reason for which a source ends no stretch; empty where it does.

    >>> from longdry.model.water.source import WaterSource
    >>> why_not_counted(WaterSource("b", "Bore", 0.0, 0.0), can_treat=True)
    'no grade given: counted as not for drinking'
    """
    if source.retired is not None:
        return f"retired: {source.retired}" if source.retired else "retired"
    if source.grade is None:
        return "no grade given: counted as not for drinking"
    if source.grade is Grade.NOT_FOR_DRINKING:
        return "not for drinking"
    if source.grade is Grade.TREAT and not can_treat:
        return "must be treated, and the party carries no way of treating"
    if source.is_too_salty:
        return (
            f"{source.solids_mg_per_l:g} mg/L of dissolved solids: above"
            f" {UNACCEPTABLE_MG_PER_L:g} is unacceptable to drink (WHO)"
        )
    return _why_nothing_to_take(source) or _why_no_cache(source)


def _why_no_cache(source: WaterSource) -> str:
    if known_kind(source.kind or "") != "cache" or (
        source.own and source.laid_by_us and source.laid_on
    ):
        return ""
    return "a cache counts only where your own layer says laid_by_us and laid_on"


def as_left_in_caches(layer: WaterLayer) -> WaterLayer:
    """Return the water with the litres that visits took from caches since they were laid taken off.

    A cache fills itself no more: what its limit says was there on the day on which it was laid.

    Examples
    --------
    >>> as_left_in_caches(WaterLayer(())).sources
    ()
    """
    sources = tuple(map(_as_left, layer.sources))
    remarks = [
        f'"{one_line(old.name)}": its visits took {old.limit_l - new.limit_l:g} L of the'
        f" {old.limit_l:g} L that were laid there, and {new.limit_l:g} L are counted. Laid anew?"
        " Write the new day into laid_on."
        for old, new in zip(layer.sources, sources, strict=True)
        if old.limit_l is not None and new.limit_l is not None and new is not old
    ]
    return replace(layer, sources=sources, remarks=(*layer.remarks, *remarks)) if remarks else layer


def _as_left(source: WaterSource) -> WaterSource:
    if source.limit_l is None or known_kind(source.kind or "") != "cache":
        return source
    drawn_l = sum(
        visit.litres
        for visit in source.visits
        if visit.litres and (source.laid_on is None or visit.on >= source.laid_on)
    )
    left_l = rounded_down(max(source.limit_l - drawn_l, 0.0), 0.1)
    return replace(source, limit_l=left_l) if drawn_l else source


def _why_nothing_to_take(source: WaterSource) -> str:
    if source.flow_l_per_min == 0.0:
        return "the layer gives it a flow of 0 L/min"
    if source.limit_l == 0.0:
        return "the layer gives it a limit of 0 L"
    return ""


def _why_not_there_yet(source: WaterSource, on: dt.date | None) -> str:
    if source.laid_on is None or on is None or source.laid_on <= on:
        return ""
    return f"laid on {source.laid_on.isoformat()}, after the party comes by"


def why_not_certain(judgement: Judgement, count_on: CountOn) -> str:
    """Return the reason for which a source is not certain enough; empty where it is."""
    if count_on.takes(judgement.certainty):
        return ""
    return f"{judgement.certainty.value}: {judgement.why}"


LATE_DAYS = 2
"""A source is judged at the worst of the planned day and those of a delay of up to so many days."""


class Judge:
    """Judges a source once for each day, however often it is asked."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, dt.date | None], tuple[WaterSource, Judgement]] = {}
        """The source is kept with its judgement, so that its identity stays its own."""

    def worst(self, source: WaterSource, on: dt.date | None) -> Judgement:
        """Judge a source at the worst of the days on which the party may come."""
        key = (id(source), on)
        if key not in self._known:
            self._known[key] = (source, worst_judgement(source, on))
        return self._known[key][1]


def passes_of(
    approaches: Sequence[Approach],
    sources: Sequence[WaterSource],
    trip: Trip,
    count_on: CountOn,
    dates: Sequence[dt.date | None],
    judge: Judge | None = None,
) -> tuple[WaterPass, ...]:
    """Return every approach as a pass, by km, with the length of its way off the route.

    Parameters
    ----------
    count_on
        How certain sources must be.
    dates
        On which the party comes by, one for each approach; None where the trip has none.
    judge
        Who may know the sources already.
    """
    judge = judge or Judge()
    return tuple(
        _pass_of(approach, sources[approach.place], trip, count_on, on, judge)
        for approach, on in zip(approaches, dates, strict=True)
    )


def _pass_of(
    approach: Approach,
    source: WaterSource,
    trip: Trip,
    count_on: CountOn,
    on: dt.date | None,
    judge: Judge,
) -> WaterPass:
    judgement = judge.worst(source, on)
    why_not = (
        why_not_counted(source, can_treat=trip.party.can_treat)
        or _why_not_there_yet(source, on)
        or why_not_certain(judgement, count_on)
    )
    return WaterPass(
        source=source,
        km=approach.km,
        offset_km=approach.offset_km,
        way_km=approach.offset_km * trip.pace.detour_factor,
        lat_deg=approach.lat_deg,
        lon_deg=approach.lon_deg,
        counted=not why_not,
        judgement=judgement,
        why_not=why_not,
        on=on,
    )


def worst_judgement(source: WaterSource, on: dt.date | None) -> Judgement:
    """Judge a source at the worst of the days on which the party may come.

    Where only a delay makes it so bad, the words say which.
    """
    if on is None:
        return judge_source(source, None)
    days = [on + dt.timedelta(days=late) for late in range(LATE_DAYS + 1)]
    judged = [judge_source(source, day) for day in days]
    worst = min(judged, key=_by_worth)
    in_months = [holds_in_month(source, day.month) for day in days]
    worst_in_months = in_months[judged.index(worst)]
    late = next(
        late
        for late, one in enumerate(judged)
        if one.certainty is worst.certainty
        and (one.why == worst.why or in_months[late] is worst_in_months)
    )
    if not late:
        return replace(worst, why=judged[0].why)
    days_late = "a day" if late == 1 else f"{late} days"
    when = f"if the party comes {days_late} late, on {days[late].isoformat()}"
    return replace(worst, why=f"{when}: {judged[late].why}")


def _by_worth(judgement: Judgement) -> tuple[int, float]:
    return (_LEAST_CERTAIN_FIRST.index(judgement.certainty), judgement.chance)


_LEAST_CERTAIN_FIRST = (Certainty.DOUBTFUL, Certainty.LIKELY, Certainty.CERTAIN)


_MARGIN_DEG = 0.5


def warnings_of_swapped(
    measured: MeasuredRoute, sources: Sequence[WaterSource], passes: Sequence[WaterPass]
) -> tuple[PlanWarning, ...]:
    """Warn where the route comes by no source, and would if lat and lon were exchanged.

    A route without sources has none that could be swapped.
    """
    if passes or not sources:
        return ()
    lat = np.array([source.lat_deg for source in sources])
    lon = np.array([source.lon_deg for source in sources])
    route = measured.route
    here = _within_extent(lat, route.lat_deg) & _within_extent(lon, route.lon_deg)
    swapped = _within_extent(lon, route.lat_deg) & _within_extent(lat, route.lon_deg)
    if here.any() or not swapped.any():
        return ()
    count = int(swapped.sum())
    notes = "One source" if count == 1 else f"{count:,} sources"
    text = (
        f"{notes} would lie beside the route if lat and lon were exchanged; as they stand, the "
        "route comes by none: check the order of the coordinates in the layer."
    )
    return (PlanWarning(text, grave=True),)


def _within_extent(degrees: FloatArray, of_route: FloatArray) -> BoolArray:
    low, high = of_route.min() - _MARGIN_DEG, of_route.max() + _MARGIN_DEG
    return np.asarray((degrees >= low) & (degrees <= high))
