"""The least litres to go on with, against whole plans made again from where the party is.

All trips are invented.
"""

from __future__ import annotations

import dataclasses
import json
import math
import random

import pytest
from how_many import proof
from make import container, pace, policy, source_at, straight_route, trip, use
from page_in_browser import opened
from random_plans import DEPARTS, Case, random_plan
from sample_plans import planned

from longdry.computing.fills.settled import Water
from longdry.computing.needs.drinking import WAKING_H
from longdry.computing.needs.rates import Amounts
from longdry.computing.plan.rounds import settled_trip
from longdry.computing.road.as_planned import planned_rows
from longdry.computing.road.least import FAR_SPAN_H, SPAN_H, least_litres
from longdry.computing.road.rest import rest_of_trip
from longdry.computing.route.chainage import measure_route
from longdry.computing.setbacks.dry_proof import proof_against_one_dry, uncertain_ids
from longdry.computing.setbacks.setbacks import supplied
from longdry.computing.setbacks.supplied import SuppliedPlan, planned_ration
from longdry.computing.setbacks.ways import moment_after, way_between, with_margin
from longdry.computing.stretches.prepared import prepare
from longdry.computing.water.opening import has_hours
from longdry.model.plan.fills import USUAL_FILL_WAY, FillWay
from longdry.model.plan.least import LATE_H, PLANNED_LATE_H, LeastTable, row_on_plan
from longdry.model.plan.stretch import StretchEnd
from longdry.model.plan.travel import Doing
from longdry.model.trip.here import OnTheWay
from longdry.model.trip.named_pass import NamedPass
from longdry.model.trip.tally import LitresLeft, TallyEntry
from longdry.model.trip.trip import PinnedCamp
from longdry.model.words import CountOn, FillHabit, Ration, Travel, Verdict
from longdry.showing.page.least_json import least_json
from longdry.units import HOURS_PER_DAY

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


@dataclasses.dataclass(frozen=True)
class Asked:
    """A plan with its table, and a place and an hour in one of its cells."""

    case: Case
    """With the calls of the plan and no others."""
    plan: SuppliedPlan
    table: LeastTable
    row: int
    column: int
    km: float
    hour: float

    @property
    def here(self):
        """Return the row."""
        return self.table.rows[self.row]

    def rest(self, case=None, km=None, hour=None, moved_h=None):
        """Return the rest of the trip from there, with nothing carried."""
        km, hour = self.km if km is None else km, self.hour if hour is None else hour
        at = next((end for end in self.plan.ends[1:-1] if end.km == km), None)
        water = NamedPass(at.water.source.id, at.water.km) if at else None
        said = OnTheWay(hour, (LitresLeft(0.0),), None if at else km, water, moved_h)
        return rest_of_trip((case or self.case).prepared(), self.case.sources, said)

    def first_stretch(self, case=None, **changes):
        """Return the way to the next water by a plan made again."""
        return self.settled(case or self.case, **changes).stretches[0]

    def settled(self, case, **changes):
        """Settle the rest of the trip."""
        rest = self.rest(case, **changes)
        return settled_trip(rest, case.water_near(rest), USUAL_FILL_WAY)

    def needs_l(self, **changes):
        """Return the litres of each ration to the next water by a plan made again."""
        always_l = self.plan.demand.always_l
        return [one.need.total_l + always_l for one in self.first_stretch(**changes).needs]

    def back_l(self, km):
        """Return the litres back to a place behind by the engine of what-ifs, with the margin."""
        passed = (*self.plan.ends, *self.plan.passed)
        there = next((end for end in passed if abs(end.km - km) < SAME_KM), StretchEnd(km))
        here = next((end for end in self.plan.ends[1:-1] if end.km == self.km), StretchEnd(self.km))
        way = way_between(self.plan, self.rest().clock.start(), here, there)
        return with_margin(way.bare_l, self.plan.trip) + self.plan.demand.always_l

    def without(self, is_out):
        """Return the case in which some calls are passed by."""
        calls = self.case.trip.policy.call_at
        out = tuple(name for name in calls if is_out(*name.rsplit("@", 1)))
        kept = tuple(name for name in calls if name not in out)
        return self.case.with_policy(call_at=kept, pass_by=(*self.case.trip.policy.pass_by, *out))

    def with_doors_shut(self):
        """Return the case in which all water with opening hours is passed by."""
        doors = {one.id for one in self.case.sources if has_hours(one)}
        return self.without(lambda name, _: name in doors)

    def most_l(self, case, km, hour, moved_h):
        """Return the litres of the full ration by a plan made again, its hours its own or any."""
        settled = self.settled(case, km=km, hour=hour, moved_h=moved_h)
        first, demand = settled.stretches[0], settled.journey.demand
        is_end = first.end is settled.journey.ends[-1]
        after_end = settled.trip.policy.days_after_end if is_end else 0.0
        off_plan_l = demand.off_plan().litres(first.travel, extra_days=after_end)[Ration.FULL]
        return max(off_plan_l, first.need.total_l) + demand.always_l

    def is_within_a_cell(self, litres):
        """Tell whether no more litres are told than at a corner of the cell or of its neighbours.

        By plans made again a step farther, at the edges of the spans that the cell is cut into, and
        of the lateness before and after it; with no hours moved that day and with all of them; with
        doors open and with all of them shut; and what is used in the hours of one span.
        """
        low_h, high_h = LATE_H[self.column : self.column + 2]
        is_far = high_h <= 0.0 or low_h >= HOURS_PER_DAY
        count = math.ceil((high_h - low_h) / (FAR_SPAN_H if is_far else SPAN_H))
        span_h = (high_h - low_h) / count
        behind = [one.from_km for one in self.table.rows if one.on_km == self.here.on_km]
        km = max((one for one in behind if one < self.here.from_km), default=self.here.from_km)
        departs_h = self.plan.journey.clock.departs_h
        late = {low_h + span_h * edge for edge in range(count + 1)}
        late |= {LATE_H[max(self.column - 1, 0)], LATE_H[min(self.column + 2, len(LATE_H) - 1)]}
        hours = {max(self.here.hour + one, departs_h) for one in late}
        return any(
            litres <= self.most_l(case, km, hour, moved_h) + self.used_l(span_h) + 0.1 + HAIR_L
            for case in (self.case, self.with_doors_shut())
            for hour in sorted(hours, reverse=True)
            for moved_h in (None, 0.0)
        )

    def used_l(self, hours):
        """Return what is used in some hours with a night, on foot and by bicycle on the move."""
        demand = self.plan.demand
        stood = Amounts(hours / HOURS_PER_DAY, 1.0, 0.0, min(hours / WAKING_H, 1.0))
        moved_l = min(demand.hours.l_per_moving_h * hours, demand.own_l_per_day)
        return demand.rates[Ration.FULL].total_l(stood, 0.0) + moved_l


def asked_of(case, seed):
    """Yield random places and hours of a trip, halts among them."""
    dice = random.Random(seed)
    whole = case.settled()
    plan, case = plan_of(whole), held(case, whole)
    table, departs_h = least_litres(plan), plan.journey.clock.departs_h
    for _ in range(PLACES):
        row, column = dice.randrange(len(table.rows)), dice.randrange(len(LATE_H) - 1)
        here = table.rows[row]
        km = dice.uniform(here.from_km, here.to_km)
        hour = here.hour + dice.uniform(LATE_H[column], LATE_H[column + 1])
        has_l = dice.uniform(0.0, 1.5) * (table.full_l + table.reserve_l)[row, column]
        if hour >= departs_h:
            yield Asked(case, plan, table, row, column, km, hour), has_l


def page_answer(page, asked, has_l):
    """Ask the script of a page, which knows the table alone."""
    data = least_json(asked.table) | {"stops": []}
    run = "([data, asked]) => longdryAnswer(data, ...asked)"
    return page.evaluate(run, [data, [asked.km, asked.hour, has_l]])


def too_low(asked, answer):
    """Return the figures of table and page that are below those of a plan made again."""
    full_l, lean_l, bare_l = asked.needs_l()
    always_l, trip_ = asked.plan.demand.always_l, asked.plan.trip
    saving_l = with_margin(bare_l - always_l, trip_) + always_l
    back_l, told_back_l = (asked.back_l(km) for km in (asked.here.back_km, answer["behind"][1]))
    cell, table, least = (asked.row, asked.column), asked.table, answer["least"]
    # Who goes as planned has the margins of the plan's promise; the bare need is their floor.
    on_l = bare_l if answer["byPlan"] else saving_l
    says = {"on": full_l, "saving": on_l, "back": told_back_l}
    pairs = [
        (table.full_l[cell], full_l),
        (table.lean_l[cell], lean_l),
        (table.bare_l[cell], bare_l),
        (table.saving_l[cell], saving_l),
        (table.back_l[cell], back_l),
        (least["full"], full_l),
        (least["lean"], lean_l),
        (least["bare"], bare_l),
        (least["saving"], saving_l),
        (least["back"], told_back_l),
        (answer["litres"], says.get(answer["says"], 0.0)),
    ]
    if not answer["isEnd"]:
        (stop,) = (end for end in asked.plan.ends if end.km == asked.here.on_km)
        its = {(one.source.id, str(one.km)) for one in stop.waters}
        dry = asked.without(lambda *name: name in its)
        past_l = with_margin(asked.needs_l(case=dry)[-1] - always_l, trip_) + always_l
        pairs += [(least["past"], past_l), (least["out"], bare_l)]
    return [pair for pair in pairs if pair[0] < pair[1] - HAIR_L]


@pytest.mark.browser
@proof(200)
def test_no_plan_made_again_asks_for_more_than_table_and_page(cases, browser, sample_file):
    """At 500 random places, hours and litres: the way on, on each ration, past, and back.

    The page's own script answers in Chromium, here from the table of each trip. No figure is below
    a plan made again; where it says "go on", "go on, saving" or "turn back", that plan needs no
    more than the party has (saving by the plan's promise: on the bare ration); and what it says to
    the next water is above that of a plan made again by no more than a cell.
    """
    low, high, count = [], [], 0
    with opened(browser, sample_file("gorge_walk")) as watched:
        for seed in cases:
            for asked, has_l in asked_of(random_plan(seed), seed):
                count += 1
                answer = page_answer(watched.page, asked, has_l)
                low += [(seed, asked.km, asked.hour, *pair) for pair in too_low(asked, answer)]
                if not asked.is_within_a_cell(answer["least"]["full"]):
                    high.append((seed, asked.km, asked.hour, answer["least"]["full"]))
    assert not low
    assert not high
    assert count >= 2.5 * len(cases)


@dataclasses.dataclass(frozen=True)
class OnPlan:
    """A place and an hour of a plan, and what the plan has left there."""

    index: int
    """Of the stretch."""
    km: float
    hour: float
    has_l: float
    moved_h: float
    """On that day."""


def states_of(plan, dice):
    """Yield some places and hours of each stretch that the plan holds on, camps among them.

    Where one dry water can be borne, or the reserve is a day's, and the verdict is clear.
    """
    proof_ = proof_against_one_dry(plan, uncertain_ids(plan), can_hold_l=plan.journey.capacity_l)
    day_bare_l = plan.demand.waiting_l_per_day(0.0)
    for index, travel in enumerate(plan.journey.itinerary.travels):
        stretch = plan.stretch(index)
        bears = proof_.least_l[index] > 0.0 or stretch.reserve_l >= day_bare_l
        if stretch.verdict is not Verdict.CLEAR or proof_.extra_l[index] > HAIR_L or not bears:
            continue
        for _ in range(PLACES):
            hour = dice.uniform(travel.begin_h, travel.end_h)
            if travel.km_at(hour) > stretch.end.km - SAME_KM:  # on the way off the route to it
                continue
            done = travel.until(hour)
            used_l = plan.demand.need_l(planned_ration(stretch), done)
            now = moment_after(plan.journey.clock, plan.leaves(index), done)
            moved_h = plan.journey.clock.rules.hours_per_day - now.left_h
            yield OnPlan(index, travel.km_at(hour), hour, plan.carried_l[index] - used_l, moved_h)


@pytest.mark.browser
@proof(200)
def test_who_goes_as_planned_is_told_to_go_on(cases, browser, sample_file):
    """At random places and hours of each stretch with just what the plan has there.

    One in a hundred may be told otherwise: where three minutes more would cost a night.
    """
    told, otherwise = 0, []
    with opened(browser, sample_file("gorge_walk")) as watched:
        for seed in cases:
            plan = plan_of(random_plan(seed).settled(FillWay(FillHabit.SAFE)))
            data = least_json(least_litres(plan)) | {"stops": []}
            states = list(states_of(plan, random.Random(seed)))
            run = "([data, asked]) => asked.map((one) => longdryAnswer(data, ...one).says)"
            asked = [[at.km, at.hour, at.has_l] for at in states]
            says = watched.page.evaluate(run, [data, asked])
            told += len(says)
            pairs = zip(states, says, strict=True)
            otherwise += [(seed, *pair) for pair in pairs if pair[1] not in ("on", "saving")]
    assert told > len(cases)
    assert len(otherwise) <= told / 100, otherwise


@proof(200)
def test_who_is_two_hours_off_the_plan_bears_a_dry_water_all_the_same(cases):
    """With the litres that the plan's own row asks for there, early or late, without the margin.

    What the rest of the trip planned again from there asks for, should the next water be dry: on
    or back from the hour at which that plan is there. By vehicle the way there is that plan's too;
    on foot and by bicycle it is what the whole plan still has for it.
    """
    low, asked = [], 0
    for seed in cases:
        dice = random.Random(seed)
        case = random_plan(seed)
        whole = case.settled(FillWay(FillHabit.SAFE))
        plan, case = plan_of(whole), held(case, whole)
        rows = planned_rows(plan)
        for at in states_of(plan, dice):
            departs_h = plan.journey.clock.departs_h
            late_h = max(dice.uniform(-0.5, PLANNED_LATE_H[-1]), departs_h - at.hour)
            on = row_on_plan(rows, at.km, at.hour + late_h, plan.ends[at.index + 1].km)
            if on is None or math.isinf(on.row.hardest_l[on.late]):
                continue
            asked += 1
            moved_h = max(at.moved_h + on.row.late_h(at.km, at.hour + late_h), 0.0)
            asks_l = bare_if_dry(case, plan, dataclasses.replace(at, moved_h=moved_h), late_h)
            if on.row.hardest_l[on.late] < asks_l - HAIR_L:
                low.append((seed, at, late_h, on, asks_l))
    assert not low
    assert asked > len(cases)


def is_camp(piece, hour):
    """Tell whether a piece of the way is a camp at an hour."""
    return piece.doing is Doing.NIGHT and piece.begin_h <= hour <= piece.end_h


def bare_if_dry(case, plan, at, late_h):
    """Return what the way to the next water and on or back from it asks for, without any margin."""
    drawn = tuple(
        TallyEntry(DEPARTS, source=end.water.source.id, took_l=1.0)
        for end in plan.ends[1 : at.index + 1]
    )
    stretch = plan.stretch(at.index)
    night = next((one for one in stretch.travel.pieces if is_camp(one, at.hour)), None)
    moved_h = min(at.moved_h, case.trip.pace.hours_per_day)
    if night and at.hour + late_h > night.end_h:  # late on leaving the camp, on the next day
        moved_h = at.hour + late_h - night.end_h
    said = OnTheWay(at.hour + late_h, (LitresLeft(0.0),), at.km, moved_h=moved_h, tally=drawn)
    rest = rest_of_trip(case.prepared(), case.sources, said)
    again = plan_of(settled_trip(rest, case.water_near(rest), USUAL_FILL_WAY))
    proof_ = proof_against_one_dry(again, uncertain_ids(again), can_hold_l=math.inf)
    first = again.stretch(0)
    bare_l, full_l = first.needs[-1].need.total_l, first.needs[0].need.total_l
    beyond_l = max(proof_.least_l[0] - full_l - plan.demand.always_l, 0.0)
    margin = 1.0 + plan.trip.policy.turn_back_margin
    beyond_l = max(min(beyond_l / margin, beyond_l - plan.trip.party.people), 0.0)
    if plan.trip.pace.travel is not Travel.VEHICLE:
        hour = stretch.travel.hour_at_km(at.km)
        if night:  # nobody is early or late in a camp
            hour = min(max(at.hour + late_h, night.begin_h), night.end_h)
        done = stretch.travel.until(hour)
        bare_l = stretch.needs[-1].need.total_l - plan.demand.need_l(Ration.BARE, done)
    return bare_l + beyond_l + plan.demand.always_l


def test_a_camp_that_was_kept_is_not_kept_again():
    """A rest day 30 km before water: on the morning after it an hour's litres take them there."""
    its_trip = trip(
        uses=[use("drinking", 5.0)],
        policy=policy(call_at=("tap",)),
        camps=[PinnedCamp(km=120.0, rest_days=1, at_water=False)],
    )
    case = Case(straight_route(400.0, 30), (source_at(150.0, id="tap"),), its_trip)
    table = least_litres(plan_of(case.settled()))
    at_camp = [row for row in table.rows if row.from_km == pytest.approx(120.0)]
    litres = [table.full_l[table.rows.index(row), table.column(0.0)] for row in at_camp]

    assert [row.is_halt for row in at_camp] == [True, True, False]
    assert litres == sorted(litres, reverse=True)
    assert litres[-1] == pytest.approx(10.0 / 16.0 * (1.0 + 30.0 / 50.0), abs=0.01)


def test_who_comes_between_closing_and_night_needs_the_water_behind_the_door():
    """Who comes first and who comes last finds it open, and those between them do not.

    It is open from 8 to 12:30, and the day ends at 14. Plans are made again for each quarter of an
    hour of two cells.
    """
    shop = dataclasses.replace(source_at(190.0, id="shop"), open_from_hour=8.0, open_to_hour=12.5)
    its_trip = trip(
        uses=[use("drinking", 5.0)],
        containers=[container(20.0, 10)],
        policy=policy(call_at=("shop", "far"), longest_wait_h=1.0),
    )
    case = Case(straight_route(600.0, 30), (shop, source_at(500.0, id="far")), its_trip)
    whole = case.settled()
    plan, case = plan_of(whole), held(case, whole)
    table = least_litres(plan)
    row, here = next(each for each in enumerate(table.rows) if each[1].to_km > 140.0)
    labels = set()
    for quarter in (*range(17), *range(88, 100)):
        late_h = 2.0 + 0.25 * quarter
        column, hour = table.column(late_h), here.hour + late_h
        asked = Asked(case, plan, table, row, column, here.from_km, hour)
        labels.add(asked.first_stretch().end.label)
        assert asked.needs_l()[0] <= table.full_l[row, column] + HAIR_L
    assert here.on_label == "shop"
    assert labels == {"shop", "far"}


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
