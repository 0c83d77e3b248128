"""The tables of docs/why/by-hand.md and docs/why/calls.md hold for the samples as they are.

What stands in by-hand.md was worked apart from the program, from the rules alone.
"""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from project_places import DOCS
from sample_plans import planned

from hand_trips import hand_trip
from longdry.showing.exports.plan_json import plan_document
from longdry.units import rounded_down, rounded_up

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


def moment(plan, hours_after_departure):
    """Write a moment as the page does: day from 1, hour of the day; to the minute."""
    depart = plan.trip.depart
    at = depart + timedelta(hours=hours_after_departure, seconds=30)
    return f"{(at.date() - depart.date()).days + 1}, {at:%H:%M}"


@pytest.mark.parametrize(("number", "sample"), list(enumerate(SAMPLES)))
def test_every_stretch_of_the_samples_agrees_with_the_pencil(number, sample):
    """Times to the minute, days, nights, need and reserve to 0.1 L, and the verdict."""
    rows = tables("by-hand.md", "stretch")[number]
    stretches = planned(sample).stretches

    assert len(rows) == len(stretches)
    for row, one in zip(rows, stretches, strict=True):
        _, leave, arrive, moving, days, nights, *_, need, reserve, hold, verdict, program = row
        plan = planned(sample)
        assert (leave, arrive) == (moment(plan, one.leave_h), moment(plan, one.arrive_h))
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


def dry_at(plan, km):
    """Return what there is to do where one source is found dry."""
    (found,) = [one for one in plan.setbacks.dry if [s.id for s in one.sources] == [f"km {km:g}"]]
    return found


def figures(plan, at):
    """Return what the page works out of one stretch, by the page's own words."""
    dry = dry_at(plan, at.end.km)
    return {
        "moving hours": at.travel.moving_h,
        "arrive": moment(plan, at.arrive_h),
        "days": at.days,
        "drinking": sum(one.litres for one in at.need.by_use if one.use == "drinking"),
        "need": at.need.total_l,
        "reserve": at.reserve_l,
        "missing": at.missing_l,
        "left on arriving": at.left_l,
        "carried on leaving": at.left_l + at.need.total_l,
        "turn back by km": plan.setbacks.turn_backs[at.number - 1].water_km,
        "dry there: on": dry.go_on.asked_l,
        "dry there: back": dry.go_back.asked_l,
        "shortest wait, days": plan.setbacks.sit_out.least_days,
        **{f"chance at {one.source.id}": one.judgement.chance for one in plan.passes},
    }


STRETCH = {"vehicle": 1, "walker": 2, "cyclists": 5}


@pytest.mark.parametrize("trip", list(STRETCH))
def test_ten_figures_of_three_made_trips_agree_with_the_pencil(trip):
    """To 0.006, and the minute; a turn-back km to 0.02: the program halves its way there."""
    rows = [row for row in tables("by-hand.md", "trip")[0] if row[0] == trip]
    plan = hand_trip(trip)
    told = figures(plan, plan.stretches[STRETCH[trip] - 1])

    assert len(rows) == 10
    assert {figure: worked for _, figure, _, worked in rows if ":" in worked} == {
        "arrive": told["arrive"]
    }
    for _, figure, _, worked in rows:
        if figure != "arrive":
            within = 0.02 if figure.startswith("turn back") else 0.006
            assert float(worked) == pytest.approx(told[figure], abs=within), figure


@pytest.mark.parametrize("sample", SAMPLES)
def test_the_plans_of_now_are_those_of_the_page_of_calls(sample):
    """Stops, litres, hours and chances of the comparison with the release before."""
    plan = planned(sample)
    row = next(one for one in tables("calls.md", "sample")[0] if one[:2] == [sample, "now"])
    calls, start, way, litre_km, ways_h, stops_h, most, leave_no_way, short, back = row[2:]
    taken_l = [fill.take_l for fill in plan.fills.fills]
    ways_km = sum(2.0 * one.way_km for one in plan.passes if one.call)
    in_stops_h = sum(stop.draw_min + stop.treat_min for stop in plan.stops) / 60.0
    dry = [one for one in plan.setbacks.dry if one.leaves_neither and len(one.sources) == 1]

    assert int(calls) == sum(one.call for one in plan.passes)
    assert float(start) == pytest.approx(taken_l[0], abs=0.06)
    assert float(way) == pytest.approx(sum(taken_l[1:]), abs=0.06)
    assert float(litre_km.replace(",", "")) == pytest.approx(plan.fills.litre_km, rel=1e-3)
    assert float(ways_h) == pytest.approx(ways_km / plan.trip.pace.off_route_kmh, abs=0.006)
    assert float(stops_h) == pytest.approx(in_stops_h, abs=0.006)
    assert float(most) == pytest.approx(plan.most_to_carry.litres, abs=0.06)
    assert int(leave_no_way) == len(dry)
    assert float(short.strip(" %")) == pytest.approx(100 * plan.setbacks.chance.short, abs=0.06)
    assert float(back.strip(" %")) == pytest.approx(100 * plan.setbacks.chance.turn_back, abs=0.06)


def test_the_samples_show_the_levels_of_the_page_of_the_headline():
    """Each row of the page names the level that the plan has."""
    rows = {name: level.strip("`") for name, level, _ in tables("headline.md", "sample")[0]}

    assert rows == {name: planned(name).headline.level.value for name in SAMPLES}


def test_the_words_about_the_samples_have_their_figures():
    """What the pages of the headline and of the calls say of them beside their tables."""
    loop, walk, ride = (plan_document(planned(name)) for name in SAMPLES)
    worst, wait = loop["stretches"][loop["longest"]["worst"] - 1], walk["sit_out"]
    chance = ride["chance"]
    short, at_most = (rounded_up(100 * chance[key], 0.1) for key in ("short", "short_at_most"))
    too_few = [litres for litres in walk["dry_proof"]["extra_l"] if litres > 0.0]
    headline, calls = (
        " ".join((DOCS / "why" / page).read_text("utf-8").split())
        for page in ("headline.md", "calls.md")
    )

    assert f"{worst['length_km']:.0f} km of sand are too long" in headline
    assert f"the water lasts {rounded_down(wait['least_days'], 0.1):g} days of waiting" in headline
    assert f"help may take {wait['wanted']['days']:g} |" in headline
    assert f"runs short in {short:g} of 100 trips, at most {at_most:g}" in headline
    assert "are {:g} and {:g} L too few".format(*(rounded_up(one, 0.1) for one in too_few)) in calls
    assert f"{worst['length_km']:.0f} km are too long either way" in calls
