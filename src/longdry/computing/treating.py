"""What treating the water of a fill plan takes: minutes, fuel, tablets, by stop and in all."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from longdry.computing.boiling import LONG_BOIL_FROM_M
from longdry.computing.treatment import effort_of, limits_of
from longdry.model.arrays import value_at
from longdry.model.dry_stretch import DryStretch
from longdry.model.fill import FillPlan
from longdry.model.route import MeasuredRoute
from longdry.model.treating import Treating, TreatingInAll
from longdry.model.treatment import TreatEffort, Treatment
from longdry.model.trip import Trip

_LOWEST_M, _HIGHEST_M = -500.0, 11_000.0


def treating_of(
    plan: FillPlan, stretches: Sequence[DryStretch], trip: Trip, measured: MeasuredRoute
) -> TreatingInAll | None:
    """Work out what treating takes; None for a party that does not treat.

    On the way water is treated in daily lots; for fuel at the lowest height of the leg, and with
    the long boil wherever one of its heights asks for it or none is known.
    """
    if not trip.party.can_treat:
        return None
    treatment = trip.treatment or Treatment()
    by_stop = tuple(
        Treating(
            here=effort_of(treatment, fill.treated_l, height_m=_height_at(measured, fill.km)),
            on_way=_in_daily_lots(
                treatment,
                outcome.treated_l,
                stretch.days,
                _least_height(measured, stretch.begin.km, stretch.end.km),
            ),
        )
        for fill, outcome, stretch in zip(plan.fills, plan.outcomes, stretches, strict=True)
    )
    return TreatingInAll(
        method=treatment.method,
        litres_per_day=treatment.litres_per_day,
        by_stop=by_stop,
        in_all=in_all([effort for one in by_stop for effort in (one.here, one.on_way)]),
        limits=limits_of(treatment.method),
    )


def in_all(efforts: Iterable[TreatEffort]) -> TreatEffort:
    """Add efforts up; what one of them does not know the sum does not know.

    >>> in_all([]).litres
    0.0
    """
    treated = [effort for effort in efforts if effort.litres > 0.0]
    boils = [e.boil_minutes for e in treated if e.boil_minutes is not None]
    tablets, drops = ([getattr(e, name) for e in treated] for name in ("tablets", "drops"))
    return TreatEffort(
        litres=sum((e.litres for e in treated), 0.0),
        minutes=_sum([e.minutes for e in treated]) if treated else 0.0,
        fuel_g=_sum([e.fuel_g for e in treated]),
        tablets=None if None in tablets or not tablets else sum(tablets),
        drops=None if None in drops or not drops else sum(drops),
        boil_minutes=max(boils, default=None),
    )


def _sum(parts: Sequence[float | None]) -> float | None:
    known = [part for part in parts if part is not None]
    return sum(known) if known and len(known) == len(parts) else None


def _in_daily_lots(
    treatment: Treatment, litres: float, days: float, height_m: float | None
) -> TreatEffort:
    lots = max(1, math.ceil(days))
    one = effort_of(treatment, litres / lots, height_m=height_m)
    return TreatEffort(
        litres=litres,
        minutes=None if one.minutes is None else one.minutes * lots,
        fuel_g=None if one.fuel_g is None else one.fuel_g * lots,
        tablets=None if one.tablets is None else one.tablets * lots,
        drops=None if one.drops is None else one.drops * lots,
        boil_minutes=one.boil_minutes,
    )


def _height_at(measured: MeasuredRoute, km: float) -> float | None:
    height_m = value_at(km, measured.chainage_km, measured.route.height_m)
    return height_m if _LOWEST_M <= height_m <= _HIGHEST_M else None


def _least_height(measured: MeasuredRoute, from_km: float, to_km: float) -> float | None:
    """Give the lowest height of a leg; None where one is not known or only some ask for long."""
    km = measured.chainage_km
    first, end = km.searchsorted(from_km, side="right"), km.searchsorted(to_km, side="left")
    inside = measured.route.height_m[first:end]
    ends = [_height_at(measured, from_km), _height_at(measured, to_km)]
    heights = [*inside.tolist(), *(math.nan if end is None else end for end in ends)]
    low, high = min(heights), max(heights)
    if any(math.isnan(height) for height in heights) or not _LOWEST_M <= low <= high <= _HIGHEST_M:
        return None
    return None if low < LONG_BOIL_FROM_M <= high else low
