"""Several layers as one: a place that two of them tell is one source, at its worst."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

from longdry.geodesy import NearPlaces, distance_km
from longdry.like_names import names_alike
from longdry.model.water.source import FOUND_WORST_LAST, SAME_PLACE_M, WET, Visit, WaterSource
from longdry.model.words import Certainty, Grade, worst_kind
from longdry.plain_text import listed
from longdry.reading.water.sources import LayerSources
from longdry.reading.water.values import shown

_WORST_GRADE_LAST = (Grade.POTABLE, Grade.TREAT, Grade.NOT_FOR_DRINKING)
_WORST_CERTAINTY_LAST = (Certainty.CERTAIN, Certainty.LIKELY, Certainty.DOUBTFUL)
_Word = TypeVar("_Word")


@dataclass(slots=True)
class LayersTogether:
    """The sources of all layers read so far."""

    sources: list[WaterSource] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    _layers: list[str] = field(default_factory=list)
    """Of each source the name of its file."""

    def take(self, found: LayerSources, file_name: str, stem: str) -> None:
        """Add the sources of a layer, or join them with those that are there."""
        self.remarks += found.remarks
        known = len(self.sources)
        twins, renamed = [], []
        pairs = _pairs(self.sources, found.sources)
        taken = {source.id for source in self.sources}
        for number, source in enumerate(found.sources):
            twin = pairs.get(number)
            if twin is not None:
                first, layer = self.sources[twin], self._layers[twin]
                self.sources[twin] = at_its_worst(first, source)
                twins.append(_twin_in_words(first, layer, source, self.sources[twin]))
                continue
            if source.id in taken:
                new = _under_free_id(source, taken, stem)
                renamed.append(f"{shown(source.id)} is {shown(new.id)}")
            else:
                new = source
            taken.add(new.id)
            self.sources.append(new)
            self._layers.append(file_name)
        self.remarks += _told(file_name, twins, renamed) if known else []


def at_its_worst(one: WaterSource, other: WaterSource) -> WaterSource:
    """Return one source of two tellings of a place: of each fact what is worse for the party.

    What one telling leaves open, the other tells. Visits add up. A word of certainty has no date,
    so it is earlier than any visit that the other telling brings: where the last visit of both
    found no water, the word no longer stands. Whoever retired it is believed.

    >>> a = WaterSource("a", "Old Bore", -25.0, 131.0, grade=Grade.POTABLE, flow_l_per_min=4.0)
    >>> b = WaterSource("b", "Old Bore", -25.0, 131.0, grade=Grade.TREAT, flow_l_per_min=9.0)
    >>> joined = at_its_worst(a, b)
    >>> joined.id, joined.grade.value, joined.flow_l_per_min
    ('a', 'treat-before-drinking', 4.0)
    """
    texts = {
        name: "; ".join(dict.fromkeys(text for text in (of_one, of_other) if text))
        for name, of_one, of_other in (
            ("access", one.access, other.access),
            ("note", one.note, other.note),
        )
    }
    words = (_word_beside(one, other), _word_beside(other, one))
    certainty = _worst(*words, _WORST_CERTAINTY_LAST)
    whys = zip((one.certainty_why, other.certainty_why), words, strict=True)
    return replace(
        one,
        grade=_worst(one.grade, other.grade, _WORST_GRADE_LAST),
        certainty=certainty,
        certainty_why=next((why for why, word in whys if why and word is certainty), ""),
        kind=worst_kind(one.kind, other.kind),
        access=texts["access"] or None,
        note=texts["note"],
        flow_l_per_min=_least(one.flow_l_per_min, other.flow_l_per_min),
        limit_l=_least(one.limit_l, other.limit_l),
        months=_both(one.months, other.months),
        tds_mg_per_l=_most(one.tds_mg_per_l, other.tds_mg_per_l),
        open_from_hour=_most(one.open_from_hour, other.open_from_hour),
        open_to_hour=_least(one.open_to_hour, other.open_to_hour),
        cost_per_l=_most(one.cost_per_l, other.cost_per_l),
        visits=(*one.visits, *(visit for visit in other.visits if visit not in one.visits)),
        retired=one.retired if one.retired is not None else other.retired,
        own=one.own or other.own,
        laid_by_us=one.laid_by_us or other.laid_by_us,
        laid_on=one.laid_on or other.laid_on,
        unread_salt=one.unread_salt or other.unread_salt,
    )


def _word_beside(one: WaterSource, other: WaterSource) -> Certainty | None:
    """Return the word of one telling unless a visit of the other, the last of all, found none.

    Doubtful stands in any case.
    """
    if one.certainty is Certainty.DOUBTFUL or not other.visits:
        return one.certainty
    last = max((*one.visits, *other.visits), key=_by_date)
    outweighed = last.found not in WET and last not in one.visits
    return None if outweighed else one.certainty


def _by_date(visit: Visit) -> tuple[dt.date, int]:
    return (visit.on, FOUND_WORST_LAST.index(visit.found))


def _worst(one: _Word | None, other: _Word | None, order: Sequence[_Word]) -> _Word | None:
    told = [word for word in (one, other) if word is not None]
    return max(told, key=order.index, default=None)


def _least(one: float | None, other: float | None) -> float | None:
    return min((value for value in (one, other) if value is not None), default=None)


def _most(one: float | None, other: float | None) -> float | None:
    return max((value for value in (one, other) if value is not None), default=None)


def _both(one: frozenset[int] | None, other: frozenset[int] | None) -> frozenset[int] | None:
    if one is None or other is None:
        return one if other is None else other
    return one & other


def _pairs(known: Sequence[WaterSource], new: Sequence[WaterSource]) -> dict[int, int]:
    """Return index of a new source -> index of the known one that is the same place."""
    if not known:
        return {}
    index = NearPlaces([one.lat_deg for one in known], [one.lon_deg for one in known])
    by_id = {source.id: number for number, source in enumerate(known)}
    found = []
    for number, source in enumerate(new):
        near = index.within(source.lat_deg, source.lon_deg, metres=SAME_PLACE_M)
        same_id = by_id.get(source.id)
        found += [
            (one.index != same_id, not _one_name(known[one.index], source), one.distance_m,
             number, one.index)
            for one in near
            if one.index == same_id or _alike(known[one.index], source)
        ]  # fmt: skip
    pairs: dict[int, int] = {}
    for *_, number, twin in sorted(found):
        if number not in pairs and twin not in pairs.values():
            pairs[number] = twin
    return pairs


def _one_name(one: WaterSource, other: WaterSource) -> bool:
    return one.name.casefold() == other.name.casefold()


def _alike(one: WaterSource, other: WaterSource) -> bool:
    """Whether both have names, and those are like."""
    named = one.name != one.id and other.name != other.id
    return named and names_alike(one.name, other.name)


def _under_free_id(source: WaterSource, taken: set[str], stem: str) -> WaterSource:
    """Return the source under an id that no other layer has: numbers from 1 mean nothing."""
    free = f"{stem}:{source.id}"
    while free in taken:
        free += "'"
    name = free if source.name == source.id else source.name
    return replace(source, id=free, name=name)


def _twin_in_words(first: WaterSource, layer: str, other: WaterSource, joined: WaterSource) -> str:
    away_m = 1000.0 * distance_km(first.lat_deg, first.lon_deg, other.lat_deg, other.lon_deg)
    grades = [one.grade.value if one.grade else "no grade" for one in (first, other)]
    grade = joined.grade.value if joined.grade else "no grade"
    differs = f", {grade} of {grades[0]} and {grades[1]}" if grades[0] != grades[1] else ""
    words = [one.certainty for one in (first, other) if one.certainty]
    is_dropped = bool(words) and joined.certainty is None
    dropped = f", its word {words[0]} outweighed by a visit" if is_dropped else ""
    return (
        f"{shown(other.name)} and {shown(first.name)} of {layer}, {away_m:.0f} m"
        f" apart{differs}{dropped}"
    )


def _told(file_name: str, twins: Sequence[str], renamed: Sequence[str]) -> list[str]:
    remarks = []
    if twins:
        what = "told in another layer too, taken as one source at its worst"
        remarks.append(f"{file_name}: {what}: {_row(twins)}.")
    if renamed:
        what = "ids that another layer has for another place"
        remarks.append(f"{file_name}: {what}: {_row(renamed)}.")
    return remarks


def _row(words: Sequence[str]) -> str:
    return listed(words, between="; ")
