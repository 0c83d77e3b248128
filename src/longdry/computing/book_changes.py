"""What becomes of the water book: a visit written down, a source retired.

Pure: a book and a wish in, a ``BookChange`` out. Whoever writes it takes the lock first.
"""

from __future__ import annotations

import difflib

from longdry.computing.book_properties import is_worse
from longdry.errors import BookError
from longdry.model.water_book import BookChange, FeatureChange, WaterBook
from longdry.model.water_source import Found, Visit, WaterSource
from longdry.model.words import Grade

UNACCEPTABLE_MG_PER_L = 1200.0
"""Dissolved solids above which water is unacceptable to drink (WHO/SDE/WSH/03.04/16)."""
_Setting = tuple[str, object]


def visited(book: WaterBook, wanted: str, visit: Visit, *, better: bool = False) -> BookChange:
    """Write down what was found at the source ``wanted``, an id or a name.

    A worse grade, or more dissolved solids, takes effect at once. What is better is only told,
    and takes effect with ``better``. A visit that is there already is not written twice.

    Raises
    ------
    BookError
        No source is called so, or several are.
    """
    number, source = the_source(book, wanted)
    again = visit in source.visits
    told = [
        f"{called(source)}: this visit is in the book already."
        if again
        else f"{called(source)}: found {visit.found.value} on {visit.on.isoformat()}."
    ]
    settings: list[_Setting] = []
    for setting, words in (
        _grade_after(source, visit, better=better),
        _solids_after(source, visit, better=better),
    ):
        settings += setting
        told += words
    if not source.own:
        settings.append(("own", None))
        told.append("You have seen it now: it no longer counts as somebody else's word.")
    told += _cautions(source, visit)
    new_visits = () if again else (visit,)
    if not settings and again:
        return BookChange((), tuple(told))
    return BookChange((FeatureChange(number, tuple(settings), new_visits),), tuple(told))


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
        told = (
            f"Found better, {new.value}, but the later visit of {later.on.isoformat()} found it"
            f" {later.grade}. The book keeps {old.value}."
        )
        return [], [told]
    if better:
        return setting, [f"Its grade is better, {new.value} instead of {old.value}, from now on."]
    return [], [_stands("grade", old.value, new.value)]


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
        told = [f"Its dissolved solids are {new:g} mg/L from now on."]
        if new > UNACCEPTABLE_MG_PER_L:
            told.append(
                f"Above {UNACCEPTABLE_MG_PER_L:g} mg/L is unacceptable to drink (WHO); give it"
                " --grade not-for-drinking unless whoever looks after it says otherwise."
            )
        return [("tds_mg_per_l", new)], told
    return [], [_stands("dissolved solids", f"{old:g} mg/L", f"{new:g} mg/L")]


def _stands(what: str, old: str, new: str) -> str:
    return (
        f"Found better: its {what} would be {new}. The book keeps {old};"
        " repeat the command with --better where you are sure."
    )


def _cautions(source: WaterSource, visit: Visit) -> list[str]:
    told = []
    told += _same_day_otherwise(source, visit)
    if visit.found is Found.UNREACHABLE:
        told.append("Unreachable counts as no water.")
    if visit.found is Found.LOW:
        told.append("Low counts as water, with little left.")
    if source.retired is not None:
        told.append(f"It is retired ({source.retired}) and stays so.")
    if source.certainty is not None:
        told.append(f'Its certainty is set by hand to "{source.certainty.value}" and stands.')
    counts = source.retired is None
    if counts and source.trusted_grade is Grade.NOT_FOR_DRINKING and visit.grade is None:
        told.append("It counts as not for drinking.")
    return told


def _same_day_otherwise(source: WaterSource, visit: Visit) -> list[str]:
    found = {one.found.value for one in source.visits if one.on == visit.on} - {visit.found.value}
    if not found:
        return []
    words = " and ".join(sorted(found))
    return [f"The book has another visit of that day, found {words}: the worst of a day holds."]


def retired(book: WaterBook, wanted: str, why: str) -> BookChange:
    """Stop counting the source ``wanted``, an id or a name; all that is known of it stays.

    Raises
    ------
    BookError
        No source is called so, or several are.
    """
    number, source = the_source(book, wanted)
    if source.retired is not None:
        return BookChange((), (f"{called(source)} is retired already: {source.retired}.",))
    change = FeatureChange(number, (("retired", why),))
    return BookChange((change,), (f"{called(source)} is kept, and no longer counted: {why}.",))


def the_source(book: WaterBook, wanted: str) -> tuple[int, WaterSource]:
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
        book.origin, "", f'no source has the id or name "{wanted}"', _mend(book, plain)
    )


def _mend(book: WaterBook, wanted: str) -> str:
    words = {word.casefold(): word for one in book.sources for word in (one.name, one.id)}
    close = difflib.get_close_matches(wanted, words, n=1)
    if close:
        return f'did you mean "{words[close[0]]}"'
    return "list them with longdry sources"


def called(source: WaterSource) -> str:
    """Return the name of a source in quotes."""
    return f'"{source.name}"'
