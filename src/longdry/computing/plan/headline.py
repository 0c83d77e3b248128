"""May the party start on this plan? The worst of all that was worked out, in one level.

The points and their order are those of ``docs/why/headline.md``.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from longdry.computing.fills.settled import SettledTrip
from longdry.computing.plan.thin_stays import thin_stays
from longdry.computing.plan.warnings import MOST_NAMED, what_it_lacks
from longdry.model.plan.headline import (
    HEAT_BEYOND_LIMITS,
    Headline,
    HeadlineLevel,
    MostToCarry,
    no_way_point,
)
from longdry.model.plan.setbacks import Chance, Setbacks
from longdry.model.plan.stops import WithoutWater
from longdry.model.plan.stretch import DryStretch, worst_first
from longdry.model.water.passes import WaterPass
from longdry.model.words import Certainty, FillHabit, IfDry, Travel, Verdict
from longdry.plain_text import listed
from longdry.units import HOURS_PER_DAY, UNSEEN_L, rounded_down, rounded_up

MAY_RUN_SHORT = 0.01
"""A chance of running short from which the plan holds only if all goes well: that of the simulation
and two standard errors, since a lucky draw is no water."""
LEAST_TRIALS = 300
"""Fewer cannot tell a chance of 1 in 100 from none: rule of three, 3/300 (common practice)."""
WHOLE_FROM_L = 10.0
"""Litres above which a missing amount is told in whole litres, as everywhere else."""

_Reason = tuple[str, str]
"""What a sentence is about, and the sentence."""


def headline_of(settled: SettledTrip, setbacks: Setbacks | None) -> Headline:
    """Return the level and every sentence that it rests on, the gravest first.

    Parameters
    ----------
    setbacks
        None where the trip names no containers.
    """
    not_safe = tuple(_not_safe(settled, setbacks))
    only_if = tuple(_only_if(settled, setbacks))
    if not_safe:
        return _headline(HeadlineLevel.NOT_SAFE, (*not_safe, *only_if))
    if only_if:
        return _headline(HeadlineLevel.ONLY_IF, only_if)
    return Headline(HeadlineLevel.LASTS, ("On every stretch the water lasts, with the reserve.",))


def _headline(level: HeadlineLevel, reasons: Sequence[_Reason]) -> Headline:
    return Headline(level, tuple(text for _, text in reasons), tuple(point for point, _ in reasons))


def most_to_carry(stretches: Sequence[DryStretch]) -> MostToCarry:
    """Return the largest need and reserve, and where it is taken."""
    most = max(stretches, key=lambda one: one.wanted_l)
    return MostToCarry(most.wanted_l, most.begin.km, most.begin.water)


def longest_without_water(settled: SettledTrip) -> WithoutWater:
    """Return the longest way along the route between passes that count, start and end counting."""
    journey = settled.journey
    begin_km = journey.ends[0].km
    times = {begin_km: (journey.itinerary.leaves.hour,) * 2}
    for end, stay in zip(journey.ends[1:-1], journey.itinerary.stays, strict=True):
        times[end.km] = (stay.arrives.hour, stay.leaves.hour)
    times[journey.prepared.length_km] = (journey.itinerary.arrives.hour,) * 2
    for one in settled.passes:
        if one.counted and one.km > begin_km and one.km not in times:
            times[one.km] = (journey.hour_at_km(one.km),) * 2
    km = sorted(times)
    ways = [
        WithoutWater(here, there, max(times[there][0] - times[here][1], 0.0) / HOURS_PER_DAY)
        for here, there in itertools.pairwise(km)
    ]
    return max(ways, key=lambda way: way.length_km, default=WithoutWater(0.0, 0.0, 0.0))


def _not_safe(settled: SettledTrip, setbacks: Setbacks | None) -> Iterator[_Reason]:
    if not settled.trip.containers:
        yield (
            "containers",
            "No containers are given, so nobody knows whether the water can be carried.",
        )
    if settled.trip.is_default("party.people"):
        yield "people", "The trip does not say how many people go."
    if settled.trip.is_default("use"):
        yield "uses", "The trip does not say what water goes on: its litres are a guess."
    worst = worst_first(settled.stretches)
    yield from (_too_little(one) for one in worst if one.verdict in _TOO_LITTLE)
    for thin in thin_stays(settled):
        if not thin.is_covered:
            yield f"stay at km {thin.end.km:.1f}", thin.words
    yield from _arriving_low(settled)
    if setbacks and not settled.trip.contact.can_call and _help_is_too_far(setbacks):
        why = (
            ", and it is looked for only when it is overdue" if setbacks.sit_out.by_due_back else ""
        )
        yield _waiting(setbacks, f" (the trip names no means of calling{why})")
    yield from _heat_beyond_limits(settled)


_TOO_LITTLE = (Verdict.TOO_LONG, Verdict.SHORT_RATION)


def _too_little(stretch: DryStretch) -> _Reason:
    where = (
        f"{stretch.begin.label} (km {stretch.begin.km:.1f}) to"
        f" {stretch.end.label} (km {stretch.end.km:.1f})"
    )
    missing = what_it_lacks(stretch, f"{rounded_up(stretch.missing_l):.0f}")
    if stretch.verdict is Verdict.TOO_LONG:
        return f"stretch to {where}", f"Too long without water: {where}, {missing}."
    return f"stretch to {where}", f"Enough only on a short ration: {where}, {missing}."


def _arriving_low(settled: SettledTrip) -> Iterator[_Reason]:
    """Tell the place that is reached with least of one bare day each, on foot half a day."""
    demand = settled.journey.demand
    share = 0.5 if settled.trip.pace.travel is Travel.FOOT else 1.0
    low = []
    for one in settled.stretches:
        if one.left_l is None or one.verdict in _TOO_LITTLE:
            continue
        least_l = share * demand.waiting_l_per_day(demand.heat.resting_in(one.travel))
        free_l = max(one.left_l - demand.always_l, 0.0)
        if free_l < least_l - UNSEEN_L:
            low.append((free_l / least_l, free_l, one.end))
    if low:
        _, free_l, end = min(low, key=lambda one: one[:2])
        yield (
            "arriving low",
            (
                f"At {end.label} (km {end.km:.1f}) the party arrives with"
                f" {rounded_down(free_l, 0.1):.1f} L to drink: less than"
                f" {'half a' if share < 1.0 else 'one'} day for all."
            ),
        )


def _help_is_too_far(setbacks: Setbacks) -> bool:
    wanted = setbacks.sit_out.wanted
    return wanted is not None and not wanted.enough


def _waiting(setbacks: Setbacks, why: str = "") -> _Reason:
    wanted = setbacks.sit_out.wanted
    if wanted is None:
        raise ValueError("nobody knows when help comes")
    days = f"{rounded_up(wanted.days, 0.1):g}"
    return (
        "waiting",
        (
            f"At km {wanted.km:.1f} help may take {days} {'day' if days == '1' else 'days'}{why}:"
            f" waiting asks for {rounded_up(wanted.asked_l, 0.1):.1f} L, and"
            f" {rounded_down(wanted.carried_l, 0.1):.1f} L are carried there."
        ),
    )


def _heat_beyond_limits(settled: SettledTrip) -> Iterator[_Reason]:
    """Tell days on which people would have to drink too much, or walk or ride too long an hour."""
    rides = settled.trip.pace.travel is Travel.VEHICLE
    hot = [
        (number, day)
        for number, day in enumerate(settled.journey.heat, 1)
        if day.passes_daily_ceiling or (day.passes_work_rest and not rides)
    ]
    if hot:
        hottest_c = max(day.expected.shade_max_c for _, day in hot)
        (first, _), (last, _) = hot[0], hot[-1]
        days = f"Day {first}" if first == last else f"Days {first} to {last}"
        yield (
            HEAT_BEYOND_LIMITS,
            (
                f"{days}: {rounded_up(hottest_c):.0f} °C. Do not move by day:"
                " people cannot drink as much as they lose, or need more rest than the plan leaves"
                " them (limits of US Army TB MED 507)."
            ),
        )


def _only_if(settled: SettledTrip, setbacks: Setbacks | None) -> Iterator[_Reason]:
    if setbacks:
        yield from _no_way(settled, setbacks)
    yield from (
        (
            f"reserve before km {one.end.km:.1f}",
            (
                f"The reserve is touched before {one.end.label} (km {one.end.km:.1f}):"
                f" {_up_l(one.missing_l)} L missing."
            ),
        )
        for one in worst_first(settled.stretches)
        if one.verdict is Verdict.INTO_RESERVE
    )
    yield from _doubtful(settled)
    if setbacks:
        yield from _running_short(setbacks.chance)
        yield from _help_in_time(settled, setbacks)
    if settled.trip.heat is None:
        yield (
            "no heat",
            "No heat is given: the party may need much more to drink than the plan counts.",
        )
    if settled.trip.depart is None:
        yield (
            "no date",
            "No date is given: which water there will be, and how hot it is, is not known.",
        )


def _doubtful(settled: SettledTrip) -> Iterator[_Reason]:
    """Tell of doubtful water that counts: called at, or only for the longest way without water."""
    counted = [
        one
        for one in settled.passes
        if one.counted and one.judgement.certainty is Certainty.DOUBTFUL
    ]
    drawn_on = {(w.source.id, w.km) for end in settled.journey.ends for w in end.waters}
    called = [one.source.name for one in counted if (one.source.id, one.km) in drawn_on]
    passed = [one.source.name for one in counted if one.source.name not in called]
    if called:
        names = ", ".join(dict.fromkeys(called))
        yield "doubtful water", f"The plan counts on doubtful water: {names}."
    if passed:
        yield (
            "doubtful water passed by",
            (
                f"Doubtful water is counted, though the plan passes it by: {_some(passed)}. The"
                " longest way without water and the ways on and back rest on it."
            ),
        )


def _some(names: Sequence[str]) -> str:
    """Name a few, and count the rest."""
    return listed(list(dict.fromkeys(names)), MOST_NAMED)


def _running_short(chance: Chance | None) -> Iterator[_Reason]:
    if chance is None or chance.trials < LEAST_TRIALS:
        known = "not known" if chance is None else "not known well enough"
        yield (
            "chance not known",
            f"The chance of running short is {known}: it takes {LEAST_TRIALS} trials or more.",
        )
    elif chance.short_at_most >= MAY_RUN_SHORT:
        share = rounded_up(100.0 * chance.short)
        yield "chance", f"In {share:.0f} of 100 trips like this one the water may run short."


def _help_in_time(settled: SettledTrip, setbacks: Setbacks) -> Iterator[_Reason]:
    if setbacks.sit_out.wanted is None:
        yield (
            "help not known",
            (
                "Nobody knows when help comes: give help_days under [policy], or due_back and"
                " search_days under [contact]."
            ),
        )
    elif settled.trip.contact.can_call and _help_is_too_far(setbacks):
        yield _waiting(setbacks)


def _up_l(litres: float) -> str:
    """Write litres as everywhere else: whole ones from 10 on."""
    return f"{rounded_up(litres, 1.0 if litres > WHOLE_FROM_L else 0.1):g}"


def _no_way(settled: SettledTrip, setbacks: Setbacks) -> Iterator[_Reason]:
    """Name every uncertain source whose loss leaves neither a way on nor back.

    Under `safe` those too for which the containers do not hold what the way asks for.
    """
    unsure = {one.source.id for one in _waters_at_stops(settled) if not one.judgement.is_sure}
    alone = {
        one.sources[0].id: one.sources[0]
        for one in setbacks.dry
        if one.leaves_neither and len(one.sources) == 1 and one.sources[0].id in unsure
    }
    for source in alone.values():
        yield (
            no_way_point(source),
            f"If {source.name} is dry, there is no way to water, on or back.",
        )
    if settled.fill.habit is FillHabit.SAFE:
        way = "on" if settled.trip.policy.if_dry is IfDry.ON else "on, or back"
        broken = {source.id: source for source in setbacks.proof.breaks if source.id not in alone}
        for source in broken.values():
            yield (
                no_way_point(source),
                f"If {source.name} is dry, the containers do not hold what going {way} asks for.",
            )


def _waters_at_stops(settled: SettledTrip) -> list[WaterPass]:
    """Return all that is drawn on: of a stop with several waters each, and the start's own."""
    return [water for end in settled.journey.ends for water in end.waters]
