"""May the party start on this plan? The worst of all that was worked out, in one level.

The points and their order are those of ``docs/why/headline.md``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from longdry.computing.fills.settled import SettledTrip
from longdry.computing.plan.warnings import missing_words
from longdry.model.plan.headline import Headline, HeadlineLevel, MostToCarry
from longdry.model.plan.setbacks import Chance, Setbacks
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import Certainty, FillHabit, IfDry, Travel, Verdict
from longdry.units import rounded_down, rounded_up

MAY_RUN_SHORT = 0.01
"""A chance of running short from which the plan holds only if all goes well."""
LEAST_TRIALS = 300
"""Fewer cannot tell a chance of 1 in 100 from none: rule of three, 3/300 (common practice)."""
_TOLERANCE_L = 0.05


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
        return Headline(HeadlineLevel.NOT_SAFE, (*not_safe, *only_if))
    if only_if:
        return Headline(HeadlineLevel.ONLY_IF, only_if)
    return Headline(HeadlineLevel.LASTS, ("On every stretch the water lasts, with the reserve.",))


def most_to_carry(stretches: Sequence[DryStretch]) -> MostToCarry:
    """Return the largest need and reserve, and where it is taken."""
    most = max(stretches, key=lambda one: one.wanted_l)
    return MostToCarry(most.wanted_l, most.begin.km, most.begin.water)


def _not_safe(settled: SettledTrip, setbacks: Setbacks | None) -> Iterator[str]:
    if not settled.trip.containers:
        yield "No containers are given, so nobody knows whether the water can be carried."
    if settled.trip.is_default("party.people"):
        yield "The trip does not say how many people go."
    yield from (_too_little(one) for one in settled.stretches if one.verdict in _TOO_LITTLE)
    yield from _arriving_low(settled)
    if setbacks and not settled.trip.contact.can_call and _help_is_too_far(setbacks):
        yield _waiting(setbacks, "and the trip names no means of calling")
    yield from _heat_beyond_limits(settled)


_TOO_LITTLE = (Verdict.TOO_LONG, Verdict.SHORT_RATION)


def _too_little(stretch: DryStretch) -> str:
    where = (
        f"{stretch.begin.label} (km {stretch.begin.km:.1f}) to"
        f" {stretch.end.label} (km {stretch.end.km:.1f})"
    )
    missing = missing_words(stretch, f"{rounded_up(stretch.missing_l):.0f}")
    if stretch.verdict is Verdict.TOO_LONG:
        return f"Too long without water: {where}, {missing}."
    return f"Enough only on a short ration: {where}, {missing}."


def _arriving_low(settled: SettledTrip) -> Iterator[str]:
    """Tell the first place that is reached with less than one bare day each, on foot half."""
    demand = settled.journey.demand
    share = 0.5 if settled.trip.pace.travel is Travel.FOOT else 1.0
    for one in settled.stretches:
        if one.left_l is None or one.verdict in _TOO_LITTLE:
            continue
        least_l = share * demand.waiting_l_per_day(demand.heat.resting_in(one.travel))
        free_l = max(one.left_l - demand.always_l, 0.0)
        if free_l < least_l - _TOLERANCE_L:
            yield (
                f"At {one.end.label} (km {one.end.km:.1f}) the party arrives with"
                f" {rounded_down(free_l, 0.1):.1f} L to drink: less than"
                f" {'half a' if share < 1.0 else 'one'} day for all."
            )
            return


def _help_is_too_far(setbacks: Setbacks) -> bool:
    wanted = setbacks.sit_out.wanted
    return wanted is not None and not wanted.enough


def _waiting(setbacks: Setbacks, more: str) -> str:
    wanted = setbacks.sit_out.wanted
    if wanted is None:
        raise ValueError("nobody knows when help comes")
    return (
        f"At km {wanted.km:.1f} help may take {rounded_up(wanted.days, 0.1):.1f} days: waiting asks"
        f" for {rounded_up(wanted.asked_l, 0.1):.1f} L, and"
        f" {rounded_down(wanted.carried_l, 0.1):.1f} L are carried there{_and(more)}."
    )


def _and(more: str) -> str:
    return f", {more}" if more else ""


def _heat_beyond_limits(settled: SettledTrip) -> Iterator[str]:
    """Tell days on which people would have to drink too much, or walk or ride too long an hour."""
    rides = settled.trip.pace.travel is Travel.VEHICLE
    hot = [
        (number, day)
        for number, day in enumerate(settled.journey.heat, 1)
        if day.passes_daily_ceiling or (day.passes_work_rest and not rides)
    ]
    if hot:
        number, day = max(hot, key=lambda one: one[1].expected.shade_max_c)
        yield (
            f"Day {number}: {rounded_up(day.expected.shade_max_c):.0f} °C. Do not move by day:"
            " people cannot drink as much as they lose, or need more rest than the plan leaves"
            " them (limits of US Army TB MED 507)."
        )


def _only_if(settled: SettledTrip, setbacks: Setbacks | None) -> Iterator[str]:
    yield from (
        f"The reserve is touched before {one.end.label} (km {one.end.km:.1f}):"
        f" {rounded_up(one.missing_l, 0.1):.1f} L missing."
        for one in settled.stretches
        if one.verdict is Verdict.INTO_RESERVE
    )
    if setbacks:
        yield from _no_way(settled, setbacks)
    doubtful = [
        one.source.name
        for one in settled.passes
        if one.call and one.judgement.certainty is Certainty.DOUBTFUL
    ]
    if doubtful:
        yield f"The plan counts on doubtful water: {', '.join(doubtful)}."
    if setbacks:
        yield from _running_short(setbacks.chance)
        yield from _help_in_time(settled, setbacks)
    if settled.trip.heat is None:
        yield "No heat is given: the party may need much more to drink than the plan counts."
    if settled.trip.depart is None:
        yield "No date is given: which water there will be, and how hot it is, is not known."


def _running_short(chance: Chance | None) -> Iterator[str]:
    if chance is None or chance.trials < LEAST_TRIALS:
        yield f"The chance of running short is not known: it takes {LEAST_TRIALS} trials or more."
    elif chance.short >= MAY_RUN_SHORT:
        share = rounded_up(100.0 * chance.short)
        yield f"In {share:.0f} of 100 trips like this one the water may run short."


def _help_in_time(settled: SettledTrip, setbacks: Setbacks) -> Iterator[str]:
    if setbacks.sit_out.wanted is None:
        yield (
            "Nobody knows when help comes: give help_days under [policy], or due_back and"
            " search_days under [contact]."
        )
    elif settled.trip.contact.can_call and _help_is_too_far(setbacks):
        yield _waiting(setbacks, "")


def _no_way(settled: SettledTrip, setbacks: Setbacks) -> Iterator[str]:
    """Name every uncertain source whose loss leaves neither a way on nor back.

    Under `safe` those too for which the containers do not hold what the way asks for.
    """
    sure = {one.source.id for one in settled.passes if one.call and one.judgement.is_sure}
    neither = dict.fromkeys(
        one.sources[0].name
        for one in setbacks.dry
        if one.leaves_neither and len(one.sources) == 1 and one.sources[0].id not in sure
    )
    yield from (f"If {name} is dry, there is no way to water, on or back." for name in neither)
    if settled.fill.habit is FillHabit.SAFE:
        way = "on" if settled.trip.policy.if_dry is IfDry.ON else "on, or back"
        yield from (
            f"If {name} is dry, the containers do not hold what going {way} asks for."
            for name in dict.fromkeys(source.name for source in setbacks.proof.breaks)
            if name not in neither
        )
