"""After the trip: what a tally or a recording tells of water, offered one by one."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from pathlib import Path

from longdry.computing.book.from_tally import sources_of_tally
from longdry.computing.book.merging import merge_change
from longdry.desk.desk import Desk
from longdry.desk.refusals import CANNOT_BE, CONFLICT, RefusedError
from longdry.desk.water_changes import change_desk_book
from longdry.desk.water_view import BOOK_FILE, editable_layers, written_json
from longdry.doing.book_transaction import book_or_new
from longdry.doing.bringing import one_by_one
from longdry.model.water.book import BookChange, BroughtSource, WaterBook
from longdry.model.water.source import Visit
from longdry.reading.book.brought import read_brought
from longdry.reading.road.tally_file import TALLY_ENDING, read_tally
from longdry.reading.water.gpx_layer import WaypointChoice
from longdry.showing.figures.figure import Json
from longdry.showing.words.places import coordinates


@dataclasses.dataclass(frozen=True, slots=True)
class Offer:
    """One thing that a file tells."""

    number: int
    """Its place among all that the file tells, from 1; it stays when others are taken."""
    kind: str
    """``visit`` or ``new source``."""
    words: str
    source: BroughtSource
    change: BookChange


def look(desk: Desk, wish: Mapping[str, object]) -> Json:
    """Return what a tally or a recorded GPX tells that the book does not have yet.

    Raises
    ------
    TallyError
        The tally cannot be read.
    WaterLayerError
        The recording cannot be read.
    """
    path, book_name = _file_and_book(desk, wish)
    book = book_or_new(desk.folder.place(book_name))
    offers, notes = _offers(path, book)
    return {"offers": [_offer_json(one) for one in offers], "notes": notes, "book": book_name}


def take(desk: Desk, wish: Mapping[str, object]) -> Json:
    """Write one of the offers into the book.

    Raises
    ------
    RefusedError
        There is no such offer any more, or somebody else has changed the book meanwhile.
    """
    path, book_name = _file_and_book(desk, wish)

    def change_of(book: WaterBook) -> BookChange:
        for offer in _offers(path, book)[0]:
            if offer.number == wish.get("number"):
                return offer.change
        what = "is in the book already, or is told no more"
        raise RefusedError(CONFLICT, path.name, what, "look at the file again")

    with desk.changing:
        change = change_desk_book(desk, book_name, change_of, wish.get("version"))
    book = book_or_new(desk.folder.place(book_name))
    offers = [_offer_json(one) for one in _offers(path, book)[0]]
    return {**written_json(desk, change.notes), "offers": offers}


def _file_and_book(desk: Desk, wish: Mapping[str, object]) -> tuple[Path, str]:
    name = wish.get("file")
    if not isinstance(name, str):
        raise RefusedError(CANNOT_BE, "", "no file is named", "choose one of the folder")
    books = editable_layers(desk)
    return desk.folder.place(name), books[0] if books else BOOK_FILE


def _offers(path: Path, book: WaterBook) -> tuple[list[Offer], list[str]]:
    told, notes = _told(path, book)
    offers = []
    for number, one in enumerate(_apart(told, book), start=1):
        change = merge_change(book, [one], origin=path.name, own=True)
        if change.features:
            is_new = change.features[0].number is None
            kind = "new source" if is_new else "visit"
            offers.append(Offer(number, kind, _words(one, is_new=is_new), one, change))
    return offers, notes


def _told(path: Path, book: WaterBook) -> tuple[tuple[BroughtSource, ...], list[str]]:
    if path.name.endswith(TALLY_ENDING):
        found = sources_of_tally(book, read_tally(path))
        return one_by_one(found.sources), list(found.notes)
    layer = read_brought(path, choice=WaypointChoice(everything=True))
    return one_by_one(layer.sources), list(layer.remarks)


def _apart(told: tuple[BroughtSource, ...], book: WaterBook) -> Iterator[BroughtSource]:
    """Yield each visit to a source of the book by itself; a new source with all its visits."""
    known = {one.id for one in book.sources}
    for one in told:
        if one.source.id not in known or not one.source.visits:
            yield one
            continue
        for visit in one.source.visits:
            yield dataclasses.replace(one, source=dataclasses.replace(one.source, visits=(visit,)))


def _words(one: BroughtSource, *, is_new: bool) -> str:
    source = one.source
    parts = [coordinates(source.lat_deg, source.lon_deg)] if is_new else []
    parts += [_visit_words(visit) for visit in source.visits]
    parts += [source.note] if is_new and source.note else []
    return f"{source.name}: {'; '.join(parts)}" if parts else source.name


def _visit_words(visit: Visit) -> str:
    litres = f", {visit.litres:g} L taken" if visit.litres else ""
    note = f", {visit.note}" if visit.note else ""
    return f"found {visit.found.value} on {visit.on.isoformat()}{litres}{note}"


def _offer_json(offer: Offer) -> Json:
    source = offer.source.source
    return {
        "number": offer.number,
        "kind": offer.kind,
        "words": offer.words,
        "name": source.name,
        "lat_deg": source.lat_deg,
        "lon_deg": source.lon_deg,
    }
