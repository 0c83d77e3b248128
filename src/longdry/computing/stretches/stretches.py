"""From counted passes and the clock to dry stretches."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from longdry.computing.clock.clock import Call, Clock
from longdry.computing.needs.needs import HeatDemand, WaterDemand
from longdry.computing.stretches.verdicts import capacity_l, ration_that_does, verdict_of
from longdry.model.plan.stretch import DryStretch, Span, StretchEnd
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass


@dataclass(frozen=True, slots=True)
class StretchContext:
    """What the judging of stretches rests on."""

    trip: Trip
    clock: Clock
    heat: HeatDemand
    length_km: float
    """Of the route, without ways."""
    asking: WaterDemand = field(init=False, repr=False, compare=False)
    """What the trip asks for in this heat."""
    capacity_l: float = field(init=False, repr=False, compare=False)
    """All that the trip's containers hold."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "asking", WaterDemand(self.trip, self.heat))
        object.__setattr__(self, "capacity_l", capacity_l(self.trip))


def stretch_ends(passes: Sequence[WaterPass], length_km: float) -> tuple[StretchEnd, ...]:
    """Return the start, the counted passes and the end, in travel order.

    >>> stretch_ends([], 12.0)
    (StretchEnd(km=0.0, water=None), StretchEnd(km=12.0, water=None))
    """
    counted = [StretchEnd(p.km, p) for p in sorted(passes, key=lambda p: p.km) if p.counted]
    return (StretchEnd(0.0), *counted, StretchEnd(length_km))


def dry_stretches(ends: Sequence[StretchEnd], going: StretchContext) -> tuple[DryStretch, ...]:
    """Judge what lies between each two neighbouring ends, with all that can be on board."""
    return stretches_with(ends, going, [None] * (len(ends) - 1))


def stretches_with(
    ends: Sequence[StretchEnd], going: StretchContext, on_board_l: Sequence[float | None]
) -> tuple[DryStretch, ...]:
    """Judge all stretches at once: see `judged`.

    Parameters
    ----------
    on_board_l
        What the party has on leaving each end but the last; None: all that can be.
    """
    parts = zip(itertools.pairwise(ends), on_board_l, strict=True)
    return tuple(
        judged(number, begin, end, going, on_board_l=litres)
        for number, ((begin, end), litres) in enumerate(parts, 1)
    )


def judged(
    number: int,
    begin: StretchEnd,
    end: StretchEnd,
    going: StretchContext,
    *,
    on_board_l: float | None = None,
    vain: Sequence[StretchEnd] = (),
) -> DryStretch:
    """Return one stretch with its length, its time, its needs and its verdict.

    Parameters
    ----------
    on_board_l
        What the party has on leaving the beginning; None: all that can be.
    vain
        Dry sources in between, by km, at which the party calls in vain.
    """
    length_km = length_between(begin, end) + sum(2 * v.way_km for v in vain)
    span = span_between(begin, end, going, vain=vain)
    return _judged_over(_Way(number, begin, end, length_km, span), going, on_board_l)


class _Way(NamedTuple):
    number: int
    begin: StretchEnd
    end: StretchEnd
    length_km: float
    span: Span


def _judged_over(way: _Way, going: StretchContext, on_board_l: float | None) -> DryStretch:
    number, begin, end, length_km, span = way
    trip = going.trip
    after_end = trip.policy.days_after_end if end.water is None else 0.0
    needs = going.asking.needs(span, length_km, extra_days=after_end)
    reserve_l = going.asking.reserve_l(span)
    holds_l = going.capacity_l
    available_l = _available_l(begin, trip, holds_l) if on_board_l is None else on_board_l
    return DryStretch(
        number=number,
        begin=begin,
        end=end,
        length_km=length_km,
        span=span,
        needs=needs,
        reserve_l=reserve_l,
        capacity_l=holds_l,
        available_l=available_l,
        verdict=verdict_of(needs, reserve_l, available_l, containers=bool(trip.containers)),
        ration_that_does=ration_that_does(needs, available_l),
    )


def length_between(begin: StretchEnd, end: StretchEnd) -> float:
    """Return the km from the water at one end to that at the other, ways off the route included."""
    return begin.way_km + (end.km - begin.km) + end.way_km


def span_between(
    begin: StretchEnd, end: StretchEnd, going: StretchContext, *, vain: Sequence[StretchEnd] = ()
) -> Span:
    """Return how long it takes from the water at one end to that at the other; see `judged`."""
    off_kmh = going.trip.pace.off_route_kmh
    return going.clock.span(
        begin.km,
        end.km,
        way_back_h=begin.way_km / off_kmh,
        way_out_h=end.way_km / off_kmh,
        calls=[Call(v.km, 2 * v.way_km / off_kmh) for v in vain],
    )


def held_by(stretch: DryStretch, trip: Trip) -> DryStretch:
    """Judge the same stretch with other containers; time and needs stay."""
    holds_l = capacity_l(trip)
    available_l = _available_l(stretch.begin, trip, holds_l)
    has_any = bool(trip.containers)
    return replace(
        stretch,
        capacity_l=holds_l,
        available_l=available_l,
        verdict=verdict_of(stretch.needs, stretch.reserve_l, available_l, containers=has_any),
        ration_that_does=ration_that_does(stretch.needs, available_l),
    )


def _available_l(begin: StretchEnd, trip: Trip, holds_l: float) -> float:
    if begin.water is not None:
        return holds_l
    held = [box.count * (box.holds_l or 0.0) for box in trip.containers]
    if any(box.holds_l is not None for box in trip.containers):
        return min(sum(held), holds_l)
    at_start_l = trip.policy.start_on_board_l
    return holds_l if at_start_l is None else min(at_start_l, holds_l)
