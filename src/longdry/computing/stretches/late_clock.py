"""The clock of a party that really goes to every counted water.

The base clock knows no ways off the route, so it brings the party to later stretches too early.
With the ways, a stretch may begin late in the day, hold a night more, or come into hotter days.
Where that asks for more of any use, or for more in reserve, the fills carry it, and of every other
use what the base clock asks for.
"""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Sequence

from longdry.computing.stretches.stretches import StretchContext
from longdry.model.plan.stretch import DryStretch, Late, Need, RationNeed, Span, UseNeed

TOLERANCE_L = 1e-9


def late_spans(stretches: Sequence[DryStretch], going: StretchContext) -> tuple[Span, ...]:
    """Return the span of each stretch when all ways to water before it have been gone."""
    clock, off_kmh = going.clock, going.trip.pace.off_route_kmh
    now = clock.depart
    spans = []
    for stretch in stretches:
        begin, end = stretch.begin, stretch.end
        leaves = clock.after_camp_at_water(now, begin.km)
        now = clock.onward(
            leaves,
            begin.km,
            end.km,
            way_back_h=begin.way_km / off_kmh,
            way_out_h=end.way_km / off_kmh,
        )
        spans.append(clock.between(leaves, now))
    return tuple(spans)


def told_late(stretches: Sequence[DryStretch], going: StretchContext) -> tuple[DryStretch, ...]:
    """Give each stretch what it asks for when the ways to water before it make that more."""
    if not any(stretch.end.way_km for stretch in stretches):
        return tuple(stretches)
    return tuple(
        dataclasses.replace(stretch, late=_late(stretch, span, going))
        for stretch, span in zip(stretches, late_spans(stretches, going), strict=True)
    )


def _late(stretch: DryStretch, span: Span, going: StretchContext) -> Late | None:
    after_end = going.trip.policy.days_after_end if stretch.end.water is None else 0.0
    late = going.asking.needs(span, stretch.length_km, extra_days=after_end)
    both = list(zip(stretch.needs, late, strict=True))
    reserve, late_reserve = going.asking.reserve(stretch.span), going.asking.reserve(span)
    if not _asks_for_more(late_reserve, reserve) and not any(
        _asks_for_more(two.need, one.need) for one, two in both
    ):
        return None
    loss_percent = going.trip.policy.loss_percent
    larger = (
        RationNeed(one.ration, larger_of_each_use(one.need, two.need, loss_percent))
        for one, two in both
    )
    return Late(span, tuple(larger), larger_of_each_use(reserve, late_reserve, loss_percent))


def larger_of_each_use(one: Need, other: Need, loss_percent: float) -> Need:
    """Return what does for either need, of the same uses: of each use the larger litres.

    Neither total says it: on one clock the nights may ask for more, on the other the heat, and
    more in all may be less that is potable. By the use, no ration asks for more than a fuller one.

    Parameters
    ----------
    loss_percent
        Losses on top of the uses.
    """
    by_use = tuple(max(pair, key=_litres) for pair in _pairs(one, other))
    return Need(by_use, losses_l=sum(use.litres for use in by_use) * loss_percent / 100.0)


def _asks_for_more(one: Need, other: Need) -> bool:
    return any(mine.litres > theirs.litres + TOLERANCE_L for mine, theirs in _pairs(one, other))


def _pairs(one: Need, other: Need) -> list[tuple[UseNeed, UseNeed]]:
    """Return the uses of both; drinking that heat adds to one of them alone stands first there."""
    backwards = itertools.zip_longest(reversed(one.by_use), reversed(other.by_use))
    pairs = [(mine or _none_of(theirs), theirs or _none_of(mine)) for mine, theirs in backwards]
    return pairs[::-1]


def _none_of(use: UseNeed) -> UseNeed:
    return dataclasses.replace(use, litres=0.0)


def _litres(use: UseNeed) -> float:
    return use.litres
