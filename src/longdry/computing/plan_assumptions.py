"""Everything that the plan took for granted, defaults of the trip included."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from longdry.computing.certainty import word_for
from longdry.computing.heat_keys_with_part import heat_keys_without_part
from longdry.computing.pumping import PUMP_CURRENT_A, PUMP_FLOW_L_PER_MIN, needs_pump
from longdry.model.assumption import Assumption
from longdry.model.route import MeasuredRoute
from longdry.model.trip import Trip
from longdry.model.trip_keys_treatment import TREATMENT
from longdry.model.water_pass import WaterPass
from longdry.model.water_source import WaterLayer
from longdry.model.words import CountOn, Grade, Travel
from longdry.units import rounded_up

ON_ROUTE_KM = 0.01
"""A source nearer than that has no way to it worth telling: decimals of a file make metres."""


def assumptions_of(
    measured: MeasuredRoute,
    layer: WaterLayer,
    passes: Sequence[WaterPass],
    trip: Trip,
    count_on: CountOn,
) -> tuple[Assumption, ...]:
    """Return the defaults that took part and what the computation itself assumed."""
    unused = _keys_without_part(measured, passes, trip)
    defaults = [default for default in trip.defaults if default.key not in unused]
    return (
        *defaults,
        *_of_the_line(measured),
        *_of_grades(layer),
        *_of_limits(passes),
        *_of_ways(passes, trip),
        *_of_certainty(passes, count_on),
        *_of_pumps(passes),
    )


def _keys_without_part(
    measured: MeasuredRoute, passes: Sequence[WaterPass], trip: Trip
) -> frozenset[str]:
    unused = {"pace.unknown_ground_percent"}  # told with the km that it holds for
    unused |= heat_keys_without_part(trip)
    if not any(p.counted and p.way_km >= ON_ROUTE_KM for p in passes):
        unused |= {"pace.off_route_kmh", "pace.detour_factor"}
    if measured.straight_km == 0.0:
        unused.add("pace.winding_factor")
    if trip.pace.travel is not Travel.BICYCLE or not np.isfinite(measured.route.height_m).any():
        unused.add("pace.climb_m_per_h")
    if not any(p.counted and p.km < measured.length_km - ON_ROUTE_KM for p in passes):
        unused.add("pace.fill_minutes")
    if not any(p.counted and p.source.trusted_grade is Grade.TREAT for p in passes):
        unused |= {f"{TREATMENT.name}.{key}" for key in TREATMENT.key_names}
    if not trip.containers:
        unused |= {"policy.fill_to", "policy.start_on_board_l"}
    if any(box.holds_l is not None for box in trip.containers):
        unused.add("policy.start_on_board_l")
    return frozenset(unused)


def _of_the_line(measured: MeasuredRoute) -> list[Assumption]:
    return [
        Assumption(
            "lengths",
            "geodesics on the WGS 84 ellipsoid between the points of the route",
            "Karney (2013), Algorithms for geodesics; the ground between the points is not known",
        ),
        *(
            Assumption(
                "bridged break",
                f"{bridge.length_km:.3f} km straight at km {bridge.km:.1f}",
                "the route file leaves a gap there",
            )
            for bridge in measured.bridges
        ),
    ]


def _of_grades(layer: WaterLayer) -> list[Assumption]:
    ungraded = sum(source.grade is None for source in layer.sources)
    if not ungraded:
        return []
    return [
        Assumption("sources without a grade", f"{ungraded} not for drinking", "unknown is worse")
    ]


def _of_certainty(passes: Sequence[WaterPass], count_on: CountOn) -> list[Assumption]:
    told = [Assumption("water counted on", _COUNTED_ON[count_on], "as the plan was asked for")]
    alone = {p.source.id for p in passes if p.counted and p.judgement.on_word_alone}
    if alone:
        told.append(
            Assumption(
                "sources counted on your word alone",
                f"{len(alone)} taken as likely",
                "of these the layer gives no kind, no months, no certainty, and no visit that says"
                " more",
            )
        )
    by_hand = {p.source.id for p in passes if p.counted and _counts_by_hand(p, count_on)}
    if by_hand:
        told.append(
            Assumption(
                "sources counted because their certainty is set by hand",
                f"{len(by_hand)}",
                "what is known of their kind, months and visits would not count them",
            )
        )
    return told


def _counts_by_hand(water: WaterPass, count_on: CountOn) -> bool:
    judged = water.judgement
    return judged.by_hand and not count_on.takes(word_for(judged.lower_bound))


def _of_pumps(passes: Sequence[WaterPass]) -> list[Assumption]:
    pumped = {p.source.id for p in passes if p.counted and needs_pump(p.source.access)}
    if not pumped:
        return []
    return [
        Assumption(
            "12 V pump that the party brings",
            f"{PUMP_FLOW_L_PER_MIN:g} L/min at {PUMP_CURRENT_A:g} A, sources: {len(pumped)}",
            "common practice, no source; slower where the layer gives the source a smaller flow",
        )
    ]


_COUNTED_ON = {
    CountOn.CERTAIN: "certain sources only",
    CountOn.LIKELY: "certain and likely sources",
    CountOn.ANY: "every source, the doubtful ones too",
}


def _of_limits(passes: Sequence[WaterPass]) -> list[Assumption]:
    endless = {p.source.id for p in passes if p.counted and p.source.limit_l is None}
    if not endless:
        return []
    return [
        Assumption(
            "sources without a limit",
            f"{len(endless)} give as many litres as are wanted",
            "the layer gives them no limit_l",
        )
    ]


def _of_ways(passes: Sequence[WaterPass], trip: Trip) -> list[Assumption]:
    ways_km = [p.way_km for p in passes if p.counted and p.way_km >= ON_ROUTE_KM]
    if not ways_km:
        return []
    hours = 2.0 * sum(ways_km) / trip.pace.off_route_kmh
    return [
        Assumption(
            "time for the ways to water",
            f"{rounded_up(hours, 0.1):.1f} moving hours in all, not in the table of days",
            "each stretch counts its own two ways; where the ways before it make it begin so late"
            " that it asks for more, the fills are for that",
        )
    ]
