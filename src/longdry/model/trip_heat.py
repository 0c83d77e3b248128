"""What a trip file says of the heat, of the people in it and of their hours, defaults filled in."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.heat import DayHours, Effort, HeatOutlook
from longdry.model.usual_heat import USUAL_BODY_MASS_KG


@dataclass(frozen=True, slots=True)
class PersonInHeat:
    """People of one sort."""

    effort: Effort
    body_mass_kg: float = USUAL_BODY_MASS_KG
    count: int = 1
    name: str = ""
    litres_per_day: float | None = None
    """A rate of their own, for children: it is believed, nothing is computed for them."""
    acclimatised: bool | None = None
    """None: as the heat expects of everybody."""


@dataclass(frozen=True, slots=True)
class TripHeat:
    """All that the drinking of each day follows from, but for the hours of moving."""

    outlook: HeatOutlook
    usual: PersonInHeat
    """Everybody who is not listed."""
    persons: tuple[PersonInHeat, ...] = ()
    """Those who are listed."""
    working_h: float = 0.0
    resting_in_sun_h: float = 0.0
    moving_in_sun: bool = True
    working_in_sun: bool = True
    moving_by_night: bool = False

    def hours(self, moving_h: float) -> DayHours:
        """Return a day with so many hours of moving."""
        return DayHours(
            moving_h=moving_h,
            working_h=self.working_h,
            resting_in_sun_h=self.resting_in_sun_h,
            moving_in_sun=self.moving_in_sun,
            working_in_sun=self.working_in_sun,
            moving_by_night=self.moving_by_night,
        )

    def people(self, count: int) -> tuple[PersonInHeat, ...]:
        """Return who goes: those listed, and as many usual ones as make up ``count`` people."""
        listed = sum(person.count for person in self.persons)
        if count <= listed:
            return self.persons
        others = PersonInHeat(self.usual.effort, self.usual.body_mass_kg, count - listed)
        return (*self.persons, others)
