"""The whole computation, read like a table of contents."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from longdry.computing.approaches import find_approaches
from longdry.computing.chainage import measure_route
from longdry.computing.counting import Counting, passes_of
from longdry.computing.day_assumptions import assumptions_of_days
from longdry.computing.day_table import DayTable
from longdry.computing.day_warnings import warnings_of_days
from longdry.computing.daylight import local_time
from longdry.computing.other_way_round import mirrored_trip
from longdry.computing.plan_assumptions import assumptions_of
from longdry.computing.plan_steps import Ahead, Outset, dates_on, departure_date, look_ahead
from longdry.computing.plan_warnings import gravest_first, warnings_of
from longdry.computing.swapped_places import warnings_of_swapped
from longdry.computing.travel_days import travel_days
from longdry.computing.verdicts import standing_out
from longdry.model.fill_way import FILL_LEAST, FillWay
from longdry.model.inquiry import USUAL_INQUIRY, Inquiry
from longdry.model.plan import Plan
from longdry.model.route import MeasuredRoute, Route
from longdry.model.trip import Trip
from longdry.model.water_pass import WaterPass
from longdry.model.water_source import WaterLayer, WaterSource
from longdry.model.words import CountOn

if TYPE_CHECKING:
    from longdry.computing.carrying import Carrying


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
    counting = Counting(count_on, dates_on(measured, going_trip))
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
    ).told(travel_days(going.clock, measured.length_km, departure_date(going_trip)))
    plan = Plan(
        measured=measured,
        trip=going_trip,
        sources=layer.sources,
        passes=passes,
        stretches=stretches,
        days=days,
        longest=standing_out(stretches),
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
    counting: Counting,
    *,
    fill: FillWay,
    inquiry: Inquiry,
) -> Carrying | None:
    if not ahead.going.trip.containers:
        return None
    from longdry.computing.carrying import carrying_of  # noqa: PLC0415 - loaded when needed

    return carrying_of(ahead, ahead.stretches(), sources, counting, fill=fill, inquiry=inquiry)


def _measured(route: Route, trip: Trip, *, reverse: bool) -> MeasuredRoute:
    line = route.reversed() if reverse else route
    return measure_route(line, winding_factor=trip.pace.winding_factor)


def _passes(
    measured: MeasuredRoute, sources: Sequence[WaterSource], trip: Trip, counting: Counting
) -> tuple[WaterPass, ...]:
    approaches = find_approaches(
        measured,
        np.array([source.lat_deg for source in sources], dtype=np.float64),
        np.array([source.lon_deg for source in sources], dtype=np.float64),
        max_detour_km=trip.policy.max_detour_km,
    )
    return passes_of(approaches, sources, trip, counting)
