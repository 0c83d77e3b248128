"""The heat that a trip expects, and what the people do in it.

An expectation is one hot day; an outlook says which one holds on which day and km. Usual figures
of heat and effort stand here too, with the limits within which they are believed.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from longdry.model.words import Travel

HOURS = 24.0
NIGHT_H = 12.0
"""The cooler half of the day."""
USUAL_HUMIDITY_PERCENT = 20.0
"""At the hottest hour; on the damp side for dry country (at 40 degrees a dew point of 13), so
that more is asked for. Common practice, no source."""
USUAL_DAY_RANGE_C = 12.0
"""Shade maximum less night minimum. Dry country often has 15 K and more; a smaller range means
a warmer night, so more is asked for. Common practice, no source."""
USUAL_SUN_EXCESS_C = 25.0
"""Mean radiant temperature in the sun less air temperature. Common practice, no source; a
radiation balance for a clear noon gives about 30 K, the hours around it less."""
USUAL_SHADE_EXCESS_C = 5.0
"""The same by day in shade beside hot ground; by night none. Common practice, no source."""
USUAL_BODY_MASS_KG = 75.0
"""The person of ISO 7933's check values."""
HOTTEST_SHADE_C = 60.0
"""Above every air temperature measured on Earth (WMO archive: 56.7 degrees; from memory)."""
HIGHEST_MET = 7.5
"""ISO 7933:2004 ends at 450 W/m2, 7.7 met."""
USUAL_MOVING_MET = {
    Travel.VEHICLE: 1.5,
    Travel.FOOT: 3.4,
    Travel.BICYCLE: 5.0,
}
"""Vehicle: ASHRAE 55, driving a car. Foot: about 200 W/m2, walking at 5 km/h, or at 4 km/h with
a pack of 10 to 15 kg (ISO 8996, from memory); ASHRAE 55 has 2.6 at 4.8 km/h and 3.8 at 6.4 km/h
without a load. Bicycle: loaded, on rough ground; common practice, no source."""


def _within(name: str, value: float, lowest: float, highest: float) -> None:
    if not lowest <= value <= highest:
        raise ValueError(f"{name} is {value}, not {lowest:g} to {highest:g}")


@dataclass(frozen=True, slots=True)
class HeatExpectation:
    """The weather of a day as a traveller can know it; only the shade maximum is asked for.

    Raises
    ------
    ValueError
        Where a figure cannot be. Readers complain in the user's words before this does.
    """

    shade_max_c: float
    """Highest air temperature in the shade, -40 to 60."""
    humidity_percent: float = USUAL_HUMIDITY_PERCENT
    """Relative humidity at that hour; counted as the next 5 % up."""
    day_range_c: float = USUAL_DAY_RANGE_C
    """Shade maximum less night minimum, 0 to 40."""
    wind_m_s: float | None = None
    """None: the worse of nearly still air and 3 m/s, where ISO 7933 ends."""
    sun_excess_c: float = USUAL_SUN_EXCESS_C
    """Mean radiant temperature in the sun less air temperature, 0 to 60."""
    shade_excess_c: float = USUAL_SHADE_EXCESS_C
    """The same in shade by day, not above that in the sun."""
    acclimatised: bool | None = None
    """Whether everybody has had some ten days of work in such heat; None counts as no."""

    def __post_init__(self) -> None:
        _within("shade_max_c", self.shade_max_c, -40.0, HOTTEST_SHADE_C)
        _within("humidity_percent", self.humidity_percent, 0.0, 100.0)
        _within("day_range_c", self.day_range_c, 0.0, 40.0)
        _within("sun_excess_c", self.sun_excess_c, 0.0, 60.0)
        _within("shade_excess_c", self.shade_excess_c, 0.0, self.sun_excess_c)
        if self.wind_m_s is not None:
            _within("wind_m_s", self.wind_m_s, 0.0, 40.0)


@dataclass(frozen=True, slots=True)
class DayHours:
    """What one person does in one day of 24 hours; all that is left is rest in the shade.

    Raises
    ------
    ValueError
        Where the hours are negative or together more than 24, or those of moving by night more
        than 12.
    """

    moving_h: float = 0.0
    working_h: float = 0.0
    """Camp chores, digging out, fetching water: upright and busy, but not under way."""
    resting_in_sun_h: float = 0.0
    moving_in_sun: bool = True
    """False in a closed vehicle."""
    working_in_sun: bool = True
    moving_by_night: bool = False
    """Whether all moving is done in the cooler half of the day, without sun: 12 h at the most."""

    def __post_init__(self) -> None:
        for name in ("moving_h", "working_h", "resting_in_sun_h"):
            _within(name, getattr(self, name), 0.0, HOURS)
        _within("hours of the day", self.busy_h, 0.0, HOURS)
        if self.moving_by_night:
            _within("moving_h by night", self.moving_h, 0.0, NIGHT_H)

    @property
    def busy_h(self) -> float:
        """All hours but those of rest in the shade, capped at 24 against rounding."""
        total_h = self.moving_h + self.working_h + self.resting_in_sun_h
        return min(total_h, HOURS) if total_h <= HOURS + 1e-9 else total_h

    @property
    def night_moving_h(self) -> float:
        """Hours of moving in the cooler half of the day."""
        return self.moving_h if self.moving_by_night else 0.0

    @property
    def resting_in_shade_h(self) -> float:
        """The rest of the day, sleep included."""
        return HOURS - self.busy_h


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard moving and working are, in met (1 met = 58.15 W per square metre of skin).

    Raises
    ------
    ValueError
        Where an effort is below rest or above what ISO 7933 knows.
    """

    moving_met: float
    working_met: float = 2.0
    """ASHRAE 55, normative table of metabolic rates: walking about 1.7, light work 2.0 to 2.4."""

    def __post_init__(self) -> None:
        _within("moving_met", self.moving_met, 1.0, HIGHEST_MET)
        _within("working_met", self.working_met, 1.0, HIGHEST_MET)

    @classmethod
    def usual(cls, travel: Travel) -> Effort:
        """Return the effort to take where the trip names none.

        >>> Effort.usual(Travel.VEHICLE).moving_met
        1.5
        """
        return cls(USUAL_MOVING_MET[travel])


@dataclass(frozen=True, slots=True)
class HeatSection:
    """Heat of a part of the route."""

    from_km: float
    to_km: float
    expected: HeatExpectation


@dataclass(frozen=True, slots=True)
class HeatOutlook:
    """All that the trip says of the heat: over all of it, by month, by section.

    A section that a day touches is believed before its month, a month before the whole. Where
    several hold, or where the date is not known, all may: the one that asks for most counts.

    Raises
    ------
    ValueError
        Where nothing is said, or a month is not 1 to 12.
    """

    whole_trip: HeatExpectation | None = None
    months: tuple[tuple[int, HeatExpectation], ...] = ()
    sections: tuple[HeatSection, ...] = ()

    def __post_init__(self) -> None:
        if not self._all():
            raise ValueError("an outlook needs at least one expectation")
        for month, _ in self.months:
            _within("month", month, 1, 12)

    def on(self, month: int | None, from_km: float, to_km: float) -> HeatExpectation:
        """Return the hottest of what `all_on` returns, the dampest of equals."""
        return hottest(list(self.all_on(month, from_km, to_km)))

    def all_on(
        self, month: int | None, from_km: float, to_km: float
    ) -> tuple[HeatExpectation, ...]:
        """Return all that may hold on a day of ``month`` between two km of the route.

        A day that is only in part inside sections also keeps what its month or the whole trip
        expects in mind. A month that the table leaves out counts as the whole trip, or where
        nothing is said of that, as all that is known.
        """
        inside = [s for s in self.sections if s.from_km <= to_km and from_km <= s.to_km]
        found = [section.expected for section in inside]
        if not _covered(inside, from_km, to_km):
            found += self._by_month(month) or self._all()
        return tuple(dict.fromkeys(found))

    def tells_of(self, month: int | None, from_km: float, to_km: float) -> bool:
        """Whether something is said of a day, or of the whole trip; no date is any month."""
        if month is None or self.whole_trip is not None or self._by_month(month):
            return True
        return _covered([s for s in self.sections if s.to_km >= from_km], from_km, to_km)

    def _by_month(self, month: int | None) -> list[HeatExpectation]:
        if self.months and month is None:
            return [expected for _, expected in self.months]
        found = [expected for known, expected in self.months if known == month]
        if not found and self.whole_trip is not None:
            return [self.whole_trip]
        return found

    def _all(self) -> list[HeatExpectation]:
        whole = [self.whole_trip] if self.whole_trip is not None else []
        by_month = [expected for _, expected in self.months]
        return whole + by_month + [section.expected for section in self.sections]


_METRES_KM = 0.01
"""Routes are written with so many decimals that their end is off by metres at the most."""


def _covered(sections: list[HeatSection], from_km: float, to_km: float) -> bool:
    """Whether the sections together leave no gap between two km, but for metres at the ends."""
    ordered = sorted(sections, key=lambda section: section.from_km)
    if not ordered or ordered[0].from_km > from_km + _METRES_KM:
        return False
    reach_km = ordered[0].to_km
    for _, section in pairwise(ordered):
        if section.from_km > reach_km:
            break
        reach_km = max(reach_km, section.to_km)
    return reach_km >= to_km - _METRES_KM


def hottest(expectations: list[HeatExpectation]) -> HeatExpectation:
    """Return the one with the highest shade maximum, the dampest of equals.

    Raises
    ------
    ValueError
        Where the list is empty.
    """
    return max(expectations, key=lambda one: (one.shade_max_c, one.humidity_percent))


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
        """Return a day with so many hours of moving; where few are left, the less work and rest.

        Who moves longer than a night moves by day too: all of it counts so.
        """
        working_h = min(self.working_h, HOURS - moving_h)
        return DayHours(
            moving_h=moving_h,
            working_h=working_h,
            resting_in_sun_h=min(self.resting_in_sun_h, HOURS - moving_h - working_h),
            moving_in_sun=self.moving_in_sun,
            working_in_sun=self.working_in_sun,
            moving_by_night=self.moving_by_night and moving_h <= NIGHT_H,
        )

    def people(self, count: int) -> tuple[PersonInHeat, ...]:
        """Return who goes: those listed, and as many usual ones as make up ``count`` people."""
        listed = sum(person.count for person in self.persons)
        if count <= listed:
            return self.persons
        others = PersonInHeat(self.usual.effort, self.usual.body_mass_kg, count - listed)
        return (*self.persons, others)
