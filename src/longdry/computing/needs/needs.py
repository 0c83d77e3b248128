"""Litres that a span of time and a length of way ask for.

Also here:

- how much of a stretch's water is used when it is left off in the middle.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

import numpy as np

from longdry.computing.clock.moving_hours import MovingHours
from longdry.computing.needs.rates import Amounts, RationRates, is_drinking, rate_of, rates_of
from longdry.model.arrays import FloatArray, frozen_floats
from longdry.model.plan.stretch import DryStretch, Need, RationNeed, Span
from longdry.model.trip.trip import Trip
from longdry.model.words import Ration
from longdry.units import HOURS_PER_DAY


@dataclass(frozen=True, slots=True, eq=False)
class HeatDemand:
    """Litres of drinking water that the heat asks of the party, day by day of the trip.

    A use called 'drinking' is never taken lower. Days beyond the last take the largest value.
    """

    midnight_h: float
    """Hours after departure of the midnight before departure: zero or negative."""
    moving_l: FloatArray
    """Shape (days,), litres a day for the whole party on a day that goes as planned."""
    resting_l: FloatArray
    """Shape (days,), litres a day for the whole party when it rests in shade."""
    moving: MovingHours | None = None
    """The hours in which the party moves; None: the litres go evenly over the day."""
    moving_share: FloatArray | None = None
    """Shape (days,), share of ``moving_l`` that falls in the moving hours; None: by time."""
    is_asking: bool = field(init=False, repr=False)
    """Whether the heat asks for anything on any day."""
    _days: tuple[tuple[float, float | None], ...] = field(init=False, repr=False)
    """Litres and moving share of each day; the last entry is for all days beyond."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "is_asking", bool(self.moving_l.any()))
        object.__setattr__(self, "_days", self._each_day() if self.is_asking else ())

    def _each_day(self) -> tuple[tuple[float, float | None], ...]:
        litres = [*self.moving_l.tolist(), float(self.moving_l.max())]
        if self.moving_share is None:
            return tuple((of_day, None) for of_day in litres)
        known = min(self.moving_share.size, self.moving_l.size)
        worst = self.moving_share.item(self.moving_l[:known].argmax())
        shares = self.moving_share[:known].tolist()
        return tuple(itertools.zip_longest(litres, shares, fillvalue=worst))

    def over(self, span: Span, extra_days: float = 0.0, own_l_per_day: float = 0.0) -> float:
        """Litres over a span of time, whatever the ration; on each day the larger counts.

        A party on the bare ration gives up uses, not its sweat: while it moves, it needs what
        moving asks for. Only waiting needs less. A part of a day takes the litres of its moving
        hours and of its other hours, each at their own rate.

        Parameters
        ----------
        own_l_per_day
            What the party itself counts on, in litres a day; it is the need where no heat asks.
        """
        if not self.is_asking:
            return 0.0
        own_l = own_l_per_day
        return self.within(span.start_h, span.end_h, own_l) + extra_days * self.most_l(own_l)

    def within(self, start_h: float, end_h: float, own_l_per_day: float) -> float:
        """Litres between two hours after departure: see `over`."""
        begin_h, end_h = start_h - self.midnight_h, end_h - self.midnight_h
        litres = [
            self._litres_of_day(
                day,
                max(day * HOURS_PER_DAY, begin_h),
                min((day + 1) * HOURS_PER_DAY, end_h),
                own_l_per_day,
            )
            for day in range(math.floor(begin_h / HOURS_PER_DAY), math.ceil(end_h / HOURS_PER_DAY))
        ]
        return float(np.add.reduce(litres))

    def most_l(self, own_l_per_day: float) -> float:
        """Litres of the day that asks for most."""
        return max(float(self.moving_l.max()), own_l_per_day)

    def _litres_of_day(self, day: int, from_h: float, to_h: float, own_l_per_day: float) -> float:
        """Litres between two hours of a day, counted from the midnight before departure."""
        litres, share = self._days[min(max(day, 0), len(self._days) - 1)]
        asked_l = litres * self._part(share, from_h, to_h)
        return max(asked_l, own_l_per_day * (to_h - from_h) / HOURS_PER_DAY)

    def _part(self, moving_share: float | None, from_h: float, to_h: float) -> float:
        """Share of a day's litres that falls between two hours of it."""
        hours = to_h - from_h
        evenly = hours / HOURS_PER_DAY
        if self.moving is None or moving_share is None:
            return evenly
        per_day_h = self.moving.per_day_h
        moved_h = self.moving.moved_by(to_h) - self.moving.moved_by(from_h)
        other_h = HOURS_PER_DAY - per_day_h
        others = (hours - moved_h) / other_h if other_h > 0.0 else evenly
        return moving_share * moved_h / per_day_h + (1.0 - moving_share) * others

    def largest_of(self, span: Span) -> float:
        """Litres of the day in the span that asks for most."""
        first = int((span.start_h - self.midnight_h) / HOURS_PER_DAY)
        last = int(np.ceil((span.end_h - self.midnight_h) / HOURS_PER_DAY))
        inside = self.moving_l[first : max(last, first + 1)]
        return float(inside.max()) if inside.size else float(self.moving_l.max())


def no_heat() -> HeatDemand:
    """Return what is asked for where no heat is given: nothing beyond the party's own rates."""
    nothing = frozen_floats([0.0])
    return HeatDemand(midnight_h=0.0, moving_l=nothing, resting_l=nothing)


@dataclass(frozen=True, slots=True, eq=False)
class WaterDemand:
    """What a trip asks for in its heat, for the many spans that a plan asks about."""

    trip: Trip
    heat: HeatDemand
    rates: Mapping[Ration, RationRates] = field(init=False, repr=False)
    """By ration, the fullest first."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "rates", rates_of(self.trip))

    def needs(
        self, span: Span, length_km: float, *, extra_days: float = 0.0
    ) -> tuple[RationNeed, ...]:
        """Return what a stretch needs on the full, the lean and the bare ration.

        Parameters
        ----------
        extra_days
            Days beyond the span that the water must still last, each with a night.
        """
        amounts = Amounts(span.days + extra_days, span.nights + extra_days, length_km)
        least_l = self._least_l(self.rates.values(), span, extra_days)
        return tuple(
            RationNeed(ration, rates.need(amounts, least))
            for (ration, rates), least in zip(self.rates.items(), least_l, strict=True)
        )

    def litres(
        self, span: Span, length_km: float, *, extra_days: float = 0.0
    ) -> dict[Ration, float]:
        """Return the totals of `needs` by ration, the fullest first, and nothing else of them."""
        amounts = Amounts(span.days + extra_days, span.nights + extra_days, length_km)
        least_l = self._least_l(self.rates.values(), span, extra_days)
        return {
            ration: rates.total_l(amounts, least)
            for (ration, rates), least in zip(self.rates.items(), least_l, strict=True)
        }

    def need_l(
        self, ration: Ration, span: Span, length_km: float, *, extra_days: float = 0.0
    ) -> float:
        """Return the total litres of `needs` on one ration, and nothing else of them."""
        amounts = Amounts(span.days + extra_days, span.nights + extra_days, length_km)
        rates = self.rates[ration]
        (least_l,) = self._least_l([rates], span, extra_days)
        return rates.total_l(amounts, least_l)

    def reserve(self, span: Span) -> Need:
        """Return the reserve: whole days and nights on the reserve ration, at a standstill."""
        return self.rates[self.trip.policy.reserve_ration].need(*self._standstill(span))

    def reserve_l(self, span: Span) -> float:
        """Return the total litres of `reserve`, and nothing else of it."""
        return self.rates[self.trip.policy.reserve_ration].total_l(*self._standstill(span))

    def _standstill(self, span: Span) -> tuple[Amounts, float]:
        days = self.trip.policy.reserve_days
        least_l = days * self.heat.largest_of(span) if self.heat.is_asking else 0.0
        return Amounts(days, days, 0.0), least_l

    def _least_l(
        self, several: Collection[RationRates], span: Span, extra_days: float
    ) -> list[float]:
        """Return the litres of drinking that the heat asks for at least on some rations."""
        if not self.heat.is_asking:
            return [0.0] * len(several)
        own_l = [rates.own_drinking_l_per_day for rates in several]
        asked_l = {own: self.heat.over(span, extra_days, own) for own in set(own_l)}
        return [asked_l[own] for own in own_l]


def own_drinking_l(trip: Trip, amounts: Amounts) -> float:
    """Return what the people count on drinking, by the day, the night or the way."""
    uses = (use for use in trip.uses if is_drinking(use.name))
    return sum(rate_of(use, trip.party.people).litres_over(amounts) for use in uses)


def share_used(
    stretch: DryStretch,
    asking: WaterDemand,
    ration: Ration,
    *,
    by_h: float,
    share_of_way: float,
    midnight_h: float,
) -> float:
    """Return which share of the need of a stretch falls into its time up to an hour.

    Hot days and hours of moving take more than their share of the time, uses of the night
    count when its day is over, uses by the way with the way.

    Parameters
    ----------
    by_h
        Hours after departure.
    share_of_way
        Share of the length that is done by then, 0 to 1.
    midnight_h
        Hours after departure of the midnight before it: zero or negative.

    Returns
    -------
    float
        0 to 1; below 1 at the end where the water must last for days beyond the route.
    """
    span = stretch.span
    after_end = asking.trip.policy.days_after_end if stretch.end.water is None else 0.0
    whole_l = asking.need_l(ration, span, stretch.length_km, extra_days=after_end)
    until_h = min(max(by_h, span.start_h), span.end_h)
    begun = Span(span.start_h, until_h, _nights_by(span, midnight_h, by_h))
    part_l = asking.need_l(ration, begun, stretch.length_km * share_of_way)
    if whole_l <= 0.0:
        return 1.0 if by_h >= span.start_h else 0.0
    return min(part_l / whole_l, 1.0)


def _nights_by(span: Span, midnight_h: float, by_h: float) -> int:
    """Return the nights whose day is over, all of them at the end of the stretch."""
    if by_h >= span.end_h:
        return span.nights
    first_day = math.floor((span.start_h - midnight_h) / HOURS_PER_DAY + 1e-9)
    over = math.floor((by_h - midnight_h) / HOURS_PER_DAY + 1e-9)
    return min(max(over - first_day, 0), span.nights)
