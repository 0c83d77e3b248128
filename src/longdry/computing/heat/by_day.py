"""What the heat asks of the whole party, day by day of the trip."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass

from longdry.computing.heat.drinking import HeatCase, drinking_in_heat, resting_case
from longdry.computing.needs.needs import HeatDemand, no_heat
from longdry.model.arrays import frozen_floats
from longdry.model.plan.days import TravelDay
from longdry.model.plan.heat_day import DayInHeat, HeatRemark, Phase, RemarkKind
from longdry.model.trip.heat import HOTTEST_SHADE_C, HeatExpectation, PersonInHeat, TripHeat
from longdry.model.trip.trip import Trip
from longdry.units import HOURS_PER_DAY


@dataclass(frozen=True, slots=True)
class DayOfHeat:
    """One day of the trip for the whole party."""

    expected: HeatExpectation
    """Of all that may hold, what asks for most."""
    asks_l: float
    """With the hours that the day has on the clock."""
    full_l: float
    """With all moving hours of a day wherever the party moves at all, also where it ends early:
    what needs are taken from."""
    moving_hours_l: float
    """The part of ``full_l`` that falls in the moving hours."""
    resting_l: float
    """When all rest in shade."""
    passes_daily_ceiling: bool
    """Whether anybody would have to drink more than 12 US qt (TB MED 507), by ``asks_l``."""
    passes_work_rest: bool
    """Whether anybody is to move more minutes an hour than TB MED 507's hottest row allows."""
    remarks: tuple[HeatRemark, ...]


def days_of_heat(
    trip: Trip, days: Sequence[TravelDay], *, hotter_c: float = 0.0, moves_daily: bool = False
) -> tuple[DayOfHeat, ...]:
    """Work out every day of the trip.

    Parameters
    ----------
    hotter_c
        Added to every shade maximum, up to 60 °C.
    moves_daily
        Whether the party may move on days of rest too, as one in need does.

    Returns
    -------
    tuple
        One for each day; empty where the trip gives no heat.
    """
    if trip.heat is None:
        return ()

    people = trip.heat.people(trip.party.people)
    full_h = trip.pace.hours_per_day
    may_hold = [_may_hold(trip.heat, day, hotter_c) for day in days]
    asked = [
        _Asked(
            trip.heat,
            weather,
            day.moving_h,
            max(full_h, day.moving_h) if moves_daily or not day.rest else 0.0,
        )
        for several, day in zip(may_hold, days, strict=True)
        for weather in several
    ]
    computed = [person for person in people if person.litres_per_day is None]
    answers = drinking_in_heat(
        [case for day in asked for person in computed for case in day.cases(person)]
    )
    each = len(computed) * _CASES
    summed = iter(
        _summed(day, people, answers[each * number : each * (number + 1)], full_h)
        for number, day in enumerate(asked)
    )
    return tuple(
        _told(_worst([next(summed) for _ in several]), trip.heat, day)
        for several, day in zip(may_hold, days, strict=True)
    )


_CASES = 3


@dataclass(frozen=True, slots=True)
class _Asked:
    """The hours of a day: as they are on the clock, at the most, and none."""

    heat: TripHeat
    expected: HeatExpectation
    moving_h: float
    most_h: float

    def cases(self, person: PersonInHeat) -> tuple[HeatCase, HeatCase, HeatCase]:

        return (
            self._case(person, self.moving_h),
            self._case(person, self.most_h),
            resting_case(self.expected, person.body_mass_kg),
        )

    def _case(self, person: PersonInHeat, moving_h: float) -> HeatCase:

        expected = self.expected
        if person.acclimatised is not None:
            expected = dataclasses.replace(expected, acclimatised=person.acclimatised)
        return HeatCase(expected, self.heat.hours(moving_h), person.effort, person.body_mass_kg)


def _may_hold(heat: TripHeat, day: TravelDay, hotter_c: float) -> tuple[HeatExpectation, ...]:
    month = day.date.month if day.date else None
    return tuple(
        dataclasses.replace(one, shade_max_c=min(one.shade_max_c + hotter_c, HOTTEST_SHADE_C))
        for one in heat.outlook.all_on(month, day.from_km, day.to_km)
    )


def _told(found: DayOfHeat, heat: TripHeat, day: TravelDay) -> DayOfHeat:
    """Add a remark where nothing is said of the heat on a day."""
    if day.date is None or heat.outlook.tells_of(day.date.month, day.from_km, day.to_km):
        return found

    text = (
        f"no heat is listed for {day.date:%B}, so the worst of what is listed is taken; it may be"
        " hotter than that. List the month, or set shade_max_c in [heat]."
    )
    remark = HeatRemark(RemarkKind.MONTH_NOT_LISTED, text)
    return dataclasses.replace(found, remarks=(*found.remarks, remark))


def _worst(days: Sequence[DayOfHeat]) -> DayOfHeat:
    """Return the day as the weather makes it that asks for most; no figure is below any other's.

    A less hot but damper one may ask for more.
    """
    most = max(days, key=lambda day: (day.full_l, day.asks_l, day.expected.shade_max_c))
    remarks = [*most.remarks, *(remark for day in days for remark in day.remarks)]
    return dataclasses.replace(
        most,
        asks_l=max(day.asks_l for day in days),
        resting_l=max(day.resting_l for day in days),
        passes_daily_ceiling=any(day.passes_daily_ceiling for day in days),
        passes_work_rest=any(day.passes_work_rest for day in days),
        remarks=tuple(dict.fromkeys(remarks)),
    )


def _summed(
    asked: _Asked, people: Sequence[PersonInHeat], answers: Sequence[DayInHeat], full_h: float
) -> DayOfHeat:
    """Add up a day over the party; people with a rate of their own drink that, evenly."""
    share = full_h / HOURS_PER_DAY
    asks_l = full_l = in_hours_l = resting_l = 0.0
    todays: list[DayInHeat] = []
    left = iter(answers)
    for person in people:
        if person.litres_per_day is not None:
            own_l = person.count * person.litres_per_day
            asks_l, full_l, resting_l = asks_l + own_l, full_l + own_l, resting_l + own_l
            in_hours_l += own_l * share
            continue
        today, most, resting = next(left), next(left), next(left)
        asks_l += person.count * today.litres
        full_l += person.count * most.litres
        in_hours_l += person.count * _in_moving_hours_l(most, share)
        resting_l += person.count * resting.litres
        todays.append(today)
    return DayOfHeat(
        expected=asked.expected,
        asks_l=asks_l,
        full_l=full_l,
        moving_hours_l=in_hours_l,
        resting_l=resting_l,
        passes_daily_ceiling=any(today.passes_daily_ceiling for today in todays),
        passes_work_rest=any(today.passes_work_rest for today in todays),
        remarks=tuple(dict.fromkeys(remark for today in todays for remark in today.remarks)),
    )


def _in_moving_hours_l(day: DayInHeat, share: float) -> float:
    """Return what falls in the moving hours: their own loss, and their share of the basic need."""
    moving_l = sum(phase.litres for phase in day.phases if phase.phase is Phase.MOVING)
    return moving_l + day.basic_l * share if moving_l else day.litres * share


def as_drinking(days: Sequence[DayOfHeat], moving_h: float) -> HeatDemand:
    """Return the days of heat as needs want them.

    Parameters
    ----------
    moving_h
        Moving hours of a day.
    """
    if not days:
        return no_heat()
    return HeatDemand(
        moving_l=frozen_floats([day.full_l for day in days]),
        resting_l=frozen_floats([day.resting_l for day in days]),
        moving_h=moving_h,
        moving_share=frozen_floats([day.moving_hours_l / day.full_l for day in days]),
    )
