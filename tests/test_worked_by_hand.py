"""The tables of docs/why/by-hand.md and docs/why/calls.md hold for the samples as they are.

What stands in by-hand.md was worked apart from the program, from the rules alone.
"""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from project_places import DOCS
from sample_plans import planned

SAMPLES = ("saltbush_loop", "gorge_walk", "stock_route_ride")
"""In the order of the page."""


def tables(page, first_cell):
    """Return the rows of each table of a page whose head begins with a cell, as lists of cells."""
    text = (DOCS / "why" / page).read_text(encoding="utf-8")
    blocks = re.findall(rf"^\| {first_cell} \|.*\n\|[-|]+\n((?:\|.*\n)+)", text, re.MULTILINE)
    return [
        [[cell.strip() for cell in row.strip("|").split("|")] for row in block.splitlines()]
        for block in blocks
    ]


def day_and_hour(sample, hours_after_departure):
    """Write a moment as the page does: day from 1, hour of the day; to the minute."""
    depart = planned(sample).trip.depart
    moment = depart + timedelta(hours=hours_after_departure, seconds=30)
    return f"{(moment.date() - depart.date()).days + 1}, {moment:%H:%M}"


@pytest.mark.parametrize(("number", "sample"), list(enumerate(SAMPLES)))
def test_every_stretch_of_the_samples_agrees_with_the_pencil(number, sample):
    """Times to the minute, days, nights, need and reserve to 0.1 L, and the verdict."""
    rows = tables("by-hand.md", "stretch")[number]
    stretches = planned(sample).stretches

    assert len(rows) == len(stretches)
    for row, one in zip(rows, stretches, strict=True):
        _, leave, arrive, moving, days, nights, *_, need, reserve, hold, verdict, program = row
        assert (leave, arrive) == (
            day_and_hour(sample, one.leave_h),
            day_and_hour(sample, one.arrive_h),
        )
        assert float(moving) == pytest.approx(one.travel.moving_h, abs=0.006)
        assert float(days) == pytest.approx(one.days, abs=0.0006)
        assert int(nights) == one.nights
        assert float(need) == pytest.approx(one.need.total_l, abs=0.1)
        assert float(program) == pytest.approx(one.need.total_l, abs=0.051)
        assert float(reserve) == pytest.approx(one.reserve_l, abs=0.1)
        assert float(hold) == one.capacity_l
        assert verdict == one.verdict.value


@pytest.mark.parametrize(("number", "sample"), list(enumerate(SAMPLES)))
def test_the_sums_of_the_page_add_up(number, sample):
    """Need is the larger of the two ways of drinking and the other uses, with 5 % on top."""
    for row in tables("by-hand.md", "stretch")[number]:
        own, heat, other, need = row[6:10]
        drinking = max(float(own), 0.0 if heat == "-" else float(heat))
        assert float(need) == pytest.approx((drinking + float(other)) * 1.05, abs=0.06), sample
