"""Another layer brought into the water book: new sources added, known ones filled in.

Nothing that the book holds is overwritten; where the two differ, the book stands and the user is
told.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from longdry.computing.book.changes import (
    FILLABLE,
    added_feature,
    is_worse,
    json_value,
    quoted_name,
)
from longdry.geodesy import NearPlaces, distance_km
from longdry.like_names import id_from_name, names_alike
from longdry.model.water.book import BookChange, BroughtSource, FeatureChange, WaterBook
from longdry.model.water.source import SAME_PLACE_M, WET, Visit, WaterSource
from longdry.model.words import Certainty, Grade
from longdry.units import M_PER_KM

_SAME_M = 0.1
"""Places are written to 7 decimals of a degree, 1 cm."""


@dataclass(slots=True)
class _BookSource:
    """A source of the book with what is filled in so far."""

    number: int
    source: WaterSource
    brought_from: str = ""
    change: FeatureChange | None = None
    held: tuple[Visit, ...] = ()
    """Its visits as the book has them."""

    def told_by(self, visit: Visit) -> str:
        """Return the file that told a visit; a book of an older edition names it once for all."""
        return visit.brought_from or ("" if self.source.own else self.brought_from)


@dataclass(slots=True)
class _Merge:
    """The work so far."""

    known: list[_BookSource]
    index: NearPlaces
    by_id: dict[str, _BookSource]
    taken: set[str]
    origin: str
    brought_index: NearPlaces
    """Of the other file's sources, in its order."""
    visits: frozenset[Visit]
    """All that the other file tells."""
    names_added: dict[int, str] = field(default_factory=dict)
    """Number in the other file -> name, of those that were new."""
    new: list[FeatureChange] = field(default_factory=list)
    added: list[str] = field(default_factory=list)
    filled: list[str] = field(default_factory=list)
    updated: list[str] = field(default_factory=list)
    conflicts: list[str] = field(default_factory=list)
    matched: int = 0


def merge_change(
    book: WaterBook, sources: Sequence[BroughtSource], *, origin: str, own: bool = False
) -> BookChange:
    """Merge the sources of another file into the book.

    Parameters
    ----------
    sources
        In the order of their file.
    origin
        The file's name, kept with each new source as ``brought_from``.
    own
        Whether the party itself recorded them. Where not, new ones are marked as somebody
        else's, and a certainty set by another's hand is left out, which is told; but a doubt
        stays where the same file tells of water found, which would lift it.

    Returns
    -------
    BookChange
        A source that the same file told of before, at the same place, is updated. Another is
        known by its id, else within 150 m by a like name. What the book does not know of it is
        filled in, visits are added; what differs is told as a conflict. What one file tells of
        one day is one visit: told otherwise, it takes the place of what that file told before.
    """
    owned = [_with_its_owner(one, origin, own=own) for one in sources]
    merge = _begin_merge(book, owned, origin)
    for number, one in enumerate(owned):
        _merge_one(merge, number, one)
    changed = [known.change for known in merge.known if known.change is not None]
    told = () if own else _certainty_left_out(sources, origin)
    return BookChange((*changed, *merge.new), (*told, *_report(merge)))


def _certainty_left_out(sources: Sequence[BroughtSource], origin: str) -> tuple[str, ...]:
    sure = [one for one in sources if one.source.certainty in (Certainty.CERTAIN, Certainty.LIKELY)]
    if not sure:
        return ()
    count = "one source" if len(sure) == 1 else f"{len(sure)} sources"
    what = f"calls {count} certain or likely, which does not come into the book"
    return (f"{origin}: {what}: with --own, where that is your own word, it does.",)


def _begin_merge(book: WaterBook, sources: Sequence[BroughtSource], origin: str) -> _Merge:
    known = [
        _BookSource(number, one.source, one.brought_from, held=one.source.visits)
        for number, one in enumerate(book.features)
        if one.source
    ]
    places = NearPlaces([k.source.lat_deg for k in known], [k.source.lon_deg for k in known])
    by_id = {one.source.id: one for one in known}
    theirs = NearPlaces(
        [one.source.lat_deg for one in sources], [one.source.lon_deg for one in sources]
    )
    visits = frozenset(visit for one in sources for visit in one.source.visits)
    return _Merge(known, places, by_id, set(by_id), origin, theirs, visits)


def _with_its_owner(one: BroughtSource, origin: str, *, own: bool) -> BroughtSource:
    visits = tuple(
        dataclasses.replace(visit, brought_from=visit.brought_from or origin)
        for visit in one.source.visits
    )
    source = dataclasses.replace(one.source, own=own, visits=visits)
    if not own:
        stays = source.certainty is Certainty.DOUBTFUL and any(one.found in WET for one in visits)
        certainty = Certainty.DOUBTFUL if stays else None
        source = dataclasses.replace(
            source,
            certainty=certainty,
            certainty_why=source.certainty_why if stays else "",
            laid_by_us=False,
            laid_on=None,
        )
    return dataclasses.replace(one, source=source)


def _merge_one(merge: _Merge, number: int, one: BroughtSource) -> None:
    again = _brought_before(merge, number, one.source)
    if again is not None:
        _update(merge, again, one.source)
        return
    if not one.made_id and one.source.id in merge.taken:
        _merge_by_id(merge, one.source)
        return
    known, near = _likely_the_same(merge, one.source)
    if known is not None:
        _fill_in(merge, known, one.source)
    else:
        _add(merge, number, one, near)


def _brought_before(merge: _Merge, number: int, source: WaterSource) -> _BookSource | None:
    """Return the source of the book that this file told of before, at the very same place.

    Ids and names may be other columns this time. Of several at one place the id tells which, else
    the name, else the order, where the file still has as many there.
    """
    here = merge.index.within(source.lat_deg, source.lon_deg, metres=_SAME_M)
    there = merge.brought_index.within(source.lat_deg, source.lon_deg, metres=_SAME_M)
    before = sorted(
        (known for known in (merge.known[near.index] for near in here)
         if known.brought_from == merge.origin),
        key=lambda known: known.number,
    )  # fmt: skip
    for same in (
        [known for known in before if known.source.id == source.id],
        [known for known in before if known.source.name == source.name],
    ):
        if len(same) == 1:
            return same[0]
    if len(before) != len(there):
        return None
    return before[sorted(near.index for near in there).index(number)]


def _update(merge: _Merge, known: _BookSource, source: WaterSource) -> None:
    """Take what the same file, read otherwise, tells now; visits of the party's own stand."""
    if known.source.own and not source.own:
        _fill_in(merge, known, source)
        return
    merge.matched += 1
    changed = {
        name: new
        for name in (*FILLABLE, "retired", "unread_salt")
        if (new := getattr(source, name)) not in (None, "", getattr(known.source, name))
        and not (name == "name" and source.name == source.id)
    }
    if source.certainty is not None and known.source.certainty is None:
        changed["certainty"] = source.certainty
        if source.certainty_why:
            changed["certainty_why"] = source.certainty_why
    visits = _new_visits(known, source)
    if changed or visits:
        parts = [_told(name, value) for name, value in changed.items()]
        parts += _visit_words(merge, known, visits)
        merge.updated.append(f"{quoted_name(known.source)}: {', '.join(parts)}")
        _add_to_known(merge, known, changed, visits)


def _new_visits(known: _BookSource, source: WaterSource) -> tuple[Visit, ...]:
    return tuple(visit for visit in source.visits if visit not in known.source.visits)


def _visit_words(merge: _Merge, known: _BookSource, visits: Sequence[Visit]) -> list[str]:
    words = []
    for visit in visits:
        old = [known.held[index] for index in _replaced(merge, known, [visit])]
        instead = f", {visit.found} instead of {old[0].found}" if old else ""
        words.append(f"visit of {visit.on.isoformat()}{instead}")
    return words


def _replaced(merge: _Merge, known: _BookSource, visits: Sequence[Visit]) -> tuple[int, ...]:
    """Return which visits of the book the same file now tells otherwise, of the same day.

    One that the file still tells, of whatever source, stays: none that found no water is lost.
    """
    days = {(visit.on, visit.brought_from) for visit in visits}
    return tuple(
        index
        for index, held in enumerate(known.held)
        if (held.on, known.told_by(held)) in days and held not in merge.visits
    )


def _merge_by_id(merge: _Merge, source: WaterSource) -> None:
    known = merge.by_id.get(source.id)
    if known is None:
        what = f'the id "{source.id}" comes twice in {merge.origin}; only the first was taken'
    elif (away_km := _distance_km(known.source, source)) > SAME_PLACE_M / M_PER_KM:
        away = f"{away_km:.1f} km away"
        what = f'the id "{source.id}" is in the book {away}; not brought'
    else:
        _fill_in(merge, known, source)
        return
    merge.conflicts.append(f"{quoted_name(source)}: {what}.")


def _likely_the_same(
    merge: _Merge, source: WaterSource
) -> tuple[_BookSource | None, _BookSource | None]:
    """Return the known source that it is, and the nearest one whatever its name."""
    name = "" if source.name == source.id else source.name
    near = [
        merge.known[neighbour.index]
        for neighbour in merge.index.within(source.lat_deg, source.lon_deg, metres=SAME_PLACE_M)
    ]
    same = next((known for known in near if names_alike(known.source.name, name)), None)
    return same, near[0] if near else None


def _distance_km(one: WaterSource, other: WaterSource) -> float:
    return distance_km(one.lat_deg, one.lon_deg, other.lat_deg, other.lon_deg)


def _add(merge: _Merge, number: int, one: BroughtSource, near: _BookSource | None) -> None:
    wanted = id_from_name(one.source.name, merge.taken) if one.made_id else one.source.id
    new = dataclasses.replace(one.source, id=wanted)
    merge.taken.add(new.id)
    names = {name for name, _ in added_feature(new).properties} | {"visits", "brought_from"}
    extra = tuple((name, value) for name, value in one.foreign.items() if name not in names)
    merge.new.append(added_feature(new, (("brought_from", merge.origin), *extra)))
    beside = f", near {quoted_name(near.source)}, which has another name" if near else ""
    merge.added.append(f'{quoted_name(new)}, id "{new.id}"{beside}{_near_new(merge, new)}')
    merge.names_added[number] = new.name


def _near_new(merge: _Merge, new: WaterSource) -> str:
    """Tell of another new source of the same file within 150 m: it may be the same one twice."""
    near = merge.brought_index.within(new.lat_deg, new.lon_deg, metres=SAME_PLACE_M)
    names = [merge.names_added[one.index] for one in near if one.index in merge.names_added]
    if not names:
        return ""
    return f', near "{names[0]}", new too: retire one where both are the same'


def _fill_in(merge: _Merge, known: _BookSource, source: WaterSource) -> None:
    merge.matched += 1
    filled = _missing_values(merge, known.source, source)
    visits = _new_visits(known, source)
    if source.retired is not None and known.source.retired is None:
        merge.conflicts.append(
            f"{quoted_name(known.source)}: the other file has it retired ({source.retired});"
            " the book still counts it; retire it with longdry retire."
        )
    if filled or visits:
        parts = [_told(name, value) for name, value in filled.items()]
        parts += _visit_words(merge, known, visits)
        merge.filled.append(f"{quoted_name(known.source)}: {', '.join(parts)}")
        _add_to_known(merge, known, filled, visits)


def _missing_values(merge: _Merge, known: WaterSource, source: WaterSource) -> dict[str, Any]:
    """Return what the book does not know yet; tell where the two differ."""
    filled: dict[str, Any] = {}
    for name in (*FILLABLE, "certainty"):
        old, new = getattr(known, name), getattr(source, name)
        if new in (None, "", old) or (name == "name" and source.name == source.id):
            continue
        if name == "name" and new.casefold() == str(old).casefold():
            continue
        if old in (None, ""):
            filled[name] = new
        else:
            merge.conflicts.append(_conflict_words(known, name, old, new))
    if "certainty" in filled and source.certainty_why:
        filled["certainty_why"] = source.certainty_why
    if source.unread_salt and not known.unread_salt:
        filled["unread_salt"] = source.unread_salt
    if source.laid_by_us and not known.laid_by_us:
        filled["laid_by_us"] = True
    if source.own and not known.own:
        filled["own"] = True
    return filled


def _add_to_known(
    merge: _Merge, known: _BookSource, filled: dict[str, Any], visits: tuple[Visit, ...]
) -> None:
    before = known.change or FeatureChange(known.number)
    settings = tuple(
        (name, None if name == "own" else json_value(value)) for name, value in filled.items()
    )
    replaced = {*before.replaced_visits, *_replaced(merge, known, visits)}
    known.change = FeatureChange(
        known.number,
        (*before.properties, *settings),
        (*before.visits, *visits),
        replaced_visits=tuple(sorted(replaced)),
    )
    all_visits = (*known.source.visits, *visits)
    known.source = dataclasses.replace(known.source, visits=all_visits, **filled)


def _conflict_words(known: WaterSource, name: str, old: object, new: object) -> str:
    worse = isinstance(old, Grade) and isinstance(new, Grade) and is_worse(new, old)
    caution = " That is worse: check it." if worse else ""
    return (
        f"{quoted_name(known)}: {name} is {_value_words(old)} in the book,"
        f" {_value_words(new)} in the other file; the book stands.{caution}"
    )


def _told(name: str, value: object) -> str:
    if name == "own":
        return "it counts as yours now"
    if name == "unread_salt":
        return f"a column for salt that was not read, {_value_words(value)}"
    return f"{name} {_value_words(value)}"


def _value_words(value: object) -> str:
    value = json_value(value)
    return f'"{value}"' if isinstance(value, str) else str(value)


def _report(merge: _Merge) -> tuple[str, ...]:
    updated = f", {len(merge.updated)} updated" if merge.updated else ""
    counts = (
        f"{merge.origin}: {len(merge.added)} new, {merge.matched} known"
        f" ({len(merge.filled)} filled in{updated}), {len(merge.conflicts)} conflicts."
    )
    return (
        counts,
        *(f"Conflict: {words}" for words in merge.conflicts),
        *(f"New: {words}." for words in merge.added),
        *(f"Updated: {words}." for words in merge.updated),
        *(f"Filled in: {words}." for words in merge.filled),
    )
