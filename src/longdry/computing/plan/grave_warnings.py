"""What a careful person would stop at before leaving, beyond the stretches themselves."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from longdry.computing.fills.filling import Filling
from longdry.computing.fills.settled import SettledTrip
from longdry.computing.heat.by_day import DayOfHeat
from longdry.model.plan.days import TravelDay
from longdry.model.plan.plan import PlanWarning
from longdry.model.trip.tools import tools_lacking
from longdry.model.trip.trip import Trip
from longdry.model.words import Certainty, Grade, Travel
from longdry.units import rounded_down, rounded_up

HALF = 0.5


def grave_warnings_of(settled: SettledTrip, days: Sequence[TravelDay]) -> list[PlanWarning]:
    """Return them, each of one or two sentences."""
    trip = settled.trip
    texts = [
        *_no_reserve(trip),
        *_doubtful_water(settled),
        *_no_heat(trip),
        *_too_little_while_moving(trip, days),
        *_small_rate_of_one(trip, settled.journey.heat),
    ]
    if settled.filling is not None:
        texts += [*_in_one_container(trip, settled.filling), *_one_way_to_treat(settled.filling)]
    return [
        *(PlanWarning(text, grave=True) for text in texts),
        *(PlanWarning(text) for text in _tools_lacking(settled)),
    ]


def _no_reserve(trip: Trip) -> Iterator[str]:
    if trip.policy.reserve_days == 0.0:
        yield (
            "The reserve is 0: one dry source, one breakdown or one hot day uses up what there is."
        )


def _doubtful_water(settled: SettledTrip) -> Iterator[str]:
    """Tell how much of the counted water is doubtful, and the longest way without it."""
    counted = [one for one in settled.passes if one.counted]
    doubtful = [one for one in counted if one.judgement.certainty is Certainty.DOUBTFUL]
    if not doubtful:
        return
    others = [one.km for one in counted if one.judgement.certainty is not Certainty.DOUBTFUL]
    km = [0.0, *others, settled.journey.prepared.length_km]
    longest_km = max(there - here for here, there in itertools.pairwise(km))
    number = len({one.source.id for one in doubtful})
    yield (
        f"{number} of the sources that count {'is' if number == 1 else 'are'} doubtful; without"
        f" {'it' if number == 1 else 'them'} the longest way without water is {longest_km:.1f} km."
    )


def _no_heat(trip: Trip) -> Iterator[str]:
    if trip.heat is None:
        yield (
            "No heat is given, so drinking follows the party's own rates alone. Name the highest"
            " temperature in the shade that is to be expected: heat can double what people need."
        )


def _too_little_while_moving(trip: Trip, days: Sequence[TravelDay]) -> Iterator[str]:
    """On foot and by bicycle a day's litres should reach for its moving hours."""
    if trip.pace.travel is Travel.VEHICLE or trip.heat is not None:
        return
    per_h = trip.party.people * trip.pace.drink_l_per_moving_h
    low = [day for day in days if day.measured_l < day.moving_h * per_h]
    if low:
        worst = max(low, key=lambda day: day.moving_h)
        yield (
            f"Day {worst.number}: {rounded_up(worst.moving_h, 0.1):.1f} hours on the move ask for"
            f" at least {rounded_up(worst.moving_h * per_h, 0.1):.1f} L (Parks Australia: at"
            f" least 1 L per person per hour of walking), the trip counts"
            f" {rounded_down(worst.measured_l, 0.1):.1f} L for the whole day."
        )


def _small_rate_of_one(trip: Trip, heat: Sequence[DayOfHeat]) -> Iterator[str]:
    """Children need less than adults, but not less than half in heat."""
    if trip.heat is None or not heat:
        return
    persons = trip.heat.people(trip.party.people)
    own = [one.litres_per_day for one in persons if one.litres_per_day is not None]
    computed = sum(one.count for one in persons if one.litres_per_day is None)
    if not own or not computed:
        return
    stated_l = sum(one.count * (one.litres_per_day or 0.0) for one in persons)
    adult_l = max(day.asks_l - stated_l for day in heat) / computed
    if min(own) < HALF * adult_l:
        yield (
            f"One person's own rate of {min(own):g} L a day is less than half of the"
            f" {rounded_up(adult_l, 0.1):.1f} L that the heat asks of another: take medical advice,"
            " above all for children."
        )


def _in_one_container(trip: Trip, filling: Filling) -> Iterator[str]:
    """One split can must not take more than half of the drinking water."""
    for fill in filling.chosen.fills:
        held_l = fill.leaving.total_l
        most = max(fill.levels_leaving, key=lambda level: level.litres, default=None)
        if most and held_l >= trip.party.people and most.litres > HALF * held_l:
            yield (
                f"On leaving km {fill.km:.1f} {most.vessel} holds {most.litres:.0f} of"
                f" {held_l:.0f} L: no container should hold more than half of the drinking water."
            )
            return


def _one_way_to_treat(filling: Filling) -> Iterator[str]:
    trip = filling.demand.trip
    treats = filling.chosen.treated_l > 0.0 or any(
        fill.grade is Grade.TREAT and fill.take_l > 0.0 for fill in filling.chosen.fills
    )
    if treats and trip.party.can_treat:
        yield (
            "Water must be treated and the trip names one way alone to do it: carry a second, in"
            " case it breaks, runs out or does not do for that water."
        )


def _tools_lacking(settled: SettledTrip) -> Iterator[str]:
    """Tell which tools the access to a call names and the trip does not list."""
    told: set[str] = set()
    for one in settled.passes:
        lacking = tools_lacking(one.source.access, settled.trip.kit)
        if one.call and lacking and one.source.id not in told:
            told.add(one.source.id)
            yield (
                f"{one.source.name}: its access names {' and '.join(lacking)}, which [kit] does not"
                " list. Bring it, or do not count on this water."
            )
