"""The plan as CSV, opened again by Python's csv module and by pandas."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from make import calling_at, source_at, straight_route, trip
from plan_examples import HOSTILE_NAMES, Names, bare_plan, gap_plan

from longdry.computing.plan.planning import plan_trip
from longdry.model.words import CountOn
from longdry.showing.exports.plan_csv import (
    days_csv,
    fills_csv,
    safe_csv,
    stops_csv,
    stretches_csv,
    without_formula,
)
from longdry.showing.words.markup import clipped_name

FORMULAS = ("=cmd()", "+1", "-1+2", "@SUM(A1)", "\t=1", "\r=1", "＝1", '=HYPERLINK("http://x")')
BEGINS_A_FORMULA = "=+-@\t\r＝＋－＠"


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")))


def table(text: str) -> pd.DataFrame:
    return pd.read_csv(io.BytesIO(text.encode()))


def planned(name="s150"):
    well = replace(source_at(150.0), name=name)
    made = trip(policy=calling_at(well))
    return plan_trip(straight_route(400.0, 9), [well], made, count_on=CountOn.ANY)


def test_pandas_reads_the_very_figures_of_the_plan():
    """Litres and lengths come back unrounded, as numbers; the mark at the beginning is no text."""
    plan = gap_plan()
    found = table(stretches_csv(plan))

    assert found.columns[0] == "number"
    assert found["need_total_l"].tolist() == [s.need.total_l for s in plan.stretches]
    assert found["length_km"].tolist() == [s.length_km for s in plan.stretches]
    assert found["verdict"].tolist() == [s.verdict.value for s in plan.stretches]


def test_fills_stops_and_days_have_tables_of_their_own():
    """Litres taken and left, by water; arrival and minutes by stop; km and hours by day.

    150 km at 50 km/h are three hours after the departure.
    """
    plan = planned()
    fills, days = table(fills_csv(plan)), table(days_csv(plan))
    stops = table(stops_csv(plan))

    assert stops["source"].tolist() == ["s150"]
    assert stops["arrive_h"].tolist() == pytest.approx([3.0])

    assert fills["take_l"].tolist() == [fill.take_l for fill in plan.fills.fills]
    assert fills["leaving_l"].tolist() == [fill.leaving.total_l for fill in plan.fills.fills]
    assert days["to_km"].tolist() == [day.to_km for day in plan.days]


def test_a_fill_is_told_with_the_name_of_its_source_beside_the_id():
    """A stop is known by its name; one that would be a formula is text, and the start has none."""
    plan = planned("=Old Well")
    told = [(row["source"], row["name"]) for row in rows(fills_csv(plan))]

    assert told == [("", ""), ("s150", "'=Old Well")]


def test_without_fills_there_are_heads_only():
    """A trip without containers has no fills: the table is empty, not missing."""
    assert len(table(fills_csv(bare_plan()))) == 0


def test_lines_end_as_rfc_4180_says_and_the_encoding_is_marked():
    """CRLF (RFC 4180 section 2); EF BB BF at the beginning (Unicode Standard 23.8)."""
    text = stretches_csv(gap_plan())

    assert text.encode().startswith(b"\xef\xbb\xbf")
    assert text.count("\r\n") == text.count("\n") == len(gap_plan().stretches) + 1


@pytest.mark.parametrize("name", [*HOSTILE_NAMES, *FORMULAS])
def test_hostile_name_is_inert_and_legible(name):
    """No cell of text begins as a formula; both readers get the name whole in one cell."""
    text = stretches_csv(gap_plan(Names(route=name, trip=name, wells=(name,), other=name)))
    cells = [row["to"] for row in rows(text)][:-1]

    assert set(cells) <= set(table(text)["to"])
    for cell in cells:
        assert not cell.startswith(tuple(BEGINS_A_FORMULA))
        assert cell.removeprefix("'") == clipped_name(name).removeprefix("'")


def test_negative_number_stays_a_number():
    """A minus sign before a figure is no formula: neutralising it would spoil every sum."""
    assert table(safe_csv(["margin_l"], [[-3.5], [2.0]]))["margin_l"].sum() == -1.5


@given(st.text(max_size=40))
def test_no_text_begins_a_formula(text):
    """OWASP, 'CSV Injection' (from memory): = + - @ tab CR, and the wide forms of the signs."""
    cell = rows(safe_csv(["a", "b"], [[text, 1]]))[0]["a"]

    assert cell == without_formula(text)
    assert not cell.startswith(tuple(BEGINS_A_FORMULA))


def test_what_has_parts_in_the_document_has_columns_of_its_own():
    """Where the water of the stretch that is too long runs out, and what lesser rations ask for."""
    plan = gap_plan()
    found = table(stretches_csv(plan))
    gap = plan.stretches[1]

    assert found["dry_at_km"].dropna().tolist() == [gap.runs_dry.km]
    assert found["need_bare_l"].tolist() == [s.needs[-1].need.total_l for s in plan.stretches]
    assert found["from_km"].tolist() == [s.begin.km for s in plan.stretches]


def test_missing_values_are_empty():
    """No 'None' and no 'nan' in a table."""
    plan = gap_plan()
    plan = replace(plan, days=tuple(replace(day, date=None) for day in plan.days))

    assert {row["date"] for row in rows(days_csv(plan))} == {""}
