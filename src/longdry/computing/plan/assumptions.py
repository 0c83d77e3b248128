"""Everything that the plan took for granted, defaults of the trip included.

Of the whole plan, and of its clock, ground and heat; a default of the heat that took no part in the
plan is not told.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from longdry.computing.clock.day_rules import SNAP_H, never_dark
from longdry.computing.fills.drawing import PUMP_CURRENT_A, PUMP_FLOW_L_PER_MIN
from longdry.computing.heat.drinking import BASIC_L
from longdry.computing.pace.on_ground import RoutePace
from longdry.computing.pace.slopes import DEAD_BAND_M, WINDOW_KM
from longdry.computing.stretches.journey import Journey
from longdry.computing.stretches.prepared import PreparedTrip
from longdry.computing.water.certainty import certainty_for
from longdry.model.assumption import Assumption
from longdry.model.route import MeasuredRoute
from longdry.model.trip.heat import HeatExpectation, HeatOutlook, TripHeat
from longdry.model.trip.tools import needs_pump
from longdry.model.trip.trip import Trip
from longdry.model.trip_file.keys_heat import HEAT
from longdry.model.trip_file.keys_party import TREATMENT
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterLayer
from longdry.model.words import CountOn, Grade, Travel
from longdry.units import MINUTES_PER_HOUR, rounded_up

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
        *_of_certainty(passes, count_on),
        *_of_pumps(passes, trip),
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
                f"{rounded_up(bridge.length_km, 0.1):.1f} km straight at km {bridge.km:.1f}",
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
    notes = [Assumption("water counted on", _COUNTED_ON[count_on], "as the plan was asked for")]
    alone = {p.source.id for p in passes if p.counted and p.judgement.on_word_alone}
    if alone:
        notes.append(
            Assumption(
                "sources counted on your word alone",
                f"{len(alone)} taken as likely",
                "of these the layer gives no kind, no months, no certainty, and no visit that says"
                " more",
            )
        )
    by_hand = {p.source.id for p in passes if p.counted and _counts_by_hand(p, count_on)}
    if by_hand:
        notes.append(
            Assumption(
                "sources counted because their certainty is set by hand",
                f"{len(by_hand)}",
                "what is known of their kind, months and visits would not count them",
            )
        )
    return notes


def _counts_by_hand(water: WaterPass, count_on: CountOn) -> bool:
    judged = water.judgement
    return judged.by_hand and not count_on.takes(certainty_for(judged.lower_bound))


def _of_pumps(passes: Sequence[WaterPass], trip: Trip) -> list[Assumption]:
    if trip.pumps:
        return []
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


def assumptions_of_days(journey: Journey) -> tuple[Assumption, ...]:
    """Return what was assumed of heat, ground and light, and of the last minutes."""
    prepared, trip = journey.prepared, journey.trip
    return (
        *_of_heat(trip),
        *_of_ground(trip, prepared.pace),
        *_of_light(prepared),
        *_of_last_minutes(journey),
    )


def _of_last_minutes(journey: Journey) -> list[Assumption]:
    """Tell of a last day that is longer, though the reserve is less than one day's."""
    rules = journey.clock.rules
    over_h = journey.days[-1].moving_h - rules.hours_per_day
    if over_h <= SNAP_H or rules.longer_day_h > 0.0:
        return []
    minutes = rounded_up(over_h * MINUTES_PER_HOUR)
    why = (
        "the end is so near that nobody camps before it; the reserve is less than one day's, so a"
        " night more would be a dry one"
    )
    return [Assumption("last day", f"{minutes:.0f} minutes longer", why, key="pace.longer_day_h")]


def _of_heat(trip: Trip) -> list[Assumption]:
    if trip.heat is None:
        return [
            Assumption(
                "heat",
                "not given: people drink at the party's own rates alone",
                "no [heat] in the trip file; in heat they may need several times as much",
                key="heat",
            )
        ]
    notes = [Assumption("heat", _in_words(trip.heat.outlook), _standard(), key="heat")]
    if trip.heat.outlook.months and trip.depart is None:
        why = "the trip names no departure, so the month is not known"
        notes.append(Assumption("month of the heat", "the hottest listed", why, "heat_month"))
    own = [p.name for p in trip.heat.persons if p.litres_per_day is not None]
    if own:
        why = "their own stated rates: ISO 7933 is for healthy adults"
        notes.append(Assumption("heat for " + ", ".join(own), "not computed", why, "person"))
    return notes


def _standard() -> str:

    return (
        "ISO 7933 (2023, and 2004 where it applies, the larger) by each day's hours of moving, "
        f"work and rest, and a basic need of {BASIC_L:g} L a person and day (WHO, temperate "
        "climate)"
    )


def _in_words(outlook: HeatOutlook) -> str:
    parts = []
    if outlook.whole_trip is not None:
        parts.append(f"shade maximum {outlook.whole_trip.shade_max_c:g} °C")
    months = [expected for _, expected in outlook.months]
    sections = [section.expected for section in outlook.sections]
    parts += [
        f"{len(listed)} {word}{'s' if len(listed) > 1 else ''} of {_range(listed)}"
        for listed, word in ((months, "month"), (sections, "section"))
        if listed
    ]
    return "; ".join(parts)


def _range(expected: list[HeatExpectation]) -> str:
    low = min(one.shade_max_c for one in expected)
    high = max(one.shade_max_c for one in expected)
    return f"{low:g} °C" if low == high else f"{low:g} to {high:g} °C"


def _of_ground(trip: Trip, pace: RoutePace) -> list[Assumption]:
    notes = []
    if pace.assumed_flat_km > 0.0:
        margin = trip.pace.unknown_ground_percent
        notes.append(
            Assumption(
                "flat ground assumed",
                f"{pace.assumed_flat_km:.1f} km without heights, {margin:g} % on top",
                "the route has no heights there; climbs that it does not show can cost far more",
                key="pace.unknown_ground_percent",
            )
        )
    if trip.pace.travel is not Travel.VEHICLE and pace.heights_used:
        function = (
            "Tobler (1993), hiking function, relative to the party's speed on the flat"
            if trip.pace.travel is Travel.FOOT
            else f"an hour on top for {trip.pace.climb_m_per_h:g} m climbed"
        )
        notes.append(
            Assumption(
                "pace by heights",
                f"{pace.climb_m:.0f} m climbed in all",
                f"{function}; heights smoothed by a mean over {WINDOW_KM * 1000.0:.0f} m and a "
                f"dead band of {DEAD_BAND_M:.0f} m",
            )
        )
    if pace.ground_km > 0.0:
        notes.append(
            Assumption(
                "pace by the ground layer",
                f"{pace.ground_km:.1f} km",
                "the slowest of the areas and lines that hold there",
                key="pace.ground",
            )
        )
    return notes


def _of_light(prepared: PreparedTrip) -> list[Assumption]:
    if prepared.trip.depart is None:
        return [_shortest_day()] if prepared.clock.rules.dark_from is not never_dark else []
    if not prepared.clocks.assumed:
        return []
    why = (
        "guessed from the longitude of the start, may be off by an hour and more; sunrise, sunset "
        "and the end of each day's moving follow it"
    )
    return [Assumption("clocks of the trip", prepared.clocks.label, why, key="utc_offset_h")]


def _shortest_day() -> Assumption:
    why = "the trip names no date of departure, and nobody moves after dark"
    return Assumption("dark", "as on the shortest day of the year", why, key="depart")


def heat_keys_without_part(trip: Trip) -> frozenset[str]:
    """Return the keys of [heat] that no litre of the plan depends on."""
    if trip.heat is None:
        return frozenset()
    people = trip.heat.people(trip.party.people)
    if all(person.litres_per_day is not None for person in people):
        return frozenset(f"{HEAT.name}.{key}" for key in HEAT.key_names)
    unused = set()
    if trip.heat.working_h == 0.0:
        unused |= {"heat.working_met", "heat.working_in_sun"}
    if trip.heat.moving_by_night:
        unused.add("heat.moving_in_sun")
    if not _any_sun(trip.heat):
        unused.add("heat.sun_excess_c")
    return frozenset(unused)


def _any_sun(heat: TripHeat) -> bool:
    moving = heat.moving_in_sun and not heat.moving_by_night
    working = heat.working_in_sun and heat.working_h > 0.0
    return moving or working or heat.resting_in_sun_h > 0.0
