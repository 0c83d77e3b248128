"""Each row of a comparison is the plan of the same trip, figure for figure.

The plan is made by itself, from the whole layer and the route as drawn, and its figures are read
off its JSON document by a second writing.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import random
from pathlib import Path

from how_many import proof
from project_places import SAMPLES
from random_plans import random_plan

from longdry import api
from longdry.at_once import comparing
from longdry.at_once.comparing import ToCompare, compare
from longdry.at_once.job import in_this_process
from longdry.cli.main import main
from longdry.model.trip.heat import (
    Effort,
    HeatExpectation,
    HeatOutlook,
    PersonInHeat,
    TripHeat,
)
from longdry.model.trip.what_if import Inquiry
from longdry.model.words import Travel
from longdry.showing.compare.exports import compare_document
from longdry.showing.exports.plan_json import plan_document


def figures_of(plan: dict) -> dict:
    """Read the compared figures off a plan document."""
    worst = plan["stretches"][plan["longest"]["worst"] - 1]
    names = {one["source"]: one["name"] for one in plan["passes"]}
    alone = [
        one["sources"][0]
        for one in plan["what_ifs"]
        if one["kind"] == "dry-source" and len(one["sources"]) == 1 and one["leaves_neither"]
    ]
    hot = [day["shade_max_c"] for day in plan["days"] if day["shade_max_c"] is not None]
    chance = plan["chance"] or {"short": None, "turn_back": None, "standard_error": None}
    return {
        "headline": plan["headline"]["level"],
        "because": plan["headline"]["because"],
        "length_km": plan["route"]["length_km"],
        "verdict": worst["verdict"],
        "worst_from_km": worst["from"]["km"],
        "worst_to_km": worst["to"]["km"],
        "worst_length_km": worst["length_km"],
        "worst_days": worst["days"],
        "worst_need_l": worst["need_total_l"],
        "worst_reserve_l": worst["reserve_l"],
        "missing_l": worst["missing_l"] or 0.0,
        "longest_km": plan["longest_without_water"]["length_km"],
        "longest_from_km": plan["longest_without_water"]["from_km"],
        "longest_days": plan["longest_without_water"]["days"],
        "most_to_carry_l": plan["most_to_carry"]["litres"],
        "most_from_km": plan["most_to_carry"]["km"],
        "most_from": plan["most_to_carry"]["source"],
        "calls": len(plan["stops"]),
        "days": len(plan["days"]),
        "hottest_c": max(hot, default=None),
        "hottest_day": hot.index(max(hot)) + 1 if hot else None,
        "no_way": [(one, names[one]) for one in alone],
        "chance_short": chance["short"],
        "chance_turn_back": chance["turn_back"],
        "chance_error": chance["standard_error"],
    }


def row_figures(row: dict) -> dict:
    """Take the same figures from a row."""
    assert row["failed"] is None
    no_way = [(one["id"], one["name"]) for one in row["no_way"]]
    return {**row, "no_way": no_way}


def assert_same(row: dict, plan: dict, which: object = "") -> None:
    """Hold every figure of a row against the plan's document."""
    told, figures = row_figures(row), figures_of(plan)

    assert {name: told[name] for name in figures} == figures, which


def heat_by_month(dice: random.Random) -> TripHeat:
    """Make a heat that is another in each month."""
    months = tuple(
        (month, HeatExpectation(dice.uniform(18.0, 38.0), 20.0)) for month in range(1, 13)
    )
    return TripHeat(HeatOutlook(months=months), PersonInHeat(Effort.usual(Travel.VEHICLE)))


def with_far_sources(sources, dice):
    """Add sources that hold in some months only, and others that lie far off or just too far."""
    seasonal = tuple(
        dataclasses.replace(one, months=frozenset(dice.sample(range(1, 13), 6)))
        if dice.random() < 0.5
        else one
        for one in sources
    )
    far = tuple(
        dataclasses.replace(
            sources[0],
            id=f"far{number}",
            name=f"far {number}",
            lat_deg=sources[0].lat_deg + dice.uniform(-3.0, 3.0),
            lon_deg=sources[0].lon_deg + dice.uniform(-3.0, 3.0),
        )
        for number in range(12)
    )
    return (*far[:6], *seasonal, *far[6:])


@proof(200)
def test_a_row_is_the_plan_of_the_same_trip(cases, monkeypatch):
    """Random trips, dates and directions: the row and the plan's document agree to the last bit."""
    for seed in cases:
        dice = random.Random(seed)
        case = random_plan(seed, most_days=3.0)
        water = api.WaterLayer(with_far_sources(case.sources, dice))
        day = dt.date(2027, 1, 1) + dt.timedelta(days=dice.randrange(365))
        depart = dt.datetime.combine(day, dt.time(7, 30))
        heat = heat_by_month(dice) if dice.random() < 0.2 else None
        trip = dataclasses.replace(case.trip, depart=depart, heat=heat)
        reverse = dice.random() < 0.5
        monkeypatch.setattr(comparing, "read_route", lambda _file, route=case.route: route)
        asked = ToCompare((Path("straight.gpx"),), water, (trip,), (day,), both_ways=reverse)
        row = compare_document(compare(asked, in_this_process).comparison)["combinations"][-1]
        alone = api.plan_trip(
            case.route, water, trip, reverse=reverse, inquiry=Inquiry(mends=seed % 5 == 0)
        )

        assert row["reverse"] is reverse
        assert_same(row, plan_document(alone), seed)


def test_the_command_says_what_the_plan_command_says(tmp_path, capsys):
    """`compare` and `plan` of a sample, there and back: the same figures in their files."""
    folder = SAMPLES / "stock_route_ride"
    words = [str(folder / "route.gpx"), "--water", str(folder / "water.geojson")]
    words += ["--trip", str(folder / "trip.toml"), "--json"]

    assert main(["compare", *words, str(tmp_path / "all.json"), "--both-ways"]) == 0
    assert main(["plan", *words, str(tmp_path / "back.json"), "--reverse"]) == 0
    capsys.readouterr()
    rows = json.loads((tmp_path / "all.json").read_text())["combinations"]
    back = json.loads((tmp_path / "back.json").read_text())
    assert [row["reverse"] for row in rows] == [False, True]
    assert_same(rows[1], back)
