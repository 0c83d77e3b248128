"""Columns under the names that people and programs usually give them.

Where a table tells places, and which columns of any layer are read as name, grade, kind and note.
What is read so is told, and so is what is not read: nothing is guessed in silence. Names: common
practice, no source.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from longdry.model.words import Grade, known_kind
from longdry.plain_text import listed, one_line
from longdry.reading.files.coordinates import degrees_and_minutes
from longdry.reading.water.raw import RawFeature, RawLayer, columns_of
from longdry.reading.water.source import field_of
from longdry.reading.water.values import RefusedValueError, amount_from, shown

LATITUDES = ("lat", "latitude")
LONGITUDES = ("lon", "longitude")
_USUAL_LATITUDES = (
    "latdeg", "latdd", "latdegrees", "latwgs84", "wgs84lat", "latitudewgs84", "wgs84latitude",
    "gpslat", "gpslatitude", "decimallatitude", "latitudedecimal", "declat", "latdec",
    "latitudedeg", "latitudedd", "y", "ycoord", "ycoordinate", "coordy", "pointy", "latgda94",
    "latgda2020",
)  # fmt: skip
_USUAL_LONGITUDES = (
    "long", "lng", "londeg", "longdeg", "lngdeg", "londd", "longdd", "londegrees", "lonwgs84",
    "longwgs84", "lngwgs84", "wgs84lon", "wgs84long", "longitudewgs84", "wgs84longitude", "gpslon",
    "gpslong", "gpslongitude", "decimallongitude", "longitudedecimal", "declon", "declong",
    "londec", "longdec", "longitudedeg", "longitudedd", "x", "xcoord", "xcoordinate", "coordx",
    "pointx", "longgda94", "longda94", "longgda2020",
)  # fmt: skip
EASTINGS = ("easting", "eastings", "east", "eastingm", "x", "xcoord", "xcoordinate", "pointx")
NORTHINGS = ("northing", "northings", "north", "northingm", "y", "ycoord", "ycoordinate", "pointy")
_TOGETHER = (
    "latlon", "latlong", "latlng", "latitudelongitude", "coordinates", "coordinate", "coords",
    "coord", "location", "position", "gps", "gpscoordinates", "place", "point",
    "wkt", "geom", "thegeom", "wktgeom", "geometry",
)  # fmt: skip
"""Of one column that holds 'lat, lon', or a point as well-known text."""
_DEGREES = r"([+-]?\d+(?:\.\d+)?)"
_PAIR = re.compile(rf"\s*\(?\s*{_DEGREES}\s*[,; ]\s*{_DEGREES}\s*\)?\s*", re.ASCII)
_SIDES_TOLD = re.compile(
    r"\s*\(?\s*([NS][^NSEW]+|[^NSEW]+[NS])[\s,;]+([EW][^NSEW]+|[^NSEW]+[EW])\s*\)?\s*",
    re.IGNORECASE,
)
"""Degrees and minutes, each with the letter of its side."""
_WKT_POINT = re.compile(
    r"\s*(?:SRID=4326;)?POINT\s*Z?\s*\(\s*([^\s()]+)\s+([^\s()]+)(?:\s+[^\s()]+)?\s*\)\s*$",
    re.ASCII | re.IGNORECASE,
)
"""Well-known text (OGC 06-103r4), longitude before latitude."""

_DBASE_LETTERS = 10
"""The most that the name of a column has in dBASE, and so in a Shapefile."""
_USUAL = {
    "name": ("title", "label", "sitename", "site", "placename", "sourcename", "featurename"),
    "grade": (
        "quality", "waterquality", "waterqual", "waterqualit", "potability", "potable",
        "drinkable", "drinkability", "watergrade",
    ),
    "kind": (
        "type", "sourcetype", "watertype", "watersource", "sourcekind", "category", "class",
        "featuretype", "featuretyp", "sitetype", "pointtype", "sym",
    ),
    "tds_mg_per_l": (
        "tdsmgl", "tdsmgperl", "tdsmgperlitre", "tdsmgperliter", "tdsmglitre", "tdsinmgl",
        "totaldissolvedsolidsmgl", "totaldissolvedsolidsmgperl", "salinitytdsmgl", "mgltds",
    ),
    "note": (
        "notes", "comment", "comments", "description", "descriptio", "desc", "cmt", "remark",
        "remarks", "details", "information", "info",
    ),
}  # fmt: skip
_PLAIN_GRADES = {
    Grade.TREAT: (
        "treat before drinking", "treat", "treat first", "treated", "potable", "drinking",
        "drinkable", "drinking water", "drink", "yes", "y", "true", "1", "safe",
        "boil", "boil first", "boil before drinking", "filter", "filter first", "needs treatment",
        "treatment needed", "treatment required", "untreated", "raw", "treat or boil",
    ),
    Grade.NOT_FOR_DRINKING: (
        "not for drinking", "not potable", "non potable", "nonpotable", "undrinkable",
        "not drinkable", "no", "n", "false", "0", "unsafe", "not safe", "unfit", "do not drink",
        "stock", "stock only", "stock water", "livestock", "washing only", "salt", "salty",
        "saline", "brackish", "bitter", "bad", "poor", "foul", "contaminated", "polluted",
        "poisonous", "poison", "toxic", "untested",
    ),
}  # fmt: skip
"""Words of a column that is not ours, each at its worst: no stranger's word makes potable water."""
_GRADE_OF = {word: grade.value for grade, words in _PLAIN_GRADES.items() for word in words}
_OURS_ALREADY = ("osm:", "theirs:", "brought_from", "@", "#")
"""How columns begin that longdry itself set aside, or that a vocabulary was read from."""
_WHAT_THEY_HOLD = "longdry bring --propose-fields tells what they hold"
_MOST_VALUES = 4
_MOST_COLUMNS = 12
_MOST_LOOKED_AT = 1000
"""Columns among which places are looked for."""


def plain_column(name: str) -> str:
    """Return the letters and digits of a column's name, by which usual names are known.

    >>> plain_column("Lat_WGS84"), plain_column("#lon_deg")
    ('latwgs84', 'londeg')
    """
    return re.sub(r"[\W_]+", "", name.lower())


@dataclass(frozen=True, slots=True)
class PlaceColumns:
    """Which columns of a table tell places; two, or one that holds both."""

    y: str = ""
    """Latitude or northing."""
    x: str = ""
    together: str = ""
    usual: bool = True
    """Whether they have other names than lat and lon, which is told."""

    @property
    def names(self) -> tuple[str, ...]:
        """The columns."""
        return (self.together,) if self.together else (self.y, self.x)


def place_columns(header: Sequence[str], *, metric: bool) -> PlaceColumns | None:
    """Return the columns that tell places; None where the header has none.

    Parameters
    ----------
    header
        Names of the columns.
    metric
        Whether a reference system is given, so that eastings and northings are places.

    Examples
    --------
    >>> place_columns(["Site", "Lat_WGS84", "lng"], metric=False).names
    ('Lat_WGS84', 'lng')
    >>> place_columns(["site", "owner"], metric=False) is None
    True
    """
    by_plain: dict[str, str] = {}
    for name in header[:_MOST_LOOKED_AT]:
        by_plain.setdefault(plain_column(name), name)
    y, x = _first(by_plain, LATITUDES), _first(by_plain, LONGITUDES)
    if y and x:
        return PlaceColumns(y, x, usual=False)
    if metric and not (y or x):
        north, east = _first(by_plain, NORTHINGS), _first(by_plain, EASTINGS)
        if north and east:
            return PlaceColumns(north, east)
    y, x = y or _first(by_plain, _USUAL_LATITUDES), x or _first(by_plain, _USUAL_LONGITUDES)
    if y and x:
        return PlaceColumns(y, x)
    together = _first(by_plain, _TOGETHER)
    return PlaceColumns(together=together) if together else None


def has_metric_columns(header: Sequence[str]) -> bool:
    """Whether a header names eastings and northings outright."""
    plain = {plain_column(name) for name in header[:_MOST_LOOKED_AT]}
    return bool(plain.intersection(EASTINGS[:4])) and bool(plain.intersection(NORTHINGS[:4]))


def pair_in(text: str) -> tuple[str, str] | None:
    """Return latitude and longitude of one cell that holds both; None where it does not.

    >>> pair_in("-25.34, 131.04"), pair_in("Old Bore")
    (('-25.34', '131.04'), None)
    >>> pair_in("S 24° 12.0' E 9° 30.0'")
    ("S 24° 12.0'", "E 9° 30.0'")
    """
    if point := _WKT_POINT.match(text):
        return point[2], point[1]
    match = _PAIR.fullmatch(text)
    if match:
        return match[1], match[2]
    told = _SIDES_TOLD.fullmatch(text)
    if told and all(map(degrees_and_minutes, told.groups(), ("NS", "EW"))):
        return told[1], told[2]
    return None


def _first(by_plain: Mapping[str, str], names: Sequence[str]) -> str:
    return next((by_plain[name] for name in names if name in by_plain), "")


@dataclass(slots=True)
class _Reading:
    """What the columns of a layer are read as."""

    columns: dict[str, list[str]] = field(default_factory=dict)
    """Our property -> their columns, the best first."""
    unread: dict[str, list[str]] = field(default_factory=dict)
    """Their column -> some of its values."""


def with_usual_names(
    layer: RawLayer, *, used: Collection[str] = (), heeded: Collection[str] = ()
) -> RawLayer:
    """Return the layer with columns of usual names read, where ours say nothing.

    What was brought into a book has been read before, and is left alone.

    Parameters
    ----------
    used
        Columns, in small letters, that a mapping has read.
    heeded
        Columns that are read for words of being gone, and so not told as not read.
    """
    fresh = [one for one in layer.features if not one.properties.get("brought_from")]
    reading = _reading_of(fresh, used)
    features = layer.features
    if reading.columns:
        features = [
            feature if feature.properties.get("brought_from") else _filled(feature, reading.columns)
            for feature in layer.features
        ]
    filled = [new for old, new in zip(layer.features, features, strict=True) if new is not old]
    for column in heeded:
        reading.unread.pop(column, None)
    remarks = [*layer.remarks, *_told_columns(reading, fresh, filled)]
    return replace(layer, features=features, remarks=tuple(remarks))


def usual_columns(layer: RawLayer) -> dict[str, str]:
    """Return our property -> the column of a usual name that is read as it."""
    return {ours: theirs[0] for ours, theirs in _reading_of(layer.features, ()).columns.items()}


def is_usual_text(column: str) -> bool:
    """Whether a column has a usual name for names or notes.

    >>> is_usual_text("Comments"), is_usual_text("owner")
    (True, False)
    """
    return bool(_usual_name("name", column) or _usual_name("note", column))


def values_seen(features: Iterable[RawFeature], column: str, most: int) -> list[str]:
    """Return the values of a column, the commonest first."""
    counts = Counter(
        one_line(str(feature.properties[column]))[:60]
        for feature in features
        if feature.properties.get(column) not in (None, "")
    )
    return [value for value, _ in counts.most_common(most) if value]


def _reading_of(features: Sequence[RawFeature], used: Collection[str]) -> _Reading:
    reading = _Reading()
    for column in columns_of(features):
        known = field_of(column) or column.strip().lower() in used
        if known or column.startswith(_OURS_ALREADY):
            continue
        values = values_seen(features, column, 200)
        ours = _usual_field(column, values)
        if ours:
            reading.columns.setdefault(ours, []).append(column)
        elif values:
            reading.unread[column] = values[:_MOST_VALUES]
    for ours, columns in reading.columns.items():
        columns.sort(key=lambda column: _USUAL[ours].index(_usual_name(ours, column)))
    return reading


def _usual_field(column: str, values: Sequence[str]) -> str:
    """Return what a column is read as; one of kinds or grades only where it holds such words."""
    ours = next((name for name in _USUAL if _usual_name(name, column)), "")
    if ours == "kind" and not any(map(known_kind, values)):
        return ""
    if ours == "grade" and not any(map(_plain_grade, values)):
        return ""
    if ours == "tds_mg_per_l" and not all(map(_is_amount, values)):
        return ""
    return ours if values else ""


def _is_amount(word: str) -> bool:
    try:
        return amount_from(word, "milligrams per litre") is not None
    except RefusedValueError:
        return False


def _usual_name(ours: str, column: str) -> str:
    """Return the usual name that a column has, cut to ten letters as in a Shapefile or whole."""
    plain = plain_column(column)
    names = _USUAL[ours]
    if plain in names:
        return plain
    cut = [name for name in names if len(column) == _DBASE_LETTERS and name.startswith(plain)]
    return cut[0] if cut else ""


def _plain_grade(word: str) -> str | None:
    return _GRADE_OF.get(" ".join(re.sub(r"[\W_]+", " ", word.lower()).split()))


def _sounds_potable(word: str) -> bool:
    """Whether a word that is read as to treat may have meant water that needs no treatment."""
    plain = word.strip().lower()
    return _plain_grade(word) == Grade.TREAT.value and not re.search("treat|boil|filter|raw", plain)


def _filled(feature: RawFeature, columns: Mapping[str, Sequence[str]]) -> RawFeature:
    known = {field_of(key) for key, value in feature.properties.items() if value not in (None, "")}
    more: dict[str, object] = {}
    for ours, theirs in columns.items():
        values = [feature.properties.get(column) for column in theirs]
        told = [value for value in values if value not in (None, "")]
        if not told or (ours in known and ours != "note"):
            continue
        found = _value_of(ours, told, feature.properties.get("note"))
        if found is not None:
            more[ours] = found
    return feature._replace(properties={**feature.properties, **more}) if more else feature


def _value_of(ours: str, told: Sequence[object], note: object) -> object:
    if ours == "grade":
        grades = [grade for value in told if (grade := _plain_grade(str(value)))]
        return max(grades, key=list(_PLAIN_GRADE_ORDER).index, default=None)
    if ours == "kind":
        return next((value for value in told if known_kind(str(value))), told[0])
    if ours == "tds_mg_per_l":
        amounts = [str(value) for value in told]
        return max(map(float, amounts)) if all(map(_is_amount, amounts)) else None
    if ours == "note":
        return "\n".join(dict.fromkeys(str(part) for part in (note, *told) if part))
    return told[0]


_PLAIN_GRADE_ORDER = tuple(grade.value for grade in _PLAIN_GRADES)
"""The worst last."""


def _told_columns(
    reading: _Reading, features: Sequence[RawFeature], filled: Sequence[RawFeature]
) -> Iterable[str]:
    pairs = [
        f"{shown(column)} as {ours}"
        for ours, columns in reading.columns.items()
        for column in columns
        if any(one.properties.get(column) not in (None, "") for one in filled)
    ]
    if pairs:
        yield f"read by usual names: {', '.join(pairs)}"
    for column in reading.columns.get("grade", ()):
        strange = [v for v in values_seen(features, column, 50) if not _plain_grade(v)]
        if strange:
            yield (
                f"no grade is known from {_row(strange)} in {shown(column)}, counted as not for"
                " drinking: say what they mean in [grades] of a --fields file"
            )
        better = [v for v in values_seen(features, column, 50) if _sounds_potable(v)]
        if better:
            yield (
                f"{_row(better)} in {shown(column)} is read as {Grade.TREAT.value}: where whoever"
                " looks after it says that it is potable, say so in [grades] of a --fields file"
            )
    if reading.unread:
        columns = [shown(column).strip('"') for column in reading.unread]
        yield f"not read: {_plain_row(columns)} ({_WHAT_THEY_HOLD})"


def _row(values: Sequence[str]) -> str:
    return _plain_row([shown(value) for value in values])


def _plain_row(words: Sequence[str]) -> str:
    return listed(words, _MOST_COLUMNS)
