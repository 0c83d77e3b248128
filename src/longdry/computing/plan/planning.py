"""The whole computation, read like a table of contents."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from longdry.computing.fills.drawing import draws_of
from longdry.computing.fills.filling import Filling
from longdry.computing.fills.remarks import assumptions_of_fills, loads_of, warnings_of_fills
from longdry.computing.fills.settled import SettledTrip, Water
from longdry.computing.mends.headline import HeadlineSearch
from longdry.computing.mends.search import mends_of
from longdry.computing.plan.assumptions import assumptions_of, assumptions_of_days
from longdry.computing.plan.days import DayTable, stops_of
from longdry.computing.plan.grave_warnings import grave_warnings_of, warnings_of_setbacks
from longdry.computing.plan.headline import headline_of, longest_without_water, most_to_carry
from longdry.computing.plan.rounds import settled_trip
from longdry.computing.plan.warnings import gravest_first, warnings_of, warnings_of_days
from longdry.computing.road.least import least_litres
from longdry.computing.road.rest import as_the_tally_found, rest_of_trip
from longdry.computing.route.approaches import find_approaches
from longdry.computing.route.chainage import measure_route
from longdry.computing.route.mirrored import mirrored_trip
from longdry.computing.setbacks.setbacks import KnownWater, setbacks_of_plan, supplied
from longdry.computing.stretches.prepared import PreparedTrip, prepare
from longdry.computing.stretches.verdicts import extremes
from longdry.computing.treating.treating import treating_of
from longdry.computing.water.passes import as_left_in_caches, warnings_of_swapped
from longdry.model.assumption import Assumption
from longdry.model.plan.fills import USUAL_FILL_WAY, FillWay
from longdry.model.plan.headline import Headline
from longdry.model.plan.least import LeastTable
from longdry.model.plan.mends import Mends
from longdry.model.plan.plan import Plan, PlanWarning
from longdry.model.plan.setbacks import Setbacks
from longdry.model.plan.treating import TreatmentPlan
from longdry.model.route import MeasuredRoute, Route
from longdry.model.trip.here import OnTheWay
from longdry.model.trip.trip import Trip
from longdry.model.trip.what_if import USUAL_INQUIRY, Inquiry
from longdry.model.water.passes import Approach
from longdry.model.water.source import WaterLayer, WaterSource
from longdry.model.words import CountOn


@dataclass(frozen=True, slots=True, eq=False)
class WaterAlong:
    """A route measured in its direction of travel, and every approach to water near it.

    What takes longest of a large plan and stays the same from trip to trip: see `plan_along`.
    """

    measured: MeasuredRoute
    layer: WaterLayer
    approaches: tuple[Approach, ...]
    is_reversed: bool
    winding_factor: float
    max_detour_km: float

    def serves(self, trip: Trip) -> bool:
        """Whether it was measured as ``trip`` asks."""
        asked = trip.pace.winding_factor, trip.policy.max_detour_km
        return asked == (self.winding_factor, self.max_detour_km)


def water_along(
    route: Route,
    water: WaterLayer | Sequence[WaterSource],
    trip: Trip,
    *,
    reverse: bool = False,
) -> WaterAlong:
    """Measure a route and find every approach to water, once for many trips.

    Parameters
    ----------
    route
        The line in travel order.
    water
        The sources; a bare sequence is a layer without remarks.
    trip
        How winding the way is and how far off it water is looked for.
    reverse
        Travel the route from its end to its start.

    Raises
    ------
    RouteFileError
        Where a break of the route is too long to bridge.
    """
    layer = as_left_in_caches(water if isinstance(water, WaterLayer) else WaterLayer(tuple(water)))
    line = route.reversed() if reverse else route
    winding, detour_km = trip.pace.winding_factor, trip.policy.max_detour_km
    measured = measure_route(line, winding_factor=winding)
    approaches = _approaches(measured, layer, detour_km)
    return WaterAlong(measured, layer, approaches, reverse, winding, detour_km)


def plan_trip(
    route: Route,
    water: WaterLayer | Sequence[WaterSource],
    trip: Trip,
    *,
    reverse: bool = False,
    count_on: CountOn = CountOn.LIKELY,
    fill: FillWay = USUAL_FILL_WAY,
    inquiry: Inquiry = USUAL_INQUIRY,
    on_the_way: OnTheWay | None = None,
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
        The way of filling, and whether only whole containers are filled.
    inquiry
        What is asked about what may go wrong.
    on_the_way
        Where the party is and what it has, to plan the rest of the trip; its km counts in the
        direction of travel. None: the whole trip.

    Raises
    ------
    RouteFileError
        Where a break of the route is too long to bridge.
    TripFileError
        Where a pinned camp is not on the route.
    """
    along = water_along(route, water, trip, reverse=reverse)
    return plan_along(
        along, trip, count_on=count_on, fill=fill, inquiry=inquiry, on_the_way=on_the_way
    )


def plan_along(
    along: WaterAlong,
    trip: Trip,
    *,
    count_on: CountOn = CountOn.LIKELY,
    fill: FillWay = USUAL_FILL_WAY,
    inquiry: Inquiry = USUAL_INQUIRY,
    on_the_way: OnTheWay | None = None,
) -> Plan:
    """Work out one of many trips on a line that is measured already: see `plan_trip`.

    Raises
    ------
    TripFileError
        Where a pinned camp is not on the route.
    ValueError
        Where the line was measured for another winding factor or detour.
    """
    if not along.serves(trip):
        raise ValueError("the line was measured for another winding factor or detour")
    measured, layer = along.measured, along.layer
    turned = mirrored_trip(trip, measured.length_km) if along.is_reversed else trip
    prepared = prepare(measured, turned)
    if on_the_way is not None:
        prepared = rest_of_trip(prepared, layer.sources, on_the_way)
        layer = as_the_tally_found(layer, on_the_way.tally)
    near = Water(along.approaches, layer.sources, count_on)
    settled = settled_trip(prepared, near, fill)
    carrying = container_results(settled, near, inquiry) if settled.filling else None
    setbacks = carrying.setbacks if carrying else None
    counted = tuple(one for one in settled.passes if one.counted)
    days = DayTable(settled.journey, counted, settled.stretches).rows()
    plan = Plan(
        measured=measured,
        trip=prepared.trip,
        sources=layer.sources,
        passes=settled.passes,
        stretches=settled.stretches,
        stops=stops_of(settled),
        days=days,
        headline=carrying.headline if carrying else headline_of(settled, None),
        most_to_carry=most_to_carry(settled.stretches),
        longest=extremes(settled.stretches),
        longest_without_water=longest_without_water(settled),
        warnings=gravest_first(
            [
                *warnings_of(settled, layer),
                *grave_warnings_of(settled, days, near if inquiry.costly_calls else None, setbacks),
                *(carrying.warnings_of_fills() if carrying else ()),
                *warnings_of_swapped(measured, layer.sources, settled.passes),
                *warnings_of_days(days, settled.journey.heat),
                *(carrying.warnings_of_setbacks() if carrying else ()),
            ]
        ),
        assumptions=(
            *assumptions_of(measured, layer, settled.passes, prepared.trip, count_on),
            *(carrying.assumptions() if carrying else ()),
            *assumptions_of_days(settled.journey),
        ),
    )
    return carrying.added_to(plan) if carrying else plan


def _approaches(
    measured: MeasuredRoute, layer: WaterLayer, max_detour_km: float
) -> tuple[Approach, ...]:
    return find_approaches(
        measured,
        np.array([source.lat_deg for source in layer.sources], dtype=np.float64),
        np.array([source.lon_deg for source in layer.sources], dtype=np.float64),
        max_detour_km=max_detour_km,
    )


@dataclass(frozen=True, slots=True, eq=False)
class ContainerResults:
    """The water carried, and what it is enough for."""

    settled: SettledTrip
    inquiry: Inquiry
    filling: Filling
    setbacks: Setbacks
    headline: Headline
    treating: TreatmentPlan | None
    mends: Mends
    least: LeastTable | None

    def warnings_of_fills(self) -> tuple[PlanWarning, ...]:
        """Return what must be read about the fills."""
        return tuple(warnings_of_fills(self.filling, self.settled.trip, self.treating))

    def warnings_of_setbacks(self) -> tuple[PlanWarning, ...]:
        """Return what must be read about what goes wrong."""
        return tuple(warnings_of_setbacks(self.setbacks))

    def assumptions(self) -> tuple[Assumption, ...]:
        """Return what the fills took for granted."""
        return tuple(assumptions_of_fills(self.filling, self.settled.passes))

    def added_to(self, plan: Plan) -> Plan:
        """Return the plan with all of this in it."""
        return replace(
            plan,
            fills=self.filling.chosen,
            fills_of_other_habit=self.filling.of_other_habit(),
            setbacks=self.setbacks,
            loads=loads_of(self.filling, plan.trip),
            treating=self.treating,
            draws=draws_of(self.filling.chosen, plan.trip),
            are_mends_searched=self.inquiry.mends,
            mends=self.mends.found,
            least=self.least,
            mends_not_searched=self.mends.not_searched,
        )


def container_results(settled: SettledTrip, water: Water, inquiry: Inquiry) -> ContainerResults:
    """Work out what follows from the fills of a trip with containers."""
    filling = settled.filling
    if filling is None:
        raise ValueError("the trip names no containers")
    measured = settled.journey.prepared.measured
    setbacks = _setbacks(settled, water, inquiry)
    headline = headline_of(settled, setbacks)
    usual, unnamed = replace(inquiry, changes=()), replace(water, sources=())

    def headline_again(again: SettledTrip) -> tuple[Headline, float | None]:
        goes_wrong = _setbacks(again, unnamed, usual)
        return headline_of(again, goes_wrong), _short(goes_wrong)

    return ContainerResults(
        settled=settled,
        inquiry=inquiry,
        filling=filling,
        setbacks=setbacks,
        headline=headline,
        treating=treating_of(filling.chosen, filling.problem, settled.trip, measured),
        mends=mends_of(
            settled,
            water,
            partial(_planned_again, settled),
            HeadlineSearch(headline, _short(setbacks), headline_again),
        )
        if inquiry.mends
        else Mends(),
        least=least_litres(supplied(settled.journey, settled.stretches, settled.passes))
        if inquiry.least_litres
        else None,
    )


def _short(setbacks: Setbacks) -> float | None:
    return setbacks.chance.short if setbacks.chance else None


def _setbacks(settled: SettledTrip, water: Water, inquiry: Inquiry) -> Setbacks:
    return setbacks_of_plan(
        settled.journey,
        settled.stretches,
        inquiry,
        filling=settled.filling,
        known=KnownWater(water.sources, settled.passes),
    )


def _planned_again(before: SettledTrip, prepared: PreparedTrip, water: Water) -> SettledTrip:
    """Plan a changed trip under the plan's own habit of filling, unless that is the change."""
    fill, habit = before.fill, prepared.trip.policy.fill
    if habit is not before.trip.policy.fill:
        fill = replace(fill, habit=habit)
    return settled_trip(prepared, water, fill)
