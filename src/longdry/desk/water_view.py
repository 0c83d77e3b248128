"""The water of the plan as the desk lists it, and what can be told of a source and of a visit."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from longdry.desk.desk import Desk
from longdry.desk.folder import NO_FILE
from longdry.desk.kinds import FileKind
from longdry.errors import LongdryError
from longdry.model.plan.plan import Plan
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import Found, Visit, WaterSource
from longdry.model.words import SOURCE_KINDS, Certainty, Grade, Units
from longdry.reading.book.book_file import read_book, refuse_others_words
from longdry.showing.figures.figure import Json, document_values
from longdry.showing.figures.sources import SOURCE_FIGURES
from longdry.showing.words.measures import Measures
from longdry.showing.words.sources import why_not_words
from longdry.units import M_PER_KM

BOOK_FILE = "water_book.geojson"
"""What a new water book is called."""
_FAR = "does not come near enough to the route"
_GRADES = tuple(grade.value for grade in Grade)

Field = tuple[str, str, str, tuple[str, ...], str, str]
SOURCE_FIELDS: tuple[Field, ...] = (
    ("name", "name", "text", (), "", "what people call it"),
    ("grade", "grade", "word", _GRADES, "", "without one it counts as not for drinking"),
    ("kind", "kind", "text", SOURCE_KINDS, "", "from the list; any other word counts as doubtful"),
    ("access", "getting at it", "text", (), "", "tap key, dip, pump, dig, bucket, rope of 9 m"),
    ("flow_l_per_min", "flow", "number", (), "L/min", ""),
    ("limit_l", "limit", "number", (), "L", "what may be taken at all passes of a trip together"),
    ("months", "months", "months", (), "", "in which it holds: 4-9, Apr-Sep or 4, 5, 6"),
    ("certainty", "certainty", "word", tuple(one.value for one in Certainty), "",
     "your own word: it stands, but a cache is never better than likely"),
    ("tds_mg_per_l", "dissolved solids", "number", (), "mg/L", "above 1200 it does not count"),
    ("open_from_hour", "open from", "number", (), "h", "hour of the day, 0 to 24"),
    ("open_to_hour", "open to", "number", (), "h", "hour of the day, 0 to 24"),
    ("cost_per_l", "cost", "number", (), "money/L", "in your own money"),
    ("laid_by_us", "laid by us", "yes_no", (), "", "of a cache: you laid it yourselves"),
    ("laid_on", "laid on", "day", (), "", "of a cache: the day on which you laid it"),
    ("note", "note", "text", (), "", "anything else worth knowing"),
)  # fmt: skip
VISIT_FIELDS: tuple[Field, ...] = (
    ("on", "day of the visit", "day", (), "", "the day on which somebody was there"),
    ("found", "found", "word", tuple(one.value for one in Found), "",
     "unreachable counts as no water"),
    ("litres", "litres taken", "number", (), "L", ""),
    ("grade", "grade", "word", _GRADES, "", "a worse one takes effect at once"),
    ("tds_mg_per_l", "dissolved solids", "number", (), "mg/L", ""),
    ("better", "let what is better count", "yes_no", (), "",
     "a better grade or fewer solids take effect too"),
    ("note", "note", "text", (), "", "anything else worth knowing"),
)  # fmt: skip


def written_json(desk: Desk, notes: Sequence[str]) -> Json:
    """Return what a change has to tell, in whole sentences, and which book it is in."""
    books = editable_layers(desk)
    return {"notes": list(notes), "book": books[0] if books else None, **desk.versions_json()}


def water_json(desk: Desk) -> Json:
    """Return the sources of the plan's layers, what counts, and what can be told of one."""
    state = desk.planner.state()
    options = state.choice.options
    measures = Measures(Units(options.units if options else Units.METRIC))
    passes: dict[str, list[WaterPass]] = {}
    for one in state.plan.passes if state.plan else ():
        passes.setdefault(one.source.id, []).append(one)
    books = editable_layers(desk)
    book = books[0] if books else None
    return {
        "book": book,
        "version": desk.folder.version(desk.folder.place(book)) if book else NO_FILE,
        **desk.versions_json(),
        "number": state.number,
        "sources": [
            {
                **_source(desk, source, books),
                **_passes(passes.get(source.id, []), state.plan, measures),
            }
            for source in (state.water.sources if state.water else ())
        ],
        "remarks": list(state.water.remarks) if state.water else [],
        "fields": [_field(one) for one in SOURCE_FIELDS],
        "visit_fields": [_field(one) for one in VISIT_FIELDS],
    }


def editable_layers(desk: Desk) -> list[str]:
    """Return the chosen layers that the desk can write to: water books, in the order chosen."""
    options = desk.planner.choice().options
    layers: list[Path] = options.water if options else []
    return [desk.folder.name_of(path) for path in layers if is_editable(desk, path)]


def is_editable(desk: Desk, path: Path) -> bool:
    """Whether a layer is GeoJSON in our words, so that it can be kept as a water book."""
    facts = desk.folder.facts(path)
    if facts is None or facts.what not in (FileKind.BOOK, FileKind.WATER):
        return False
    return desk.planner.kept.get("editable", [path], lambda: _is_book(path))


def _is_book(path: Path) -> bool:
    try:
        book = read_book(path)
        if not any(one.brought_from for one in book.features):
            refuse_others_words(path)
    except LongdryError:
        return False
    return True


def _field(field: Field) -> Json:
    return dict(zip(("name", "label", "kind", "words", "unit", "help"), field, strict=True))


def _source(desk: Desk, source: WaterSource, books: Sequence[str]) -> Json:
    layer = desk.folder.name_of(Path(source.layer))
    return {
        "id": source.id,
        **document_values(SOURCE_FIGURES, source),
        "layer": layer,
        "editable": layer in books,
        "visits": [_visit(visit) for visit in source.visits],
        "certainty_by_hand": source.certainty.value if source.certainty else None,
    }


def _visit(visit: Visit) -> Json:
    return {
        "on": visit.on.isoformat(),
        "found": visit.found.value,
        "litres": visit.litres,
        "grade": visit.grade.value if visit.grade else None,
        "tds_mg_per_l": visit.tds_mg_per_l,
        "note": visit.note,
    }


def _passes(own: Sequence[WaterPass], plan: Plan | None, measures: Measures) -> Json:
    if not own:
        why_not = _FAR if plan else "there is no plan yet"
        return {"certainty": None, "why": "", "counts": False, "km": None, "offset_m": None,
                "call": False, "why_not": why_not}  # fmt: skip
    counted = [one for one in own if one.counted]
    first = (counted or own)[0]
    return {
        "certainty": first.judgement.certainty.value,
        "why": first.judgement.why,
        "counts": bool(counted),
        "why_not": "" if counted else why_not_words(first, measures),
        "km": round(first.km, 3),
        "offset_m": round(first.offset_km * M_PER_KM, 1),
        "call": any(one.call for one in own),
    }
