"""The clock of a party that really goes to every counted water.

The base clock knows no ways off the route, so it brings the party to later stretches too early.
With the ways, a stretch may begin late in the day and hold a night more. Where that asks for more
water, the fills carry it.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from longdry.computing.stretches import Going
from longdry.model.dry_stretch import DryStretch, Late, Span

_HAIR_L = 1e-9


def late_spans(stretches: Sequence[DryStretch], going: Going) -> tuple[Span, ...]:
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


def told_late(stretches: Sequence[DryStretch], going: Going) -> tuple[DryStretch, ...]:
    """Give each stretch what it asks for when the ways to water before it make that more."""
    if not any(stretch.end.way_km for stretch in stretches):
        return tuple(stretches)
    return tuple(
        dataclasses.replace(stretch, late=_late(stretch, span, going))
        for stretch, span in zip(stretches, late_spans(stretches, going), strict=True)
    )


def _late(stretch: DryStretch, span: Span, going: Going) -> Late | None:
    after_end = going.trip.policy.days_after_end if stretch.end.water is None else 0.0
    late = going.asking.needs(span, stretch.length_km, extra_days=after_end)
    larger = tuple(
        two if two.need.total_l > one.need.total_l + _HAIR_L else one
        for one, two in zip(stretch.needs, late, strict=True)
    )
    return None if larger == stretch.needs else Late(span, larger)
