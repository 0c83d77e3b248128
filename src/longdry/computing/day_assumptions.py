"""What the clock, the ground and the heat of a plan took for granted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from longdry.computing.daylight import local_time
from longdry.computing.ground_profile import RoutePace
from longdry.computing.smoothed_ground import DEAD_BAND_M, WINDOW_KM
from longdry.model.assumption import Assumption
from longdry.model.route import MeasuredRoute
from longdry.model.trip import Trip
from longdry.model.words import Travel

if TYPE_CHECKING:  # a trip without heat has none of these
    from longdry.model.heat import HeatExpectation, HeatOutlook


def assumptions_of_days(
    measured: MeasuredRoute, trip: Trip, pace: RoutePace
) -> tuple[Assumption, ...]:
    """Return what was assumed of heat, ground and light."""
    return (*_of_heat(trip), *_of_ground(trip, pace), *_of_light(measured, trip))


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
    told = [Assumption("heat", _in_words(trip.heat.outlook), _standard(), key="heat")]
    if trip.heat.outlook.months and trip.depart is None:
        why = "the trip names no departure, so the month is not known"
        told.append(Assumption("month of the heat", "the hottest listed", why, "heat_month"))
    own = [p.name for p in trip.heat.persons if p.litres_per_day is not None]
    if own:
        why = "their own stated rates: ISO 7933 is for healthy adults"
        told.append(Assumption("heat for " + ", ".join(own), "not computed", why, "person"))
    return told


def _standard() -> str:
    from longdry.computing.drinking_in_heat import BASIC_L  # noqa: PLC0415 - when needed

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
    told = []
    if pace.assumed_flat_km > 0.0:
        margin = trip.pace.unknown_ground_percent
        told.append(
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
        told.append(
            Assumption(
                "pace by heights",
                f"{pace.climb_m:.0f} m climbed in all",
                f"{function}; heights smoothed by a mean over {WINDOW_KM * 1000.0:.0f} m and a "
                f"dead band of {DEAD_BAND_M:.0f} m",
            )
        )
    if pace.ground_km > 0.0:
        told.append(
            Assumption(
                "pace by the ground layer",
                f"{pace.ground_km:.1f} km",
                "the slowest of the areas and lines that hold there",
                key="pace.ground",
            )
        )
    return told


def _of_light(measured: MeasuredRoute, trip: Trip) -> list[Assumption]:
    if trip.depart is None:
        return []
    clocks = local_time(trip.utc_offset_h, float(measured.route.lon_deg[0]))
    if not clocks.assumed:
        return []
    why = (
        "guessed from the longitude of the start, may be off by an hour and more; sunrise and "
        "sunset follow it"
    )
    return [Assumption("clocks of the trip", clocks.label, why, key="utc_offset_h")]
