"""True rates from a tally, beside the planned ones."""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Iterator, Sequence

from longdry.computing.needs.drinking import DrinkingHours
from longdry.computing.needs.rates import Amounts, rates_of
from longdry.errors import UsageError
from longdry.model.arrays import frozen_floats
from longdry.model.pace import PaceProfile
from longdry.model.plan.travel import TravelTime
from longdry.model.trip.tally import Rate, Speed, TallyEntry, TallyTold
from longdry.model.trip.trip import Pace, Trip
from longdry.model.words import Ration
from longdry.units import HOURS_PER_DAY, UNSEEN_L

LEAST_HOURS = 2.0
"""Readings nearer to each other tell of one cup of tea, not of a rate. Common practice, no source.
They are told together with the next."""
LEAST_KM = 5.0
"""Shorter ways tell nothing of the speed. Common practice, no source."""
_NOWHERE = PaceProfile(frozen_floats([0.0, 1.0]), frozen_floats([0.0, 1.0]))


def true_rates(
    entries: Sequence[TallyEntry], trip: Trip | None = None, *, origin: str = "the tally"
) -> tuple[Rate, ...]:
    """Return what was used between each two readings of all that is left.

    What was left before, and taken since, less what was lost and what is left now.

    Parameters
    ----------
    origin
        What a complaint calls the readings.

    Raises
    ------
    UsageError
        Where more is left than there can be: something taken was not written down.
    """
    return tuple(_rates(sorted(entries, key=lambda entry: entry.at), trip, origin))


def _rates(entries: Sequence[TallyEntry], trip: Trip | None, origin: str) -> Iterator[Rate]:
    last: TallyEntry | None = None
    had_l = 0.0
    for entry in entries:
        if last is not None:
            had_l += (entry.took_l or 0.0) - (entry.lost_l or 0.0)
        left_l = entry.left_l
        if left_l is None:
            continue
        if last is not None:
            days = _hours(last.at, entry.at) / HOURS_PER_DAY
            used_l = had_l - left_l
            if used_l < -UNSEEN_L:
                raise _more_than_there_was(last, entry, had_l, origin)
            if days * HOURS_PER_DAY < LEAST_HOURS:
                continue
            planned_l = planned_between(last, entry, trip) if trip else None
            yield Rate(last.at, entry.at, max(used_l, 0.0), days, planned_l)
        last, had_l = entry, left_l


def _more_than_there_was(
    last: TallyEntry, entry: TallyEntry, had_l: float, origin: str
) -> Exception:
    return UsageError.single(
        origin,
        f"reading of {entry.at.isoformat(timespec='minutes')}",
        f"{entry.left_l:g} L are left, but after the reading of"
        f" {last.at.isoformat(timespec='minutes')} there can be no more than {had_l:g} L",
        "write down what was taken in between: --took LITRES --from SOURCE",
    )


def planned_between(first: TallyEntry, last: TallyEntry, trip: Trip) -> float:
    """Return what the trip's own rates ask for between two readings, on the full ration.

    Heat is left out, and so is what is always carried. On foot and by bicycle drinking goes evenly
    over the waking hours here.
    """
    begin_h = _hour_of_day(first.at)
    hours = _hours(first.at, last.at)
    rates = rates_of(trip)[Ration.FULL]
    waking = DrinkingHours(trip.pace.start_hour)
    travel = TravelTime(begin_h, begin_h + hours, (), _NOWHERE)
    length_km = (last.km or 0.0) - (first.km or 0.0) if None not in (first.km, last.km) else 0.0
    nights = (last.at.date() - first.at.date()).days
    return rates.total_l(
        Amounts(
            hours / HOURS_PER_DAY,
            float(nights),
            max(length_km, 0.0),
            waking.days_of(travel, rates.own_drinking_l_per_day),
        )
    )


def use_times(rates: Sequence[Rate]) -> float | None:
    """Return how many times the planned litres were used; None where nothing is known."""
    planned_l = sum(rate.planned_l or 0.0 for rate in rates)
    return sum(rate.used_l for rate in rates) / planned_l if planned_l > 0.0 else None


def true_speeds(entries: Sequence[TallyEntry], pace: Pace) -> tuple[Speed, ...]:
    """Return how fast the party was between each two readings of one day without a call between.

    No more hours count than a day of the trip has for moving: who reads off the cans in the evening
    has been in camp for the rest.
    """
    placed = sorted((one for one in entries if one.km is not None), key=lambda entry: entry.at)
    found: list[Speed] = []
    for one, other in itertools.pairwise(placed):
        from_km, to_km = one.km or 0.0, other.km or 0.0
        hours = min(_moving_h(one.at, other.at, pace), pace.hours_per_day)
        is_one_day = one.at.date() == other.at.date()
        if is_one_day and not other.source and to_km - from_km >= LEAST_KM and hours > 0.0:
            found.append(Speed(from_km, to_km, hours))
    return tuple(found)


def pace_times(speeds: Sequence[Speed], profile: PaceProfile) -> float | None:
    """Return how many times the planned moving hours were needed; None where nothing is known."""
    planned_h = sum(profile.between(one.from_km, one.to_km) for one in speeds)
    return sum(one.hours for one in speeds) / planned_h if planned_h > 0.0 else None


def _moving_h(from_at: dt.datetime, to_at: dt.datetime, pace: Pace) -> float:
    hours = _hours(from_at, to_at)
    if pace.break_h is None:
        return hours
    begin_h = _hour_of_day(from_at)
    off_h = min(begin_h + hours, pace.break_h[1]) - max(begin_h, pace.break_h[0])
    return hours - max(off_h, 0.0)


def _hours(from_at: dt.datetime, to_at: dt.datetime) -> float:
    return (to_at - from_at).total_seconds() / 3600.0


def _hour_of_day(at: dt.datetime) -> float:
    return at.hour + at.minute / 60.0 + at.second / 3600.0


def rates_told(
    entries: Sequence[TallyEntry], trip: Trip | None, *, origin: str = "the tally"
) -> TallyTold:
    """Return what the readings tell: the rates, and how long what is left lasts at them."""
    rates = true_rates(entries, trip, origin=origin)
    read = [entry for entry in entries if entry.left]
    last = max(read, key=lambda entry: entry.at, default=None)
    days = sum(rate.days for rate in rates)
    return TallyTold(
        readings=len(entries),
        last=last,
        rates=rates,
        mean_l_per_day=sum(rate.used_l for rate in rates) / days if days else None,
        planned_l_per_day=sum(rate.planned_l or 0.0 for rate in rates) / days
        if days and trip
        else None,
        lost_l=sum(entry.lost_l or 0.0 for entry in entries),
        speeds=true_speeds(entries, trip.pace) if trip else (),
        planned_kmh=trip.pace.speed_kmh if trip else None,
    )
