"""What a party uses by the day, the night and the way: worked out once, then multiplied.

A plan asks for litres of tens of thousands of spans; which uses a ration keeps, and how many
drink, is the same for all of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from longdry.model.plan.stretch import Need, UseNeed
from longdry.model.trip.party import DRINKING, Use
from longdry.model.trip.trip import Trip
from longdry.model.words import Accrual, Grade, Ration

RATIONS = (Ration.FULL, Ration.LEAN, Ration.BARE)


class Amounts(NamedTuple):
    """How much of each thing that uses go on with."""

    days: float
    """Elapsed, in units of 24 h."""
    nights: float
    length_km: float
    drinking_days: float
    """Days' worth of drinking: see `drinking_days`."""


_DAYS, _NIGHTS, _KM, _DRINKING = range(4)
_GOES_ON_WITH = {
    Accrual.PERSON_DAY: (_DAYS, 1.0),
    Accrual.PARTY_DAY: (_DAYS, 1.0),
    Accrual.PERSON_NIGHT: (_NIGHTS, 1.0),
    Accrual.PARTY_NIGHT: (_NIGHTS, 1.0),
    Accrual.PARTY_100KM: (_KM, 100.0),
}
"""Which of the amounts, and how much of it is one unit."""
_BY_PERSON = frozenset({Accrual.PERSON_DAY, Accrual.PERSON_NIGHT})


class UseRate(NamedTuple):
    """One use of the whole party, or animals of one sort."""

    use: str
    grade: Grade
    litres: float
    """By unit of what it goes on with."""
    goes_on_with: int
    """Index in `Amounts`."""
    unit: float

    def litres_over(self, amounts: Amounts) -> float:
        """Return the litres that some days, nights and km ask for."""
        return self.litres * amounts[self.goes_on_with] / self.unit

    def of_litres(self, litres: float) -> UseNeed:
        """Return so many litres of this use."""
        return UseNeed(self.use, litres, self.grade)


_ADDED_DRINKING = UseRate(DRINKING, Grade.POTABLE, 0.0, _DRINKING, 1.0)
"""For a party that named none."""


@dataclass(frozen=True, slots=True)
class RationRates:
    """What the party uses on one ration."""

    rates: tuple[UseRate, ...]
    drinking: tuple[int, ...]
    """Indices of the rates that are drinking, which no ration gives up."""
    own_drinking_l_per_day: float
    """What the people count on drinking in a day, where they count by the day."""
    loss_percent: float
    always: tuple[UseNeed, ...] = ()
    """What is carried and never planned to be spent."""

    def need(self, amounts: Amounts, least_drinking_l: float = 0.0) -> Need:
        """Return the litres of each use, drinking raised to what the heat asks for at least.

        Where the party named no drinking, it is added.
        """
        litres = self._litres(amounts, least_drinking_l)
        rates = self.rates if len(litres) == len(self.rates) else (_ADDED_DRINKING, *self.rates)
        by_use = tuple(map(UseRate.of_litres, rates, litres))
        return Need(by_use, losses_l=sum(litres) * self.loss_percent / 100.0)

    def total_l(self, amounts: Amounts, least_drinking_l: float = 0.0) -> float:
        """Return the total of `need`, and nothing else of it."""
        uses_l = sum(self._litres(amounts, least_drinking_l))
        return uses_l + uses_l * self.loss_percent / 100.0

    def _litres(self, amounts: Amounts, least_drinking_l: float) -> list[float]:
        """Return the litres of each rate; drinking that is none of them stands before them."""
        litres = [rate.litres_over(amounts) for rate in self.rates]
        if least_drinking_l <= 0.0:
            return litres
        lacking_l = least_drinking_l - sum(litres[index] for index in self.drinking)
        if lacking_l <= 0.0:
            return litres
        if not self.drinking:
            return [lacking_l, *litres]
        litres[self.drinking[0]] += lacking_l
        return litres


def rates_of(trip: Trip) -> Mapping[Ration, RationRates]:
    """Return the rates of a trip's people and animals on each ration, the fullest first."""
    return {ration: _rates_on(trip, ration) for ration in RATIONS}


def _rates_on(trip: Trip, ration: Ration) -> RationRates:
    people = trip.party.people
    kept = [use for use in trip.uses if use.kept_on(ration) or is_drinking(use.name)]
    rates = [rate_of(use, people) for use in kept if use.per is not Accrual.ALWAYS]
    rates += [
        UseRate(animal.name, animal.grade, animal.count * animal.litres_per_day, _DAYS, 1.0)
        for animal in trip.animals
    ]
    return RationRates(
        tuple(rates),
        tuple(index for index, rate in enumerate(rates) if is_drinking(rate.use)),
        own_drinking_l_per_day(trip),
        trip.policy.loss_percent,
        tuple(
            UseNeed(use.name, use.litres, use.grade)
            for use in trip.uses
            if use.per is Accrual.ALWAYS
        ),
    )


def rate_of(use: Use, people: int) -> UseRate:
    """Return the rate of one use of so many people."""
    litres = use.litres * people if use.per in _BY_PERSON else use.litres
    goes_on_with, unit = _GOES_ON_WITH[use.per]
    if is_drinking(use.name) and goes_on_with == _DAYS:
        goes_on_with = _DRINKING
    return UseRate(use.name, use.grade, litres, goes_on_with, unit)


def own_drinking_l_per_day(trip: Trip) -> float:
    """Return what the people count on drinking in a day, where they count by the day."""
    drinking = (use for use in trip.uses if is_drinking(use.name))
    rates = (rate_of(use, trip.party.people) for use in drinking if use.per is not Accrual.ALWAYS)
    return sum(rate.litres for rate in rates if rate.goes_on_with == _DRINKING)


def is_drinking(name: str) -> bool:
    """Whether a use of this name is what people drink."""
    return name.strip().casefold() == DRINKING
