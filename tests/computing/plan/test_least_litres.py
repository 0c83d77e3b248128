"""The least litres to go on with, against whole plans made again from where the party is.

All trips are invented.
"""

from __future__ import annotations

import json
import random

import pytest
from how_many import proof
from make import container, pace, policy, straight_route, trip, use
from random_plans import random_plan
from sample_plans import SAMPLES

from longdry.api import plan_trip, read_route, read_trip, read_water
from longdry.computing.fills.settled import Water
from longdry.computing.plan.rounds import settled_trip
from longdry.computing.road.least import least_litres
from longdry.computing.road.rest import rest_of_trip
from longdry.computing.route.chainage import measure_route
from longdry.computing.setbacks.setbacks import supplied
from longdry.computing.setbacks.ways import way_off_plan, with_margin
from longdry.computing.stretches.prepared import prepare
from longdry.model.plan.fills import USUAL_FILL
from longdry.model.plan.least import LATE_H
from longdry.model.plan.stretch import StretchEnd
from longdry.model.trip.here import OnTheWay
from longdry.model.trip.tally import Left
from longdry.model.trip.what_if import Inquiry
from longdry.model.words import CountOn
from longdry.showing.page.least_json import least_json

HAIR_L = 1e-6
PLACES = 3
"""Looked at in each trip."""


def plan_of(settled):
    return supplied(settled.journey, settled.stretches, settled.passes)


def held(case, whole):
    """Return the case with the calls of the plan and no others."""
    calls = {(one.source.id, one.km) for end in whole.journey.ends[1:-1] for one in end.waters}
    named = [
        (f"{one.source.id}@{one.km}", (one.source.id, one.km) in calls)
        for one in whole.passes
        if one.counted
    ]
    return case.with_policy(
        call_at=tuple(name for name, is_call in named if is_call),
        pass_by=tuple(name for name, is_call in named if not is_call),
    )


def some_place(table, dice):
    """Return a row, a column, and a km and an hour in that cell."""
    row = dice.randrange(len(table.rows))
    column = dice.randrange(len(LATE_H) - 1)
    here = table.rows[row]
    km = dice.uniform(here.from_km, here.to_km)
    return row, column, km, here.hour + dice.uniform(LATE_H[column], LATE_H[column + 1])


@proof(200)
def test_no_plan_made_again_asks_for_more_than_the_table(cases):
    """At random places and hours: the way on, on each ration, and the way back."""
    found, asked = [], 0
    for seed in cases:
        dice = random.Random(seed)  # noqa: S311 - test data
        case = random_plan(seed)
        whole = case.settled()
        if any(one.source.open_from_hour or one.source.open_to_hour for one in whole.passes):
            continue
        plan, case = plan_of(whole), held(case, whole)
        table = least_litres(plan)
        for _ in range(PLACES):
            row, column, km, hour = some_place(table, dice)
            if hour < plan.journey.clock.departure().hour or table.rows[row].is_halt:
                continue
            asked += 1
            rest_trip = rest_of_trip(
                case.prepared(), case.sources, OnTheWay(hour, (Left(0.0),), km)
            )
            rest = settled_trip(rest_trip, case.water_near(rest_trip), USUAL_FILL)
            first = rest.stretches[0]
            told = (table.full_l, table.lean_l, table.bare_l)
            always_l = plan.demand.always_l
            for one, litres in zip(first.needs, told, strict=True):
                if one.need.total_l + always_l > litres[row, column] + HAIR_L:
                    found.append(
                        (seed, km, hour, one.ration, one.need.total_l, litres[row, column])
                    )
            there = StretchEnd(table.rows[row].back_km)
            now = rest_trip.clock.start()
            back_l = with_margin(way_off_plan(plan, now, km, there, 0.0).bare_l, plan.trip)
            if back_l > table.back_l[row, column] + HAIR_L:
                found.append((seed, km, hour, "back", back_l, table.back_l[row, column]))
    assert not found
    assert asked > 0.5 * len(cases)


def test_the_table_of_1200_km_is_small_and_never_rounds_down():
    """At most 150 kB as the page holds it; each figure is the one of the table, rounded up."""
    folder = SAMPLES / "saltbush_loop"
    plan = plan_trip(
        read_route(folder / "route.gpx"),
        read_water([folder / "water.geojson", folder / "more_water.csv"]),
        read_trip(folder / "trip.toml"),
        inquiry=Inquiry(trials=0, least_litres=True),
    )

    document = least_json(plan.least)
    text = json.dumps(document, ensure_ascii=False, separators=(",", ":"))

    assert plan.measured.length_km > 1190.0
    assert len(text.encode()) < 150_000
    assert max(row[1] - row[0] for row in document["rows"]) <= 5.001
    assert {day.to_km for day in plan.days if day.camp and not day.at_water} <= {
        row.from_km for row in plan.least.rows if row.is_halt
    }
    for row, ours in enumerate(document["rows"]):
        for column, (_, _, bare, whole, _, back, _, _) in enumerate(ours[-1]):
            assert 0.0 <= bare / 10.0 - plan.least.bare_l[row, column] + 1e-9 < 0.1 + 1e-6
            full_l, reserve_l = plan.least.full_l[row, column], plan.least.reserve_l[row, column]
            assert whole / 10.0 >= full_l + reserve_l - 1e-9
            assert back / 10.0 >= plan.least.back_l[row, column] - 1e-9


def test_the_least_litres_of_a_plain_way_can_be_worked_out_by_hand():
    """A vehicle 50 km, so an hour, before the end; two people, 4 L a day over 16 waking hours.

    On time is half an hour early to half an hour late: the hour between and the hour of the way
    are 2 of 16 hours of 8 L. A day ends after 8 hours, and half an hour more reaches the end.
    """
    its_trip = trip(
        people=2,
        uses=[use("drinking", 4.0)],
        containers=[container()],
        pace=pace(speed_kmh=50.0, hours_per_day=8.0, start_hour=8.0),
        policy=policy(loss_percent=0.0),
    )
    prepared = prepare(measure_route(straight_route(200.0)), its_trip)
    settled = settled_trip(prepared, Water((), (), CountOn.LIKELY), USUAL_FILL)
    table = least_litres(plan_of(settled))

    row = min(table.rows, key=lambda row: abs(row.on_km - row.from_km - 50.0))
    way_h = (row.on_km - row.from_km) / 50.0
    figure = table.full_l[table.rows.index(row), table.column(0.0)]

    assert row.on_label == "end"
    assert way_h == pytest.approx(1.0, abs=0.1)
    assert figure == pytest.approx(8.0 * (1.0 + way_h) / 16.0, abs=1e-6)
