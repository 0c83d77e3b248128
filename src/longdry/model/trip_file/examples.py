"""An invented party for each way of travel, to begin a new trip file with."""

from __future__ import annotations

from collections.abc import Mapping

from longdry.model.trip_file.key import Value
from longdry.model.words import Travel

ExampleTable = Mapping[str, Value]
"""Values of one table; keys that are not here are written as comments."""
Example = Mapping[str, tuple[ExampleTable, ...]]
"""Tables by section; sections that are not here are written as comments."""

_COOKING: ExampleTable = {
    "name": "cooking",
    "litres": 3.0,
    "grade": "potable",
    "per": "person-day",
    "kept": "lean",
}
_WASHING: ExampleTable = {
    "name": "washing",
    "litres": 2.0,
    "grade": "not-for-drinking",
    "per": "person-day",
    "kept": "full",
}


def _drinking(litres: float) -> ExampleTable:
    return {
        "name": "drinking",
        "litres": litres,
        "grade": "potable",
        "per": "person-day",
        "kept": "bare",
    }


def _container(
    name: str, count: int, rated_l: float, brimful_l: float, tare_kg: float, grade: str
) -> ExampleTable:
    return {
        "name": name,
        "count": count,
        "rated_l": rated_l,
        "brimful_l": brimful_l,
        "grade": grade,
        "tare_kg": tare_kg,
    }


EXAMPLES: Mapping[Travel, Example] = {
    Travel.VEHICLE: {
        "": ({"name": "Dry Lakes loop"},),
        "party": ({"people": 2, "can_treat": False},),
        "use": (
            _drinking(6.0),
            _COOKING,
            _WASHING,
            {
                "name": "shower",
                "litres": 2.5,
                "grade": "not-for-drinking",
                "per": "person-night",
                "kept": "full",
            },
            {
                "name": "engine",
                "litres": 2.0,
                "grade": "not-for-drinking",
                "per": "party-100km",
                "kept": "bare",
            },
        ),
        "container": (
            _container("20 L can", 8, 20.0, 23.0, 1.5, "potable"),
            _container("built-in tank", 1, 60.0, 60.0, 0.0, "any"),
        ),
        "pace": ({"travel": "vehicle", "speed_kmh": 30.0, "hours_per_day": 6.0,
                  "start_hour": 8.0, "off_route_kmh": 15.0},),
        "policy": ({"max_detour_km": 5.0, "reserve_days": 3.0, "reserve_ration": "bare",
                    "fill_to": "rated", "loss_percent": 5.0},),
    },
    Travel.FOOT: {
        "": ({"name": "Quartz Ridge walk"},),
        "party": ({"people": 2, "can_treat": False},),
        "use": (_drinking(8.0), _COOKING, _WASHING),
        "container": (
            _container("1.5 L bottle", 4, 1.5, 1.5, 0.05, "potable"),
            _container("6 L bladder", 4, 6.0, 6.0, 0.15, "potable"),
        ),
        "pace": ({"travel": "foot", "speed_kmh": 4.0, "hours_per_day": 6.0,
                  "start_hour": 7.0, "off_route_kmh": 3.0},),
        "policy": ({"max_detour_km": 2.0, "reserve_days": 1.0, "reserve_ration": "bare",
                    "fill_to": "rated", "loss_percent": 5.0},),
    },
    Travel.BICYCLE: {
        "": ({"name": "Saltbush ride"},),
        "party": ({"people": 2, "can_treat": False},),
        "use": (_drinking(8.0), _COOKING, _WASHING),
        "container": (
            _container("frame bottle", 6, 0.9, 0.9, 0.1, "potable"),
            _container("10 L bladder", 4, 10.0, 10.0, 0.2, "potable"),
        ),
        "pace": ({"travel": "bicycle", "speed_kmh": 10.0, "hours_per_day": 6.0,
                  "start_hour": 7.0, "off_route_kmh": 6.0},),
        "policy": ({"max_detour_km": 3.0, "reserve_days": 1.0, "reserve_ration": "bare",
                    "fill_to": "rated", "loss_percent": 5.0},),
    },
}  # fmt: skip
"""Every key of the section's table that a party usually knows."""
