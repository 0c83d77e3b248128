"""The route as the desk draws it: where it breaks off, where a km is, what lies below it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from longdry.computing.route.approaches import find_approaches
from longdry.computing.route.chainage import place_at_km
from longdry.computing.route.jumps import jump_words, jumps_of
from longdry.desk.desk import Desk
from longdry.desk.planner import State
from longdry.desk.refusals import CANNOT_BE, RefusedError
from longdry.doing.backdrop_options import chosen_backdrops, online_backdrops_of
from longdry.model.route import Bridge, MeasuredRoute
from longdry.reading.files.coordinates import in_range, plain_number
from longdry.showing.figures.figure import Json
from longdry.showing.map.backdrop import backdrop_layers, backdrop_notes
from longdry.units import M_PER_KM

_REACHES_KM = (1.0, 20.0, 400.0, 8_000.0, 21_000.0)
"""A place is looked for near the route first; no place on Earth is farther off than the last."""


def breaks_json(measured: MeasuredRoute) -> list[Json]:
    """Return the gaps, jumps and stray points of a route, with both ends of each."""
    gaps = [(one.km, one.km + one.length_km, _gap_words(one)) for one in measured.bridges]
    jumps = jumps_of(measured.route, measured.leg_km, measured.chainage_km)
    found = sorted([*gaps, *((one.km, one.to_km, jump_words(one)) for one in jumps)])
    return [
        {
            "from": _place(measured, km),
            "to": _place(measured, to_km),
            "km": round(km, 3),
            "words": words,
        }
        for km, to_km, words in found
    ]


def _gap_words(gap: Bridge) -> str:
    length = (
        f"{gap.length_km:.1f} km" if gap.length_km >= 1.0 else f"{gap.length_km * M_PER_KM:.0f} m"
    )
    return (
        f"At km {gap.km:.1f} the route breaks off; {length} are bridged by a straight line: nobody"
        " knows the way there."
    )


def _place(measured: MeasuredRoute, km: float) -> list[float]:
    lat_deg, lon_deg, _ = place_at_km(measured, min(km, measured.length_km))
    return [round(lat_deg, 6), round(lon_deg, 6)]


def where(desk: Desk, asked: Mapping[str, str]) -> Json:
    """Return the place of a km, or the nearest place of the route to another place.

    Raises
    ------
    RefusedError
        There is no route, or no such place or km.
    """
    state = desk.planner.state()
    measured = state.along.measured if state.along else None
    if measured is None:
        raise RefusedError(CANNOT_BE, "", "there is no route yet", "choose one first")
    if "km" in asked:
        return _of_km(measured, asked["km"])
    lat_deg, lon_deg = (plain_number(asked.get(name, "")) for name in ("lat_deg", "lon_deg"))
    if lat_deg is None or lon_deg is None or not in_range(lat_deg, lon_deg):
        what = "this is no place"
        raise RefusedError(CANNOT_BE, "lat_deg", what, "write degrees, south and west negative")
    return _nearest(measured, lat_deg, lon_deg)


def _of_km(measured: MeasuredRoute, written: str) -> Json:
    km = plain_number(written.strip())
    if km is None or not 0.0 <= km <= measured.length_km:
        most = int(measured.length_km * 10.0) / 10.0
        what = f'"{written[:20]}" is no km of the route'
        raise RefusedError(CANNOT_BE, "km", what, f"give a km from 0 to {most}")
    lat_deg, lon_deg, _ = place_at_km(measured, km)
    return {"km": km, "lat_deg": round(lat_deg, 7), "lon_deg": round(lon_deg, 7), "offset_m": 0.0}


def _nearest(measured: MeasuredRoute, lat_deg: float, lon_deg: float) -> Json:
    for reach_km in _REACHES_KM:
        found = find_approaches(
            measured, np.array([lat_deg]), np.array([lon_deg]), max_detour_km=reach_km
        )
        if found:
            near = min(found, key=lambda one: one.offset_km)
            return {
                "km": round(near.km, 4),
                "lat_deg": round(near.lat_deg, 7),
                "lon_deg": round(near.lon_deg, 7),
                "offset_m": round(near.offset_km * M_PER_KM, 1),
            }
    raise RefusedError(CANNOT_BE, "", "this place is nowhere near the route", "choose another")


def backdrop_json(desk: Desk) -> Json:
    """Return what is drawn below the route; nothing where no backdrop is chosen.

    Raises
    ------
    BackdropError
        A backdrop cannot be read, or has nothing near the route.
    """
    state: State = desk.planner.state()
    plan, options = state.plan, state.choice.options
    if plan is None or options is None:
        return {"html": "", "layers": []}
    backdrops = (*chosen_backdrops(options, plan), *online_backdrops_of(options))
    return {"html": str(backdrop_notes(backdrops)), "layers": backdrop_layers(backdrops)}
