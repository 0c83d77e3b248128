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
    NEAR_M,
    added_feature,
    is_worse,
    json_value,
    quoted_name,
)
from longdry.geodesy import NearPlaces, distance_km
from longdry.like_names import id_from_name, names_alike
from longdry.model.water.book import BookChange, BroughtSource, FeatureChange, WaterBook
from longdry.model.water.source import Visit, WaterSource
from longdry.model.words import Grade
from longdry.units import M_PER_KM

_SAME_M = 0.1
"""Places are written to 7 decimals of a degree, 1 cm."""


@dataclass(slots=True)
class _Known:
    """A source of the book with what is filled in so far."""

    number: int
    source: WaterSource
    brought_from: str = ""
    change: FeatureChange | None = None


@dataclass(slots=True)
class _Merge:
    """The work so far."""

    known: list[_Known]
    index: NearPlaces
    by_id: dict[str, _Known]
    taken: set[str]
    origin: str
    brought_index: NearPlaces
    """Of the other file's sources, in its order."""
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
        else's, and a certainty set by another's hand is left out.

    Returns
    -------
    BookChange
        A source is known by its id, else within 150 m by a like name. What the book does not
        know of it is filled in, visits are added; what differs is told as a conflict.
    """
    merge = _begin_merge(book, sources, origin)
    for number, one in enumerate(sources):
        _merge_one(merge, number, _with_its_owner(one, own=own))
    changed = [known.change for known in merge.known if known.change is not None]
    return BookChange((*changed, *merge.new), _report(merge))


def _begin_merge(book: WaterBook, sources: Sequence[BroughtSource], origin: str) -> _Merge:
    known = [
        _Known(number, one.source, one.brought_from)
        for number, one in enumerate(book.features)
        if one.source
    ]
    places = NearPlaces([k.source.lat_deg for k in known], [k.source.lon_deg for k in known])
    by_id = {one.source.id: one for one in known}
    theirs = NearPlaces(
        [one.source.lat_deg for one in sources], [one.source.lon_deg for one in sources]
    )
    return _Merge(known, places, by_id, set(by_id), origin, theirs)


def _with_its_owner(one: BroughtSource, *, own: bool) -> BroughtSource:
    if own:
        return dataclasses.replace(one, source=dataclasses.replace(one.source, own=True))
    theirs = dataclasses.replace(
        one.source, own=False, certainty=None, laid_by_us=False, laid_on=None
    )
    return dataclasses.replace(one, source=theirs)


def _merge_one(merge: _Merge, number: int, one: BroughtSource) -> None:
    again = _brought_before(merge, one)
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


def _brought_before(merge: _Merge, one: BroughtSource) -> _Known | None:
    """Return the source of the book that this file told of before, at the very same place.

    Where the file has no ids, the place alone tells, if it holds one source only.
    """
    source = one.source
    here = merge.index.within(source.lat_deg, source.lon_deg, metres=_SAME_M)
    before = [merge.known[near.index] for near in here]
    before = [known for known in before if known.brought_from == merge.origin]
    same_id = [known for known in before if known.source.id == source.id]
    if same_id or not one.made_id:
        return same_id[0] if same_id else None
    there = merge.brought_index.within(source.lat_deg, source.lon_deg, metres=_SAME_M)
    return before[0] if len(before) == 1 == len(there) else None


def _update(merge: _Merge, known: _Known, source: WaterSource) -> None:
    """Take what the same file, read otherwise, tells now; visits of the party's own stand."""
    if known.source.own and not source.own:
        _fill_in(merge, known, source)
        return
    merge.matched += 1
    changed = {
        name: new
        for name in (*FILLABLE, "retired")
        if (new := getattr(source, name)) not in (None, "", getattr(known.source, name))
        and not (name == "name" and source.name == source.id)
    }
    visits = tuple(visit for visit in source.visits if visit not in known.source.visits)
    if changed or visits:
        parts = [f"{name} {_value_words(value)}" for name, value in changed.items()]
        parts += [f"visit of {visit.on.isoformat()}" for visit in visits]
        merge.updated.append(f"{quoted_name(known.source)}: {', '.join(parts)}")
        _add_to_known(known, changed, visits)


def _merge_by_id(merge: _Merge, source: WaterSource) -> None:
    known = merge.by_id.get(source.id)
    if known is None:
        what = f'the id "{source.id}" comes twice in {merge.origin}; only the first was taken'
    elif (away_km := _distance_km(known.source, source)) > NEAR_M / M_PER_KM:
        away = f"{away_km:.1f} km away"
        what = f'the id "{source.id}" is in the book {away}; not brought'
    else:
        _fill_in(merge, known, source)
        return
    merge.conflicts.append(f"{quoted_name(source)}: {what}.")


def _likely_the_same(merge: _Merge, source: WaterSource) -> tuple[_Known | None, _Known | None]:
    """Return the known source that it is, and the nearest one whatever its name."""
    name = "" if source.name == source.id else source.name
    near = [
        merge.known[neighbour.index]
        for neighbour in merge.index.within(source.lat_deg, source.lon_deg, metres=NEAR_M)
    ]
    same = next((known for known in near if names_alike(known.source.name, name)), None)
    return same, near[0] if near else None


def _distance_km(one: WaterSource, other: WaterSource) -> float:
    return distance_km(one.lat_deg, one.lon_deg, other.lat_deg, other.lon_deg)


def _add(merge: _Merge, number: int, one: BroughtSource, near: _Known | None) -> None:
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
    near = merge.brought_index.within(new.lat_deg, new.lon_deg, metres=NEAR_M)
    names = [merge.names_added[one.index] for one in near if one.index in merge.names_added]
    if not names:
        return ""
    return f', near "{names[0]}", new too: retire one where both are the same'


def _fill_in(merge: _Merge, known: _Known, source: WaterSource) -> None:
    merge.matched += 1
    filled = _missing_values(merge, known.source, source)
    visits = tuple(visit for visit in source.visits if visit not in known.source.visits)
    if source.retired is not None and known.source.retired is None:
        merge.conflicts.append(
            f"{quoted_name(known.source)}: the other file has it retired ({source.retired});"
            " the book still counts it; retire it with longdry retire."
        )
    if filled or visits:
        parts = [f"{name} {_value_words(value)}" for name, value in filled.items()]
        parts += [f"visit of {visit.on.isoformat()}" for visit in visits]
        merge.filled.append(f"{quoted_name(known.source)}: {', '.join(parts)}")
        _add_to_known(known, filled, visits)


def _missing_values(merge: _Merge, known: WaterSource, source: WaterSource) -> dict[str, Any]:
    """Return what the book does not know yet; tell where the two differ."""
    filled: dict[str, Any] = {}
    for name in (*FILLABLE, "certainty"):
        old, new = getattr(known, name), getattr(source, name)
        if new in (None, "", old) or (name == "name" and source.name == source.id):
            continue
        if old in (None, ""):
            filled[name] = new
        else:
            merge.conflicts.append(_conflict_words(known, name, old, new))
    if source.laid_by_us and not known.laid_by_us:
        filled["laid_by_us"] = True
    if source.own and not known.own:
        filled["own"] = True
    return filled


def _add_to_known(known: _Known, filled: dict[str, Any], visits: tuple[Visit, ...]) -> None:
    before = known.change or FeatureChange(known.number)
    settings = tuple(
        (name, None if name == "own" else json_value(value)) for name, value in filled.items()
    )
    known.change = FeatureChange(
        known.number, (*before.properties, *settings), (*before.visits, *visits)
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
