"""Litres that a stretch asks for: of each use, on each ration, and in reserve."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

from longdry.computing.needs.drinking import DrinkingHours
from longdry.computing.needs.rates import (
    Amounts,
    RationRates,
    is_drinking,
    own_drinking_l_per_day,
    rate_of,
    rates_of,
)
from longdry.model.arrays import FloatArray, frozen_floats
from longdry.model.plan.stretch import Need, RationNeed
from longdry.model.plan.travel import TravelTime
from longdry.model.trip.trip import Trip
from longdry.model.words import Ration, Travel
from longdry.units import HOURS_PER_DAY


@dataclass(frozen=True, slots=True, eq=False)
class HeatDemand:
    """Litres of drinking water that the heat asks of the party, day by day of the trip.

    Drinking is never taken lower. Days beyond the last take the largest value. Days are calendar
    days, 0 the day of departure.
    """

    moving_l: FloatArray
    """Shape (days,), litres a day for the whole party on a day that goes as planned."""
    resting_l: FloatArray
    """Shape (days,), litres a day for the whole party when it rests in shade."""
    moving_h: float = 0.0
    """Moving hours that ``moving_l`` is for; 0: the litres go evenly over the day."""
    moving_share: FloatArray | None = None
    """Shape (days,), share of ``moving_l`` that falls in the moving hours; None: by time."""
    is_asking: bool = field(init=False, repr=False)
    """Whether the heat asks for anything on any day."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "is_asking", bool(self.moving_l.any()))

    def within(self, travel: TravelTime, own_l_per_day: float) -> float:
        """Litres of a stretch, whatever the ration; on each day the larger counts.

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
        moved_h: dict[int, float] = defaultdict(float)
        for day, begin_h, end_h in travel.moving_by_day(0.0):
            moved_h[day] += end_h - begin_h
        first = math.floor(travel.begin_h / HOURS_PER_DAY)
        last = math.ceil(travel.end_h / HOURS_PER_DAY)
        return sum(
            self._litres_of_day(day, _hours_in(travel, day), moved_h[day], own_l_per_day)
            for day in range(first, last)
        )

    def most_l(self, own_l_per_day: float) -> float:
        """Litres of the day that asks for most."""
        return max(float(self.moving_l.max()), own_l_per_day)

    def largest_of(self, travel: TravelTime) -> float:
        """Litres of the day in a stretch that asks for most."""
        return self._largest(self.moving_l, travel)

    def resting_in(self, travel: TravelTime) -> float:
        """Litres of the day in a stretch that asks for most of a party that rests in shade."""
        return self._largest(self.resting_l, travel)

    def _largest(self, by_day: FloatArray, travel: TravelTime) -> float:
        first = int(travel.begin_h / HOURS_PER_DAY)
        last = math.ceil(travel.end_h / HOURS_PER_DAY)
        inside: list[float] = by_day[first : max(last, first + 1)].tolist()
        return max(inside or by_day.tolist())

    def _litres_of_day(self, day: int, hours: float, moved_h: float, own_l_per_day: float) -> float:
        litres, share = self._of_day(day)
        asked_l = litres * self._part(share, hours, moved_h)
        return max(asked_l, own_l_per_day * hours / HOURS_PER_DAY)

    def _of_day(self, day: int) -> tuple[float, float | None]:
        """Return litres and moving share of a day; beyond the last those of the worst."""
        index = max(day, 0) if day < self.moving_l.size else int(self.moving_l.argmax())
        if self.moving_share is None:
            return self.moving_l.item(index), None
        return self.moving_l.item(index), self.moving_share.item(index)

    def _part(self, moving_share: float | None, hours: float, moved_h: float) -> float:
        """Return the share of a day's litres that falls into some of its hours."""
        evenly = hours / HOURS_PER_DAY
        if moving_share is None or self.moving_h <= 0.0:
            return evenly
        of_day_h = max(self.moving_h, moved_h)
        others_h = HOURS_PER_DAY - of_day_h
        others = (hours - moved_h) / others_h if others_h > 0.0 else evenly
        return moving_share * moved_h / of_day_h + (1.0 - moving_share) * others


def _hours_in(travel: TravelTime, day: int) -> float:
    begin_h, end_h = day * HOURS_PER_DAY, (day + 1) * HOURS_PER_DAY
    return max(min(travel.end_h, end_h) - max(travel.begin_h, begin_h), 0.0)


def no_heat() -> HeatDemand:
    """Return what is asked for where no heat is given: nothing beyond the party's own rates."""
    nothing = frozen_floats([0.0])
    return HeatDemand(moving_l=nothing, resting_l=nothing)


@dataclass(frozen=True, slots=True, eq=False)
class WaterDemand:
    """What a trip asks for in its heat, for the many stretches that a plan asks about."""

    trip: Trip
    heat: HeatDemand
    hours: DrinkingHours
    rates: Mapping[Ration, RationRates] = field(init=False, repr=False)
    """By ration, the fullest first."""
    own_l_per_day: float = field(init=False, repr=False)
    """What the party counts on drinking, in litres a day."""
    always_l: float = field(init=False, repr=False)
    """Litres that are carried and never spent, whatever goes wrong."""
    is_reserve_stated: bool = field(init=False, repr=False)
    """Whether the trip says how many days the reserve is for."""
    _off_plan: list[WaterDemand] = field(default_factory=list, init=False, repr=False)

    def __post_init__(self) -> None:
        rates = rates_of(self.trip)
        is_stated = not self.trip.is_default("policy.reserve_days")
        object.__setattr__(self, "rates", rates)
        object.__setattr__(self, "own_l_per_day", own_drinking_l_per_day(self.trip))
        object.__setattr__(self, "always_l", sum(use.litres for use in rates[Ration.BARE].always))
        object.__setattr__(self, "is_reserve_stated", is_stated)

    @property
    def asks_by_moving_hours(self) -> bool:
        """Whether it matters in which hours the party moves, and not only how far and how long."""
        return self.hours.l_per_moving_h > 0.0 or self.heat.is_asking

    def off_plan(self) -> WaterDemand:
        """Return what is asked for on ways that the plan does not go, each by its own hours.

        On, back, or to other water: the party does not move the hours that the plan has for a day.
        """
        if not self._off_plan:
            hours = replace(self.hours, moving_h=None)
            self._off_plan.append(replace(self, hours=hours))
        return self._off_plan[0]

    def needs(self, travel: TravelTime, *, extra_days: float = 0.0) -> tuple[RationNeed, ...]:
        """Return what a stretch needs on the full, the lean and the bare ration.

        Parameters
        ----------
        extra_days
            Days beyond the stretch that the water must still last, each with a night.
        """
        amounts = self._amounts(travel, extra_days)
        least_l = self._least_l(travel, extra_days)
        return tuple(
            RationNeed(ration, rates.need(amounts, least_l)) for ration, rates in self.rates.items()
        )

    def litres(self, travel: TravelTime, *, extra_days: float = 0.0) -> dict[Ration, float]:
        """Return the totals of `needs` by ration, the fullest first, and nothing else of them."""
        amounts = self._amounts(travel, extra_days)
        least_l = self._least_l(travel, extra_days)
        return {ration: rates.total_l(amounts, least_l) for ration, rates in self.rates.items()}

    def need_on(self, ration: Ration, travel: TravelTime, *, extra_days: float = 0.0) -> Need:
        """Return what a stretch needs on one ration."""
        least_l = self._least_l(travel, extra_days)
        return self.rates[ration].need(self._amounts(travel, extra_days), least_l)

    def need_l(self, ration: Ration, travel: TravelTime, *, extra_days: float = 0.0) -> float:
        """Return the total litres that a stretch needs on one ration."""
        least_l = self._least_l(travel, extra_days)
        return self.rates[ration].total_l(self._amounts(travel, extra_days), least_l)

    def reserve(self, travel: TravelTime) -> Need:
        """Return what must still be there at the end of a stretch, not planned to be spent.

        Whole days and nights at a standstill on the reserve ration. Where the trip states no
        reserve, by vehicle not less than the litres of waiting for help. What is always carried
        comes on top.
        """
        return _reserve(self, self.heat.largest_of(travel), self.heat.resting_in(travel))

    def at_standstill(self, ration: Ration, days: float, asked_l_per_day: float) -> Need:
        """Return what some days and nights take on which nobody moves.

        Parameters
        ----------
        asked_l_per_day
            What the heat asks of the whole party.
        """
        amounts = Amounts(days, days, 0.0, days)
        return self.rates[ration].need(amounts, days * asked_l_per_day)

    def reserve_l(self, travel: TravelTime) -> float:
        """Return the total litres of `reserve`, and nothing else of it."""
        return self.reserve(travel).total_l

    def waiting_l_per_day(self, asked_l: float) -> float:
        """Return what a day and a night of waiting in shade take on the bare ration.

        Parameters
        ----------
        asked_l
            What the heat asks of the whole party on that day, resting in shade.
        """
        one = Amounts(1.0, 1.0, 0.0, 1.0)
        return self.rates[Ration.BARE].total_l(one, asked_l)

    def _amounts(self, travel: TravelTime, extra_days: float) -> Amounts:
        drinking_days = self.hours.days_of(travel, self.own_l_per_day) + extra_days
        return Amounts(
            travel.days + extra_days,
            travel.nights + extra_days,
            travel.length_km,
            drinking_days,
        )

    def _least_l(self, travel: TravelTime, extra_days: float) -> float:
        """Return the litres of drinking that the heat asks for at least."""
        if not self.heat.is_asking:
            return 0.0
        own_l = self.own_l_per_day
        return self.heat.within(travel, own_l) + extra_days * self.heat.most_l(own_l)


@lru_cache(maxsize=256)
def _reserve(demand: WaterDemand, moving_l: float, resting_l: float) -> Need:
    """Return the reserve of all stretches whose hottest day asks for the same."""
    policy = demand.trip.policy
    need = demand.at_standstill(policy.reserve_ration, policy.reserve_days, moving_l)
    if not demand.is_reserve_stated:
        waiting = _waiting(demand, resting_l)
        need = max(need, waiting, key=lambda one: one.total_l) if waiting else need
    always = demand.rates[policy.reserve_ration].always
    return Need((*need.by_use, *always), need.losses_l)


def _waiting(demand: WaterDemand, resting_l: float) -> Need | None:
    trip = demand.trip
    help_days = trip.policy.help_days
    if help_days is None or trip.pace.travel is not Travel.VEHICLE:
        return None
    return demand.at_standstill(Ration.BARE, help_days + trip.contact.check_in_days, resting_l)


def own_drinking_l(trip: Trip, amounts: Amounts) -> float:
    """Return what the people count on drinking, by the day, the night or the way."""
    uses = (use for use in trip.uses if is_drinking(use.name))
    return sum(rate_of(use, trip.party.people).litres_over(amounts) for use in uses)


def day_l(demand: WaterDemand) -> float:
    """Return the litres of a whole day of the party on the full ration, on the hottest day."""
    one = Amounts(1.0, 1.0, 0.0, 1.0)
    least_l = demand.heat.most_l(demand.own_l_per_day) if demand.heat.is_asking else 0.0
    return demand.rates[Ration.FULL].total_l(one, least_l)
