"""The three cells of docs/why/compare.md, worked apart from the program, from the rules alone."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest
from project_places import DOCS, SAMPLES

from longdry import api
from longdry.at_once.comparing import ToCompare, compare
from longdry.at_once.job import in_this_process
from longdry.computing.compare.combinations import leaving_at
from longdry.model.trip.what_if import Inquiry
from longdry.showing.compare.words import sign_of

FOLDER = SAMPLES / "gorge_walk"
ROWS = re.findall(
    r"^\| (2027-\S+) \|(.*)\|$", (DOCS / "why/compare.md").read_text("utf-8"), re.MULTILINE
)


def test_the_cells_of_the_calendar_agree_with_the_pencil():
    """Verdict of the worst stretch, its days, need and reserve to 0.1 L, and the word."""
    days = tuple(dt.date.fromisoformat(day) for day, _ in ROWS)
    trip = api.read_trip(FOLDER / "trip.toml")
    water = api.read_water(FOLDER / "water.geojson")
    asked = ToCompare((Path(FOLDER / "route.gpx"),), water, (trip,), days)
    rows = compare(asked, in_this_process).comparison.rows

    assert len(rows) == len(ROWS) == 3
    for row, (_, cells) in zip(rows, ROWS, strict=True):
        named, _, days_taken, need, reserve, _, verdict, sign, program = (
            cell.strip() for cell in cells.split("|")
        )
        worst = row.outcome.worst
        assert named == f"{worst.from_name} to {worst.to_name}"
        assert float(days_taken) == pytest.approx(worst.days, abs=0.0006)
        assert float(need) == pytest.approx(worst.need_l, abs=0.1)
        assert float(program) == pytest.approx(worst.need_l, abs=0.051)
        assert float(reserve) == pytest.approx(worst.reserve_l, abs=0.1)
        assert verdict == worst.verdict.value
        assert sign == sign_of(row)


@pytest.mark.parametrize(("day", "counts"), [("2027-08-19", True), ("2027-08-26", False)])
def test_the_last_pool_counts_as_the_page_says(day, counts):
    """Where the calendar turns, and the hour of arriving, to the minute."""
    trip = leaving_at(
        api.read_trip(FOLDER / "trip.toml"), dt.datetime.fromisoformat(f"{day}T07:30")
    )
    water = api.read_water(FOLDER / "water.geojson")
    plan = api.plan_trip(
        api.read_route(FOLDER / "route.gpx"), water, trip, inquiry=Inquiry(mends=False)
    )
    arrives = trip.depart + dt.timedelta(hours=plan.stretches[-1].arrive_h, seconds=30)

    assert [one.counted for one in plan.passes if one.source.name == "Ninth Gorge Pool"] == [counts]
    assert counts or f"{arrives:%d, %H:%M}" == "04, 08:45"
