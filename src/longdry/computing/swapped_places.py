"""Whether a layer's latitudes and longitudes look exchanged, where both could be either."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from longdry.model.arrays import FloatArray
from longdry.model.plan import PlanWarning
from longdry.model.route import MeasuredRoute
from longdry.model.water_pass import WaterPass
from longdry.model.water_source import WaterSource

_MARGIN_DEG = 0.5


def warnings_of_swapped(
    measured: MeasuredRoute, sources: Sequence[WaterSource], passes: Sequence[WaterPass]
) -> tuple[PlanWarning, ...]:
    """Warn where the route comes by no source, and would if lat and lon were exchanged.

    A route without sources has none that could be swapped.
    """
    if passes or not sources:
        return ()
    lat = np.array([source.lat_deg for source in sources])
    lon = np.array([source.lon_deg for source in sources])
    route = measured.route
    here = _beside(lat, route.lat_deg) & _beside(lon, route.lon_deg)
    swapped = _beside(lon, route.lat_deg) & _beside(lat, route.lon_deg)
    if here.any() or not swapped.any():
        return ()
    count = int(swapped.sum())
    told = "One source" if count == 1 else f"{count:,} sources"
    text = (
        f"{told} would lie beside the route if lat and lon were exchanged; as they stand, the "
        "route comes by none: check the order of the coordinates in the layer."
    )
    return (PlanWarning(text, grave=True),)


def _beside(degrees: FloatArray, of_route: FloatArray) -> NDArray[np.bool_]:
    low, high = of_route.min() - _MARGIN_DEG, of_route.max() + _MARGIN_DEG
    return np.asarray((degrees >= low) & (degrees <= high))
