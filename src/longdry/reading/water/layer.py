"""The door to the user's water layers: any number of files, one WaterLayer."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

from longdry.errors import WaterLayerError
from longdry.model.water.source import WaterLayer, WaterSource
from longdry.reading.files.opening import file_text
from longdry.reading.files.text import listed
from longdry.reading.water.csv_layer import read_csv_layer
from longdry.reading.water.format import LayerFormat, layer_format
from longdry.reading.water.gdal_layer import read_gdal_layer
from longdry.reading.water.geojson_layer import read_geojson_layer
from longdry.reading.water.gpx_layer import read_gpx_layer
from longdry.reading.water.kml_layer import read_kml_layer
from longdry.reading.water.raw import RawLayer
from longdry.reading.water.sources import LayerSources, id_used_twice, layer_sources
from longdry.reading.water.twins import near_pairs
from longdry.reading.water.values import shown

LayerPath = str | os.PathLike[str]
_NOTHING_RENAMED: Mapping[str, str] = MappingProxyType({})


def read_water(layers: LayerPath | Sequence[LayerPath]) -> WaterLayer:
    """Read one or more layers of water sources; they add up.

    Parameters
    ----------
    layers
        GeoJSON, CSV, GPX, KML, GeoPackage, Shapefile, or anything else that GDAL reads; in any
        declared reference system; compressed with gzip or not. What the file is shows in its
        content first, in its suffix second.

    Returns
    -------
    WaterLayer
        Sources in the order of the files, in WGS 84, with remarks on what was assumed.

    Raises
    ------
    WaterLayerError
        With all that is wrong in the first file at fault; also where an id comes twice.

    Examples
    --------
    >>> read_water([]).sources
    ()
    """
    paths = [Path(layer) for layer in _as_sequence(layers)]
    _refuse_twice(paths)
    sources: list[WaterSource] = []
    remarks: list[str] = []
    places: dict[str, tuple[Path, str]] = {}
    for path, stem in zip(paths, _made_id_stems(paths), strict=True):
        found = layer_sources(raw_layer(path), path, stem)
        _refuse_known_ids(found, path, places)
        sources += found.sources
        remarks += found.remarks
    remarks += _near_remarks(sources)
    return WaterLayer(tuple(sources), tuple(remarks), tuple(map(str, paths)))


def _as_sequence(layers: LayerPath | Sequence[LayerPath]) -> Sequence[LayerPath]:
    return [layers] if isinstance(layers, str | os.PathLike) else layers


def raw_layer(path: Path, *, renamed: Mapping[str, str] = _NOTHING_RENAMED) -> RawLayer:
    """Return the features of one file as it holds them, in WGS 84.

    Parameters
    ----------
    path
        A layer of any kind that `read_water` takes.
    renamed
        Names of a table's columns in small letters, and what to read them as.

    Raises
    ------
    WaterLayerError
        As `read_water` does.
    """
    kind = layer_format(path)
    if kind is LayerFormat.GEOJSON:
        return read_geojson_layer(file_text(path, error=WaterLayerError), path)
    if kind is LayerFormat.TABLE:
        text = file_text(path, error=WaterLayerError)
        return read_csv_layer(text, path, renamed=renamed)
    if kind is LayerFormat.GPX:
        return read_gpx_layer(path)
    if kind is LayerFormat.KML:
        return read_kml_layer(path)

    return read_gdal_layer(path, in_memory=kind is LayerFormat.GDAL_IN_MEMORY)


def _refuse_twice(paths: Sequence[Path]) -> None:
    seen: set[str] = set()
    for path in paths:
        real = os.path.realpath(path)
        if real in seen:
            raise WaterLayerError.single(str(path), "", "is given twice", "name each layer once")
        seen.add(real)


def _made_id_stems(paths: Sequence[Path]) -> list[str]:
    """Return the stem of each file, told apart by a number where two are the same."""
    used: dict[str, int] = {}
    stems = []
    for path in paths:
        stem = path.name.removesuffix(".gz").partition(".")[0] or path.name
        used[stem] = used.get(stem, 0) + 1
        stems.append(stem if used[stem] == 1 else f"{stem}~{used[stem]}")
    return stems


def _refuse_known_ids(found: LayerSources, path: Path, places: dict[str, tuple[Path, str]]) -> None:
    faults = []
    for source, place in zip(found.sources, found.places, strict=True):
        first_path, first_place = places.setdefault(source.id, (path, place))
        if first_path is path and first_place is place:
            continue
        at = first_place if first_path is path else f"{first_place} of {first_path}"
        faults.append(id_used_twice(place, source.id, at))
    if faults:
        raise WaterLayerError(str(path), faults)


def _near_remarks(sources: Sequence[WaterSource]) -> list[str]:
    pairs = near_pairs(sources)
    if not pairs:
        return []
    notes = listed([f"{shown(later.name)} ({one.id}, {later.id})" for one, later in pairs])
    what = "Sources of one name within 30 m of each other may be one place told twice"
    return [f"{what}: {notes}."]
