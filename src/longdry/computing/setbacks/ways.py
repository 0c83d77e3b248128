"""The party on its own clock, off the plan: on to water or back to it.

Such a party moves through the moving hours of each day and camps where they end. It keeps no
camps that the trip pins and rests on no day.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from longdry.computing.clock.moving_hours import Moment
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.stretches.verdicts import fullest_that_does
from longdry.model.plan.setbacks import WayOut
from longdry.model.plan.stretch import DryStretch, RationNeed, Span, StretchEnd
from longdry.model.words import Ration


@dataclass(frozen=True, slots=True)
class Way:
    """What it takes to get from one place to another."""

    arrived: Moment
    length_km: float
    span: Span
    litres: Mapping[Ration, float]
    """What it asks for on each ration, the fullest first."""

    @property
    def bare_l(self) -> float:
        """Litres on the bare ration."""
        return self.litres[Ration.BARE]


def way_between(
    plan: SuppliedPlan,
    leaves: Moment,
    here: StretchEnd,
    there: StretchEnd,
    vain: Sequence[StretchEnd] = (),
) -> Way:
    """Return the way from a place beside the route to another, onward or back.

    Parameters
    ----------
    vain
        Where the party calls on the way and gets nothing.
    """
    off_km = here.way_km + there.way_km + sum(2.0 * end.way_km for end in vain)
    off_h = off_km / plan.going.trip.pace.off_route_kmh
    moving_h = off_h + _hours(plan, here.km, there.km)
    arrived = plan.going.clock.moving.after_moving(leaves, moving_h)
    span = plan.going.clock.between(leaves, arrived)
    length_km = off_km + abs(there.km - here.km)
    after_end = _days_after_end(plan, here, there)
    litres = plan.going.asking.litres(span, length_km, extra_days=after_end)
    return Way(arrived, length_km, span, litres)


def _days_after_end(plan: SuppliedPlan, here: StretchEnd, there: StretchEnd) -> float:
    ends_route = there.water is None and there.km > here.km
    return plan.going.trip.policy.days_after_end if ends_route else 0.0


def _hours(plan: SuppliedPlan, from_km: float, to_km: float) -> float:
    if to_km >= from_km:
        return plan.going.clock.profile.between(from_km, to_km)
    profile = plan.back or plan.going.clock.profile
    return profile.between(to_km, from_km)


def way_out(way: Way, there: StretchEnd, left_l: float) -> WayOut:
    """Return the way with what the party has for it."""
    return WayOut(
        to_km=there.km,
        to_label=there.label,
        length_km=way.length_km,
        days=way.span.days,
        left_l=left_l,
        bare_l=way.bare_l,
        ration=fullest_that_does(way.litres, left_l),
    )


def moment_at_end(plan: SuppliedPlan, from_km: float, span: Span) -> Moment:
    """Return when a stretch from ``from_km`` that takes ``span`` ends."""
    clock = plan.going.clock
    return Moment(clock.depart.hour + span.end_h, clock.departure_from(from_km).day + span.nights)


def planned_ration(stretch: DryStretch) -> Ration:
    """Return what the party lives on in a stretch: the fullest ration that does, or the bare."""
    return stretch.ration_that_does or Ration.BARE


def need_on(needs: tuple[RationNeed, ...], ration: Ration) -> float:
    """Return the litres on a ration."""
    return next(one.need.total_l for one in needs if one.ration is ration)
