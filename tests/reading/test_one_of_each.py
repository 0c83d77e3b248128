"""One reader over GDAL, one over JSON, one cleaner of text, one maker of geodesics."""

from __future__ import annotations

import pytest
from project_places import ROOT

SOURCES = ROOT / "src/longdry"
ONE_PLACE = {
    "import pyogrio": ["reading/files/gdal.py", "showing/compare/exports.py"],  # the one writes
    "Geod(": ["geodesy.py"],
    "JSONDecoder(": ["reading/files/json_text.py"],
    "json.loads(": ["showing/exports/book_geojson.py"],  # of text that the strict reader took
    "u202a": ["plain_text.py"],
}


@pytest.mark.parametrize("words", ONE_PLACE)
def test_what_is_done_in_one_place_is_done_nowhere_else(words):
    """Whoever adds a second one reads here where the first stands."""
    found = [
        str(path.relative_to(SOURCES))
        for path in sorted(SOURCES.rglob("*.py"))
        if words in path.read_text("utf-8")
    ]

    assert found == ONE_PLACE[words]
