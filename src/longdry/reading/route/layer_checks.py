"""What GDAL would pass over in silence in a line layer: checked before it gets the file.

GDAL takes a GeoJSON layer in an unknown coordinate system for WGS 84; a line that lies elsewhere
than the user drew it hides a gap.
"""

from __future__ import annotations

import os

from pyproj import CRS
from pyproj.exceptions import CRSError

from longdry.errors import InputError, RouteFileError
from longdry.reading.files.json_text import json_faults, strict_json
from longdry.reading.files.opening import file_text
from longdry.reading.files.text import quoted

_EXPORT_AGAIN = "export the layer again in WGS 84"


def check_geojson(path: str | os.PathLike[str]) -> None:
    """Check form and declared coordinate system of a GeoJSON file.

    Raises
    ------
    RouteFileError
        It is no UTF-8 or no JSON, or its ``crs`` (GeoJSON 2008) names no known system.
    """
    document = _parsed(path)
    crs = document.get("crs") if isinstance(document, dict) else None
    if crs is None:
        return
    properties = crs.get("properties") if isinstance(crs, dict) else None
    name = properties.get("name") if isinstance(properties, dict) else None
    if not isinstance(name, str):
        raise _refused(path, '"crs"', "names no coordinate system", _EXPORT_AGAIN)

    try:
        CRS.from_user_input(name)
    except CRSError as problem:
        what = f"the coordinate system {quoted(name)} is not known"
        raise _refused(path, '"crs"', what, _EXPORT_AGAIN) from problem


def _parsed(path: str | os.PathLike[str]) -> object:
    text = file_text(path, error=RouteFileError)
    with json_faults(os.fspath(path), RouteFileError, _EXPORT_AGAIN):
        return strict_json(text, takes_nan=True)


def _refused(path: str | os.PathLike[str], where: str, what: str, mend: str) -> InputError:
    return RouteFileError.single(os.fspath(path), where, what, mend)
