"""Mend: camp at the water, or take the days of rest there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from longdry.computing.clock.camps import pinned_camps
from longdry.computing.mends.trials import MendSearch, Proposal
from longdry.model.plan.mends import MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.trip.trip import PinnedCamp

_CAUTION = (
    "Camp 200 m from the water, never in a creek bed, and leave stock and wildlife their way to it."
    " Ask the land manager first whether you may camp there."
)


def by_camp(search: MendSearch, stretch: DryStretch) -> Iterator[Proposal]:
    """Yield what moves nights of a stretch to the water at one of its ends."""
    for index, camp in enumerate(search.trip.camps):
        (pinned,) = pinned_camps(replace(search.trip, camps=(camp,)), search.prepared.measured)
        if pinned in search.journey.clock.camps and _is_in(pinned.km, stretch):
            for end in _waters_by_way(stretch, pinned.km):
                yield from _moved(search, stretch, index, pinned.km, end)
    if stretch.begin.water and stretch.nights and not _nights_before(search, stretch):
        at_water = PinnedCamp(km=stretch.begin.km, at_water=True)
        yield from _hopeful(
            search,
            stretch,
            (*search.trip.camps, at_water),
            stretch.begin,
            f"Camp at {_place(stretch.begin)} and go on the next morning.",
        )


def _is_in(km: float, stretch: DryStretch) -> bool:
    return stretch.begin.km <= km <= stretch.end.km


def _waters_by_way(stretch: DryStretch, km: float) -> list[StretchEnd]:
    ends = [end for end in (stretch.begin, stretch.end) if end.water]
    return sorted(ends, key=lambda end: abs(end.km - km))


def _nights_before(search: MendSearch, stretch: DryStretch) -> int:
    return search.journey.itinerary.stays[stretch.number - 2].nights


def _moved(
    search: MendSearch, stretch: DryStretch, index: int, km: float, end: StretchEnd
) -> Iterator[Proposal]:
    """Yield a pinned camp moved to the water, then its days of rest alone."""
    camps = search.trip.camps
    camp = camps[index]
    rest = camp.rest_days
    at_water = PinnedCamp(rest_days=rest, km=end.km, at_water=True)
    days = {0: "", 1: ", the day of rest too"}.get(rest, f", the {rest} days of rest too")
    moved = f"Camp at {_place(end)}{days}, instead of at km {km:.1f}."
    yield from _hopeful(search, stretch, _with(camps, index, at_water), end, moved)
    if rest:
        night = replace(camp, rest_days=0)
        moved = f"Rest at {_place(end)} and not at km {km:.1f}: camp there one night only."
        yield from _hopeful(search, stretch, (*_with(camps, index, night), at_water), end, moved)


def _with(camps: Sequence[PinnedCamp], index: int, camp: PinnedCamp) -> tuple[PinnedCamp, ...]:
    return (*camps[:index], camp, *camps[index + 1 :])


def _place(end: StretchEnd) -> str:
    return f"{end.label} (km {end.km:.1f})"


def _hopeful(
    search: MendSearch,
    stretch: DryStretch,
    camps: tuple[PinnedCamp, ...],
    end: StretchEnd,
    change: str,
) -> Iterator[Proposal]:
    prepared = search.with_trip(replace(search.trip, camps=camps))
    promise = search.guess(stretch, prepared)
    if promise is not None:
        yield Proposal(
            MendKind.CAMP,
            change,
            _CAUTION,
            prepared,
            search.water,
            promise,
            MendFigures(at_km=end.km),
        )
