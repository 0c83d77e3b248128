"""Columns of any layer that say that a source is gone: nobody counts on it.

A lifecycle column (``disused`` = yes, ``removed_on`` = 2019) or such a word under a usual name of
a state (``status`` = abandoned) retires the source, as lifecycle tags of OpenStreetMap do. Such a
word in any other column makes it doubtful. Words: common practice, no source.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import lru_cache

from longdry.plain_text import listed, one_line
from longdry.reading.water.columns import is_usual_text, plain_column
from longdry.reading.water.mapping import FieldMapping
from longdry.reading.water.raw import RawFeature, RawLayer, columns_of
from longdry.reading.water.source import field_of
from longdry.reading.water.values import shown

_FLAG = re.compile(
    r"disuse\w*|abandon\w*|demolish\w*|razed|destroy\w*|decommi\w*|dismantl\w*|removed|capped"
    r"|collapsed|defunct|derelict|historic"
)
_BESIDE = {
    "is", "was", "date", "on", "in", "year", "since", "at", "flag", "yn", "well", "bore", "tank",
    "source", "site", "water", "status",
}  # fmt: skip
"""What may stand beside a lifecycle word in the name of a column."""
_NO = {"no", "n", "false", "f", "0", "0.0", "never", "not", "none"}
_YES = {"yes", "y", "true", "t", "1", "1.0"}
_STATE = re.compile(r"status|statu$|conditio|lifecycle|operationa|functional|state$|^stat$|^cond$")
_NOT = r"(?<!\bnot )(?<!\bnever )(?<!\bnon )(?<!\bno )"
_GONE = re.compile(
    rf"{_NOT}\b(?:disused|abandoned|demolished|razed|destroyed|removed|decommissioned|dismantled"
    r"|capped|collapsed|defunct|derelict|backfilled|filled in|washed away|gone|unused|ruin(?:s|ed)?"
    r"|no longer \w+|(?:does not|doesn t) exist|non ?existent|not existing|(?:not in|out of) use"
    r"|not used)\b"
)
_DRY = re.compile(r"(?:now |run |ran |always |permanently )?(?:dry|dried up|dried out)")
_NO_WATER = re.compile(
    rf"{_NOT}\b(?:dry|dried|empty|closed|broken|out of order|inactive|inoperative|failed)\b"
    r"|\b(?:not|non|does not|doesn t) ?(?:work\w*|function\w*|operat\w*)\b"
)
_MOST_LETTERS = 80
"""A longer text in a column that is not read is prose, which says more than a state."""
_SET_ASIDE = ("osm:", "wpdx:", "theirs:", "brought_", "@")


def without_the_gone(layer: RawLayer, mapping: FieldMapping | None) -> RawLayer:
    """Return the layer with sources retired, or doubtful, that its columns say are gone.

    What was brought into a book has been read before, and is left alone.

    >>> one = RawFeature("line 2", 131.0, -25.0, {"name": "Old Bore", "Status": "Abandoned"})
    >>> without_the_gone(RawLayer([one]), None).features[0].properties["retired"]
    'Status: Abandoned'
    """
    foreign = _foreign_columns(layer)
    features, retired, doubtful = [], [], []
    for feature in layer.features:
        facts, why = _facts(feature, foreign, mapping)
        if "retired" in facts:
            retired.append(why)
        elif facts:
            doubtful.append(why)
        features.append(_with_facts(feature, facts))
    remarks = [*layer.remarks]
    if retired:
        what = "not counted on, for a column says that the source is gone"
        remarks.append(f"{what}: {_row(retired)}")
    if doubtful:
        remarks.append(f"doubtful, for a column speaks of no water: {_row(doubtful)}")
    return replace(layer, features=features, remarks=tuple(remarks))


def _row(words: Iterable[str]) -> str:
    return listed(list(dict.fromkeys(words)))


def _with_facts(feature: RawFeature, facts: Mapping[str, object]) -> RawFeature:
    if not facts:
        return feature
    kept = {key: value for key, value in feature.properties.items() if field_of(key) not in facts}
    return feature._replace(properties={**kept, **facts})


def _facts(
    feature: RawFeature, foreign: frozenset[str], mapping: FieldMapping | None
) -> tuple[dict[str, object], str]:
    """Return what foreign columns say in our properties, and the words for it."""
    if foreign.isdisjoint(feature.properties):
        return {}, ""
    doubt = ""
    for key, text, said in _sayings(feature, foreign, mapping):
        words = f"{one_line(key)}: {text[:_MOST_LETTERS]}"
        if said == "gone":
            already = any(field_of(name) == "retired" and told
                          for name, told in feature.properties.items())  # fmt: skip
            return ({}, "") if already else ({"retired": words}, shown(words))
        if said and not (mapping and mapping.reads(key) and not _is_state(key)):
            doubt = doubt or words
    return ({"certainty": "doubtful", "certainty_why": doubt}, shown(doubt)) if doubt else ({}, "")


def _foreign_columns(layer: RawLayer) -> frozenset[str]:
    """Return the columns that may say it: neither ours, nor set aside, nor a vocabulary's own."""
    return frozenset(
        column
        for column in columns_of(layer.features)
        if not field_of(column)
        and not column.startswith(_SET_ASIDE)
        and not (layer.vocabulary and ":" in column)
    )


def _sayings(
    feature: RawFeature, foreign: frozenset[str], mapping: FieldMapping | None
) -> Iterator[tuple[str, str, str]]:
    """Yield column, text and what it says, see `_said`, of each foreign column.

    What was brought into a book has been read before, and says nothing.
    """
    if feature.properties.get("brought_from"):
        return
    for key, value in feature.properties.items():
        if key not in foreign or not _is_told(value):
            continue
        text = one_line(str(value))
        if mapping is None or not mapping.knows_word(key, text):
            yield key, text, _said(key, text)


def heeded_columns(layer: RawLayer, mapping: FieldMapping | None) -> frozenset[str]:
    """Return the columns that `without_the_gone` reads: each by its name or by what it says.

    >>> one = RawFeature("line 2", 131.0, -25.0, {"disused": "no", "Status": "ok", "owner": "x"})
    >>> sorted(heeded_columns(RawLayer([one]), None))
    ['disused']
    """
    foreign = _foreign_columns(layer)
    return frozenset(
        key
        for feature in layer.features
        if not foreign.isdisjoint(feature.properties)
        for key, _, said in _sayings(feature, foreign, mapping)
        if said or _flag_in(key)
    )


def _is_told(value: object) -> bool:
    """Whether a cell holds one value; not-a-number and not-a-time are none."""
    one = isinstance(value, str | int | float | dt.date) and value != ""
    return one and value == value  # noqa: PLR0124 - only what is no value differs from itself


@lru_cache(maxsize=4096)
def _said(column: str, text: str) -> str:
    """Return 'gone', 'no water', or nothing.

    >>> _said("disused", "yes"), _said("disused", "no"), _said("condition", "out of order")
    ('gone', '', 'no water')
    """
    plain = " ".join(re.sub(r"[\W_]+", " ", text.lower()).split())
    if word := _flag_in(column):
        told = plain in _YES if word == "historic" else text.strip().lower() not in _NO
        return "gone" if told else ""
    gone = bool(_GONE.search(plain) or _DRY.fullmatch(plain))
    if _is_state(column):
        return "gone" if gone else "no water" if _NO_WATER.search(plain) else ""
    short = len(text) <= _MOST_LETTERS and not is_usual_text(column)
    return "no water" if gone and short else ""


def _flag_in(column: str) -> str:
    """Return the lifecycle word that a column's name is; empty where it is none."""
    words = [word for word in re.findall(r"[a-z]+", column.lower()) if word not in _BESIDE]
    whole = [word for word in words if _FLAG.fullmatch(word.removeprefix("is"))]
    osm = column.partition(":")[1]
    return whole[0] if whole and (len(words) == 1 or osm) else ""


def _is_state(column: str) -> bool:
    return bool(_STATE.search(plain_column(column)))
