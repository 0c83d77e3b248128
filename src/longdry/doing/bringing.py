"""Another layer, or a tally, on its way into the water book: what command and desk both bring."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from longdry.computing.book.coming_visits import without_future_visits
from longdry.computing.book.from_tally import sources_of_tally
from longdry.computing.book.merging import merge_change
from longdry.doing.book_transaction import today
from longdry.model.water.book import BookChange, BroughtSource, WaterBook
from longdry.reading.book.brought import read_brought
from longdry.reading.road.tally_file import read_tally
from longdry.reading.water.gpx_layer import SPEAKING_OF_WATER, WaypointChoice
from longdry.reading.water.layer import NOT_OWN
from longdry.reading.water.mapping import FieldMapping


@dataclass(frozen=True, slots=True)
class Bringing:
    """A file read, to be merged into a book."""

    before: tuple[str, ...]
    """What is told before the changes, in whole sentences."""
    change_of: Callable[[WaterBook], BookChange]
    """From the book to what becomes of it; what a tally leaves out is told with it."""


def layer_brought(
    path: Path,
    mapping: FieldMapping | None = None,
    choice: WaypointChoice = SPEAKING_OF_WATER,
    *,
    own: bool = False,
) -> Bringing:
    """Read another layer, or the waypoints of a recorded trip.

    Parameters
    ----------
    own
        Whether the party itself recorded it; a mapping may say so too.

    Raises
    ------
    WaterLayerError
        With all that is wrong in the file or the mapping.
    """
    layer = read_brought(path, mapping, choice)
    sources, left_out = without_future_visits(layer.sources, _latest())
    is_own = own or bool(mapping and mapping.always.get("own") is True)
    told = [remark for remark in layer.remarks if not (is_own and NOT_OWN in remark)]
    return Bringing(
        (*told, *left_out),
        lambda book: merge_change(book, sources, origin=path.name, own=is_own),
    )


def tally_brought(path: Path) -> Bringing:
    """Read the visits and new sources of a tally: the party's own word.

    Raises
    ------
    TallyError
        It cannot be read.
    """
    entries = read_tally(path)

    def change_of(book: WaterBook) -> BookChange:
        brought = sources_of_tally(book, entries)
        sources, coming = without_future_visits(brought.sources, _latest())
        change = merge_change(book, sources, origin=path.name, own=True)
        return BookChange(change.features, (*change.notes, *brought.notes, *coming))

    return Bringing((), change_of)


def one_by_one(sources: tuple[BroughtSource, ...]) -> tuple[BroughtSource, ...]:
    """Return the sources with visits to come left out."""
    return without_future_visits(sources, _latest())[0]


def _latest() -> dt.date:
    return today() + dt.timedelta(days=1)
