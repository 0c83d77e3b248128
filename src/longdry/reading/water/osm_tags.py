"""OpenStreetMap tags for water, read so that nothing sounds better than it is.

Tags: the OpenStreetMap wiki's pages on ``amenity=drinking_water``, ``amenity=water_point``,
``man_made=water_tap``, ``man_made=water_well``, ``man_made=storage_tank``, ``natural=spring``,
``drinking_water=*``, ``drinking_water:legal=*``, ``intermittent=*``, ``seasonal=*``, ``pump=*`` and
the lifecycle prefixes. Even ``drinking_water=yes`` carries no warranty: it is water to treat. A
missing ``intermittent`` says nothing, whatever the wiki's default.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from longdry.plain_text import one_line
from longdry.reading.water.source import DBASE_LETTERS, field_of

Tags = Mapping[str, str]

_KIND_BY_TAG = {
    ("natural", "spring"): "spring",
    ("natural", "hot_spring"): "spring",
    ("man_made", "water_well"): "well",
    ("man_made", "storage_tank"): "tank",
    ("man_made", "water_tank"): "tank",
    ("man_made", "windpump"): "bore",
    ("man_made", "water_tap"): "tap",
    ("amenity", "drinking_water"): "tap",
    ("amenity", "water_point"): "tap",
    ("amenity", "watering_place"): "tank",
}
"""The first that holds tells the kind."""
_DRINKING = {("amenity", "drinking_water"), ("amenity", "water_point")}
_GONE = ("disused", "abandoned", "was", "demolished", "removed", "razed", "destroyed", "historic")
_LEGAL = "drinking_water:legal"
_ACCESS_BY_PUMP = {"manual": "hand pump", "powered": "powered pump", "no": "bucket"}
_TOLD = (
    "intermittent", "seasonal", "access", "pump:status", "operational_status", "fee",
    "check_date", "survey:date", "description", "note",
)  # fmt: skip
_NOT_FOR_EVERYBODY = {"private", "no", "permit"}
_BROKEN = {"broken", "missing_beam", "missing", "no", "closed", "needs_maintenance", "inoperable",
           "not_working", "non_functional", "nonfunctional", "dry"}  # fmt: skip
_CUT = {
    "drinking_w": "drinking_water",
    "intermitte": "intermittent",
    "operationa": "operational_status",
    "pump:statu": "pump:status",
    "pump_statu": "pump:status",
}
"""Keys that a Shapefile has cut to ten letters."""
_OTHER_TAG = re.compile(r'"((?:[^"\\]|\\.)*)"=>"((?:[^"\\]|\\.)*)"')


def tags_of(properties: Mapping[str, object]) -> dict[str, str]:
    """Return the tags of a feature; GDAL's ``other_tags`` are taken apart."""
    tags = {
        key.strip().lower(): one_line(str(value))
        for key, value in properties.items()
        if isinstance(value, str | int | float) and not isinstance(value, bool)
    }
    for key, value in _OTHER_TAG.findall(tags.pop("other_tags", "")):
        tags.setdefault(_unescaped(key), one_line(_unescaped(value)))
    return {_whole_key(key, value): value for key, value in tags.items() if value}


def _whole_key(key: str, value: str) -> str:
    """Return a tag's key as it was before a Shapefile cut it."""
    if key in _CUT:
        return _CUT[key]
    word = next((word for word in _GONE if re.match(f"{word}[:_]", key)), "")
    if not word or len(key) != DBASE_LETTERS:
        return key
    return next((f"{word}:{whole}" for whole, known in _KIND_BY_TAG if known == value), key)


def _unescaped(text: str) -> str:
    return re.sub(r"\\(.)", r"\1", text)


def is_water(tags: Tags) -> bool:
    """Whether the tags tell of a place where water can be, or could be, had.

    A storage tank is one only where its content is said to be water.

    >>> is_water({"natural": "spring"}), is_water({"disused:amenity": "drinking_water"})
    (True, True)
    >>> is_water({"man_made": "storage_tank", "content": "fuel"}), is_water({})
    (False, False)
    """
    kind = _kind(tags)
    if kind is None:
        return tags.get("drinking_water") == "yes"
    is_tank = kind == "tank" and _in_life(tags).get("man_made") == "storage_tank"
    return not is_tank or "water" in tags.get("content", "") or "drinking_water" in tags


def our_properties(tags: Tags) -> dict[str, object]:
    """Return the tags in our words, and the tags themselves beside them.

    >>> our_properties({"natural": "spring", "drinking_water": "yes"})["grade"]
    'treat-before-drinking'
    """
    facts: dict[str, object] = {
        "id": _id(tags),
        "name": tags.get("name"),
        "grade": _grade(tags),
        "kind": _kind(tags),
        "access": _access(tags),
        "certainty": _certainty(tags),
        "note": _note(tags),
        "retired": _retired(tags),
    }
    own = {name: value for name, value in facts.items() if value} | {"own": False}
    theirs = {f"osm:{key}" if field_of(key) else key: value for key, value in tags.items()}
    return own | theirs


def _in_life(tags: Tags) -> dict[str, str]:
    """Return the tags as they were while the thing was used: lifecycle prefixes taken off."""
    living = dict(tags)
    for key, value in tags.items():
        prefix, _, plain = key.partition(":")
        if prefix in _GONE and plain:
            living.setdefault(plain, value)
    return living


def _kind(tags: Tags) -> str | None:
    living = _in_life(tags)
    return next(
        (kind for (key, word), kind in _KIND_BY_TAG.items() if living.get(key) == word), None
    )


def _grade(tags: Tags) -> str | None:
    """Return the grade; the worst of what the tags say, None where they say nothing."""
    said, legal = tags.get("drinking_water"), tags.get(_LEGAL)
    for_animals = tags.get("amenity") == "watering_place" and said != "yes"
    if said == "no" or for_animals:
        return "not-for-drinking"
    drinking = said == "yes" or any(tags.get(key) == word for key, word in _DRINKING)
    if legal == "yes" and said in {"yes", None}:
        return "potable"
    return "treat-before-drinking" if drinking else None


def _access(tags: Tags) -> str | None:
    return _ACCESS_BY_PUMP.get(tags.get("pump", ""))


def _certainty(tags: Tags) -> str | None:
    """Return doubtful where a tag says that there is not always water, or not for everybody."""
    sometimes = tags.get("intermittent") == "yes" or tags.get("seasonal", "no") != "no"
    shut = tags.get("access") in _NOT_FOR_EVERYBODY
    states = (tags.get("pump:status", ""), tags.get("operational_status", ""))
    broken = any(state.lower().replace(" ", "_") in _BROKEN for state in states)
    return "doubtful" if sometimes or shut or broken else None


def _note(tags: Tags) -> str:
    return "; ".join(f"{key} {tags[key]}" for key in _TOLD if key in tags)


def _retired(tags: Tags) -> str | None:
    """Return why it is not to be counted: a lifecycle prefix or tag on what makes it a source."""
    for word in _GONE:
        if any((key, value) in _prefixed(word) for key, value in tags.items()):
            return f"{word} in OpenStreetMap"
        if tags.get(word) == "yes":
            return f"{word} in OpenStreetMap"
    return None


def _prefixed(word: str) -> set[tuple[str, str]]:
    return {(f"{word}:{key}", value) for key, value in _KIND_BY_TAG}


def _id(tags: Tags) -> str | None:
    number = tags.get("@id") or tags.get("osm_id") or tags.get("id")
    return f"osm:{number}" if number else None
