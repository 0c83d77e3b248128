"""GPX files for tests and the complaint about a bad one; all places are invented."""

import pytest

from longdry.errors import RouteFileError
from longdry.reading.route.route_file import read_route

GPX_11 = '<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'


def complaint(path, **kwargs):
    with pytest.raises(RouteFileError) as caught:
        read_route(path, **kwargs)
    return str(caught.value).replace(str(path), path.name)


def gpx(*content, root=GPX_11):
    return "\n".join([root, *content, "</gpx>"])


def track(*points, name=None):
    return f"<trk>{_named(name)}<trkseg>\n" + "\n".join(points) + "\n</trkseg></trk>"


def route(*points, name=None):
    return f"<rte>{_named(name)}\n" + "\n".join(points) + "\n</rte>"


def trkpt(lat, lon, inside=""):
    return f'<trkpt lat="{lat}" lon="{lon}">{inside}</trkpt>'


def rtept(lat, lon, inside=""):
    return f'<rtept lat="{lat}" lon="{lon}">{inside}</rtept>'


def _named(name):
    return "" if name is None else f"<name>{name}</name>"


TWO_POINTS = track(trkpt(-23.0, 133.0), trkpt(-24.0, 134.0, "<ele>512.5</ele>"))
