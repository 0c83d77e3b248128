"""The party on its own clock, off the plan: on to water or back to it.

Such a party moves through the moving hours of each day and camps where they end. It keeps no
camps that the trip pins and rests on no day.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from longdry.computing.clock.clock import Clock
from longdry.computing.clock.day_rules import Moment
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.model.plan.setbacks import WayOut
from longdry.model.plan.stretch import StretchEnd
from longdry.model.plan.travel import MOVES, Doing, TravelTime
from longdry.model.trip.trip import Trip
from longdry.model.words import Ration
from longdry.units import TOLERANCE_L

LEAST_MARGIN_L_A_HEAD = 1.0
"""What must be left over of the litres of any way off the plan. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class WayOffPlan:
    """What it takes to get from one place to another."""

    arrived: Moment
    length_km: float
    travel: TravelTime
    litres: Mapping[Ration, float]
    """What it takes on each ration, the fullest first."""

    @property
    def bare_l(self) -> float:
        """Litres on the bare ration."""
        return self.litres[Ration.BARE]


def with_margin(litres: float, trip: Trip) -> float:
    """Return what must be left for a way off the plan: its litres and the margin.

    The trip's share of them (`turn_back_margin`), and at least a litre a head.
    """
    share_l = litres * trip.policy.turn_back_margin
    return litres + max(share_l, LEAST_MARGIN_L_A_HEAD * trip.party.people)


def ration_for(litres: Mapping[Ration, float], left_l: float, trip: Trip) -> Ration | None:
    """Return the fullest ration whose litres are left with their margin; None: no ration."""
    for ration, way_l in litres.items():
        if with_margin(way_l, trip) <= left_l + TOLERANCE_L:
            return ration
    return None


def way_between(
    plan: SuppliedPlan,
    leaves: Moment,
    here: StretchEnd,
    there: StretchEnd,
    vain: Sequence[StretchEnd] = (),
) -> WayOffPlan:
    """Return the way from a place beside the route to another, onward or back.

    Parameters
    ----------
    vain
        Where the party calls on the way and gets nothing.
    """
    off_km = here.way_km + there.way_km + sum(2.0 * end.way_km for end in vain)
    return way_off_plan(plan, leaves, here.km, there, off_km)


def way_off_plan(
    plan: SuppliedPlan, leaves: Moment, from_km: float, there: StretchEnd, off_km: float
) -> WayOffPlan:
    """Return the way from a km of the route to a place beside it.

    Parameters
    ----------
    off_km
        What of it is off the route.
    """
    hours = off_km / plan.journey.clock.off_route_kmh + _hours(plan, from_km, there.km)
    travel, arrived = plan.journey.clock.freely(
        leaves, hours, way_km=off_km, from_km=from_km, to_km=there.km
    )
    after_end = _days_after_end(plan, from_km, there)
    litres = plan.demand.off_plan().litres(travel, extra_days=after_end)
    return WayOffPlan(arrived, off_km + abs(there.km - from_km), travel, litres)


def _days_after_end(plan: SuppliedPlan, from_km: float, there: StretchEnd) -> float:
    ends_route = there is plan.ends[-1] and there.km > from_km
    return plan.trip.policy.days_after_end if ends_route else 0.0


def _hours(plan: SuppliedPlan, from_km: float, to_km: float) -> float:
    onward = plan.journey.clock.profile
    if to_km >= from_km:
        return onward.between(from_km, to_km)
    return (plan.back or onward).between(to_km, from_km)


def way_out(way: WayOffPlan, there: StretchEnd, left_l: float, trip: Trip) -> WayOut:
    """Return the way with what the party has for it."""
    return WayOut(
        to_km=there.km,
        to_label=there.label,
        length_km=way.length_km,
        days=way.travel.days,
        left_l=left_l,
        bare_l=way.bare_l,
        asked_l=with_margin(way.bare_l, trip),
        ration=ration_for(way.litres, left_l, trip),
    )


def moment_after(clock: Clock, leaves: Moment, done: TravelTime) -> Moment:
    """Return the moment at the end of a part of a stretch.

    Parameters
    ----------
    leaves
        When the stretch began.
    done
        What was done of it since: see `TravelTime.until_km`.
    """
    now = leaves
    for piece in done.pieces:
        if piece.doing is Doing.NIGHT:
            if piece.end_h == clock.rules.begins(piece.day + 1):
                now = clock.rules.day_begun(piece.day + 1, piece.to_km)
            else:  # a whole day lost: the hours left before it are left after it
                now = Moment(piece.end_h, piece.day + 1, now.left_h, now.begun_km)
        elif piece.doing in MOVES:
            now = Moment(piece.end_h, now.day, now.left_h - piece.hours, now.begun_km)
        else:
            now = now.at(piece.end_h)
    return now.at(max(now.hour, done.end_h))
