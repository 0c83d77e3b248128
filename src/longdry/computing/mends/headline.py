"""Mends of a headline: nobody goes short, and still the plan is not one to start on.

Where nothing that was tried makes it safe, what is left is not to go.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import islice

from longdry.computing.calls.lists import list_of
from longdry.computing.fills.settled import SettledTrip
from longdry.computing.mends.confirmed import known_to_hold
from longdry.computing.mends.containers import by_one_more
from longdry.computing.mends.ration import on_ration, since_when
from longdry.computing.mends.trials import MendSearch, Proposal, TrialsSpentError
from longdry.model.plan.headline import Headline, HeadlineLevel, no_way_point
from longdry.model.plan.mends import Mend, MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch, worst_first
from longdry.model.words import FillHabit, Ration
from longdry.units import rounded_up

MOST_TRIED = 6
"""Changes that are planned for a headline: each is a whole plan and all that may go wrong on it."""
MOST_TOLD, MOST_ASKED_ABOUT = 3, 2
HALF = 0.5
"""Of the chance of running short: by so much it must fall to be told where it still is too high.
Common practice, no source."""
_FIND_OUT = (
    "Ask the land manager and the local authorities, and who looks after it or was there last, or"
    " go and look; note who said it and when. Never stake a life on one uncertain source."
)


@dataclass(frozen=True, slots=True)
class HeadlineSearch:
    """The headline to be mended, and how that of a trial plan is found."""

    now: Headline
    now_short: float | None
    """How often the party runs short; None: not known."""
    again: Callable[[SettledTrip], tuple[Headline, float | None]]
    """Headline and chance of running short of a trial plan."""


def mends_of_headline(search: MendSearch, headline: HeadlineSearch) -> tuple[Mend, ...]:
    """Return what settles reasons of a headline and brings no new one, the easiest first.

    Where the reserve is touched somewhere, the mends of that stretch are told already: then only
    what makes a plan safe that is not.
    """
    is_unsafe = headline.now.level is HeadlineLevel.NOT_SAFE
    is_clear = not list_of(search.settled.stretches)
    if not headline.now.settled_by_another_plan or not (is_unsafe or is_clear):
        return ()
    found, left = _tried(search, headline, is_clear=is_clear)
    if not is_unsafe or any(one.headline_after is not HeadlineLevel.NOT_SAFE for one in found):
        return tuple(found)
    not_going = replace(
        search.not_going(_worst(search), is_all_tried=True),
        change=f"Do not go on this plan: no single change that was tried makes it safe.{left}",
        headline_after=HeadlineLevel.NOT_SAFE,
    )
    return (*found[: MOST_TOLD - 1], not_going)


def _tried(
    search: MendSearch, headline: HeadlineSearch, *, is_clear: bool
) -> tuple[list[Mend], str]:
    """Return the mends, and a sentence where the trial plans were spent before the end."""
    found: list[Mend] = []
    for stretch, proposal in islice(_proposals(search, headline.now), MOST_TRIED):
        try:
            again = search.planned(proposal)
        except TrialsSpentError:
            return found, " Not every change was tried."
        mend = _mend(search, headline, stretch, proposal, again) if again else None
        if mend and (is_clear or mend.headline_after is not HeadlineLevel.NOT_SAFE):
            found.append(mend)
        if len(found) == MOST_TOLD:
            break
    return found, ""


def _mend(
    search: MendSearch,
    headline: HeadlineSearch,
    stretch: DryStretch,
    proposal: Proposal,
    again: SettledTrip,
) -> Mend | None:
    """Return a change as a mend: it settles a reason, or halves the chance of running short.

    It brings neither a reason nor a gap.
    """
    if list_of(again.stretches) > list_of(search.settled.stretches):
        return None
    now, (then, then_short) = headline.now, headline.again(again)
    pairs = zip(now.points, now.because, strict=True)
    settles = tuple(text for point, text in pairs if point not in then.points)
    lowers = "" if settles else _lowers(headline.now_short, then_short)
    if not (settles or lowers) or set(then.points) - set(now.points):
        return None
    return replace(
        search.mend_of(stretch, proposal, again),
        settles=settles,
        lowers=lowers,
        headline_after=then.level,
    )


def _lowers(now: float | None, then: float | None) -> str:
    """Tell by how much a chance of running short falls, where it falls by half or more.

    >>> _lowers(0.46, 0.045), _lowers(0.46, 0.3), _lowers(None, 0.0)
    ('the chance of running short from 46 to 5 of 100', '', '')
    """
    if not now or then is None or then > HALF * now:
        return ""
    before, after = (f"{rounded_up(100.0 * chance):.0f}" for chance in (now, then))
    return f"the chance of running short from {before} to {after} of 100"


def _worst(search: MendSearch) -> DryStretch:
    return worst_first(search.settled.stretches)[0]


def _proposals(search: MendSearch, now: Headline) -> Iterator[tuple[DryStretch, Proposal]]:
    worst = _worst(search)
    for proposal in (*_by_fill(search), *_by_ration(search), *islice(by_one_more(search), 1)):
        yield worst, proposal
    yield from _by_finding_out(search, now)


def _by_fill(search: MendSearch) -> Iterator[Proposal]:
    if search.settled.fill.habit is FillHabit.TOP_UP:
        return
    policy = replace(search.trip.policy, fill=FillHabit.TOP_UP)
    yield Proposal(
        MendKind.FILL,
        'Fill all that you have at the start and at every call: fill = "top-up" under [policy].',
        "It is more to carry: weigh it, and try at home whether you can.",
        search.with_trip(replace(search.trip, policy=policy)),
        search.water,
    )


def _by_ration(search: MendSearch) -> Iterator[Proposal]:
    trip = on_ration(search.trip, Ration.LEAN) or on_ration(search.trip, Ration.BARE)
    if trip is None:
        return
    kept = {use.name for use in trip.uses}
    given_up = ", ".join(use.name for use in search.trip.uses if use.name not in kept)
    yield Proposal(
        MendKind.RATION,
        f"Do without these uses {since_when(search.trip)}: {given_up}.",
        "All must hold to it; nobody saves on drinking. Ask for medical advice where somebody"
        " needs more.",
        search.with_trip(trip),
        search.water,
    )


def _by_finding_out(search: MendSearch, now: Headline) -> Iterator[tuple[DryStretch, Proposal]]:
    """Yield the uncertain sources at calls, those that leave no way first, then the least sure."""
    ends: Mapping[str, DryStretch] = {
        one.end.water.source.id: one for one in search.settled.stretches if one.end.water
    }
    unsure = [
        one
        for one in search.settled.passes
        if one.call and one.source.id in ends and not one.judgement.is_sure
    ]
    unsure.sort(key=lambda one: (no_way_point(one.source) not in now.points, one.judgement.chance))
    for water in unsure[:MOST_ASKED_ABOUT]:
        sure = known_to_hold(water.source, search.prepared.departs_on)
        sources = tuple(sure if one.id == sure.id else one for one in search.water.sources)
        yield (
            ends[sure.id],
            Proposal(
                MendKind.CONFIRMED,
                f"Find out about {sure.name} (km {water.km:.1f}, {water.offset_km:.1f} km off the"
                " route). You would have to know that there is water in it when you come (it is"
                f" {water.judgement.certainty.value}: {water.judgement.why}).",
                _FIND_OUT,
                search.prepared,
                replace(search.water, sources=sources),
                None,
                MendFigures(at_km=water.km),
            ),
        )
