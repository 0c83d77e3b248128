"""The plan under changed circumstances: a delay, a slower pace, heat, things or people lost or won.

Each is a change of the journey; the clock is followed again with the same calls and the minutes of
the stops. What the plan carries stays as planned: the party finds out on the way.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from longdry.computing.clock.clock import Camp
from longdry.computing.heat.by_day import as_drinking, days_of_heat
from longdry.computing.needs.needs import HeatDemand, WaterDemand
from longdry.computing.setbacks.supplied import Carried, SuppliedPlan
from longdry.computing.stretches.journey import Journey, journey_of
from longdry.computing.stretches.prepared import PreparedTrip
from longdry.computing.stretches.verdicts import capacity_l, size_l
from longdry.errors import TripFileError
from longdry.model.arrays import frozen_floats
from longdry.model.pace import PaceProfile
from longdry.model.plan.days import TravelDay
from longdry.model.trip.party import Container
from longdry.model.trip.trip import Pace, Trip
from longdry.model.trip.what_if import (
    Change,
    Delay,
    Drought,
    DrySource,
    Hotter,
    LostContainer,
    LostVehicle,
    MorePeople,
    SlowerPace,
    TreatingFails,
)
from longdry.model.words import Grade


@dataclass(frozen=True, slots=True, eq=False)
class PlanUnderChange:
    """The plan, and what a change of it must know beside."""

    plan: SuppliedPlan
    carried: Carried | None = None
    """Of which grade and in which vehicle it is; None where no fill plan was made: then all of it
    is potable only where the party never treats, and all that a vehicle can hold is in it."""
    origin: str = "what if"
    """Where the changes were written."""


def changed(under: PlanUnderChange, change: Change) -> SuppliedPlan:
    """Return the plan after a change; its ends stay.

    Raises
    ------
    TripFileError
        Where it is hotter without heat, the delay is off the route, or no container or vehicle
        has the name.
    ValueError
        For dry sources, which are no change of the trip, and a delay without a km.
    """
    match change:
        case Delay():
            after = _delayed(under, change)
        case SlowerPace():
            after = slower(under.plan, change.percent)
        case Hotter():
            after = _hotter(under, change)
        case LostContainer():
            after = _without_container(under, change)
        case LostVehicle():
            after = _without_vehicle(under, change)
        case TreatingFails():
            after = _untreated(under)
        case MorePeople():
            after = _more_people(under.plan, change.count)
        case DrySource() | Drought():
            raise ValueError(f"{change.words} is no change of the trip")
    return after


def _delayed(under: PlanUnderChange, delay: Delay) -> SuppliedPlan:
    """Return the plan with days lost at a km: 24 hours each, on what is carried there.

    A delay where water is counts as one just behind it, a delay at the end as one just before.
    """
    if delay.km is None:
        raise ValueError("the delay has no km")
    plan = under.plan
    length_km = plan.journey.prepared.length_km
    if delay.km > length_km:
        raise TripFileError.single(
            under.origin,
            f'"{delay.words}"',
            f"km {delay.km:g} is not on the route, which is {length_km:.1f} km long",
            "give a km of this route",
        )
    if delay.km < plan.ends[0].km:
        raise TripFileError.single(
            under.origin,
            f'"{delay.words}"',
            f"km {delay.km:g} lies behind, the party is at km {plan.ends[0].km:.1f}",
            "give a km ahead",
        )
    prepared = plan.journey.prepared
    lost = days_lost(delay.km, delay.days, length_km)
    camps = tuple(sorted([*prepared.camps, lost], key=lambda camp: camp.km))
    first_day = int(plan.journey.hour_at_km(lost.km) // 24.0)
    return followed(plan, replace(prepared, camps=camps), days_lost=(first_day, delay.days))


def days_lost(km: float, days: int, length_km: float) -> Camp:
    """Return days lost at a km as the clock keeps them; at the end they count as just before it."""
    return Camp(min(km, math.nextafter(length_km, 0.0)), days, whole_days=True)


def slower(plan: SuppliedPlan, percent: float) -> SuppliedPlan:
    """Return the plan with every speed lower by ``percent`` of it; below zero: higher."""
    share = 1.0 - percent / 100.0
    prepared = plan.journey.prepared
    trip = replace(prepared.trip, pace=_slower_pace(prepared.trip.pace, share))
    clock = replace(
        prepared.clock,
        profile=_slower_profile(prepared.clock.profile, share),
        off_route_kmh=trip.pace.off_route_kmh,
    )
    back = _slower_profile(plan.back, share) if plan.back else None
    return replace(followed(plan, replace(prepared, trip=trip, clock=clock)), back=back)


def _slower_pace(pace: Pace, share: float) -> Pace:
    sections = tuple(replace(part, speed_kmh=part.speed_kmh * share) for part in pace.sections)
    return replace(
        pace,
        speed_kmh=pace.speed_kmh * share,
        off_route_kmh=pace.off_route_kmh * share,
        sections=sections,
    )


def _slower_profile(profile: PaceProfile, share: float) -> PaceProfile:
    return PaceProfile(profile.km, frozen_floats(profile.moving_h / share))


def followed(
    plan: SuppliedPlan, prepared: PreparedTrip, *, days_lost: tuple[int, int] | None = None
) -> SuppliedPlan:
    """Return the plan with the clock followed again over the same calls in the same minutes.

    Parameters
    ----------
    days_lost
        The first, and how many: they ask for as much drinking as the hardest around them.
    """
    old = plan.journey
    journey = journey_of(prepared, old.ends, old.stop_minutes, heat=old.demand.heat)
    heat = heat_again(old, journey.days)
    if days_lost and heat.is_asking:
        heat = _worked_through(heat, *days_lost)
    demand = replace(journey.demand, heat=heat)
    return replace(plan, journey=replace(journey, demand=demand), drawn_l=plan.all_drawn_l())


def heat_again(journey: Journey, days: tuple[TravelDay, ...]) -> HeatDemand:
    """Return what the heat asks for on other days of a trip, on days of rest as on the others.

    Where the trip expects one weather for all its days, what is known of them holds.
    """
    heat = journey.trip.heat
    if heat is None or not (heat.outlook.months or heat.outlook.sections):
        return journey.demand.heat
    return heat_of(journey.trip, days)


def heat_of(trip: Trip, days: tuple[TravelDay, ...], *, hotter_c: float = 0.0) -> HeatDemand:
    """Return what the heat asks for; who is in need moves on days of rest too."""
    found = days_of_heat(trip, days, hotter_c=hotter_c, moves_daily=True)
    return as_drinking(found, trip.pace.hours_per_day)


def _worked_through(heat: HeatDemand, first_day: int, days: int) -> HeatDemand:
    """Return the heat with days lost as hard as those around them: whoever digs does not rest."""
    moving_l = heat.moving_l.copy()
    lost = slice(first_day, first_day + days + 1)
    if moving_l[lost].size:
        moving_l[lost] = moving_l[lost].max()
    return replace(heat, moving_l=frozen_floats(moving_l))


def _hotter(under: PlanUnderChange, change: Hotter) -> SuppliedPlan:
    plan = under.plan
    if plan.trip.heat is None:
        raise TripFileError.single(
            under.origin,
            f'"{change.words}"',
            "the trip gives no heat that could be higher",
            "give the shade maximum that you expect",
        )
    heat = heat_of(plan.trip, plan.journey.days, hotter_c=change.by_c)
    demand = replace(plan.demand, heat=heat)
    return replace(plan, journey=replace(plan.journey, demand=demand), drawn_l=plan.all_drawn_l())


def _without_container(under: PlanUnderChange, change: LostContainer) -> SuppliedPlan:
    """Return the plan with one container of a name lost on every stretch, full as it can be.

    It was lost just after the call, with all that it could hold of what was carried. Where it was
    the only one it stays as none of its name: the party has no water, not a trip without verdict.
    """
    plan = under.plan
    lost = _container_named(under, change)
    boxes = [
        replace(box, count=box.count - 1) if box is lost else box for box in plan.trip.containers
    ]
    holds_l = size_l(plan.trip, lost)
    left_l = tuple(max(0.0, litres - holds_l) for litres in plan.carried_l)
    return _with_containers(plan, boxes, left_l)


def _with_containers(
    plan: SuppliedPlan, boxes: list[Container], carried_l: tuple[float, ...]
) -> SuppliedPlan:
    left = tuple(box for box in boxes if box.count > 0) or (replace(boxes[0], count=0),)
    trip = replace(plan.trip, containers=left)
    journey = replace(
        plan.journey,
        prepared=replace(plan.journey.prepared, trip=trip),
        capacity_l=capacity_l(trip),
    )
    return replace(plan, journey=journey, carried_l=carried_l, drawn_l=plan.all_drawn_l())


def _container_named(under: PlanUnderChange, change: LostContainer) -> Container:
    trip = under.plan.trip
    wanted = change.name.strip().casefold()
    found = [box for box in trip.containers if box.name.strip().casefold() == wanted]
    if found:
        return max(found, key=lambda box: size_l(trip, box))
    known = ", ".join(f'"{box.name}"' for box in trip.containers[:10]) or "none"
    raise TripFileError.single(
        under.origin,
        f'"{change.words}"',
        f'no container is called "{change.name}"',
        f"the containers are: {known}",
    )


def _without_vehicle(under: PlanUnderChange, change: LostVehicle) -> SuppliedPlan:
    """Return the plan with a vehicle lost just after a call, on every stretch, with its water."""
    plan, trip = under.plan, under.plan.trip
    name = _vehicle_named(under, change)
    boxes = [replace(box, count=0) if box.vehicle == name else box for box in trip.containers]
    in_it_l = (under.carried.by_vehicle.get(name) if under.carried else None) or tuple(
        sum(box.count * size_l(trip, box) for box in trip.containers if box.vehicle == name)
        for _ in plan.carried_l
    )
    left_l = tuple(max(0.0, has - lost) for has, lost in zip(plan.carried_l, in_it_l, strict=True))
    others = tuple(vehicle for vehicle in trip.vehicles if vehicle.name != name)
    lost = _with_containers(plan, boxes, left_l) if boxes else plan
    prepared = lost.journey.prepared
    journey = replace(
        lost.journey, prepared=replace(prepared, trip=replace(prepared.trip, vehicles=others))
    )
    return replace(lost, journey=journey)


def _vehicle_named(under: PlanUnderChange, change: LostVehicle) -> str:
    wanted = change.name.strip().casefold()
    vehicles = under.plan.trip.vehicles
    for vehicle in vehicles:
        if vehicle.name.strip().casefold() == wanted:
            return vehicle.name
    known = ", ".join(f'"{vehicle.name}"' for vehicle in vehicles[:10]) or "none"
    raise TripFileError.single(
        under.origin,
        f'"{change.words}"',
        f'no vehicle is called "{change.name}"',
        f"the vehicles are: {known}",
    )


def _untreated(under: PlanUnderChange) -> SuppliedPlan:
    """Return the plan of potable water alone: what asks for it, what gives it, what is carried.

    Uses that take other water go on with other water.
    """
    plan, trip = under.plan, under.plan.trip
    raw = {
        water.source.id
        for end in plan.ends
        for water in end.waters
        if water.source.trusted_grade is not Grade.POTABLE
    }
    potable_l = under.carried.potable_l if under.carried else plan.carried_l
    at_start_l = potable_l[0] if _starts_potable(plan) else _held_potable_l(trip)
    drinking = replace(
        trip,
        uses=tuple(use for use in trip.uses if use.grade is Grade.POTABLE),
        animals=tuple(one for one in trip.animals if one.grade is Grade.POTABLE),
    )
    old = plan.demand
    journey = replace(
        plan.journey,
        prepared=replace(plan.journey.prepared, trip=drinking),
        demand=WaterDemand(drinking, old.heat, old.hours),
    )
    left = replace(plan, journey=journey).with_spoilt(raw)
    return replace(
        left,
        carried_l=(min(potable_l[0], at_start_l), *potable_l[1:]),
        drawn_l=plan.all_drawn_l(),
    )


def _starts_potable(plan: SuppliedPlan) -> bool:
    """Whether the start has potable water, or none of its own: then it is filled at home."""
    waters = plan.ends[0].waters
    return not waters or any(one.source.trusted_grade is Grade.POTABLE for one in waters)


def _held_potable_l(trip: Trip) -> float:
    return sum(
        box.count * (box.holds_l or 0.0)
        for box in trip.containers
        if box.holds_grade in (None, Grade.POTABLE)
    )


def _more_people(plan: SuppliedPlan, count: int) -> SuppliedPlan:
    """Return the plan with more people and the water of those who set out."""
    prepared = plan.journey.prepared
    people = prepared.trip.party.people + count
    crowd = replace(prepared.trip, party=replace(prepared.trip.party, people=people))
    more = followed(plan, replace(prepared, trip=crowd))
    if crowd.heat is None:
        return more
    demand = replace(more.demand, heat=heat_of(crowd, more.journey.days))
    return replace(more, journey=replace(more.journey, demand=demand))
