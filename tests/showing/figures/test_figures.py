"""The tables of figures: one row stands in JSON, CSV, GeoJSON and the reference page."""

from __future__ import annotations

import csv
import dataclasses
import importlib.util
import io
import json
from pathlib import Path

import pytest
from make import container, policy, source_at, straight_route, trip, use

from longdry.computing.plan.planning import plan_trip
from longdry.model.words import ContainerGrade, Grade, Ration
from longdry.showing.exports.plan_csv import days_csv, fills_csv, stops_csv, stretches_csv
from longdry.showing.exports.plan_geojson import plan_geojson
from longdry.showing.exports.plan_json import plan_json
from longdry.showing.figures.combinations import COMBINATION_FIGURES
from longdry.showing.figures.figure import Figure, ToldIn, table_cells
from longdry.showing.figures.plan_figures import FIGURES

DOCS = Path(__file__).parents[3] / "docs"
CSV = {"stretches": stretches_csv, "stops": stops_csv, "fills": fills_csv, "days": days_csv}
FEATURES = {
    "stretches": "stretch",
    "stops": "stop",
    "days": "camp",
    "passes": "pass",
    "sources": "source",
}
KINDS = sorted({*CSV, *FEATURES})


def _plan():
    """Stop at a tap and a well side by side, on the second of two days."""
    drum = dataclasses.replace(container(20.0, 1), name="drum", grade=ContainerGrade.ANY)
    washing = use("washing", 5.0, grade=Grade.NOT_FOR_DRINKING, kept=Ration.FULL)
    made = trip(
        can_treat=True,
        containers=[container(20.0, 2), drum],
        uses=[use(), washing],
        policy=policy(reserve_days=1.0),
    )
    tap = source_at(400.0, id="tap")
    well = source_at(400.1, grade=Grade.TREAT, id="well")
    return plan_trip(straight_route(700.0, 8), [tap, well], made)


def _reference():
    spec = importlib.util.spec_from_file_location("make_reference", DOCS / "make_reference.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def _with_row(kind):
    """Return a copy of all tables with one row more."""
    row = Figure("shade_trees", "trees", "a row that only this test knows", lambda _: 7)
    return dataclasses.replace(FIGURES, **{kind: (*getattr(FIGURES, kind), row)})


def _rows(text):
    return list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")))


@pytest.mark.parametrize("kind", KINDS)
def test_a_row_more_stands_in_every_export_and_in_the_reference(kind):
    """A new figure is one row: nothing else has to know of it."""
    plan, figures = _plan(), _with_row(kind)
    document = json.loads(plan_json(plan, figures))
    listed = document["passes" if kind == "sources" else kind]
    page = _reference().plan_json_page(figures)

    assert listed
    assert [one["shade_trees"] for one in listed] == [7] * len(listed)
    if kind in CSV:
        assert [row["shade_trees"] for row in _rows(CSV[kind](plan, figures))] == ["7"] * len(
            listed
        )
    if kind in FEATURES:
        features = json.loads(plan_geojson(plan, (), figures))["features"]
        told = [f["properties"] for f in features if f["properties"]["feature"] == FEATURES[kind]]
        assert told
        assert all(one["shade_trees"] == 7 for one in told)
    assert page.count("| `shade_trees` | trees | a row that only this test knows |") == 1


def test_the_row_is_in_no_export_without_the_table_that_has_it():
    """The copies of the tables leave the tables themselves alone."""
    plan = _plan()

    assert "shade_trees" not in plan_json(plan) + stretches_csv(plan) + plan_geojson(plan, ())


def test_reference_page_is_up_to_date():
    """Mend: run ``python docs/make_reference.py``."""
    text = (DOCS / "reference" / "plan-json.md").read_text(encoding="utf-8")

    assert text == _reference().plan_json_page()


def test_the_page_of_the_comparison_is_up_to_date():
    """Mend: run ``python docs/make_reference.py``."""
    text = (DOCS / "reference" / "compare-json.md").read_text(encoding="utf-8")

    assert text == _reference().compare_json_page()


TABLES = {field.name: getattr(FIGURES, field.name) for field in dataclasses.fields(FIGURES)}
TABLES["combinations"] = COMBINATION_FIGURES


@pytest.mark.parametrize("kind", TABLES)
def test_no_name_stands_twice_where_a_reader_would_take_one_for_the_other(kind):
    """Within one export a name means one thing; every row says what it means."""
    figures = TABLES[kind]
    for where in (ToldIn.DOCUMENT, ToldIn.TABLE):
        names = [one.name for one in figures if one.told_in & where]
        assert len(names) == len(set(names))
    assert all(one.meaning for one in figures)


def test_units_stand_in_the_names():
    """A figure in km, L, h or minutes says so in its name, as all keys of the project do."""
    ends = {"km": ("_km", "km"), "L": ("_l", "levels", "drawn_off"), "h": ("_h", "_hour"),
            "min": ("_min", "minutes")}  # fmt: skip
    for figures in TABLES.values():
        for one in figures:
            assert one.name.endswith(ends.get(one.unit, ""))


def test_a_figure_with_parts_is_refused_in_a_table():
    """A list in a cell would be written as program text: whoever adds the row hears of it."""
    row = Figure("parts", "", "two of them", lambda _: [1, 2])

    with pytest.raises(TypeError, match="parts has parts"):
        table_cells([row], None)
