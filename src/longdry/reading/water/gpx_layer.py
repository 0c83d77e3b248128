"""Waypoints of a GPX file (GPX 1.0, 1.1) as a water layer, and which of them are water.

A recorded trip holds bakeries, turn-offs and the hotel in Well Street. A waypoint is a source where
its symbol, type or extensions say so, or where its name is that of one: the whole word for a kind
stands at its end ("Old Bore", "Tank 4"), or before where it lies ("Tap at the pub"). A name that
says that there is none, and one that only may mean water, are listed for the user to choose. Words:
common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from enum import Enum, auto
from pathlib import Path

from longdry.errors import Fault, WaterLayerError
from longdry.model.words import known_kind
from longdry.plain_text import MOST_LISTED, listed
from longdry.reading.files.text import quoted
from longdry.reading.gpx.waypoints import GpxWaypoint, read_gpx_waypoints
from longdry.reading.water.raw import LeftOut, RawFeature, RawLayer, placeless
from longdry.reading.water.source import field_of
from longdry.reading.water.values import RefusedValueError, word_from
from longdry.reading.water.visits import GRADES

GPX = "GPX"
"""The vocabulary of such a layer."""
_GRADE_IN_TEXT = re.compile(r"\bgrade\s*=\s*[\"']?([\w-]+)", re.IGNORECASE)
_NONE_THERE = re.compile(
    r"\b(?:no(?!\W*(?:\d|name\b))|not|non|never|none|without|dry|dried|empty|former|disused"
    r"|abandoned|broken|capped|closed|gone|ruins?|ruined|bad|undrinkable)\b"
)
_NOT_WATER = {
    "swimming", "wading", "paddling", "salt", "fuel", "gas", "petrol", "diesel", "oil", "septic",
    "dump", "waste", "grey", "gray", "fish", "supply", "army", "think", "car",
}  # fmt: skip
"""Words before one for a kind that make it another thing: 'Swimming pool', 'Fuel depot'."""
_WHERE = {"at", "near", "by", "behind", "beside", "in", "on", "of", "off", "opposite", "under"}
_LESS_SURE = ("cache", "dam", "soak", "pool", "creek")
"""Kinds that a name alone tells: they hold water less surely than what has no kind."""
_MOST_UNCLEAR = 40
"""So many are named, for the user to choose among."""
_WATERS = ("water", "water source", "water supply", "drinking water")


class _Speaks(Enum):
    """What a waypoint says of water."""

    YES = auto()
    NO = auto()
    NONE_THERE = auto()
    UNCLEAR = auto()


_LEFT = {
    _Speaks.NO: "do not speak of water",
    _Speaks.NONE_THERE: "say that there is no water, or none to drink",
    _Speaks.UNCLEAR: "may be water or something else",
}


@dataclass(frozen=True, slots=True)
class WaypointChoice:
    """Which waypoints of a recorded trip are taken."""

    names: tuple[str, ...] = ()
    """Empty: those that speak of water."""
    everything: bool = False


SPEAKING_OF_WATER = WaypointChoice()


def read_gpx_layer(path: Path) -> RawLayer:
    """Return the waypoints of a GPX file as features.

    A waypoint's grade is its ``type`` where that is a grade word, or what ``grade=...`` says in
    its ``desc`` or ``cmt``; its kind is what its ``type`` or ``sym`` says where that is a word for
    a source, or its name where that is one of a creek, pool or the like; the elements inside its
    ``extensions`` are read as properties. ``sym``, ``type``, ``cmt`` and ``desc`` stand beside
    them, for a mapping.

    Raises
    ------
    WaterLayerError
        As `read_gpx_waypoints` does.
    """
    features = [_feature(waypoint) for waypoint in read_gpx_waypoints(path)]
    return RawLayer(features, vocabulary=GPX)


def less_sure_kind(name: str) -> str:
    """Return the kind that a name tells, where that holds water less surely than no kind.

    >>> less_sure_kind("Sandy Creek"), less_sure_kind("Old Bore"), less_sure_kind("Dam road")
    ('creek', '', '')
    """
    kind = known_kind(_called(name.lower()))
    return kind if kind in _LESS_SURE else ""


def names_water(name: str) -> bool:
    """Whether a name speaks of water.

    >>> names_water("Mission tap"), names_water("Camp 3")
    (True, False)
    """
    return _water_words(name.lower())


def _feature(waypoint: GpxWaypoint) -> RawFeature:
    where = f"line {waypoint.line_number}"
    properties: dict[str, object] = {"name": waypoint.name, "note": _note(waypoint)}
    kind = known_kind(waypoint.type) or known_kind(waypoint.sym) or less_sure_kind(waypoint.name)
    if kind:
        properties["kind"] = kind
    properties |= {field_of(name) or name: text for name, text in waypoint.extras}
    told = {"sym": waypoint.sym, "type": waypoint.type, "cmt": waypoint.cmt, "desc": waypoint.desc}
    properties |= {name: text for name, text in told.items() if text}
    grades = _grades(waypoint, properties)
    if len(grades) > 1:
        what = f"tells more than one grade, {' and '.join(grades)}"
        return placeless(where, properties, what, "keep the right one")
    properties["grade"] = next(iter(grades), None)
    if waypoint.half:
        half = placeless(where, properties, f"has {LeftOut.HALF}", "give lat and lon")
        return half._replace(left_out=LeftOut.HALF)
    return RawFeature(where, waypoint.lon_deg, waypoint.lat_deg, properties)


def _note(waypoint: GpxWaypoint) -> str:
    return "\n".join(dict.fromkeys(text for text in (waypoint.desc, waypoint.cmt) if text))


def _grades(waypoint: GpxWaypoint, properties: dict[str, object]) -> list[str]:
    notes = [str(properties["grade"])] if properties.get("grade") else []
    for text in (waypoint.desc, waypoint.cmt):
        notes += _GRADE_IN_TEXT.findall(text)
    if _normal(waypoint.type) in GRADES:
        notes.append(waypoint.type)
    return list(dict.fromkeys(map(_normal, notes)))


def _normal(word: str) -> str:
    try:
        return word_from(word, GRADES) or ""
    except RefusedValueError:
        return word


def chosen_waypoints(
    layer: RawLayer,
    path: Path,
    choice: WaypointChoice = SPEAKING_OF_WATER,
    always: Collection[str] = (),
) -> RawLayer:
    """Return the layer with the waypoints that are chosen, and a remark on those that are not.

    Parameters
    ----------
    layer
        In our words.
    always
        Our properties that a mapping gives to every waypoint: they tell none from another.

    Raises
    ------
    WaterLayerError
        Where no waypoint has a name that is chosen.
    """
    if choice.everything:
        return layer
    if choice.names:
        return replace(layer, features=_named(layer.features, choice.names, path))
    said = [
        (one, _Speaks.YES if one.wrong_place else _speaks(one, always)) for one in layer.features
    ]
    remarks = list(layer.remarks)
    for how, words in _LEFT.items():
        left = [_words(one) for one, told in said if told is how]
        if left:
            remarks.append(
                f"{len(left)} of {len(said)} waypoints {words} and were left:"
                f" {listed(left, most=_MOST_UNCLEAR if how is _Speaks.UNCLEAR else MOST_LISTED)};"
                " longdry bring takes one with --waypoint NAME, or all with --all"
            )
    taken = [one for one, told in said if told is _Speaks.YES]
    return replace(layer, features=taken, remarks=tuple(remarks))


def _named(features: Sequence[RawFeature], names: Sequence[str], path: Path) -> list[RawFeature]:
    by_name = {name.strip().casefold(): name for name in names}
    found = [one for one in features if _name(one).casefold() in by_name]
    lost = by_name.keys() - {_name(one).casefold() for one in found}
    if lost:
        words = listed([_words(one) for one in features]) or "none"
        raise WaterLayerError(
            str(path),
            [
                Fault("", f"no waypoint is called {quoted(by_name[name])}", f"it has {words}")
                for name in sorted(lost)
            ],
        )
    return found


def _name(feature: RawFeature) -> str:
    return str(feature.properties.get("name") or "").strip()


def _words(feature: RawFeature) -> str:
    more = [str(feature.properties[key]) for key in ("sym", "type", "cmt")
            if feature.properties.get(key)]  # fmt: skip
    words = quoted(_name(feature)) if _name(feature) else feature.where
    return f"{words} ({', '.join(quoted(text) for text in more)})" if more else words


def _speaks(feature: RawFeature, always: Collection[str]) -> _Speaks:
    """Return what a waypoint says of water: a negation in its name outweighs its symbol."""
    name = _name(feature).lower()
    texts = [name, *(str(feature.properties.get(key) or "").lower() for key in ("sym", "type"))]
    told = {field_of(key) for key, value in feature.properties.items() if value} - {*always}
    kind_told = bool(told & {"kind", "grade", "visits", "flow_l_per_min", "limit_l"})
    has_word = [_water_words(text) for text in texts]
    if _NONE_THERE.search(name) and (kind_told or any(has_word)):
        return _Speaks.NONE_THERE
    if kind_told or any(map(_called, texts)):
        return _Speaks.YES
    note = str(feature.properties.get("note") or "").lower()
    return _Speaks.UNCLEAR if any(has_word) or _water_words(note) else _Speaks.NO


def _water_words(text: str) -> bool:
    """Whether a whole word of a text is one for a source."""
    words = re.findall(r"[^\W\d_]+", text)
    return any(_ends_in_water(words[: number + 1]) for number in range(len(words)))


def _ends_in_water(words: Sequence[str]) -> str:
    """Return the longest word for a source, of up to three, that the words end in; or nothing."""
    ends = (" ".join(words[-count:]) for count in (3, 2, 1) if count <= len(words))
    return next((end for end in ends if end in _WATERS or known_kind(end)), "")


def _called(text: str) -> str:
    """Return the word for a source that a text is the name of; empty where it is none.

    >>> [_called(text) for text in ("old bore", "tank 4", "tap at the pub", "water")]
    ['bore', 'tank', 'tap', 'water']
    >>> [_called(text) for text in ("well street hotel", "swimming pool", "springfield")]
    ['', '', '']
    >>> [_called(text) for text in ("camp by the creek", "creek crossing", "")]
    ['', '', '']
    """
    words = re.findall(r"[^\W\d_]+", re.sub(r"\(.*?\)|'s\b", " ", text))
    where = next((index for index, word in enumerate(words) if word in _WHERE), len(words))
    words = words[:where]
    while words and (len(words[-1]) == 1 or words[-1] in {"no", "north", "south", "east", "west"}):
        words.pop()
    kind = _ends_in_water(words)
    before = words[: len(words) - len(kind.split())]
    return "" if _NOT_WATER.intersection(before) or "with" in before else kind
