"""The doors for Python: read, plan, write. Each does what the command line does."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from longdry.computing.backdrop.shapes import shapes_near_route
from longdry.computing.backdrop.tiles import tiles_by_zoom
from longdry.computing.plan import planning
from longdry.computing.plan.planning import WaterAlong
from longdry.errors import BackdropError, InputError, LongdryError, StorageError
from longdry.model.backdrop import (
    BYTES_PER_MB,
    MOST_BACKDROP_MB,
    Backdrop,
    DrawnBackdrop,
    RasterBackdrop,
)
from longdry.model.plan.fills import USUAL_FILL_WAY, FillWay
from longdry.model.plan.plan import Plan
from longdry.model.route import Route
from longdry.model.trip.here import OnTheWay
from longdry.model.trip.trip import Trip
from longdry.model.trip.what_if import USUAL_INQUIRY, Inquiry
from longdry.model.water.source import WaterLayer, WaterSource
from longdry.model.words import CountOn, Units
from longdry.reading.backdrop.lines import read_backdrop_lines
from longdry.reading.backdrop.tiles import (
    is_tile_archive,
    opened_archive,
    raster_backdrop,
)
from longdry.reading.route import route_file
from longdry.reading.trip import trip_file
from longdry.reading.water import layer as water_layer
from longdry.reading.water.mapping import read_field_mapping
from longdry.showing.page.page import page_html
from longdry.showing.words.measures import Measures
from longdry.storage import replace_file

__all__ = [
    "InputError",
    "LongdryError",
    "Plan",
    "Route",
    "StorageError",
    "Trip",
    "WaterLayer",
    "WaterSource",
    "plan_along",
    "plan_trip",
    "read_backdrop",
    "read_each_line",
    "read_route",
    "read_trip",
    "read_water",
    "water_along",
    "write_page",
]


def read_route(path: str | os.PathLike[str], *, track: str | Sequence[str] | None = None) -> Route:
    """Read the line to be travelled from GPX or from any line layer that GDAL reads.

    Parameters
    ----------
    track
        Name of the track or route to take where the file holds several, or several names in the
        order of travel.

    Raises
    ------
    RouteFileError
        One sentence for each fault: file, place, what is wrong, how to mend it.
    """
    return route_file.read_route(path, track=track)


def read_each_line(path: str | os.PathLike[str]) -> tuple[Route | InputError, ...]:
    """Read every line of a file as a route of its own; of one that leads nowhere its fault.

    Raises
    ------
    RouteFileError
        The file cannot be read, or holds no line.
    """
    return route_file.read_each_line(path)


def read_water(
    layers: str | os.PathLike[str] | Sequence[str | os.PathLike[str]],
    *,
    fields: str | os.PathLike[str] | Sequence[str | os.PathLike[str]] = (),
) -> WaterLayer:
    """Read one layer of water sources or several that add up; none at all has none.

    Parameters
    ----------
    fields
        Files that say how other people's columns and words are read.

    Raises
    ------
    WaterLayerError
        One sentence for each fault: file, feature, what is wrong, how to mend it.
    """
    named = [fields] if isinstance(fields, str | os.PathLike) else fields
    return water_layer.read_water(layers, fields=[read_field_mapping(path) for path in named])


def read_trip(path: str | os.PathLike[str] | None = None) -> Trip:
    """Read a trip file; None gives a trip of nothing but defaults, each told in the plan.

    Raises
    ------
    TripFileError
        One sentence for each fault: file, key and line, what is wrong, how to mend it.
    """
    return trip_file.read_trip(path)


def plan_trip(
    route: Route,
    water: WaterLayer | Sequence[WaterSource],
    trip: Trip | None = None,
    *,
    reverse: bool = False,
    count_on: CountOn = CountOn.LIKELY,
    fill: FillWay = USUAL_FILL_WAY,
    inquiry: Inquiry = USUAL_INQUIRY,
    on_the_way: OnTheWay | None = None,
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
        The way of filling, and whether only whole containers are filled.
    inquiry
        What is asked about what may go wrong.
    on_the_way
        Where the party is and what it has, to plan the rest of the trip; None: the whole trip.

    Raises
    ------
    RouteFileError
        Where a break of the route is too long to bridge.
    TripFileError
        Where a pinned camp is not on the route.
    """
    return planning.plan_trip(
        route,
        water,
        trip or read_trip(),
        reverse=reverse,
        count_on=CountOn(count_on),
        fill=fill,
        inquiry=inquiry,
        on_the_way=on_the_way,
    )


def water_along(
    route: Route,
    water: WaterLayer | Sequence[WaterSource],
    trip: Trip | None = None,
    *,
    reverse: bool = False,
) -> WaterAlong:
    """Measure a route and its water once, for many plans: see `plan_along`.

    Raises
    ------
    RouteFileError
        Where a break of the route is too long to bridge.
    """
    return planning.water_along(route, water, trip or read_trip(), reverse=reverse)


def plan_along(
    along: WaterAlong,
    trip: Trip | None = None,
    *,
    count_on: CountOn = CountOn.LIKELY,
    fill: FillWay = USUAL_FILL_WAY,
    inquiry: Inquiry = USUAL_INQUIRY,
    on_the_way: OnTheWay | None = None,
) -> Plan:
    """Work out one of many plans on a line measured by `water_along`; the rest as `plan_trip`.

    Raises
    ------
    TripFileError
        Where a pinned camp is not on the route.
    ValueError
        Where the line was measured for another winding factor or detour.
    """
    return planning.plan_along(
        along,
        trip or read_trip(),
        count_on=CountOn(count_on),
        fill=fill,
        inquiry=inquiry,
        on_the_way=on_the_way,
    )


def read_backdrop(
    path: str | os.PathLike[str], plan: Plan, *, most_mb: float = MOST_BACKDROP_MB
) -> RasterBackdrop | DrawnBackdrop:
    """Read what a page of the plan can draw below its route.

    Parameters
    ----------
    path
        Raster tiles (MBTiles 1.3, PMTiles 3), or a layer of lines, areas and named points.
    most_mb
        What it may add to the page, in units of 1,000,000 bytes; tiles lose their finest zooms
        for it, lines their finest bends.

    Raises
    ------
    BackdropError
        Where the file cannot be read, has nothing near the route, or finds no room.
    """
    read = _tiles if is_tile_archive(Path(path)) else _shapes
    return read(Path(path), plan, most_mb * BYTES_PER_MB)


def _tiles(path: Path, plan: Plan, most_bytes: float) -> RasterBackdrop:

    with opened_archive(path) as archive:
        facts = archive.facts()
        spans = tiles_by_zoom(plan.measured, facts.least_zoom, facts.greatest_zoom)
        return raster_backdrop(archive, spans, most_bytes)


def _shapes(path: Path, plan: Plan, most_bytes: float) -> DrawnBackdrop:

    shapes, size = shapes_near_route(read_backdrop_lines(path), plan.measured, most_bytes)
    megabytes = f"{size / BYTES_PER_MB:.2g} MB"
    if not shapes:
        raise BackdropError.single(
            str(path), "", "holds nothing near the route", "name a layer that covers the route"
        )
    if size > most_bytes:
        raise BackdropError.single(
            str(path),
            "",
            f"takes {megabytes} near the route, more than there is room for",
            "allow more with --backdrop-mb, or cut the layer down",
        )
    counted = "1 shape" if len(shapes) == 1 else f"{len(shapes):,} shapes"
    return DrawnBackdrop(shapes, (f"{path}: {counted}, {megabytes}.",), size)


def write_page(
    plan: Plan,
    path: str | os.PathLike[str],
    *,
    units: Units = Units.METRIC,
    backdrops: Sequence[Backdrop] = (),
) -> None:
    """Write the plan as one HTML page that needs no network; the old file is replaced whole.

    It has the panel for the road where the plan was made with `Inquiry.least_litres`.

    Parameters
    ----------
    units
        What the page's figures are written in.
    backdrops
        What is drawn below the route, the lowest first: see `read_backdrop`.

    Raises
    ------
    StorageError
        Where the file cannot be written; what was there before still stands.
    """
    replace_file(Path(path), page_html(plan, Measures(Units(units)), backdrops))
