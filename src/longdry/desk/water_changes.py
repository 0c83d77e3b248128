"""Changes of the water book at the desk: those of the commands, on one state of the book."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from longdry.computing.book.changes import (
    correct_change,
    mark_change,
    move_change,
    quoted_name,
    retire_change,
    source_near,
    visit_change,
)
from longdry.desk.choice import choice_json, new_plan_text
from longdry.desk.desk import Desk
from longdry.desk.folder import version_of
from longdry.desk.refusals import CANNOT_BE, CONFLICT, RefusedError
from longdry.desk.water_view import (
    BOOK_FILE,
    SOURCE_FIELDS,
    VISIT_FIELDS,
    editable_layers,
    written_json,
)
from longdry.doing.book_transaction import change_book
from longdry.doing.plan_file import PLAN_FILE
from longdry.doing.visits import told_visit
from longdry.errors import Fault, UsageError
from longdry.model.water.book import BookChange, WaterBook
from longdry.model.water.source import WaterSource
from longdry.plain_text import one_line
from longdry.reading.water.source import OF_OTHERS, source_from_properties
from longdry.showing.figures.figure import Json

Wish = Mapping[str, object]
ChangeOf = Callable[[WaterBook], BookChange]
_FIELDS = frozenset(field[0] for field in SOURCE_FIELDS)
_PLACED = _FIELDS | {"lat", "lon"}


def mark(desk: Desk, wish: Wish) -> Json:
    """Mark a new source; one within 150 m of another is refused unless ``anyway`` is true."""
    source = _said_source(wish, _properties(wish))
    anyway = wish.get("anyway") is True

    def change_of(book: WaterBook) -> BookChange:
        near = None if anyway else source_near(book, source)
        if near:
            what = f"{quoted_name(near[0])} is {near[1]:.0f} m from there"
            mend = "write down a visit to it, or mark it anyway where this is another source"
            raise RefusedError(CONFLICT, "anyway", what, mend)
        return mark_change(book, source, anyway=anyway)

    books = editable_layers(desk)
    return _changed(desk, books[0] if books else BOOK_FILE, change_of, wish)


def move(desk: Desk, wish: Wish) -> Json:
    """Put a source in another place."""
    at = _said_source(wish, {"name": "source"})
    wanted = _wanted(desk, wish)
    return _changed(
        desk, wanted[0], lambda book: move_change(book, wanted[1], at.lat_deg, at.lon_deg), wish
    )


def correct(desk: Desk, wish: Wish) -> Json:
    """Write other properties of a source; one that is null is taken out."""
    properties = _properties(wish)
    if "name" in properties and not str(properties["name"] or "").strip():
        raise RefusedError(CANNOT_BE, "name", "the source has no name", "give it one")
    said = _said_source({"lat_deg": 0.0, "lon_deg": 0.0}, {"name": "source", **properties})
    wanted = _wanted(desk, wish)
    return _changed(
        desk,
        wanted[0],
        lambda book: correct_change(book, wanted[1], said, list(properties)),
        wish,
    )


def visit(desk: Desk, wish: Wish) -> Json:
    """Write down what was found at a source."""
    notes = {field[0]: wish.get(field[0]) for field in VISIT_FIELDS if field[0] != "better"}
    told = told_visit(notes, {name: name for name in notes})
    wanted = _wanted(desk, wish)
    better = wish.get("better") is True
    return _changed(
        desk, wanted[0], lambda book: visit_change(book, wanted[1], told, better=better), wish
    )


def retire(desk: Desk, wish: Wish) -> Json:
    """Stop counting a source; all that is known of it stays."""
    why = one_line(str(wish.get("why") or ""))
    if not why:
        raise RefusedError(CANNOT_BE, "why", "no reason is given", "say why in a few words")
    wanted = _wanted(desk, wish)
    return _changed(desk, wanted[0], lambda book: retire_change(book, wanted[1], why), wish)


def change_desk_book(desk: Desk, name: str, change_of: ChangeOf, version: object) -> BookChange:
    """Change a book of the folder, made where it is missing; a copy is kept for undo.

    Raises
    ------
    RefusedError
        Somebody else has changed it meanwhile.
    BookError
        The change cannot be.
    """
    place = desk.folder.place(name)
    is_new = not place.exists()

    with desk.undo.keeping() as keep:

        def before_writing(text: str) -> None:
            desk.check_version(name, version)
            keep(name, version_of(text.encode("utf-8")))

        change = change_book(place, change_of, make=True, before_writing=before_writing)
    if is_new and place.exists():
        _choose(desk, name)
    return change


def _changed(desk: Desk, name: str, change_of: ChangeOf, wish: Wish) -> Json:
    change = change_desk_book(desk, name, change_of, wish.get("version"))
    return written_json(desk, change.notes)


def _choose(desk: Desk, name: str) -> None:
    """Take a new book into the plan, where plan.txt says what that is made of."""
    choice = desk.planner.choice()
    if desk.folder.place(PLAN_FILE).exists() and choice.options is not None:
        layers = choice_json(desk.folder, choice)["water"]
        if isinstance(layers, list) and name not in layers:
            text = new_plan_text(desk.folder, choice, {"water": [*layers, name]})
            desk.write(PLAN_FILE, text, None)


def read_book_instead(desk: Desk, book: str, layer: str) -> list[str]:
    """Have the plan read the book in place of a layer that was copied into it; say so."""
    choice = desk.planner.choice()
    options = choice.options
    layers = choice_json(desk.folder, choice)["water"]
    if options is None or options.fields or not isinstance(layers, list) or layer not in layers:
        return []
    kept = [name for name in layers if name not in (layer, book)]
    desk.write(PLAN_FILE, new_plan_text(desk.folder, choice, {"water": [*kept, book]}), None)
    return [f"The plan reads {book} in place of {layer} from now on."]


def _wanted(desk: Desk, wish: Wish) -> tuple[str, str]:
    """Return the book that holds the source, and the source's id."""
    wanted = wish.get("id")
    water = desk.planner.water(desk.planner.choice())
    for source in water.sources if water else ():
        if source.id == wanted:
            layer = desk.folder.name_of(Path(source.layer))
            if layer in editable_layers(desk):
                return layer, source.id
            what = f"lies in {layer}, which the desk does not write to"
            raise RefusedError(CANNOT_BE, quoted_name(source), what, "bring that layer in first")
    raise RefusedError(CANNOT_BE, "", "there is no such source", "load the page again")


def _properties(wish: Wish) -> dict[str, object]:
    given = wish.get("properties")
    if not isinstance(given, Mapping) or not set(given) <= _FIELDS:
        raise RefusedError(CANNOT_BE, "", "the change names no property", "load the page again")
    return dict(given)


def _said_source(place: Wish, properties: Wish) -> WaterSource:
    """Return the source that a form tells of.

    Raises
    ------
    UsageError
        With all that is wrong; each fault begins with the name of its field.
    """
    if not str(properties.get("name") or "").strip():
        raise RefusedError(CANNOT_BE, "name", "the source has no name", "give it one")
    source, faults = source_from_properties(
        properties,
        lat_deg=place.get("lat_deg"),
        lon_deg=place.get("lon_deg"),
        where="",
        fallback_id="",
        layer="",
    )
    if source is None:
        raise UsageError("source", [_by_field(fault) for fault in faults])
    return source


def _by_field(fault: Fault) -> Fault:
    """Return a fault with the field that it begins with as its place."""
    field, _, rest = fault.what.partition(" ")
    mend = fault.mend.removesuffix(OF_OTHERS)
    return Fault(field, rest, mend) if field in _PLACED else fault
