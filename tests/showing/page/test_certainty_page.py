"""The pages about the water book say what the program does."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from project_places import DOCS
from small_files import GPX

from longdry.cli.main import main
from longdry.computing.water.certainty import BELOW_THE_BOUND, CERTAIN_FROM, LIKELY_FROM
from longdry.computing.water.priors import (
    OUT_OF_SEASON,
    PRIOR_BY_KIND,
    PRIOR_VISITS,
    STRANGE_KIND,
    UNKNOWN_KIND,
)
from longdry.reading.book.book_file import read_book

CERTAINTY = (DOCS / "why" / "certainty.md").read_text(encoding="utf-8")
AFTER_A_TRIP = (DOCS / "how-to" / "after-a-trip.md").read_text(encoding="utf-8")

EXPORT = """{"type": "FeatureCollection", "features": [{"type": "Feature", "id": "node/1",
"geometry": {"type": "Point", "coordinates": [131.9, -25.9]},
"properties": {"natural": "spring", "name": "Invented Spring"}}]}"""
TABLE = "X,Y,SITE,water_qual\n132.0,-26.0,Ninth Bore,bore water\n"


def test_table_of_priors_is_the_one_that_is_judged_with():
    """Chance and half-life of every kind stand in docs/why/certainty.md."""
    rows = re.findall(r"^\| ([a-z ]+) \| ([\d.]+) \| ([\d.]+) \|", CERTAINTY, re.MULTILINE)
    told = {kind: (float(chance), float(days)) for kind, chance, days in rows}
    others = {"not told": UNKNOWN_KIND, "a word that is not known": STRANGE_KIND}
    kinds = PRIOR_BY_KIND | others

    assert told == {kind: (one.chance, one.half_life_days) for kind, one in kinds.items()}


@pytest.mark.parametrize(
    ("words", "value"),
    [
        ("n = 2 fresh visits", PRIOR_VISITS == 2),
        ("the 0.2\nquantile", BELOW_THE_BOUND == 0.2),
        ("`certain` from a lower bound of 0.9", CERTAIN_FROM == 0.9),
        ("`likely` from a lower bound of 1/3", LIKELY_FROM == 1 / 3),
        ("outside them every kind has 0.05", OUT_OF_SEASON == 0.05),
    ],
)
def test_bounds_on_the_page_are_those_of_the_program(words, value):
    """What the page states is what is computed with."""
    assert words in CERTAINTY
    assert value


def test_commands_of_the_page_after_a_trip_run_in_their_order(tmp_path, monkeypatch):
    """Every command of docs/how-to/after-a-trip.md does what the page says, one after another."""
    monkeypatch.chdir(tmp_path)
    Path("recorded.gpx").write_text(GPX.replace("Hollow", "Hollow Tank").replace("Twin", "", 1))
    Path("route.gpx").write_text(GPX)
    Path("export.geojson").write_text(EXPORT)
    Path("shire.csv").write_text(TABLE)
    (mapping,) = re.findall(r"```toml\n(.*?)```", AFTER_A_TRIP, re.DOTALL)
    Path("shire.toml").write_text(mapping)
    blocks = re.findall(r"```sh\n(.*?)```", AFTER_A_TRIP, re.DOTALL)
    commands = [line for block in blocks for line in block.splitlines()]

    for command in commands:
        assert main(shlex.split(command)[1:]) == 0, command
    names = {source.name: source for source in read_book("book.geojson").sources}

    assert len(commands) == 12
    assert set(names) == {
        "Fork Bore", "Hollow Tank", "Track Soak", "Invented Spring", "Ninth Bore",
    }  # fmt: skip
    assert names["Track Soak"].retired == "silted up"
    assert not names["Invented Spring"].own
    assert names["Ninth Bore"].grade == "treat-before-drinking"
