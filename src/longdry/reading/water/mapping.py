"""How another file's columns and words are read as ours: a small TOML file.

::

    crs = "EPSG:28355"       # the reference system of a table's places, where it is not WGS 84
    [fields]                 # our property = the other file's column
    grade = "water_qual"
    lat = "Y"                # places too, for tables; easting and northing with a crs
    visit_found = "status"   # what somebody found, and when: together they are a visit
    visit_on = "day"
    [grades]                 # the other file's word = our grade
    "bore water" = "treat-before-drinking"
    [kinds]                  # the other file's word = our kind
    "windmill" = "bore"
    [visits]                 # the other file's word = flowing, low, dry or unreachable
    "Dry" = "dry"
    [retired]                # the other file's word = why nobody should count on it
    "No longer exists" = "no longer exists"
    [certainty]              # the other file's word = certain, likely or doubtful
    "Ephemeral" = "doubtful"
    [months]                 # the other file's word = months in which it holds
    "wet season" = "Dec-Mar"
    [always]                 # our property = the same value for every source
    access = "pump"
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from longdry.errors import Fault, WaterLayerError
from longdry.like_names import nearest_name
from longdry.model.words import Certainty
from longdry.plain_text import one_line
from longdry.reading.files.faults import FaultList
from longdry.reading.files.opening import file_text
from longdry.reading.files.toml_text import toml_fault
from longdry.reading.water.raw import RawFeature, RawLayer, columns_of, is_known_crs
from longdry.reading.water.source import OF_OTHERS, READERS, field_of, is_worse_grade
from longdry.reading.water.values import RefusedValueError, either_of, months_from, shown
from longdry.reading.water.visits import CERTAINTIES, FOUND, GRADES, days_meant

PLACES = ("lat", "lon", "easting", "northing")
_VISIT = ("visit_found", "visit_on")
_WORD_TABLES = {
    "grade": "grades", "kind": "kinds", "visit_found": "visits", "retired": "retired",
    "certainty": "certainty", "months": "months",
}  # fmt: skip
"""Our property -> the table of words that are read as it."""
TABLES_OF_WORDS = ("fields", *_WORD_TABLES.values(), "always")
_NEVER_BETTER = ("retired",)
"""What a vocabulary has found out stays, whatever a mapping says."""
_FOUND_OUT = ("certainty_why", "unread_salt")
"""Properties that are found out, and that nobody needs to write."""
_NOUNS = {"grades": "grade", "visits": "finding", "certainty": "certainty", "months": "months"}
_NO_WATER = ("dry", "unreachable")
_OURS = ("flowing", "low", *_NO_WATER)


@dataclass(frozen=True, slots=True)
class FieldMapping:
    """What to read as what; words and columns in small letters."""

    origin: str
    columns: Mapping[str, str]
    """Our property -> the other file's column."""
    words: Mapping[str, Mapping[str, str]]
    """Our property -> the other file's word -> ours."""
    always: Mapping[str, object]
    """Our property -> its value for every source."""
    crs: str = ""
    """Reference system of a table's places; empty: WGS 84."""

    @property
    def places(self) -> dict[str, str]:
        """The columns of a table that tell places, by what they tell."""
        return {name: self.columns[name] for name in PLACES if name in self.columns}

    def tells(self, field: str) -> bool:
        """Whether it names a property of ours, by a column or for every source."""
        return field in self.columns or field in self.always

    def reads(self, column: str) -> bool:
        """Whether a column is read as a property of ours."""
        return column.strip().lower() in self.columns.values()

    def knows_word(self, column: str, word: str) -> bool:
        """Whether a column is read by a table of words, and the word stands in it."""
        plain, said = column.strip().lower(), word.strip().lower()
        return any(
            said in self.words.get(field, ()) or (field == "visit_found" and said in FOUND)
            for field, name in self.columns.items()
            if name == plain
        )

    def missing_in(self, layer: RawLayer) -> list[Fault]:
        """Return a fault for each column that no feature of the layer has."""
        if not layer.features:
            return []
        there = {column.strip().lower() for column in columns_of(layer.features)}
        there |= {key.removeprefix("osm:") for key in there}
        return [
            Fault("[fields]", f"{field} is {shown(column)}, a column that the file lacks",
                  _nearest(column, sorted(there)[:30]))
            for field, column in self.columns.items()
            if field not in PLACES and column not in there
        ]  # fmt: skip


def read_field_mapping(path: str | os.PathLike[str]) -> FieldMapping:
    """Read a mapping.

    Raises
    ------
    WaterLayerError
        With all that is wrong in it.
    """
    origin = os.fspath(path)
    text = file_text(path, error=WaterLayerError)
    try:
        data = tomllib.loads(text)
    except (ValueError, RecursionError) as cause:
        raise WaterLayerError(origin, [toml_fault(cause, text)]) from cause
    return field_mapping_from(data, origin)


def field_mapping_from(told: Mapping[str, object], origin: str) -> FieldMapping:
    """Return the mapping that tables tell, as they stand in a TOML file.

    Raises
    ------
    WaterLayerError
        With all that is wrong in it.
    """
    faults = FaultList()
    data = dict(told)
    crs = data.pop("crs", "")
    if not isinstance(crs, str) or (crs and not is_known_crs(crs)):
        what = f"{shown(crs)} is no reference system that is known"
        faults.add([Fault("crs", what, 'write its code in quotes, such as crs = "EPSG:28355"')])
    tables = {name: _table(data, name, faults) for name in TABLES_OF_WORDS}
    for name in data:
        if name not in TABLES_OF_WORDS:
            faults.add(
                [Fault("", f"[{one_line(name)}] is not known", _nearest(name, TABLES_OF_WORDS))]
            )
    faults.add(_faults_in(tables))
    faults.raise_any(origin, WaterLayerError)
    columns = {field: str(column).strip().lower() for field, column in tables["fields"].items()}
    words = {
        field: {str(word).strip().lower(): str(ours) for word, ours in tables[table].items()}
        for field, table in _WORD_TABLES.items()
    }
    return FieldMapping(origin, columns, words, tables["always"], str(crs))


def _table(data: Mapping[str, object], name: str, faults: FaultList) -> dict[str, object]:
    table = data.get(name, {})
    if isinstance(table, dict):
        return table
    faults.add([Fault("", f"{name} is {shown(table)}, not a table", f"write [{name}]")])
    return {}


def _faults_in(tables: Mapping[str, Mapping[str, object]]) -> list[Fault]:
    faults = []
    for table in ("fields", "always"):
        named = [field for field in READERS if field not in _FOUND_OUT]
        allowed = [*named, *PLACES, *_VISIT] if table == "fields" else named
        for key in tables[table]:
            if key not in (*allowed, *_FOUND_OUT):
                what = f"{one_line(key)} is no property of ours"
                faults.append(Fault(f"[{table}]", what, _nearest(key, allowed)))
    faults += _half_places(tables["fields"]) + _never_read(tables["always"])
    for table in ("fields", *_WORD_TABLES.values()):
        for key, value in tables[table].items():
            if not isinstance(value, str):
                what = f"{one_line(key)} is {shown(value)}, not a text"
                faults.append(Fault(f"[{table}]", what, "write it in quotes"))
            elif not value.strip():
                what = f"{one_line(key)} is empty"
                faults.append(Fault(f"[{table}]", what, "write it in quotes, or take the line out"))
            elif (refused := _refused(table, value)) is not None:
                what = f"{shown(key)} is {shown(value)}, no {_NOUNS[table]}"
                faults.append(Fault(f"[{table}]", what, refused))
    return faults


def _half_places(fields: Mapping[str, object]) -> list[Fault]:
    return [
        Fault("[fields]", f"{one} stands without {other}", "name the columns of both, or of none")
        for pair in (PLACES[:2], PLACES[2:])
        for one, other in (pair, pair[::-1])
        if one in fields and other not in fields
    ]


def _never_read(always: Mapping[str, object]) -> list[Fault]:
    """Return a fault for each value for every source that no source can have."""
    faults = []
    for key, value in always.items():
        try:
            READERS.get(key, str)(value)
        except RefusedValueError as refused:
            what, mend = f"{one_line(key)} {refused.what}", refused.mend.removesuffix(OF_OTHERS)
            faults.append(Fault("[always]", what, mend))
    return faults


def _months_mend(value: object) -> str | None:
    try:
        months_from(value)
    except RefusedValueError as refused:
        return refused.mend
    return None


_CLOSED: Mapping[str, Callable[[str], str | None]] = {
    "grades": lambda word: None if word in GRADES else f"write {either_of(GRADES)}",
    "visits": lambda word: None if word in FOUND else f"write {either_of(FOUND)}",
    "certainty": lambda word: None if word in CERTAINTIES else f"write {either_of(CERTAINTIES)}",
    "months": _months_mend,
}


def _refused(table: str, value: str) -> str | None:
    """Return how to mend our word of a closed set; None where it is one."""
    return _CLOSED[table](value) if table in _CLOSED else None


def _nearest(word: str, allowed: Iterable[str]) -> str:
    names = list(allowed)
    close = nearest_name(word, names)
    return f"did you mean {close}" if close else f"known are {', '.join(names)}"


def mapped_layer(layer: RawLayer, mapping: FieldMapping) -> RawLayer:
    """Return the layer with its properties in our words.

    What a vocabulary told before is only added to: a grade is never made better, and a source that
    is retired stays so.

    Raises
    ------
    WaterLayerError
        The mapping names a column that no feature has, or a grade has a word that it lacks.
    """
    faults = FaultList()
    faults.add(mapping.missing_in(layer))
    features = [_mapped(feature, mapping) for feature in layer.features]
    faults.add(_unknown_grades(features, mapping))
    faults.raise_any(mapping.origin, WaterLayerError)
    remarks = (
        *layer.remarks,
        *_strange_words(layer, mapping),
        *_days_of_two_meanings(layer, mapping),
    )
    return RawLayer(features, remarks, layer.vocabulary)


def _mapped(feature: RawFeature, mapping: FieldMapping) -> RawFeature:
    by_column = {key.strip().lower().removeprefix("osm:"): key for key in feature.properties}
    ours: dict[str, object] = dict(mapping.always)
    used: set[str] = set()
    unread_months = False
    for field, column in mapping.columns.items():
        key = by_column.get(column)
        if key is None or field in PLACES or field in _VISIT:
            continue
        used.add(key)
        value = _in_our_word(field, feature.properties[key], mapping)
        if value not in (None, ""):
            ours[field] = value
            if field == "certainty":
                ours["certainty_why"] = f"{one_line(key)}: {one_line(str(feature.properties[key]))}"
        elif field == "months" and feature.properties[key] not in (None, ""):
            unread_months = True
    if unread_months:
        ours.pop("months", None)
        ours["certainty"] = Certainty.DOUBTFUL.value
    _keep_what_is_worse(ours, feature.properties)
    found = {name: feature.properties.get(by_column.get(mapping.columns.get(name, ""), ""))
             for name in _VISIT}  # fmt: skip
    ours |= mapped_visit(found["visit_found"], found["visit_on"], mapping.words["visit_found"])
    theirs = {
        _kept_name(key) if key in used or field_of(key) in ours else key: value
        for key, value in feature.properties.items()
    }
    return feature._replace(properties=ours | theirs)


def _keep_what_is_worse(ours: dict[str, object], told: Mapping[str, object]) -> None:
    for name in _NEVER_BETTER:
        if told.get(name):
            ours[name] = told[name]
    before, after = (str(one.get("grade", "")) for one in (told, ours))
    if before in GRADES and after in GRADES and is_worse_grade(before, after):
        ours["grade"] = before


def _kept_name(key: str) -> str:
    """Return the name under which another file's own value is kept beside ours."""
    return f"theirs:{key}" if field_of(key) else key


def _in_our_word(field: str, value: object, mapping: FieldMapping) -> object:
    words = mapping.words.get(field)
    if not words or value in (None, ""):
        return value
    word = str(value).strip().lower()
    if field == "months":
        return words.get(word) or (None if _months_mend(value) else value)
    if field in ("retired", "certainty"):
        return words.get(word)
    return words.get(word, value)


def _unknown_grades(features: Iterable[RawFeature], mapping: FieldMapping) -> list[Fault]:
    if not mapping.words["grade"]:
        return []
    words = dict.fromkeys(str(one.properties.get("grade") or "") for one in features)
    return [
        Fault("[grades]", f"{shown(word)} is not there", f"add it there as {either_of(GRADES)}")
        for word in words
        if word and word.strip().lower() not in GRADES
    ]


def _strange_words(layer: RawLayer, mapping: FieldMapping) -> Iterable[str]:
    """Tell the words of a column that its table does not know: they were read as nothing."""
    for field in ("visit_found", "retired", "certainty", "months"):
        column, words = mapping.columns.get(field), mapping.words[field]
        if column is None or not words:
            continue
        values = dict.fromkeys(
            str(value).strip()
            for one in layer.features
            for key, value in one.properties.items()
            if key.strip().lower() == column and value not in (None, "")
        )
        strange = [value for value in values if value.lower() not in words]
        if field == "months":
            strange = [value for value in strange if _months_mend(value)]
        if strange and field != "retired":
            row = ", ".join(map(shown, strange[:10]))
            so = ", so that these sources are doubtful" if field == "months" else ""
            yield f"[{_WORD_TABLES[field]}] does not know {row}: read as nothing{so}"


def _days_of_two_meanings(layer: RawLayer, mapping: FieldMapping) -> Iterable[str]:
    """Tell the days that are no visits, and those that may be day and month, or month and day."""
    if (column := mapping.columns.get("visit_on")) is None:
        return
    if "visit_found" not in mapping.columns:
        yield (
            f"nothing tells what was found on the days in {shown(column)}, so they are no visits"
            " and are not read: write down the visits that you know of"
        )
        return
    told = (pair for one in layer.features for pair in one.properties.items())
    values = [value for key, value in told if key.strip().lower() == column]
    unread = [shown(value) for value in values if value not in (None, "") and not days_meant(value)]
    if unread:
        yield (
            f"{len(unread)} of {len(values)} days cannot be read, such as {unread[0]}, so that no"
            " visit is told there: write year-month-day"
        )
    unclear = [shown(value) for value in values if len(days_meant(value)) > 1]
    if unclear:
        days = "1 day" if len(unclear) == 1 else f"{len(unclear)} days"
        yield (
            f"{days} may be read in two ways, such as {unclear[0]}: water is taken as found on the"
            " earlier day, none on the later; write year-month-day where you know"
        )


def mapped_visit(found: object, on: object, words: Mapping[str, str]) -> dict[str, object]:
    """Return what two cells tell, in our properties; empty where they tell nothing.

    Without a day there is no visit. One that found no water then makes the source doubtful: nobody
    knows how long ago it was. Of two days that ``3/5/2024`` may mean, water is taken as found on
    the earlier and none on the later.

    >>> mapped_visit("Dry", "2024-05-03", {"dry": "dry"})["visits"]
    [{'on': '2024-05-03', 'found': 'dry', 'note': 'Dry'}]
    >>> mapped_visit("Dry", "", {"dry": "dry"}), mapped_visit("Full", "", {"full": "flowing"})
    ({'certainty': 'doubtful'}, {})
    """
    word = one_line(str(found)) if found is not None else ""
    ours = words.get(word.lower(), word.lower() if word.lower() in _OURS else "")
    if not ours:
        return {}
    days = days_meant(on)
    if not days:
        return {"certainty": "doubtful"} if ours in _NO_WATER else {}
    day = max(days) if ours in _NO_WATER else min(days)
    return {"visits": [{"on": day.isoformat(), "found": ours, "note": word}]}
