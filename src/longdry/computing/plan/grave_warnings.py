"""What a careful person would stop at before leaving, beyond the stretches themselves."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from longdry.computing.calls.dry_lists import dry_lists
from longdry.computing.calls.groups import is_named
from longdry.computing.calls.lists import list_of
from longdry.computing.calls.neighbours import Worth, best_of
from longdry.computing.calls.preferences import is_certain
from longdry.computing.calls.trouble import trouble_of
from longdry.computing.fills.filling import Filling
from longdry.computing.fills.problem import potable_first
from longdry.computing.fills.settled import SettledTrip, Water
from longdry.computing.fills.stays import StayShare, stay_shares
from longdry.computing.heat.by_day import DayOfHeat
from longdry.computing.plan.rounds import settled_without
from longdry.computing.plan.stop_minutes import fills_by_stop, minutes_by_stop
from longdry.computing.plan.thin_stays import thin_stays
from longdry.computing.plan.warnings import MOST_NAMED
from longdry.model.plan.days import TravelDay
from longdry.model.plan.fills import Fill
from longdry.model.plan.plan import PlanWarning
from longdry.model.plan.setbacks import Setbacks
from longdry.model.plan.stretch import StretchEnd
from longdry.model.trip.tools import tools_lacking
from longdry.model.trip.trip import Trip
from longdry.model.words import Certainty, Grade, Travel
from longdry.plain_text import listed
from longdry.units import MINUTES_PER_HOUR, rounded_down, rounded_up

COSTLY_H = 1.0
"""A call that takes no longer is never told to cost too much; common practice, no source."""
_WHOLE_L = 0.002
"""Fills are planned in whole millilitres."""


def grave_warnings_of(
    settled: SettledTrip, days: Sequence[TravelDay], water: Water | None, setbacks: Setbacks | None
) -> list[PlanWarning]:
    """Return them, each of one or two sentences.

    Parameters
    ----------
    water
        To plan anew without each long call; None: whether a call costs more hours than it saves is
        not looked for, which takes as long as the plan itself.
    setbacks
        None where the trip names no containers.
    """
    trip = settled.trip
    stays = thin_stays(settled)
    texts = [
        *(one.words for one in stays if not one.is_covered),
        *_no_reserve(trip),
        *_help_at_once(trip),
        *_doubtful_water(settled),
        *_not_called_at(settled),
        *_no_heat(trip),
        *_due_back_too_soon(trip, days),
        *_too_little_while_moving(trip, days),
        *_small_rate_of_one(trip, settled.journey.heat),
    ]
    remarks = [*_tools_lacking(settled), *(one.words for one in stays if one.is_covered)]
    if settled.filling is not None and setbacks is not None:
        texts += [
            *_in_one_container(trip, settled.filling),
            *_one_way_to_treat(settled.filling),
            *(_costly_calls(settled, water) if water else ()),
            *_closing_while_drawn(settled, settled.filling),
        ]
        remarks += [*_tools_in_need(settled, setbacks), *_nothing_drawn(settled, settled.filling)]
    return [
        *(PlanWarning(text, grave=True) for text in texts),
        *(PlanWarning(text) for text in remarks),
    ]


def warnings_of_setbacks(setbacks: Setbacks) -> list[PlanWarning]:
    """Warn of single sources that life hangs on."""
    alone = [one for one in setbacks.dry if len(one.sources) == 1 and one.leaves_neither]
    names = ", ".join(dict.fromkeys(one.sources[0].name for one in alone))
    if not names:
        return []
    text = (
        f"If one of these is dry, the water carried takes the party neither on nor back: {names}."
        " Never stake a life on one uncertain source: make sure of it, or carry more."
    )
    return [PlanWarning(text, grave=True)]


def _no_reserve(trip: Trip) -> Iterator[str]:
    if trip.policy.reserve_days == 0.0:
        yield (
            "The reserve is 0: one dry source, one breakdown or one hot day uses up what there is."
        )


def _help_at_once(trip: Trip) -> Iterator[str]:
    """Tell that a figure of the trip has help there in no time, as no help is."""
    contact = trip.contact
    if trip.policy.help_days == 0.0 and contact.check_in_days == 0.0:
        key = "help_days under [policy]"
    elif not contact.can_call and contact.due_back and contact.search_days == 0.0:
        key = "search_days under [contact]"
    else:
        return
    yield (
        f"Help that takes no time is never there: {key} is 0, so no water is counted until it"
        " comes. Ask those who would come how many days they need, and write that."
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


def _due_back_too_soon(trip: Trip, days: Sequence[TravelDay]) -> Iterator[str]:
    """Who is looked for while still on the way makes people search in vain, or not search again."""
    due, ends = trip.contact.due_back, days[-1].date if days else None
    if due and ends and due < ends:
        yield (
            f"You are due back on {due.isoformat()}, and the plan ends on {ends.isoformat()}: they"
            " would search for you while you are on your way. Write a later due_back, and tell the"
            " person at home."
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
    if min(own) < adult_l / 2.0:
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
        if most and held_l >= trip.party.people and most.litres > held_l / 2.0:
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
    if not treats or not trip.party.can_treat:
        return
    if trip.treatment is None or trip.treatment.method is None:
        yield (
            "Water must be treated and the trip does not name how: say it (method under"
            " [treatment]) and carry a second way, in case one breaks, runs out or does not do for"
            " that water."
        )
    else:
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


def _tools_in_need(settled: SettledTrip, setbacks: Setbacks) -> Iterator[str]:
    """Tell in one sentence of tools for water that is gone to only when something goes wrong."""
    ways = [
        way for one in setbacks.dry for here in one.passes for way in (here.go_on, here.go_back)
    ]
    gone_to = {(way.to_label, way.to_km) for way in ways}
    gone_to |= {(one.behind, one.behind_km) for one in setbacks.turn_backs if one.behind_km}
    sources = [
        one.source
        for one in settled.passes
        if one.passed_by_because and (one.source.name, one.km) in gone_to
    ]
    sources += [one.source for one in setbacks.in_need]
    called = {one.source.id for one in settled.passes if one.call}
    lacking = {
        one.name: " and ".join(tools_lacking(one.access, settled.trip.kit))
        for one in sources
        if one.id not in called
    }
    told = [f"{name} ({tools})" for name, tools in lacking.items() if tools]
    if told:
        yield (
            "Tools that [kit] does not list, for water gone to only when something goes wrong:"
            f" {listed(told, MOST_NAMED, between='; ')}."
        )


def _not_called_at(settled: SettledTrip) -> Iterator[str]:
    """Name the water ahead that the trip calls at and that gives none by the time they come."""
    here = settled.trip.here
    if here is None:
        return
    called = [water for end in settled.journey.ends for water in end.waters]
    for name in settled.trip.policy.call_at:
        if name not in here.names_ahead or any(is_named(name, one) for one in called):
            continue
        reasons = (one.why_not for one in settled.passes if is_named(name, one) and one.why_not)
        why = next(reasons, "it is no water to drink by the time you come")
        yield (
            f"The trip names {name} to call at: it does not count from here on ({why}). This is"
            " planned without it."
        )


def _nothing_drawn(settled: SettledTrip, filling: Filling) -> Iterator[str]:
    """Tell of each call at which the fills take nothing, and why it is made."""
    journey = settled.journey
    for end, stay, fills in zip(
        journey.ends[1:-1], journey.itinerary.stays, fills_by_stop(filling)[1:], strict=True
    ):
        if any(fill.take_l > 0.0 for fill in fills):
            continue
        names = settled.trip.policy.call_at
        if any(is_named(name, one) for name in names for one in end.waters):
            why = "the plan goes there because the trip says so"
        elif stay.nights:
            why = "the plan goes there for the night"
        else:
            why = "the plan goes there because it is the last certain water for more than a day"
        yield f"At {end.label} (km {end.km:.1f}) nothing is drawn: {why}."


def _closing_while_drawn(settled: SettledTrip, filling: Filling) -> Iterator[str]:
    """Tell of each call that is not open for long enough to draw the water wanted there."""
    shares = stay_shares(settled.stretches, settled.journey.demand, potable_first)
    for share, (draw_min, _), fills in zip(
        shares, minutes_by_stop(settled), fills_by_stop(filling)[1:], strict=True
    ):
        stay = share.stay
        if stay.end.water is None:
            continue
        open_min = stay.open_h(stay.end.water.source) * MINUTES_PER_HOUR
        if open_min == math.inf:
            continue
        where, minutes = f"{stay.end.label} (km {stay.end.km:.1f})", f"{rounded_down(open_min):.0f}"
        closes, gives = f"closes {minutes} min after the party comes", "by then"
        if stay.travel.nights:
            closes, gives = f"is open for {minutes} min of the stay there", "to take along"
        of_it = (fill for fill in fills if fill.water == stay.end.water)
        cut = [fill for fill in of_it if _is_cut(fill, share, settled.trip)]
        if cut:
            take_l = rounded_down(sum(fill.take_l for fill in cut), 0.1)
            yield (
                f"{where} {closes}, and gives no more than {take_l:.1f} L {gives}:"
                " the plan counts on no more. Be there earlier to take more."
            )
        elif open_min < draw_min:
            yield (
                f"{where} {closes}, and drawing there takes {draw_min:.0f} min: be there earlier,"
                " or expect to leave with less than the plan says."
            )


def _is_cut(fill: Fill, share: StayShare, trip: Trip) -> bool:
    """Whether all is taken that flows while the water is open, but for what the stay uses."""
    if fill.water is None or fill.take_l <= 0.0:
        return False
    source = fill.water.source
    flows_l = share.stay.flows_l(source, trip) - share.used_l.get(source.id, 0.0)
    return fill.take_l >= flows_l - _WHOLE_L


def _costly_calls(settled: SettledTrip, water: Water) -> Iterator[str]:
    """Tell of each call that takes more hours than it saves, and mends nothing.

    Its hours are those of the way out and back, of waiting, filling and treating. They are held
    against the same plan without it, filled anew: where a stretch were worse by what matters, as
    planned or with a call dry, the call is worth any hours. So is the last certain water before a
    stretch of more than a day.
    """
    long_calls = list(_long_calls(settled))
    if not long_calls:
        return
    as_planned = _worth(settled, unkept=1)
    for end, hours in long_calls:
        without = settled_without(settled, water, end.km)
        if without is None or not best_of([as_planned, _worth(without)]):
            continue
        saved_h = max(hours - (_hours(settled) - _hours(without)), 0.0)
        if hours - saved_h > COSTLY_H:
            yield (
                f"Calling at {end.label} (km {end.km:.1f}) takes {rounded_up(hours, 0.1):.1f} hours"
                f" of way, waiting, filling and treating, and saves {saved_h:.1f}: without it no"
                " stretch is worse, with any one call dry either. Pass it by, or know why you go."
            )


def _long_calls(settled: SettledTrip) -> Iterator[tuple[StretchEnd, float]]:
    journey = settled.journey
    calls = zip(journey.calls, journey.itinerary.stays, settled.stretches[1:], strict=True)
    for call, stay, after in calls:
        hours = 2.0 * call.way_km / journey.clock.off_route_kmh + call.stop_h + stay.wait_h
        is_last_sure = after.days > 1.0 and is_certain(after.begin)
        if hours > COSTLY_H and not is_last_sure:
            yield after.begin, hours


def _worth(settled: SettledTrip, unkept: int = 0) -> Worth:
    dry = dry_lists(settled.journey, settled.stretches, settled.passes)
    return Worth(list_of(settled.stretches), dry, unkept, 0.0)


def _hours(settled: SettledTrip) -> float:
    """Return the trouble of a plan in hours, with its waits."""
    waits_h = sum(stay.wait_h for stay in settled.journey.itinerary.stays)
    return trouble_of(settled.journey, settled.stretches) + waits_h
