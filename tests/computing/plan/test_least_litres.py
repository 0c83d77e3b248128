"""The least litres to go on with, against whole plans made again from where the party is.

All trips are invented.
"""

from __future__ import annotations

import json
import random

import pytest
from how_many import proof
from make import container, pace, policy, straight_route, trip, use
from page_in_browser import opened
from random_plans import random_plan, settled_plan
from sample_plans import planned

from longdry.computing.fills.settled import Water
from longdry.computing.plan.rounds import settled_trip
from longdry.computing.road.least import least_litres
from longdry.computing.road.rest import rest_of_trip
from longdry.computing.route.chainage import measure_route
from longdry.computing.setbacks.setbacks import supplied
from longdry.computing.setbacks.ways import way_off_plan, with_margin
from longdry.computing.stretches.prepared import prepare
from longdry.model.plan.fills import USUAL_FILL_WAY
from longdry.model.plan.least import LATE_H
from longdry.model.plan.stretch import StretchEnd
from longdry.model.trip.here import OnTheWay
from longdry.model.trip.tally import LitresLeft
from longdry.model.words import CountOn
from longdry.showing.page.least_json import least_json

HAIR_L = 1e-6
SAME_KM = 0.05
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


def rest_from(case, hour, km):
    """Plan the rest of a trip from a place and an hour, with nothing carried."""
    rest = rest_of_trip(case.prepared(), case.sources, OnTheWay(hour, (LitresLeft(0.0),), km))
    return rest, settled_trip(rest, case.water_near(rest), USUAL_FILL_WAY)


def without_next(case, table, row):
    """Return the case in which the next water is passed by."""
    km = table.rows[row].on_km
    by_km = [float(name.rpartition("@")[2]) for name in case.trip.policy.call_at]
    call_at = zip(case.trip.policy.call_at, by_km, strict=True)
    dry = [name for name, at in call_at if abs(at - km) < 0.5]
    kept = tuple(name for name in case.trip.policy.call_at if name not in dry)
    return case.with_policy(call_at=kept, pass_by=(*case.trip.policy.pass_by, *dry))


def page_answers(page, table, asked):
    """Ask the script of a page, which knows the table alone."""
    run = "([data, asked]) => asked.map(one => longdryAnswer(data, ...one))"
    return page.evaluate(run, [least_json(table) | {"stops": []}, asked])


def too_little(answer, rest, plan, back_l):
    """Return the figures of the page that are below those of a plan made again."""
    first, always_l, least = rest.stretches[0], plan.demand.always_l, answer["least"]
    bare_l = first.needs[-1].need.total_l
    wanted = {
        **{one.ration.value: one.need.total_l + always_l for one in first.needs},
        "saving": with_margin(bare_l, plan.trip) + always_l,
        "back": back_l + always_l,
    }
    named = {"on": "full", "saving": "saving", "back": "back"}
    litres = {**least, "litres": answer["litres"]}
    said = [("litres", named[answer["says"]])] if answer["says"] in named else []
    pairs = [*((name, name) for name in wanted), *said]
    return [(got, name) for got, name in pairs if litres[got] < wanted[name] - HAIR_L]


@pytest.mark.browser
@proof(200)
def test_no_plan_made_again_asks_for_more_than_table_and_page(cases, browser, sample_file):
    """At random places, hours and litres: the way on, on each ration, and the way back.

    The page's own script answers in Chromium, here from the table of each trip. What it says is
    never above the worst cell that the place and the hour lie in, and where it says "go on", "go on
    saving" or "turn back", the plan made again needs no more than the party has.
    """
    found, asked = [], 0
    with opened(browser, sample_file("gorge_walk")) as watched:
        for seed in cases:
            dice = random.Random(seed)  # noqa: S311 - test data
            case = random_plan(seed)
            whole = settled_plan(seed)
            if any(one.source.open_from_hour or one.source.open_to_hour for one in whole.passes):
                continue
            plan, case = plan_of(whole), held(case, whole)
            table = least_litres(plan)
            for _ in range(PLACES):
                row, column, km, hour = some_place(table, dice)
                if hour < plan.journey.clock.departure().hour or table.rows[row].is_halt:
                    continue
                asked += 1
                rest_trip, rest = rest_from(case, hour, km)
                there = StretchEnd(table.rows[row].back_km)
                now = rest_trip.clock.start()
                back_l = with_margin(way_off_plan(plan, now, km, there, 0.0).bare_l, plan.trip)
                told = (table.full_l, table.lean_l, table.bare_l)
                always_l = plan.demand.always_l
                for one, litres in zip(rest.stretches[0].needs, told, strict=True):
                    if one.need.total_l + always_l > litres[row, column] + HAIR_L:
                        found.append((seed, km, hour, one.ration))
                if back_l > table.back_l[row, column] + HAIR_L:
                    found.append((seed, km, hour, "back", back_l, table.back_l[row, column]))
                has_l = dice.uniform(0.0, 1.5) * (table.full_l + table.reserve_l)[row, column]
                (answer,) = page_answers(watched.page, table, [[km, hour, has_l]])
                told_back = StretchEnd(answer["behind"][1])
                its_back = way_off_plan(plan, now, km, told_back, 0.0)
                low = too_little(answer, rest, plan, with_margin(its_back.bare_l, plan.trip))
                found += [(seed, km, hour, "page", *one) for one in low]
                most_l = max(
                    table.full_l[cell]
                    for at in (km - SAME_KM, km, km + SAME_KM)
                    for cell in table.cells(at, hour)
                )
                assert answer["least"]["full"] <= most_l + 0.1 + HAIR_L
                if not answer["isEnd"]:
                    _, dry = rest_from(without_next(case, table, row), hour, km)
                    past_l = with_margin(dry.stretches[0].needs[-1].need.total_l, plan.trip)
                    if past_l + always_l > answer["least"]["past"] + HAIR_L:
                        found.append((seed, km, hour, "past", past_l, answer["least"]["past"]))
                    assert answer["least"]["out"] >= rest.stretches[0].needs[-1].need.total_l
    assert not found
    assert asked > 0.5 * len(cases)


def test_the_table_of_1200_km_is_small_and_never_rounds_down():
    """At most 150 kB as the page holds it; each figure is the one of the table, rounded up."""
    plan = planned("saltbush_loop")

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
    settled = settled_trip(prepared, Water((), (), CountOn.LIKELY), USUAL_FILL_WAY)
    table = least_litres(plan_of(settled))

    row = min(table.rows, key=lambda row: abs(row.on_km - row.from_km - 50.0))
    way_h = (row.on_km - row.from_km) / 50.0
    figure = table.full_l[table.rows.index(row), table.column(0.0)]

    assert row.on_label == "end"
    assert way_h == pytest.approx(1.0, abs=0.1)
    assert figure == pytest.approx(8.0 * (1.0 + way_h) / 16.0, abs=1e-6)
