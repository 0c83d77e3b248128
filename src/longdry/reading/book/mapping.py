"""How another file's columns and words are read as ours: a small TOML file.

::

    [fields]                 # our property = the other file's column
    grade = "water_qual"
    lat = "Y"                # places too, for tables
    [grades]                 # the other file's word = our grade
    "bore water" = "treat-before-drinking"
    [kinds]                  # the other file's word = our kind
    "windmill" = "bore"
    [always]                 # our property = the same value for every source
    access = "pump"
"""

from __future__ import annotations

import difflib
import os
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from longdry.errors import Fault, WaterLayerError
from longdry.plain_text import one_line
from longdry.reading.files.faults import FaultList
from longdry.reading.files.opening import file_text
from longdry.reading.water.raw import RawFeature, RawLayer
from longdry.reading.water.source import READERS, field_of
from longdry.reading.water.values import listed, shown
from longdry.reading.water.visits import GRADES

_TABLES = ("fields", "grades", "kinds", "always")
_PLACES = ("lat", "lon")
_WORD_TABLES = {"grade": "grades", "kind": "kinds"}


@dataclass(frozen=True, slots=True)
class FieldMapping:
    """What to read as what; words and columns in small letters."""

    origin: str
    columns: Mapping[str, str]
    """Our property -> the other file's column."""
    words: Mapping[str, Mapping[str, str]]
    """'grade' and 'kind' -> the other file's word -> ours."""
    always: Mapping[str, object]
    """Our property -> its value for every source."""

    @property
    def places(self) -> dict[str, str]:
        """The columns of a table that tell latitude and longitude, and 'lat' and 'lon'."""
        return {self.columns[name]: name for name in _PLACES if name in self.columns}


def read_field_mapping(path: str | os.PathLike[str]) -> FieldMapping:
    """Read a mapping.

    Raises
    ------
    WaterLayerError
        With all that is wrong in it.
    """
    origin = os.fspath(path)
    try:
        data = tomllib.loads(file_text(path, error=WaterLayerError))
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as cause:
        what = f"this is no TOML ({cause})"
        raise WaterLayerError.single(origin, "", what, "mend the line that is named") from cause
    faults = FaultList()
    tables = {name: _table(data, name, faults) for name in _TABLES}
    for name in data:
        if name not in _TABLES:
            faults.add([Fault("", f"[{one_line(name)}] is not known", _nearest(name, _TABLES))])
    faults.add(_faults_in(tables))
    faults.raise_any(origin, WaterLayerError)
    columns = {field: str(column).strip().lower() for field, column in tables["fields"].items()}
    words = {
        field: {str(word).strip().lower(): str(ours) for word, ours in tables[table].items()}
        for field, table in _WORD_TABLES.items()
    }
    return FieldMapping(origin, columns, words, tables["always"])


def _table(data: Mapping[str, object], name: str, faults: FaultList) -> dict[str, object]:
    table = data.get(name, {})
    if isinstance(table, dict):
        return table
    faults.add([Fault("", f"{name} is {shown(table)}, not a table", f"write [{name}]")])
    return {}


def _faults_in(tables: Mapping[str, Mapping[str, object]]) -> list[Fault]:
    faults = []
    for table in ("fields", "always"):
        allowed = [*READERS, *_PLACES] if table == "fields" else [*READERS]
        for key in tables[table]:
            if key not in allowed:
                what = f"{one_line(key)} is no property of ours"
                faults.append(Fault(f"[{table}]", what, _nearest(key, allowed)))
    for table in ("fields", "grades", "kinds"):
        for key, value in tables[table].items():
            if not isinstance(value, str) or not value.strip():
                what = f"{one_line(key)} is {shown(value)}, not a text"
                faults.append(Fault(f"[{table}]", what, "write it in quotes"))
    for word, grade in tables["grades"].items():
        if isinstance(grade, str) and grade.strip() and grade not in GRADES:
            what = f"{shown(word)} is {shown(grade)}, no grade"
            faults.append(Fault("[grades]", what, f"write {listed(GRADES)}"))
    return faults


def _nearest(word: str, allowed: Iterable[str]) -> str:
    names = list(allowed)
    close = difflib.get_close_matches(word.lower(), names, n=1)
    return f"did you mean {close[0]}" if close else f"known are {', '.join(names)}"


def mapped_layer(layer: RawLayer, mapping: FieldMapping) -> RawLayer:
    """Return the layer with its properties in our words.

    Raises
    ------
    WaterLayerError
        The mapping names a column that no feature has, or a grade has a word that it lacks.
    """
    faults = FaultList()
    faults.add(_missing_columns(layer, mapping))
    features = [_mapped(feature, mapping) for feature in layer.features]
    faults.add(_unknown_grades(features, mapping))
    faults.raise_any(mapping.origin, WaterLayerError)
    return RawLayer(features, layer.remarks)


def _missing_columns(layer: RawLayer, mapping: FieldMapping) -> list[Fault]:
    there = {key.strip().lower() for feature in layer.features for key in feature.properties}
    if not layer.features:
        return []
    wanted = {f: column for f, column in mapping.columns.items() if f not in _PLACES}
    return [
        Fault("[fields]", f"{field} is {shown(column)}, a column that the file lacks",
              _nearest(column, sorted(there)[:30]))
        for field, column in wanted.items()
        if column not in there
    ]  # fmt: skip


def _mapped(feature: RawFeature, mapping: FieldMapping) -> RawFeature:
    field_by_column = {
        column: field for field, column in mapping.columns.items() if field not in _PLACES
    }
    ours: dict[str, object] = dict(mapping.always)
    theirs: dict[str, object] = {}
    for key, value in feature.properties.items():
        field = field_by_column.get(key.strip().lower())
        known = field_of(key)
        if field is not None:
            if value not in (None, ""):
                ours[field] = _in_our_word(field, value, mapping)
            theirs[_kept_name(key)] = value
        elif known in ours or known in mapping.columns:
            theirs[_kept_name(key)] = value
        else:
            theirs[key] = value
    return feature._replace(properties=ours | theirs)


def _kept_name(key: str) -> str:
    """Return the name under which another file's own value is kept beside ours."""
    return f"theirs:{key}" if field_of(key) else key


def _in_our_word(field: str, value: object, mapping: FieldMapping) -> object:
    words = mapping.words.get(field)
    return words.get(str(value).strip().lower(), value) if words else value


def _unknown_grades(features: Iterable[RawFeature], mapping: FieldMapping) -> list[Fault]:
    if not mapping.words["grade"]:
        return []
    words = dict.fromkeys(str(one.properties.get("grade") or "") for one in features)
    return [
        Fault("[grades]", f"{shown(word)} is not there", f"add it there as {listed(GRADES)}")
        for word in words
        if word and word.strip().lower() not in GRADES
    ]
