"""The whole computation, read like a table of contents."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from longdry.computing.fills.settled import Water
from longdry.computing.plan.assumptions import assumptions_of, assumptions_of_days
from longdry.computing.plan.container_results import container_results
from longdry.computing.plan.days import DayTable
from longdry.computing.plan.grave_warnings import grave_warnings_of
from longdry.computing.plan.headline import headline_of, most_to_carry
from longdry.computing.plan.rounds import settled_trip
from longdry.computing.plan.stops import longest_without_water, stops_of
from longdry.computing.plan.warnings import gravest_first, warnings_of, warnings_of_days
from longdry.computing.route.approaches import find_approaches
from longdry.computing.route.chainage import measure_route
from longdry.computing.route.mirrored import mirrored_trip
from longdry.computing.stretches.prepared import PreparedTrip, prepare
from longdry.computing.stretches.verdicts import extremes
from longdry.computing.water.passes import warnings_of_swapped
from longdry.model.plan.fills import USUAL_FILL, FillWay
from longdry.model.plan.plan import Plan
from longdry.model.route import MeasuredRoute, Route
from longdry.model.trip.trip import Trip
from longdry.model.trip.what_if import USUAL_INQUIRY, Inquiry
from longdry.model.water.source import WaterLayer, WaterSource
from longdry.model.words import CountOn


def plan_trip(
    route: Route,
    water: WaterLayer | Sequence[WaterSource],
    trip: Trip,
    *,
    reverse: bool = False,
    count_on: CountOn = CountOn.LIKELY,
    fill: FillWay = USUAL_FILL,
    inquiry: Inquiry = USUAL_INQUIRY,
) -> Plan:
    """Work out passes, clock, stretches, needs and verdicts of a trip.

    Parameters
    ----------
    route
        The line in travel order.
    water
        The sources; a bare sequence is a layer without remarks.
    trip
        Party, uses, containers, pace and policy; km in it count along the route as drawn.
    reverse
        Travel the route from its end to its start; the km of the trip turn with it.
    count_on
        How certain a source must be to end a stretch.
    fill
        The habit of filling, and whether only whole containers are filled.
    inquiry
        What is asked about what may go wrong.

    Raises
    ------
    RouteFileError
        Where a break of the route is too long to bridge.
    TripFileError
        Where a pinned camp is not on the route.
    """
    layer = water if isinstance(water, WaterLayer) else WaterLayer(tuple(water))
    measured = _measured(route, trip, reverse=reverse)
    prepared = prepare(measured, mirrored_trip(trip, measured.length_km) if reverse else trip)
    near = _water_near(prepared, layer, count_on)
    settled = settled_trip(prepared, near, fill)
    carrying = container_results(settled, near, inquiry) if settled.filling else None
    days = DayTable(settled.journey, settled.passes, settled.stretches).rows()
    plan = Plan(
        measured=measured,
        trip=prepared.trip,
        sources=layer.sources,
        passes=settled.passes,
        stretches=settled.stretches,
        stops=stops_of(settled),
        days=days,
        headline=headline_of(settled, carrying.setbacks if carrying else None),
        most_to_carry=most_to_carry(settled.stretches),
        longest=extremes(settled.stretches),
        longest_without_water=longest_without_water(settled),
        warnings=gravest_first(
            [
                *warnings_of(settled, layer),
                *grave_warnings_of(settled, days),
                *(carrying.warnings_of_fills() if carrying else ()),
                *warnings_of_swapped(measured, layer.sources, settled.passes),
                *warnings_of_days(days, settled.journey.heat),
                *(carrying.warnings_of_setbacks() if carrying else ()),
            ]
        ),
        assumptions=(
            *assumptions_of(measured, layer, settled.passes, prepared.trip, count_on),
            *(carrying.assumptions() if carrying else ()),
            *assumptions_of_days(prepared),
        ),
    )
    return carrying.added_to(plan) if carrying else plan


def _measured(route: Route, trip: Trip, *, reverse: bool) -> MeasuredRoute:
    line = route.reversed() if reverse else route
    return measure_route(line, winding_factor=trip.pace.winding_factor)


def _water_near(prepared: PreparedTrip, layer: WaterLayer, count_on: CountOn) -> Water:
    approaches = find_approaches(
        prepared.measured,
        np.array([source.lat_deg for source in layer.sources], dtype=np.float64),
        np.array([source.lon_deg for source in layer.sources], dtype=np.float64),
        max_detour_km=prepared.trip.policy.max_detour_km,
    )
    return Water(tuple(approaches), layer.sources, count_on)
