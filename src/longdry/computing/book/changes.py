"""Changes of the water book: a visit written down, a source retired, a new one marked.

Pure: a book and a wish in, a ``BookChange`` out. Whoever writes it takes the lock first. A source
that may be one that the book has already is not marked twice.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Sequence

from longdry.errors import BookError
from longdry.geodesy import NearPlaces, distance_km
from longdry.like_names import id_from_name, nearest_name
from longdry.model.water.book import BookChange, FeatureChange, WaterBook
from longdry.model.water.source import (
    SAME_PLACE_M,
    UNACCEPTABLE_MG_PER_L,
    Found,
    Visit,
    WaterSource,
)
from longdry.model.words import Grade
from longdry.units import M_PER_KM

_Setting = tuple[str, object]


def visit_change(book: WaterBook, wanted: str, visit: Visit, *, better: bool = False) -> BookChange:
    """Write down what was found at the source ``wanted``, an id or a name.

    A worse grade, or more dissolved solids, takes effect at once. What is better is only told,
    and takes effect with ``better``. A visit that is there already is not written twice.

    Raises
    ------
    BookError
        No source is called so, or several are.
    """
    number, source = find_source(book, wanted)
    again = visit in source.visits
    notes = [
        f"{quoted_name(source)}: this visit is in the book already."
        if again
        else f"{quoted_name(source)}: found {visit.found.value} on {visit.on.isoformat()}."
    ]
    settings: list[_Setting] = []
    for setting, words in (
        _grade_after(source, visit, better=better),
        _solids_after(source, visit, better=better),
    ):
        settings += setting
        notes += words
    if not source.own:
        settings.append(("own", None))
        notes.append("You have seen it now: it no longer counts as somebody else's word.")
    notes += _cautions(source, visit)
    new_visits = () if again else (visit,)
    if not settings and again:
        return BookChange((), tuple(notes))
    return BookChange((FeatureChange(number, tuple(settings), new_visits),), tuple(notes))


def _grade_after(
    source: WaterSource, visit: Visit, *, better: bool
) -> tuple[list[_Setting], list[str]]:
    new, old = visit.grade, source.grade
    if new is None or new is old:
        return [], []
    setting: list[_Setting] = [("grade", new.value)]
    if old is None:
        return setting, [f"Its grade was not known; it is {new.value} now."]
    if is_worse(new, old):
        return setting, [f"Its grade is worse, {new.value} instead of {old.value}, from now on."]
    later = _later_and_worse(source, visit)
    if later is not None:
        notes = (
            f"Found better, {new.value}, but the later visit of {later.on.isoformat()} found it"
            f" {later.grade}. The book keeps {old.value}."
        )
        return [], [notes]
    if better:
        return setting, [f"Its grade is better, {new.value} instead of {old.value}, from now on."]
    return [], [_book_keeps_words("grade", old.value, new.value)]


def _later_and_worse(source: WaterSource, visit: Visit) -> Visit | None:
    """Return the latest visit after this one that found the water worse; None where none did."""
    later = [
        one
        for one in source.visits
        if one.on > visit.on and one.grade and visit.grade and is_worse(one.grade, visit.grade)
    ]
    return max(later, key=lambda one: one.on, default=None)


def _solids_after(
    source: WaterSource, visit: Visit, *, better: bool
) -> tuple[list[_Setting], list[str]]:
    new, old = visit.tds_mg_per_l, source.tds_mg_per_l
    if new is None or new == old:
        return [], []
    if old is None or new > old or better:
        notes = [f"Its dissolved solids are {new:g} mg/L from now on."]
        if new > UNACCEPTABLE_MG_PER_L:
            notes.append(
                f"Above {UNACCEPTABLE_MG_PER_L:g} mg/L is unacceptable to drink (WHO); give it"
                " --grade not-for-drinking unless whoever looks after it says otherwise."
            )
        return [("tds_mg_per_l", new)], notes
    return [], [_book_keeps_words("dissolved solids", f"{old:g} mg/L", f"{new:g} mg/L")]


def _book_keeps_words(what: str, old: str, new: str) -> str:
    return (
        f"Found better: its {what} would be {new}. The book keeps {old};"
        " repeat the command with --better where you are sure."
    )


def _cautions(source: WaterSource, visit: Visit) -> list[str]:
    notes = []
    notes += _same_day_otherwise(source, visit)
    if visit.found is Found.UNREACHABLE:
        notes.append("Unreachable counts as no water.")
    if visit.found is Found.LOW:
        notes.append("Low counts as water, with little left.")
    if source.retired is not None:
        notes.append(f"It is retired ({source.retired}) and stays so.")
    if source.certainty is not None:
        notes.append(
            f'Its certainty is set by hand to "{source.certainty.value}" and stands: where that no'
            " longer holds, change it or take it out, at the desk or in the book with any editor."
        )
    counts = source.retired is None
    if counts and source.trusted_grade is Grade.NOT_FOR_DRINKING and visit.grade is None:
        notes.append("It counts as not for drinking.")
    return notes


def _same_day_otherwise(source: WaterSource, visit: Visit) -> list[str]:
    found = {one.found.value for one in source.visits if one.on == visit.on} - {visit.found.value}
    if not found:
        return []
    words = " and ".join(sorted(found))
    return [f"The book has another visit of that day, found {words}: the worst of a day holds."]


def retire_change(book: WaterBook, wanted: str, why: str) -> BookChange:
    """Stop counting the source ``wanted``, an id or a name; all that is known of it stays.

    Raises
    ------
    BookError
        No source is called so, or several are.
    """
    number, source = find_source(book, wanted)
    if source.retired is not None:
        return BookChange((), (f"{quoted_name(source)} is retired already: {source.retired}.",))
    change = FeatureChange(number, (("retired", why),))
    return BookChange((change,), (f"{quoted_name(source)} is kept, and no longer counted: {why}.",))


def find_source(book: WaterBook, wanted: str) -> tuple[int, WaterSource]:
    """Return index and source of the feature with this id, or else this name.

    Raises
    ------
    BookError
        No source is called so, or several are.
    """
    numbered = [(n, one.source) for n, one in enumerate(book.features) if one.source]
    plain = wanted.strip().casefold()
    for found in (
        [pair for pair in numbered if pair[1].id == wanted],
        [pair for pair in numbered if pair[1].name == wanted],
        [pair for pair in numbered if plain in (pair[1].name.casefold(), pair[1].id.casefold())],
    ):
        if len(found) == 1:
            return found[0]
        if found:
            ids = ", ".join(f'"{source.id}"' for _, source in found[:10])
            what = f'{len(found)} sources are called "{wanted}"'
            raise BookError.single(book.origin, "", what, f"name one by its id: {ids}")
    raise BookError.single(
        book.origin, "", f'no source has the id or name "{wanted}"', _mend_words(book, plain)
    )


def _mend_words(book: WaterBook, wanted: str) -> str:
    close = nearest_name(wanted, (word for one in book.sources for word in (one.name, one.id)))
    return f'did you mean "{close}"' if close else "list them with longdry sources"


def quoted_name(source: WaterSource) -> str:
    """Return the name of a source in quotes."""
    return f'"{source.name}"'


def mark_change(book: WaterBook, source: WaterSource, *, anyway: bool = False) -> BookChange:
    """Add a new source; its id is made from its name where it has none.

    Raises
    ------
    BookError
        A source lies within 150 m and ``anyway`` is not set, or the id is taken.
    """
    _refuse_near(book, source, anyway=anyway)
    taken = {known.id for known in book.sources}
    if source.id in taken:
        raise BookError.single(
            book.origin, "", f'the id "{source.id}" is taken', "give the source another"
        )
    identity = source.id or id_from_name(source.name, taken)
    new = dataclasses.replace(source, id=identity)
    notes = f'Marked: {quoted_name(new)} at {new.lat_deg:.6f}, {new.lon_deg:.6f}, id "{new.id}".'
    return BookChange((added_feature(new),), (notes, *_ungraded(new)))


def added_feature(source: WaterSource, extra: tuple[tuple[str, object], ...] = ()) -> FeatureChange:
    """Return the change that adds a source, with further properties behind its own."""
    return FeatureChange(
        None,
        (*properties_of(source), *extra),
        source.visits,
        lat_deg=source.lat_deg,
        lon_deg=source.lon_deg,
    )


def source_near(book: WaterBook, source: WaterSource) -> tuple[WaterSource, float] | None:
    """Return the nearest source of the book within 150 m of another, and how far off it is in m."""
    known = book.sources
    index = NearPlaces([one.lat_deg for one in known], [one.lon_deg for one in known])
    near = index.within(source.lat_deg, source.lon_deg, metres=SAME_PLACE_M)
    return (known[near[0].index], near[0].distance_m) if near else None


def _refuse_near(book: WaterBook, source: WaterSource, *, anyway: bool) -> None:
    near = None if anyway else source_near(book, source)
    if near:
        other, distance_m = near
        raise BookError.single(
            book.origin,
            "",
            f'{quoted_name(other)} (id "{other.id}") is {distance_m:.0f} m from there',
            f'write down a visit to it (longdry visit ... "{other.id}" --on DATE --found ...),'
            " or add --anyway where this is another source",
        )


def move_change(book: WaterBook, wanted: str, lat_deg: float, lon_deg: float) -> BookChange:
    """Put the source ``wanted``, an id or a name, in another place (WGS 84, degrees).

    Raises
    ------
    BookError
        No source is called so, or several are.
    """
    number, source = find_source(book, wanted)
    moved_m = distance_km(source.lat_deg, source.lon_deg, lat_deg, lon_deg) * M_PER_KM
    change = FeatureChange(number, lat_deg=lat_deg, lon_deg=lon_deg)
    told = f"{quoted_name(source)}: moved by {moved_m:,.0f} m to {lat_deg:.6f}, {lon_deg:.6f}."
    return BookChange((change,), (told,))


def correct_change(
    book: WaterBook, wanted: str, said: WaterSource, fields: Sequence[str]
) -> BookChange:
    """Write other properties of the source ``wanted``, an id or a name.

    Parameters
    ----------
    said
        A source that has them.
    fields
        Which of its properties are meant; one that is None or empty is taken out.

    Raises
    ------
    BookError
        No source is called so, or several are.
    """
    number, source = find_source(book, wanted)
    new = [(field, json_value(getattr(said, field))) for field in fields]
    settings = tuple((field, None if value in (None, "", False) else value) for field, value in new)
    told = f"{quoted_name(source)}: {', '.join(fields)} written anew."
    return BookChange((FeatureChange(number, settings),), (told,))


def _ungraded(source: WaterSource) -> tuple[str, ...]:
    if source.grade is not None:
        return ()
    return ("Without a grade it counts as not for drinking.",)


FILLABLE = (
    "name", "grade", "kind", "access", "flow_l_per_min", "limit_l", "months", "tds_mg_per_l",
    "open_from_hour", "open_to_hour", "cost_per_l", "laid_on", "note",
)  # fmt: skip
"""What another file may tell of a source that the book knows."""

_RANK = {Grade.POTABLE: 0, Grade.TREAT: 1, Grade.NOT_FOR_DRINKING: 2}


def is_worse(grade: Grade, than: Grade) -> bool:
    """Whether water of ``grade`` is to be trusted less.

    >>> is_worse(Grade.TREAT, Grade.POTABLE), is_worse(Grade.TREAT, Grade.TREAT)
    (True, False)
    """
    return _RANK[grade] > _RANK[than]


def json_value(value: object) -> object:
    """Return a value of the model as JSON holds it: words as text, months as a sorted list."""
    if isinstance(value, frozenset):
        return sorted(value)
    if isinstance(value, dt.date):
        return value.isoformat()
    return str(value) if isinstance(value, str) else value


def properties_of(source: WaterSource) -> tuple[tuple[str, object], ...]:
    """Return all that is known of a source but its place and visits, in a fixed order.

    >>> properties_of(WaterSource("b1", "Old Bore", -25.0, 131.0, kind="bore"))
    (('id', 'b1'), ('name', 'Old Bore'), ('kind', 'bore'))
    """
    more = ("certainty", "certainty_why", "note", "retired", "unread_salt")
    names = ("id", *FILLABLE[:-1], *more)
    notes = [(name, json_value(getattr(source, name))) for name in names]
    known = [(name, value) for name, value in notes if value not in (None, "")]
    laid = (("laid_by_us", True),) if source.laid_by_us else ()
    return (*known, *laid, *(() if source.own else (("own", False),)))
