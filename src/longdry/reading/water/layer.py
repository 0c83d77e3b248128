"""The door to the user's water layers: any number of files, one WaterLayer."""

from __future__ import annotations

import os
from collections.abc import Container, Sequence
from dataclasses import replace
from pathlib import Path

from longdry.errors import Fault, WaterLayerError
from longdry.model.water.source import WaterLayer, WaterSource
from longdry.model.words import Certainty
from longdry.plain_text import listed
from longdry.reading.files.opening import file_text_and_encoding
from longdry.reading.water.columns import with_usual_names
from longdry.reading.water.csv_layer import TablePlaces, read_csv_layer
from longdry.reading.water.format import LayerFormat, layer_format
from longdry.reading.water.gdal_layer import read_gdal_layer
from longdry.reading.water.geojson_layer import read_geojson_layer
from longdry.reading.water.gone import heeded_columns, without_the_gone
from longdry.reading.water.gpx_layer import (
    GPX,
    SPEAKING_OF_WATER,
    WaypointChoice,
    chosen_waypoints,
    read_gpx_layer,
)
from longdry.reading.water.kml_layer import read_kml_layer
from longdry.reading.water.mapping import FieldMapping, mapped_layer
from longdry.reading.water.raw import (
    RawFeature,
    RawLayer,
    columns_of,
    in_wgs84,
    is_wgs84,
    with_numbers,
)
from longdry.reading.water.source import field_of
from longdry.reading.water.sources import LayerSources, id_used_twice, layer_sources
from longdry.reading.water.together import LayersTogether
from longdry.reading.water.twins import near_pairs
from longdry.reading.water.values import shown
from longdry.reading.water.vocabularies import in_our_words, speaks_ours, without_empty_words

LayerPath = str | os.PathLike[str]
_OLD_WINDOWS = "cp1252"
NOT_OWN = (
    "read as somebody else's, so that its sources are doubtful until one of you has been there:"
    " of a layer of your own, say own = true in [always] of a --fields file, or bring it into a"
    " book with --own"
)


def read_water(
    layers: LayerPath | Sequence[LayerPath], *, fields: Sequence[FieldMapping] = ()
) -> WaterLayer:
    """Read one or more layers of water sources; they add up.

    Parameters
    ----------
    layers
        GeoJSON, CSV, GPX, KML, KMZ, GeoPackage, Shapefile, or anything else that GDAL reads; in
        any declared reference system; compressed with gzip or not. What the file is shows in its
        content first, in its suffix second.
    fields
        How columns and words of other people's layers are read. Each goes with the layers that
        have all the columns that it names.

    Returns
    -------
    WaterLayer
        Sources in the order of the files, in WGS 84, with remarks on what was assumed. A place
        that two layers tell is one source, at its worst.

    Raises
    ------
    WaterLayerError
        With all that is wrong in the first file at fault; also where an id comes twice in it, or
        a mapping fits no layer.

    Examples
    --------
    >>> read_water([]).sources
    ()
    """
    paths = [Path(layer) for layer in _as_sequence(layers)]
    _refuse_twice(paths)
    together = LayersTogether()
    used: set[str] = set()
    for path, stem in zip(paths, _made_id_stems(paths), strict=True):
        raw, mapping = _with_its_mapping(path, fields)
        if mapping:
            used.add(mapping.origin)
        found = layer_sources(sources_layer(raw, mapping, path), path, stem)
        _refuse_twofold_ids(found, path)
        together.take(found, path.name, stem)
    _refuse_unused(fields, used, paths)
    remarks = [*together.remarks, *_near_remarks(together.sources)]
    if not paths:
        remarks.append("No water layer is given: all water must be carried from the start.")
    return WaterLayer(tuple(together.sources), tuple(remarks), tuple(map(str, paths)))


def _with_its_mapping(
    path: Path, fields: Sequence[FieldMapping]
) -> tuple[RawLayer, FieldMapping | None]:
    """Return the layer, read with the first mapping that names no column that it lacks."""
    for mapping in fields:
        try:
            raw = raw_layer(path, places=TablePlaces(mapping.places, mapping.crs))
        except WaterLayerError:
            continue
        if not mapping.missing_in(raw):
            return raw, mapping
    return raw_layer(path), None


def _refuse_unused(
    fields: Sequence[FieldMapping], used: Container[str], paths: Sequence[Path]
) -> None:
    for mapping in fields:
        if not paths:
            what = "goes with a water layer, and none is given"
            raise WaterLayerError.single(mapping.origin, "", what, "name one with --water")
        if mapping.origin not in used:
            raw = raw_layer(paths[0], places=TablePlaces(mapping.places, mapping.crs))
            faults = mapping.missing_in(raw) or [
                Fault("", "fits none of the layers", "name a layer that has these columns")
            ]
            raise WaterLayerError(mapping.origin, faults)


def layer_in_our_words(raw: RawLayer, mapping: FieldMapping | None) -> RawLayer:
    """Return a layer with its properties in our words, whatever it speaks.

    Words for nothing go first; an open vocabulary is known before a mapping, which only adds; last
    come columns under usual names, where nothing else has told. Whatever a layer speaks, a column
    that says that a source is gone retires it. Neither is looked for where all columns are ours.

    Raises
    ------
    WaterLayerError
        Where the mapping does not fit.
    """
    known = in_our_words(without_empty_words(raw))
    layer = mapped_layer(known, mapping) if mapping else known
    is_all_ours = all(map(field_of, columns_of(layer.features)))
    if not (is_all_ours or layer.vocabulary):
        used = set(mapping.columns.values()) if mapping else set()
        layer = with_usual_names(layer, used=used, heeded=heeded_columns(layer, mapping))
    if mapping or not (known.vocabulary or speaks_ours(known)):
        layer = _somebody_elses(layer, known, mapping)
    return layer if is_all_ours else without_the_gone(layer, mapping)


def is_somebody_elses(layer: RawLayer) -> bool:
    """Whether a layer has to be put in our words first, so that it counts as somebody else's.

    >>> is_somebody_elses(RawLayer([])), is_somebody_elses(
    ...     RawLayer([RawFeature("feature 1", 131.0, -25.0, {"natural": "spring"})])
    ... )
    (False, True)
    """
    read = layer_in_our_words(layer, None)
    return bool(read.vocabulary) or NOT_OWN in read.remarks


def sources_layer(
    raw: RawLayer,
    mapping: FieldMapping | None,
    path: Path,
    choice: WaypointChoice = SPEAKING_OF_WATER,
) -> RawLayer:
    """Return the sources of a layer in our words: of waypoints those that are chosen.

    Raises
    ------
    WaterLayerError
        Where the mapping does not fit, or waypoints are chosen that are not there.
    """
    layer = layer_in_our_words(raw, mapping)
    if raw.vocabulary == GPX:
        return chosen_waypoints(layer, path, choice, mapping.always if mapping else ())
    if choice != SPEAKING_OF_WATER:
        what = "--waypoint and --all go with waypoints of a GPX file"
        raise WaterLayerError.single(str(path), "", what, "leave them out")
    return layer


def _somebody_elses(layer: RawLayer, before: RawLayer, mapping: FieldMapping | None) -> RawLayer:
    """Return the layer with what had to be put in our words as seen by nobody of the party.

    A book is left alone, and so is what says itself whose it is. Where nothing had to be put in
    our words, the layer is the user's own.
    """
    pairs = list(zip(before.features, layer.features, strict=True))
    in_a_book = any(one.properties.get("brought_from") for one in layer.features)
    if in_a_book or all(old.properties == new.properties for old, new in pairs):
        return layer
    sure = mapping is not None and mapping.tells("certainty")
    features = [_not_own(feature, sure=sure) for feature in layer.features]
    if not any(new is not old for old, new in zip(layer.features, features, strict=True)):
        return layer
    return replace(layer, features=features, remarks=(*layer.remarks, NOT_OWN))


def _not_own(feature: RawFeature, *, sure: bool) -> RawFeature:
    """Return a feature as somebody else's; their certainty stands only where a mapping names it."""
    told = {field_of(key) for key, value in feature.properties.items() if value not in (None, "")}
    if "own" in told:
        return feature
    kept = {
        key: value
        for key, value in feature.properties.items()
        if sure or field_of(key) != "certainty" or value == Certainty.DOUBTFUL
    }
    return feature._replace(properties={**kept, "own": False})


def _as_sequence(layers: LayerPath | Sequence[LayerPath]) -> Sequence[LayerPath]:
    return [layers] if isinstance(layers, str | os.PathLike) else layers


def raw_layer(path: Path, *, places: TablePlaces | None = None) -> RawLayer:
    """Return the features of one file as it holds them, in WGS 84.

    Parameters
    ----------
    path
        A layer of any kind that `read_water` takes.
    places
        Which columns of a table tell places, and in which reference system.

    Raises
    ------
    WaterLayerError
        As `read_water` does.
    """
    kind = layer_format(path)
    if kind in (LayerFormat.GEOJSON, LayerFormat.TABLE):
        return _layer_of_text(path, kind, places)
    if kind is LayerFormat.GPX:
        return read_gpx_layer(path)
    if kind is LayerFormat.KML:
        return read_kml_layer(path)

    return read_gdal_layer(path, in_memory=kind is LayerFormat.GDAL_IN_MEMORY)


def _layer_of_text(path: Path, kind: LayerFormat, places: TablePlaces | None) -> RawLayer:
    text, encoding = file_text_and_encoding(path, error=WaterLayerError, fallback=_OLD_WINDOWS)
    if kind is LayerFormat.TABLE:
        layer = read_csv_layer(text, path, places=places)
        if layer.crs and not is_wgs84(layer.crs):
            layer = replace(layer, features=in_wgs84(with_numbers(layer.features), layer.crs, path))
    else:
        layer = read_geojson_layer(text, path)
    if encoding != _OLD_WINDOWS:
        return layer
    remark = "is not UTF-8 and was read as Windows-1252: check letters with accents"
    return replace(layer, remarks=(remark, *layer.remarks))


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


def _refuse_twofold_ids(found: LayerSources, path: Path) -> None:
    faults = []
    places: dict[str, str] = {}
    for source, place in zip(found.sources, found.places, strict=True):
        first = places.setdefault(source.id, place)
        if first is not place:
            faults.append(id_used_twice(place, source.id, first))
    if faults:
        raise WaterLayerError(str(path), faults)


def _near_remarks(sources: Sequence[WaterSource]) -> list[str]:
    pairs = near_pairs(sources)
    if not pairs:
        return []
    notes = listed([f"{shown(later.name)} ({one.id}, {later.id})" for one, later in pairs])
    what = "Sources of one name within 30 m of each other may be one place told twice"
    return [f"{what}: {notes}."]
