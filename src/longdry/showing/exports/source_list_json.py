"""The list of a water book's sources as JSON, and as a GeoJSON cut of the book."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from longdry.model.water.book import ListedSource, WaterBook
from longdry.model.water.source import Visit
from longdry.showing.exports.json_by_line import json_by_line
from longdry.showing.figures.figure import document_values
from longdry.showing.figures.sources import SOURCE_FIGURES

FORMAT = "longdry-sources"
VERSION = 1


def source_list_json(sources: Sequence[ListedSource], *, on: dt.date) -> str:
    """Return the list with every figure unrounded; unknown values are null."""
    document = {
        "format": FORMAT,
        "version": VERSION,
        "judged_for": on.isoformat(),
        "sources": [_members(one) for one in sources],
    }
    return json_by_line(document) + "\n"


def _members(one: ListedSource) -> dict[str, object]:
    source, judged = one.source, one.judgement
    return {
        "id": source.id,
        **document_values(SOURCE_FIGURES, source),
        "visits": [_visit(visit) for visit in source.visits],
        "certainty": judged.certainty,
        "chance": judged.chance,
        "lower_bound": judged.lower_bound,
        "why": judged.why,
        "by_hand": judged.by_hand,
        "on_word_alone": judged.on_word_alone,
        "km": one.km,
        "offset_km": one.offset_km,
    }


def _visit(visit: Visit) -> dict[str, object]:
    return {
        "on": visit.on.isoformat(),
        "found": visit.found,
        "litres": visit.litres,
        "grade": visit.grade,
        "tds_mg_per_l": visit.tds_mg_per_l,
        "note": visit.note,
    }


def selected_book_text(book: WaterBook, sources: Sequence[ListedSource]) -> str:
    """Return a feature collection (RFC 7946) of the listed features, each as the book has it."""
    texts = [book.text[slice(*_span(book, one))] for one in sources]
    body = "\n" + ",\n".join(texts) + "\n" if texts else ""
    return f'{{"type": "FeatureCollection", "features": [{body}]}}\n'


def _span(book: WaterBook, one: ListedSource) -> tuple[int, int]:
    feature = book.features[one.number]
    return feature.begin, feature.end
