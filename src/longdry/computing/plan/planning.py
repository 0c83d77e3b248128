"""The whole computation, read like a table of contents."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from longdry.computing.clock.daylight import local_time
from longdry.computing.clock.days import travel_days
from longdry.computing.plan.assumptions import assumptions_of, assumptions_of_days
from longdry.computing.plan.container_results import ContainerResults, carrying_of
from longdry.computing.plan.days import DayTable
from longdry.computing.plan.warnings import gravest_first, warnings_of, warnings_of_days
from longdry.computing.route.approaches import find_approaches
from longdry.computing.route.chainage import measure_route
from longdry.computing.route.mirrored import mirrored_trip
from longdry.computing.stretches.outlook import Ahead, Outset, dates_on, departure_date, look_ahead
from longdry.computing.stretches.verdicts import extremes
from longdry.computing.water.passes import CountingRule, passes_of, warnings_of_swapped
from longdry.model.plan.fills import FILL_LEAST, FillWay
from longdry.model.plan.plan import Plan
from longdry.model.route import MeasuredRoute, Route
from longdry.model.trip.trip import Trip
from longdry.model.trip.what_if import USUAL_INQUIRY, Inquiry
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterLayer, WaterSource
from longdry.model.words import CountOn


def plan_trip(
    route: Route,
    water: WaterLayer | Sequence[WaterSource],
    trip: Trip,
    *,
    reverse: bool = False,
    count_on: CountOn = CountOn.LIKELY,
    fill: FillWay = FILL_LEAST,
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
    going_trip = mirrored_trip(trip, measured.length_km) if reverse else trip
    counting = CountingRule(count_on, dates_on(measured, going_trip))
    passes = _passes(measured, layer.sources, going_trip, counting)
    ahead = look_ahead(Outset(measured, going_trip, passes))
    going, heat = ahead.going, ahead.heat
    carrying = _carrying(ahead, layer.sources, counting, fill=fill, inquiry=inquiry)
    stretches = carrying.stretches if carrying else ahead.stretches()
    filling = carrying.filling if carrying else None
    days = DayTable(
        measured=measured,
        trip=going_trip,
        clock=going.clock,
        clocks=local_time(going_trip.utc_offset_h, float(measured.route.lon_deg[0])),
        passes=passes,
        heat=heat,
        stretches=stretches,
        fills=filling.chosen if filling else None,
    ).notes(travel_days(going.clock, measured.length_km, departure_date(going_trip)))
    plan = Plan(
        measured=measured,
        trip=going_trip,
        sources=layer.sources,
        passes=passes,
        stretches=stretches,
        days=days,
        longest=extremes(stretches),
        warnings=gravest_first(
            [
                *warnings_of(measured, layer, stretches, going, filling),
                *(carrying.warnings_of_fills() if carrying else ()),
                *warnings_of_swapped(measured, layer.sources, passes),
                *warnings_of_days(days, heat),
                *(carrying.warnings_of_setbacks() if carrying else ()),
            ]
        ),
        assumptions=(
            *assumptions_of(measured, layer, passes, going_trip, count_on),
            *(carrying.assumptions() if carrying else ()),
            *assumptions_of_days(measured, going_trip, ahead.pace),
        ),
    )
    return carrying.added_to(plan) if carrying else plan


def _carrying(
    ahead: Ahead,
    sources: Sequence[WaterSource],
    counting: CountingRule,
    *,
    fill: FillWay,
    inquiry: Inquiry,
) -> ContainerResults | None:
    if not ahead.going.trip.containers:
        return None

    return carrying_of(ahead, ahead.stretches(), sources, counting, fill=fill, inquiry=inquiry)


def _measured(route: Route, trip: Trip, *, reverse: bool) -> MeasuredRoute:
    line = route.reversed() if reverse else route
    return measure_route(line, winding_factor=trip.pace.winding_factor)


def _passes(
    measured: MeasuredRoute, sources: Sequence[WaterSource], trip: Trip, counting: CountingRule
) -> tuple[WaterPass, ...]:
    approaches = find_approaches(
        measured,
        np.array([source.lat_deg for source in sources], dtype=np.float64),
        np.array([source.lon_deg for source in sources], dtype=np.float64),
        max_detour_km=trip.policy.max_detour_km,
    )
    return passes_of(approaches, sources, trip, counting)
