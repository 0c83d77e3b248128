"""The one way in which commands change a water book: lock, read, change, check, put in place."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

from longdry.errors import BookError, UsageError
from longdry.model.water.book import BookChange, WaterBook
from longdry.reading.book.book_file import book_from_text, read_book, refuse_others_words
from longdry.reading.water.values import RefusedValueError
from longdry.reading.water.visits import day_from
from longdry.showing.exports.book_geojson import (
    EMPTY_BOOK_TEXT,
    changed_book_text,
    changed_features_text,
)
from longdry.storage import locked, replace_file


def change_book(
    path: Path,
    change_of: Callable[[WaterBook], BookChange],
    *,
    make: bool = False,
    before_writing: Callable[[str], None] | None = None,
) -> BookChange:
    """Change the book at ``path`` while nobody else does; return what was changed.

    Parameters
    ----------
    path
        The book; it is made where it is missing and ``make`` is set.
    change_of
        From the book as it is now to what becomes of it.
    before_writing
        Is given the new text while the book still is as it was; what it raises leaves it so.

    Raises
    ------
    BookError
        The book cannot be used, or the change cannot be; it is as it was.
    StorageError
        It could not be written; it is as it was.
    """
    if not path.is_file() and not (make and not path.exists()):
        _refuse_stream(path)
        read_book(path)  # tells what is there instead
    with locked(path):
        book = read_book(path) if path.exists() else _new_book(path)
        if path.exists() and not any(one.brought_from for one in book.features):
            refuse_others_words(path)
        change = change_of(book)
        if change.features:
            text = _written_text(path, book, change)
            if before_writing:
                before_writing(text)
            replace_file(path, text)
    return change


def _written_text(path: Path, book: WaterBook, change: BookChange) -> str:
    try:
        changed = changed_features_text(book, change.features)
    except RecursionError:
        what = "a property of what is to be written is nested too deeply"
        mend = "take the lists that stand inside one another out of it"
        raise BookError.single(str(path), "", what, mend) from None
    book_from_text(changed, origin=str(path))  # what cannot be read is never written
    return changed_book_text(book, change.features)


def book_or_new(path: Path) -> WaterBook:
    """Return the book at ``path``, or an empty one where there is none."""
    return read_book(path) if path.exists() else _new_book(path)


def _refuse_stream(path: Path) -> None:
    """A pipe or device is no book: reading from it may never end.

    Another process may have made the book since it was looked for: that one is a plain file.
    """
    if path.exists() and not path.is_dir() and not path.is_file():
        raise UsageError.single(str(path), "", "this is no plain file", "name a book on a disk")


def _new_book(path: Path) -> WaterBook:

    return book_from_text(EMPTY_BOOK_TEXT, origin=str(path))


def day_of(text: str, option: str) -> dt.date:
    """Return the day that an option names.

    Raises
    ------
    UsageError
        For anything but year-month-day.
    """
    try:
        return day_from(text)
    except RefusedValueError as refused:
        mend = refused.mend.replace("the day of the visit", "the day")
        raise UsageError.single(option, "", f'"{text}" is no day', mend) from None


def today() -> dt.date:
    """Return the day on the clock of this machine, as people there write it."""
    return dt.datetime.now().astimezone().date()
