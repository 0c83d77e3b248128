"""What it costs in water to lay a cache from the water at one end of a stretch."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from longdry.computing.moving_hours import Moment
from longdry.computing.stretches import Going
from longdry.computing.verdicts import capacity_l
from longdry.model.dry_stretch import DryStretch, Span, StretchEnd
from longdry.model.party import Container
from longdry.model.trip import Trip
from longdry.model.words import Ration
from longdry.units import HOURS_PER_DAY, KG_PER_L_WATER


@dataclass(frozen=True, slots=True)
class Laying:
    """The journeys that lay a cache."""

    base: StretchEnd
    """The water that it is laid from."""
    journeys: int
    """Out and back, each."""
    km: float
    """Of all journeys, out and back, ways off the route included."""
    days: float
    """Elapsed, of all journeys."""
    need_l: float
    """Used up by the party on all journeys, at its own rates on the full ration."""


def laying_from(
    base: StretchEnd, at_km: float, litres: float, stretch: DryStretch, going: Going
) -> Laying | None:
    """Return what it takes to lay litres at a km from a base, and go back to the base.

    The party goes as it travels, with its own containers, and keeps its reserve. Each journey
    begins with the moving hours of a day; of the days of the trip, those from the beginning of the
    stretch on are taken for the heat.

    Returns
    -------
    Laying or None
        None where the way out and back takes all that can be carried.
    """
    span = _out_and_back(base, at_km, stretch, going)
    length_km = 2.0 * (base.way_km + abs(at_km - base.km))
    need_l = going.asking.need_l(Ration.FULL, span, length_km)
    spare_l = _given_l(base, going.trip) - need_l - going.asking.reserve_l(span)
    if spare_l <= 0.0:
        return None
    journeys = math.ceil(litres / spare_l)
    return Laying(base, journeys, journeys * length_km, journeys * span.days, journeys * need_l)


def _given_l(base: StretchEnd, trip: Trip) -> float:
    """Return what can be taken from the base at one visit and carried."""
    limit_l = base.water.source.limit_l if base.water else None
    carried_l = most_carried_l(trip)
    return carried_l if limit_l is None else min(carried_l, limit_l)


def _out_and_back(base: StretchEnd, at_km: float, stretch: DryStretch, going: Going) -> Span:
    clock = going.clock
    on_route_h = clock.profile.between(min(base.km, at_km), max(base.km, at_km))
    one_way_h = on_route_h + base.way_km / going.trip.pace.off_route_kmh
    day = int((stretch.span.start_h + clock.depart.hour) // HOURS_PER_DAY)
    begin = Moment(clock.moving.first_hour + day * HOURS_PER_DAY, day)
    end = clock.moving.after_moving(begin, 2.0 * one_way_h)
    return Span(
        start_h=begin.hour - clock.depart.hour,
        end_h=end.hour - clock.depart.hour,
        nights=end.day - begin.day,
    )


def most_carried_l(trip: Trip) -> float:
    """Return the litres that the containers hold and the payload left can carry."""
    left_l = {
        vehicle.name: max(vehicle.payload_left_kg, 0.0) / KG_PER_L_WATER
        for vehicle in trip.vehicles
    }
    carried_l = 0.0
    for name, payload_l in left_l.items():
        boxes = tuple(box for box in trip.containers if box.vehicle == name)
        tare_l = sum(box.count * box.tare_kg for box in boxes) / KG_PER_L_WATER
        carried_l += min(_holding(trip, boxes), max(payload_l - tare_l, 0.0))
    loose = tuple(box for box in trip.containers if box.vehicle not in left_l)
    return carried_l + _holding(trip, loose)


def _holding(trip: Trip, boxes: tuple[Container, ...]) -> float:
    return capacity_l(replace(trip, containers=boxes))
