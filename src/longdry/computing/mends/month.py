"""Mend: go in another month, when more sources hold or the heat is less."""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Iterator
from dataclasses import replace

from longdry.computing.mends.trials import MendSearch, Proposal
from longdry.computing.water.passes import why_not_certain, why_not_counted, worst_judgement
from longdry.model.plan.mends import MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass

MONTHS = 12
MOST_GUESSED, MOST_PLANNED = 4, 2
_CAUTION = (
    "Months of a layer are no promise: ask the land manager and the local authorities about water,"
    " heat, rain, fire and closures of that season, and plan anew with what they say."
)


def by_month(search: MendSearch, stretch: DryStretch) -> Iterator[Proposal]:
    """Yield the next months of the year to come in which a stretch may be better."""
    depart = search.trip.depart
    if depart is None:
        return
    later = [n for n in range(1, MONTHS) if _may_help(search, stretch, depart, n)]
    planned = 0
    for months in later[:MOST_GUESSED]:
        trip = leaving_later(search.trip, months)
        prepared = search.with_trip(trip)
        passes = _on_new_dates(search, stretch, trip)
        promise = search.guess(stretch, prepared, passes, is_heat_new=True)
        if promise is None:
            continue
        on = later_by(depart.date(), months)
        yield Proposal(
            MendKind.MONTH,
            f"Leave on {on.isoformat()}, in {calendar.month_name[on.month]}, and not in"
            f" {calendar.month_name[depart.month]}.",
            _CAUTION,
            prepared,
            search.water,
            promise,
            MendFigures(),
            key=(MendKind.MONTH, months),
        )
        planned += 1
        if planned == MOST_PLANNED:
            return


def later_by(on: dt.date, months: int) -> dt.date:
    """Return the same day of a later month, or its last where it has no such day.

    >>> later_by(dt.date(2027, 1, 31), 1).isoformat(), later_by(dt.date(2027, 5, 3), 9).isoformat()
    ('2027-02-28', '2028-02-03')
    """
    year, month = divmod(on.year * MONTHS + on.month - 1 + months, MONTHS)
    day = min(on.day, calendar.monthrange(year, month + 1)[1])
    return dt.date(year, month + 1, day)


def leaving_later(trip: Trip, months: int) -> Trip:
    """Return the trip some months later, with the day on which it is due back."""
    if trip.depart is None:
        return trip
    by = later_by(trip.depart.date(), months) - trip.depart.date()
    contact = trip.contact
    if contact.due_back:
        contact = replace(contact, due_back=contact.due_back + by)
    return replace(trip, depart=trip.depart + by, contact=contact)


def _may_help(search: MendSearch, stretch: DryStretch, depart: dt.datetime, months: int) -> bool:
    month = later_by(depart.date(), months).month
    return _is_cooler(search, stretch, depart.month, month) or any(
        one.source.months is not None
        and one.on is not None
        and one.on.month not in one.source.months
        and later_by(one.on, months).month in one.source.months
        for one in search.inside(stretch)
    )


def _is_cooler(search: MendSearch, stretch: DryStretch, now: int, then: int) -> bool:
    heat = search.trip.heat
    if heat is None or not heat.outlook.months:
        return False
    on_now, on_then = (
        heat.outlook.on(month, stretch.begin.km, stretch.end.km) for month in (now, then)
    )
    return on_then.shade_max_c < on_now.shade_max_c


def _on_new_dates(search: MendSearch, stretch: DryStretch, trip: Trip) -> list[WaterPass]:
    """Return the passes with those of the stretch that count on the new dates."""
    if trip.depart is None or search.trip.depart is None:
        return list(search.settled.passes)
    by = trip.depart - search.trip.depart
    return search.with_counted(
        *(
            one
            for one in search.inside(stretch)
            if one.on is not None and _counts(search, one, one.on + by)
        )
    )


def _counts(search: MendSearch, water: WaterPass, on: dt.date) -> bool:
    can_treat = search.trip.party.can_treat
    return not why_not_counted(water.source, can_treat=can_treat) and not why_not_certain(
        worst_judgement(water.source, on), search.water.count_on
    )
