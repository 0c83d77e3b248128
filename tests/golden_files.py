"""Made files for the golden outputs: routes, water layers, backdrops. Not for navigation.

The invented country lies in the open ocean, so that no figure can be mistaken for a place on land.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from helpers.tile_files import world, write_mbtiles, write_pmtiles

INVENTED = "invented: not for navigation"
ORIGIN = (-28.0, -14.0)
KM_PER_DEGREE = 111.2

Place = tuple[float, float]
"""East and north of the origin, in km."""
Source = dict[str, Any]
"""Properties of a source, with ``at`` for its place."""
Content = str | bytes | Callable[[Path], object]
"""What a file holds, or what writes it."""


def lat_lon(place: Place, origin: tuple[float, float] = ORIGIN) -> tuple[float, float]:
    """Put a place on the globe, roughly: it is invented anyway."""
    lat = origin[0] + place[1] / KM_PER_DEGREE
    lon = origin[1] + place[0] / (KM_PER_DEGREE * math.cos(math.radians(origin[0])))
    return round(lat, 6), round((lon + 180.0) % 360.0 - 180.0, 6)


def winding(length_km: float, *, step_km: float = 0.5, swing_km: float = 3.0) -> list[Place]:
    """Draw a track that winds to the east."""
    count = max(round(length_km / step_km), 1)
    easts = [length_km * number / count for number in range(count + 1)]
    return [
        (e, swing_km * (math.sin(e / 9.0) - math.sin(0.0)) + 0.3 * math.sin(e / 1.7)) for e in easts
    ]


def beside(line: Sequence[Place], share: float, off_km: float = 0.2) -> Place:
    """Return a place north of the line at a share of its points."""
    east, north = line[round(share * (len(line) - 1))]
    return east, round(north + off_km, 4)


def height_m(place: Place) -> float:
    """Give the invented ground a height."""
    return 300.0 + 60.0 * math.sin(place[0] / 7.0) + 25.0 * math.sin(place[0] / 2.3 + 1.0)


def gpx(*content: str) -> str:
    """Write a GPX file."""
    head = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f"<!-- {INVENTED} -->\n"
        '<gpx version="1.1" creator="golden" xmlns="http://www.topografix.com/GPX/1/1">\n'
    )
    return head + "\n".join(content) + "\n</gpx>\n"


def point(kind: str, place: Place, inside: str = "", origin: tuple[float, float] = ORIGIN) -> str:
    """Write a point of GPX."""
    lat, lon = lat_lon(place, origin)
    return f'<{kind} lat="{lat}" lon="{lon}">{inside}</{kind}>'


def waypoint(name: str, place: Place, more: str = "") -> str:
    """Write a waypoint of GPX."""
    return point("wpt", place, f"<name>{escape(name)}</name>{more}")


def track(
    *segments: Sequence[Place],
    name: str = "Made track",
    heights: bool = True,
    origin: tuple[float, float] = ORIGIN,
) -> str:
    """Write a track of GPX, one segment for each line."""
    rows = [f"<trk><name>{escape(name)}</name>"]
    for segment in segments:
        rows.append("<trkseg>")
        for place in segment:
            ele = f"<ele>{height_m(place):.1f}</ele>" if heights else ""
            rows.append(point("trkpt", place, ele, origin))
        rows.append("</trkseg>")
    return "\n".join([*rows, "</trk>"])


def gpx_route(line: Iterable[Place], name: str = "Made route") -> str:
    """Write a route of GPX."""
    points = [point("rtept", place, f"<name>P{n}</name>") for n, place in enumerate(line)]
    return "\n".join([f"<rte><name>{name}</name>", *points, "</rte>"])


def positions(line: Iterable[Place], origin: tuple[float, float] = ORIGIN) -> list[list[float]]:
    """Return longitudes and latitudes."""
    return [list(reversed(lat_lon(place, origin))) for place in line]


def collection(*features: dict[str, Any], name: str = "made") -> str:
    """Write GeoJSON after RFC 7946."""
    held = {"type": "FeatureCollection", "name": name, "remark": INVENTED, "features": features}
    return json.dumps(held, ensure_ascii=False, indent=1) + "\n"


def feature(kind: str, coordinates: object, /, **properties: object) -> dict[str, Any]:
    """Make one feature of GeoJSON."""
    geometry = {"type": kind, "coordinates": coordinates}
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def line_geojson(*lines: Sequence[Place]) -> str:
    """Write a route as lines of GeoJSON."""
    if len(lines) == 1:
        return collection(feature("LineString", positions(lines[0]), name="Made line"))
    return collection(feature("MultiLineString", [positions(each) for each in lines], name="Made"))


def line_kml(line: Iterable[Place]) -> str:
    """Write a route as KML."""
    drawn = " ".join(f"{lon},{lat},0" for lon, lat in positions(line))
    return kml(
        f"<Placemark><name>Made line</name><LineString><coordinates>{drawn}"
        "</coordinates></LineString></Placemark>"
    )


def kml(*content: str) -> str:
    """Write a KML file."""
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<kml xmlns="http://www.opengis.net/kml/2.2"><!-- {INVENTED} --><Document>\n'
        + "\n".join(content)
        + "\n</Document></kml>\n"
    )


def told(source: Source) -> dict[str, object]:
    """Return what a layer says of a source besides its place."""
    return {**{name: value for name, value in source.items() if name != "at"}, "note": INVENTED}


def water_geojson(sources: Iterable[Source], origin: tuple[float, float] = ORIGIN) -> str:
    """Write a water layer as GeoJSON."""
    return collection(
        *(
            feature("Point", list(reversed(lat_lon(source["at"], origin))), **told(source))
            for source in sources
        )
    )


def water_csv(sources: Sequence[Source], separator: str = ",") -> str:
    """Write a water layer as CSV."""
    names = list(dict.fromkeys(name for source in sources for name in told(source)))
    rows = [separator.join(["lat", "lon", *names])]
    for source in sources:
        lat, lon = lat_lon(source["at"])
        cells = [str(told(source).get(name, "")) for name in names]
        quoted = [f'"{cell}"' if separator in cell else cell for cell in cells]
        rows.append(separator.join([str(lat), str(lon), *quoted]))
    return "\n".join([*rows, ""])


def water_gpx(sources: Iterable[Source]) -> str:
    """Write a water layer as waypoints."""
    return gpx(
        *(
            waypoint(source["name"], source["at"], f"<desc>{INVENTED}</desc><sym>Water</sym>")
            for source in sources
        )
    )


def water_kml(sources: Iterable[Source]) -> str:
    """Write a water layer as KML."""
    rows = []
    for source in sources:
        lat, lon = lat_lon(source["at"])
        data = "".join(
            f'<Data name="{name}"><value>{escape(str(value))}</value></Data>'
            for name, value in told(source).items()
            if name != "name"
        )
        rows.append(
            f"<Placemark><name>{escape(source['name'])}</name><ExtendedData>{data}</ExtendedData>"
            f"<Point><coordinates>{lon},{lat}</coordinates></Point></Placemark>"
        )
    return kml(*rows)


def water_layer(sources: Sequence[Source], crs: str = "EPSG:4326") -> Callable[[Path], object]:
    """Return what writes a water layer by GDAL, in the format of the file's ending."""
    rows = [(lat_lon(source["at"]), told(source)) for source in sources]
    return lambda path: _by_gdal(path, [("Point", place, kept) for place, kept in rows], crs)


def line_layer(line: Sequence[Place], crs: str = "EPSG:4326") -> Callable[[Path], object]:
    """Return what writes a route by GDAL."""
    shape = [lat_lon(place) for place in line]
    return lambda path: _by_gdal(path, [("LineString", shape, {"name": "Made line"})], crs)


def _by_gdal(path: Path, rows: list[tuple[str, Any, dict[str, object]]], crs: str) -> None:
    import geopandas as gpd  # noqa: PLC0415 - heavy, and only for these
    from shapely.geometry import LineString, Point  # noqa: PLC0415 - the same

    shapes = [
        Point(held[1], held[0]) if kind == "Point" else LineString([(x, y) for y, x in held])
        for kind, held, _ in rows
    ]
    frame = gpd.GeoDataFrame([kept for *_, kept in rows], geometry=shapes, crs="EPSG:4326")
    frame.to_crs(crs).to_file(path)


def mbtiles(path: Path) -> None:
    """Write MBTiles 1.3 of the zooms 0 to 6."""
    told_of_all = {"name": "made tiles", "format": "png", "attribution": INVENTED}
    write_mbtiles(path, world(0, 6), **told_of_all)


def pmtiles(path: Path) -> None:
    """Write PMTiles 3 of the zooms 0 to 5."""
    write_pmtiles(path, world(0, 5), name="made tiles", attribution=INVENTED)
