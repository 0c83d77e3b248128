"""What a tally tells of sources, on its way into the water book: visits, and sources of its own."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from longdry.like_names import id_from_name
from longdry.model.trip.tally import NewSource, TallyEntry
from longdry.model.water.book import BroughtSource, WaterBook
from longdry.model.water.source import Found, Visit, WaterSource
from longdry.plain_text import listed


@dataclass(frozen=True, slots=True)
class FromTally:
    """What is brought, and what is not."""

    sources: tuple[BroughtSource, ...]
    notes: tuple[str, ...]
    """Whole sentences about what is left out."""


def sources_of_tally(book: WaterBook, entries: Sequence[TallyEntry]) -> FromTally:
    """Return the visits to sources of the book, and the new sources, of a tally.

    Water that was taken was there: such a reading without a word of what was found counts as low.
    A source that the book does not have, and that has no place in the tally, is left out and told.
    """
    brought: dict[str, BroughtSource] = {}
    taken = {one.id for one in book.sources}
    notes: list[str] = []
    for entry in entries:
        if entry.new_source is not None:
            name = _plain(entry.new_source.name)
            brought.setdefault(name, _new(entry.new_source, entry.note, taken))
        else:
            name = _plain(entry.source)
        visits = tuple(_visits(entry))
        if not visits:
            continue
        known = _known(book, name)
        if name not in brought and known is not None:
            brought[name] = BroughtSource(replace(known, visits=()))
        if name in brought:
            source = brought[name].source
            more = replace(source, visits=(*source.visits, *visits))
            brought[name] = replace(brought[name], source=more)
        else:
            notes.append(_left_out(book, entry))
    return FromTally(tuple(brought.values()), tuple(notes))


def _visits(entry: TallyEntry) -> Iterator[Visit]:
    took_l = entry.took_l or None
    if entry.found:
        word = Found(entry.found)
        if took_l and word in (Found.DRY, Found.UNREACHABLE):
            word = Found.LOW
        yield Visit(entry.at.date(), word, took_l, note=entry.note)
    elif took_l:
        yield Visit(entry.at.date(), Found.LOW, took_l, note=entry.note)


def _new(new: NewSource, note: str, taken: set[str]) -> BroughtSource:
    source = WaterSource(
        id_from_name(new.name, taken), new.name, lat_deg=new.lat_deg, lon_deg=new.lon_deg, note=note
    )
    return BroughtSource(source, made_id=True)


def _known(book: WaterBook, name: str) -> WaterSource | None:
    by_id = [one for one in book.sources if _plain(one.id) == name]
    by_name = [one for one in book.sources if _plain(one.name) == name]
    found = by_id or by_name
    return found[0] if len(found) == 1 else None


def _plain(name: str) -> str:
    return name.strip().casefold()


def _left_out(book: WaterBook, entry: TallyEntry) -> str:
    several = sum(_plain(one.name) == _plain(entry.source) for one in book.sources) > 1
    what = "several sources of the book are called so" if several else "the book has no such source"
    names = {_plain(one.name): f'"{one.name}"' for one in book.sources}
    like = [names[name] for name in difflib.get_close_matches(_plain(entry.source), names)]
    meant = f" (is it {listed(like)}?)" if like and not several else ""
    return (
        f'"{entry.source}", {entry.at:%Y-%m-%d}: left out, {what}{meant}; write the visit down with'
        " longdry visit, or mark the source first."
    )
