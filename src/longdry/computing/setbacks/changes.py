"""The plan under changed circumstances: a delay, a slower pace, heat, a lost container, people.

Each is a change of what the computation starts from; nothing of the computation is written again.
What the plan has on board stays as planned: the party finds out on the way.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from longdry.computing.clock.clock import Camp, Clock
from longdry.computing.needs.needs import HeatDemand
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.stretches.stretches import StretchContext
from longdry.errors import TripFileError
from longdry.model.arrays import frozen_floats
from longdry.model.pace import PaceProfile
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
from longdry.model.words import FillTo

HeatOf = Callable[[Trip, Clock, float], HeatDemand]
"""Makes the drinking of each day again: of a trip, on a clock, hotter by so many degrees."""


def changed(plan: SuppliedPlan, change: Change, heat_of: HeatOf | None) -> SuppliedPlan:
    """Return the plan after a change; its ends stay.

    Parameters
    ----------
    heat_of
        None where the trip gives no heat.

    Raises
    ------
    TripFileError
        Where it is hotter without heat, the delay is off the route, or no container has the name.
    ValueError
        For a dry source, which is no change of the trip, and a delay without a km.
    """
    match change:
        case Delay():
            return delayed(plan, change, heat_of)
        case SlowerPace():
            return slower(plan, change.percent, heat_of)
        case Hotter():
            return hotter(plan, change.by_c, heat_of)
        case LostContainer():
            return without_container(plan, change.name)
        case DrySource():
            raise ValueError("a dry source is no change of the trip")
        case MorePeople():
            return more_people(plan, change.count, heat_of)
        case LostVehicle() | TreatingFails() | Drought():
            raise NotImplementedError(change.words)


def delayed(plan: SuppliedPlan, delay: Delay, heat_of: HeatOf | None) -> SuppliedPlan:
    """Return the plan with days lost at a km: 24 hours each, on board, on the ration in force.

    A delay where water is counts as one just behind it, a delay at the end as one just before.
    """
    if delay.km is None:
        raise ValueError("the delay has no km")
    length_km = plan.going.length_km
    if delay.km > length_km:
        raise TripFileError.single(
            plan.going.trip.origin or "what if",
            f'"{delay.words}"',
            f"km {delay.km:g} is not on the route, which is {length_km:.1f} km long",
            "give a km of this route",
        )
    return replace(plan, going=going_delayed(plan.going, delay.km, delay.days, heat_of))


def going_delayed(
    going: StretchContext, km: float, days: int, heat_of: HeatOf | None = None
) -> StretchContext:
    """Return the going with days lost at a km of the route: see `delayed`."""
    stop = Camp(min(km, math.nextafter(going.length_km, 0.0)), days, whole_days=True)
    camps = tuple(sorted([*going.clock.camps, stop], key=lambda camp: camp.km))
    clock = replace(going.clock, camps=camps)
    heat = heat_of(going.trip, clock, 0.0) if heat_of else going.heat
    if heat.is_asking:
        heat = _worked_through(heat, going.clock.arrival(stop.km).day, days)
    return StretchContext(going.trip, clock, heat, going.length_km)


def _worked_through(heat: HeatDemand, first_day: int, days: int) -> HeatDemand:
    """Return the heat with days lost as hard as those around them: whoever digs does not rest."""
    moving_l = heat.moving_l.copy()
    lost = slice(first_day, first_day + days + 1)
    if moving_l[lost].size:
        moving_l[lost] = moving_l[lost].max()
    return replace(heat, moving_l=frozen_floats(moving_l))


def slower(plan: SuppliedPlan, percent: float, heat_of: HeatOf | None) -> SuppliedPlan:
    """Return the plan with every speed lower by ``percent`` of it."""
    share = 1.0 - percent / 100.0
    going = plan.going
    trip = replace(going.trip, pace=_slower_pace(going.trip.pace, share))
    clock = replace(going.clock, profile=_slower_profile(going.clock.profile, share))
    back = _slower_profile(plan.back, share) if plan.back else None
    slow = replace(plan, back=back)
    return _going_on(slow, replace(going, trip=trip, clock=clock), heat_of)


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


def hotter(plan: SuppliedPlan, by_c: float, heat_of: HeatOf | None) -> SuppliedPlan:
    """Return the plan on days that are hotter by so many degrees."""
    if heat_of is None:
        raise TripFileError.single(
            plan.going.trip.origin or "what if",
            f'"{by_c:g} C hotter"',
            "the trip gives no heat that could be higher",
            "give the shade maximum that you expect",
        )
    heat = heat_of(plan.going.trip, plan.going.clock, by_c)
    return replace(plan, going=replace(plan.going, heat=heat))


def without_container(plan: SuppliedPlan, name: str) -> SuppliedPlan:
    """Return the plan with one container of a name lost on every stretch, full as it can be.

    It was lost after the last water, with all that it could hold of what was on board. Where it was
    the only one it stays as none of its name: the party has no water, not a trip without verdict.
    """
    trip = plan.going.trip
    lost = _container_named(trip, name)
    left = tuple(
        replace(box, count=box.count - 1) if box is lost else box for box in trip.containers
    )
    boxes = tuple(box for box in left if box.count > 0) or (replace(lost, count=0),)
    holds_l = size_l(trip, lost)
    return replace(
        plan,
        going=replace(plan.going, trip=replace(trip, containers=boxes)),
        on_board_l=tuple(max(0.0, litres - holds_l) for litres in plan.on_board_l),
    )


def size_l(trip: Trip, box: Container) -> float:
    """Return what one container holds to the mark that the trip fills it to."""
    return box.brimful_l if trip.policy.fill_to is FillTo.BRIMFUL else box.rated_l


def _container_named(trip: Trip, name: str) -> Container:
    wanted = name.strip().casefold()
    found = [box for box in trip.containers if box.name.strip().casefold() == wanted]
    if found:
        return max(found, key=lambda box: size_l(trip, box))
    known = ", ".join(f'"{box.name}"' for box in trip.containers[:10]) or "none"
    raise TripFileError.single(
        trip.origin or "what if",
        f'"lose container {name}"',
        f'no container is called "{name}"',
        f"the containers are: {known}",
    )


def more_people(plan: SuppliedPlan, count: int, heat_of: HeatOf | None) -> SuppliedPlan:
    """Return the plan with more people and the water of those who set out.

    Where no heat can be made again, what it asks of the party grows with the people.
    """
    trip = plan.going.trip
    people = trip.party.people + count
    crowd = replace(trip, party=replace(trip.party, people=people))
    heat = _for_more(plan.going.heat, people / trip.party.people)
    return _going_on(plan, replace(plan.going, trip=crowd, heat=heat), heat_of)


def _for_more(heat: HeatDemand, times: float) -> HeatDemand:
    return replace(
        heat,
        moving_l=frozen_floats(heat.moving_l * times),
        resting_l=frozen_floats(heat.resting_l * times),
    )


def _going_on(plan: SuppliedPlan, going: StretchContext, heat_of: HeatOf | None) -> SuppliedPlan:
    if heat_of is None:
        return replace(plan, going=going)
    heat = heat_of(going.trip, going.clock, 0.0)
    return replace(plan, going=replace(going, heat=heat))
