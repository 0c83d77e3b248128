"""The same trip with the route travelled from its end to its start."""

from __future__ import annotations

import dataclasses

from longdry.model.arrays import frozen_floats
from longdry.model.route import Bridge, MeasuredRoute
from longdry.model.trip.heat import TripHeat
from longdry.model.trip.named_pass import named_pass
from longdry.model.trip.trip import PaceSection, PinnedCamp, Trip
from longdry.model.trip.what_if import Change, Delay


def mirrored_route(measured: MeasuredRoute) -> MeasuredRoute:
    """Return the route from its end to its start, without measuring it again."""
    route = measured.route.reversed()
    leg_km = measured.leg_km[::-1]
    chainage_km = measured.length_km - measured.chainage_km[::-1]
    last_points = route.part_starts[1:] - 1
    bridges = tuple(
        Bridge(float(chainage_km[point]), float(leg_km[point])) for point in last_points
    )
    return dataclasses.replace(
        measured,
        route=route,
        leg_km=frozen_floats(leg_km),
        chainage_km=frozen_floats(chainage_km),
        bridges=bridges,
    )


def mirrored_trip(trip: Trip, length_km: float) -> Trip:
    """Return the trip with every km counted from the other end of a route of ``length_km``."""
    sections = tuple(_mirrored_section(section, length_km) for section in trip.pace.sections)
    return dataclasses.replace(
        trip,
        pace=dataclasses.replace(trip.pace, sections=sections[::-1]),
        camps=tuple(_mirrored_camp(camp, length_km) for camp in trip.camps),
        heat=_mirrored_heat(trip.heat, length_km) if trip.heat else None,
        what_ifs=tuple(_mirrored_change(change, length_km) for change in trip.what_ifs),
        policy=dataclasses.replace(
            trip.policy,
            call_at=tuple(_mirrored_name(name, length_km) for name in trip.policy.call_at),
            pass_by=tuple(_mirrored_name(name, length_km) for name in trip.policy.pass_by),
        ),
    )


def _mirrored_name(name: str, length_km: float) -> str:
    """Turn the km of SOURCE@KM."""
    named = named_pass(name)
    return name if named.km is None else f"{named.source}@{length_km - named.km:.3f}"


def _mirrored_change(change: Change, length_km: float) -> Change:
    if not isinstance(change, Delay) or change.km is None:
        return change
    return dataclasses.replace(change, km=max(length_km - change.km, 0.0))


def _mirrored_heat(heat: TripHeat, length_km: float) -> TripHeat:
    sections = tuple(
        dataclasses.replace(
            section, from_km=length_km - section.to_km, to_km=length_km - section.from_km
        )
        for section in heat.outlook.sections
    )
    outlook = dataclasses.replace(heat.outlook, sections=sections)
    return dataclasses.replace(heat, outlook=outlook)


def _mirrored_section(section: PaceSection, length_km: float) -> PaceSection:
    return dataclasses.replace(
        section,
        from_km=max(length_km - section.to_km, 0.0),
        to_km=max(length_km - section.from_km, 0.0),
    )


def _mirrored_camp(camp: PinnedCamp, length_km: float) -> PinnedCamp:
    if camp.km is None:
        return camp
    return dataclasses.replace(camp, km=length_km - camp.km)
