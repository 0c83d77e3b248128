"""The doors for Python: read, plan, write. Each does what the command line does."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from longdry.errors import InputError, LongdryError, StorageError
from longdry.model.fill import FILL_LEAST, FillWay
from longdry.model.inquiry import USUAL_INQUIRY, Inquiry
from longdry.model.plan import Plan
from longdry.model.route import Route
from longdry.model.trip import Trip
from longdry.model.water_source import WaterLayer, WaterSource
from longdry.model.words import CountOn, Units

__all__ = [
    "InputError",
    "LongdryError",
    "Plan",
    "Route",
    "StorageError",
    "Trip",
    "WaterLayer",
    "WaterSource",
    "plan_trip",
    "read_route",
    "read_trip",
    "read_water",
    "write_page",
]


def read_route(path: str | os.PathLike[str], *, track: str | None = None) -> Route:
    """Read the line to be travelled from GPX or from any line layer that GDAL reads.

    Parameters
    ----------
    track
        Name of the track or route to take where the file holds several.

    Raises
    ------
    RouteFileError
        One sentence for each fault: file, place, what is wrong, how to mend it.
    """
    from longdry.reading import route_file  # noqa: PLC0415 - loaded when needed

    return route_file.read_route(path, track=track)


def read_water(
    layers: str | os.PathLike[str] | Sequence[str | os.PathLike[str]],
) -> WaterLayer:
    """Read one layer of water sources or several that add up.

    Raises
    ------
    WaterLayerError
        One sentence for each fault: file, feature, what is wrong, how to mend it.
    """
    from longdry.reading import water_layer  # noqa: PLC0415 - loaded when needed

    return water_layer.read_water(layers)


def read_trip(path: str | os.PathLike[str] | None = None) -> Trip:
    """Read a trip file; None gives a trip of nothing but defaults, each told in the plan.

    Raises
    ------
    TripFileError
        One sentence for each fault: file, key and line, what is wrong, how to mend it.
    """
    from longdry.reading import trip_file  # noqa: PLC0415 - loaded when needed

    return trip_file.read_trip(path)


def plan_trip(
    route: Route,
    water: WaterLayer | Sequence[WaterSource],
    trip: Trip | None = None,
    *,
    reverse: bool = False,
    count_on: CountOn = CountOn.LIKELY,
    fill: FillWay = FILL_LEAST,
    inquiry: Inquiry = USUAL_INQUIRY,
) -> Plan:
    """Work out passes, clock, stretches, needs and verdicts.

    Parameters
    ----------
    trip
        None plans with nothing but defaults.
    reverse
        Travel the route from its end to its start.
    count_on
        How certain a source must be to be counted.
    fill
        The habit of filling, and whether only whole containers are filled.
    inquiry
        What is asked about what may go wrong.

    Raises
    ------
    RouteFileError
        Where a break of the route is too long to bridge.
    TripFileError
        Where a pinned camp is not on the route.
    """
    from longdry.computing import planning  # noqa: PLC0415 - loaded when needed

    return planning.plan_trip(
        route,
        water,
        trip or read_trip(),
        reverse=reverse,
        count_on=CountOn(count_on),
        fill=fill,
        inquiry=inquiry,
    )


def write_page(plan: Plan, path: str | os.PathLike[str], *, units: Units = Units.METRIC) -> None:
    """Write the plan as one HTML page that needs no network; the old file is replaced whole.

    Parameters
    ----------
    units
        What the page's figures are written in.

    Raises
    ------
    StorageError
        Where the file cannot be written; what was there before still stands.
    """
    from longdry.showing import page  # noqa: PLC0415 - loaded when needed
    from longdry.showing.measures import Measures  # noqa: PLC0415 - loaded when needed
    from longdry.storage import replace_file  # noqa: PLC0415 - loaded when needed

    replace_file(Path(path), page.page_html(plan, Measures(Units(units))))
