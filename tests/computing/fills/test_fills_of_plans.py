"""The fills of whole plans: of the samples, and of trips made at random."""

from __future__ import annotations

import dataclasses
import math
from unittest.mock import patch

import pytest
from fill_replay import replay_faults
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from make import container, pace, policy, source_at, straight_route, trip, use
from sample_plans import NAMES, planned, settled
from without_mends import plan_without_mends

from longdry.computing.fills import filling
from longdry.computing.fills.shared_limits import best_fills
from longdry.model.plan.fills import FillWay
from longdry.model.trip.party import Vehicle
from longdry.model.trip.treatment import Treatment, TreatMethod
from longdry.model.trip.trip import PinnedCamp
from longdry.model.words import (
    Accrual,
    Certainty,
    ContainerGrade,
    FillHabit,
    Grade,
    IfDry,
    Ration,
    Verdict,
)
from longdry.showing.exports.plan_json import plan_document
from longdry.showing.words.stretches import dry_words

LENGTH_KM = 900.0


def recorded(work):
    """Do some work and return its result with the problems and plans of its fills."""
    seen = []

    def recording(problem, *args, **kwargs):
        plan = best_fills(problem, *args, **kwargs)
        seen.append((problem, plan))
        return plan

    with patch.object(filling, "best_fills", recording):
        return work(), seen


@pytest.fixture(scope="module")
def samples():
    return {name: plan_document(planned(name)) for name in NAMES}


def treated_l(fill):
    return fill["treat_here"]["litres"] + fill["treat_on_way"]["litres"]


WAYS = [FillWay(), FillWay(FillHabit.TOP_UP), FillWay(whole_containers=True)]


@pytest.mark.parametrize("fill", WAYS, ids=["its own", "top-up", "whole containers"])
@pytest.mark.parametrize("name", NAMES)
def test_replay_finds_nothing_wrong_with_the_samples(name, fill):
    """All habits and whole containers: the replay pours, treats and drinks through each.

    It goes through the fills of all choices of calls that were tried for the plan.
    """

    def both_habits():
        return settled(name, fill=fill).filling.of_other_habit()

    _, seen = recorded(both_habits)

    assert len(seen) >= 2
    assert [replay_faults(*pair) for pair in seen] == [()] * len(seen)


@pytest.mark.parametrize("name", ["saltbush_loop", "stock_route_ride"])
def test_samples_treat_no_more_than_they_can(name, samples):
    """Litres a day times the days of the stretch, at its first stop and on the way together."""
    plan = samples[name]
    stated = plan["treatment"]["litres_per_day"]
    per_day = math.inf if stated is None else stated

    assert plan["treatment"]["litres"] > 0.0
    for fill, stretch in zip(plan["fills"], plan["stretches"], strict=True):
        assert treated_l(fill) <= per_day * stretch["days"] + 0.002


def test_the_samples_tell_what_their_treating_takes(samples):
    """A filter takes minutes, a stove fuel, tablets are counted; all by stop and in all."""
    filtered, boiled, tablets = (
        samples[name]["treatment"] for name in ("gorge_walk", "saltbush_loop", "stock_route_ride")
    )

    assert filtered["minutes"] == pytest.approx(filtered["litres"] / 0.8)
    assert boiled["fuel_g"] > 0.0
    assert tablets["tablets"] >= tablets["litres"]
    assert "Cryptosporidium" in tablets["not_removed"]


def test_the_vehicle_of_the_samples_keeps_within_its_payload(samples):
    """By hand: 4 x 20 + 10 = 90 L, 4 x 1.4 + 0.8 = 6.4 kg of containers: 96.4 of 150 kg."""
    (load,) = samples["saltbush_loop"]["loads"]

    assert load["carrier"] == "the truck"
    assert load["kg_most"] == pytest.approx(96.4, abs=0.05)
    assert load["over_kg"] == 0.0


def _source(draw, number):
    source = source_at(
        draw(st.floats(20.0, LENGTH_KM - 20.0)),
        offset_km=draw(st.sampled_from([0.0, 2.0, 4.0])),
        grade=draw(st.sampled_from([Grade.POTABLE, Grade.TREAT])),
        id=f"s{number}",
    )
    return dataclasses.replace(
        source,
        limit_l=draw(st.sampled_from([None, None, 5.0, 25.0])),
        flow_l_per_min=draw(st.sampled_from([None, 1.0])),
        open_to_hour=draw(st.sampled_from([None, None, 12.0])),
    )


def _box(draw, number):
    grade = draw(st.sampled_from(list(ContainerGrade)))
    size_l = draw(st.sampled_from([2.0, 10.0, 23.5]))
    holds_l = draw(st.sampled_from([None, None, 0.0, size_l / 2.0]))
    lower = grade is ContainerGrade.ANY and draw(st.booleans())
    return dataclasses.replace(
        container(size_l, draw(st.integers(1, 3))),
        name=f"box {number}",
        grade=grade,
        holds_l=holds_l,
        holds_grade=None if holds_l is None else Grade.TREAT if lower else Grade.POTABLE,
        tare_kg=draw(st.sampled_from([0.0, 1.2])),
        vehicle=draw(st.sampled_from([None, "cart"])),
        cleanable=draw(st.booleans()),
    )


@st.composite
def asked(draw):
    """Draw a trip with its sources; its litres a day may or may not do."""
    uses = [
        use(litres=draw(st.sampled_from([1.0, 3.0]))),
        use("washing", draw(st.sampled_from([0.5, 2.0])), kept=Ration.LEAN, grade=Grade.TREAT),
    ]
    made = trip(
        can_treat=draw(st.booleans()),
        uses=uses,
        containers=[_box(draw, number) for number in range(draw(st.integers(1, 3)))],
        pace=pace(fill_minutes=draw(st.sampled_from([0.0, 12.0]))),
        policy=policy(reserve_days=draw(st.sampled_from([0.0, 1.0])), reserve_ration=Ration.BARE),
    )
    per_day = draw(st.sampled_from([None, 1.0, 4.0, 12.0]))
    carried = draw(st.sampled_from([(), (Vehicle("cart", 30.0),)]))
    made = dataclasses.replace(
        made,
        vehicles=carried,
        treatment=Treatment(TreatMethod.FILTER, per_day) if made.party.can_treat else None,
    )
    sources = [_source(draw, number) for number in range(draw(st.integers(0, 5)))]
    way = FillWay(draw(st.sampled_from(list(FillHabit))), draw(st.booleans()))
    return made, sources, way


@drawn_proof(200)
@given(drawn=asked())
def test_plans_of_random_trips_pass_the_replay_and_keep_up(drawn):
    """Nothing below empty, too large, mixed or treated beyond what can be; loads add up."""
    made, sources, way = drawn

    plan, seen = recorded(
        lambda: plan_without_mends(straight_route(LENGTH_KM), sources, made, fill=way)
    )

    assert [replay_faults(*pair) for pair in seen] == [()] * len(seen)
    document = plan_document(plan)
    most_l = made.treatment.litres_per_day if made.treatment else 0.0
    for stretch, one in zip(document["stretches"], plan.stretches, strict=True):
        at_stop = [fill for fill in document["fills"] if fill["km"] == one.begin.km]
        assert at_stop
        if most_l is not None and at_stop[-1]["treat_here"]:
            assert sum(map(treated_l, at_stop)) <= most_l * stretch["days"] + 0.003
    for load in document["loads"]:
        assert load["tare_kg"] <= load["kg_most"]
        assert load["over_kg"] == pytest.approx(max(0.0, load["kg_most"] - load["payload_left_kg"]))


@pytest.mark.parametrize("name", NAMES)
def test_the_document_has_the_keys_that_others_rely_on(name, samples):
    """The start is the first fill; every fill says what goes into which container."""
    plan = samples[name]
    first = plan["fills"][0]

    assert (first["km"], first["source"]) == (0.0, None)
    for fill in plan["fills"]:
        assert {"km", "source", "grade", "take_l", "into", "on_board_l", "treat_here",
                "treat_on_way", "left_l", "minutes", "cost"} <= set(fill)  # fmt: skip
        assert set(fill["on_board_l"]) == {"arriving", "leaving"}
        assert all({"container", "litres"} <= set(pour) for pour in fill["into"])
        assert (
            sum(pour["litres"] for pour in fill["into"]) >= fill["take_l"] - fill["left_l"] - 1e-6
        )
    assert plan["litre_km"] > 0.0
    assert isinstance(plan["smallest_margin_l"], float)
    chosen, other = plan["fill_habits"]
    fills_all = name != "gorge_walk"
    assert chosen["habit"] == ("top-up" if fills_all else "safe")
    assert other["habit"] == ("least" if fills_all else "top-up")
    assert all({"stretch", "what", "change", "verdict_after"} <= set(m) for m in plan["mends"])
    less, full = (other, chosen) if fills_all else (chosen, other)
    assert less["litre_km"] <= full["litre_km"]


def test_nothing_is_said_of_full_containers_where_the_trip_says_what_they_hold():
    """The assumption of a full start is none where ``holds_l`` is stated."""
    holding = [dataclasses.replace(container(20.0, 2), holds_l=5.0)]

    told = plan_without_mends(straight_route(100.0), [], trip(containers=holding)).assumptions

    assert not [one for one in told if one.key == "policy.start_on_board_l"]


def test_safe_fills_are_whole_containers_where_that_is_asked_for():
    """Every can that takes water is full on leaving a source without a limit."""
    sources = [source_at(300.0), source_at(600.0)]
    plan = plan_without_mends(
        straight_route(LENGTH_KM, points=10),
        sources,
        trip(containers=[container(4.0, 20)], policy=policy(call_at=("s300", "s600"))),
        fill=FillWay(FillHabit.SAFE, whole_containers=True),
    )
    filled = [
        level.litres
        for fill in plan.fills.fills
        for level in fill.levels_leaving
        if level.vessel in {pour.vessel for pour in fill.into}
    ]

    assert plan.fills.habit is FillHabit.SAFE
    assert len(filled) >= len(plan.stops) > 0
    assert len(set(filled)) == 1


@pytest.mark.parametrize(("if_dry", "is_named"), [(IfDry.ON, True), (IfDry.ON_OR_BACK, False)])
def test_a_source_that_the_containers_cannot_make_good_is_named_in_the_headline(if_dry, is_named):
    """By hand: of 19 L 1 L is drunk to km 100; the 36 waking hours on from there take 18 L.

    With a tenth over that is 20.8 L to go on, were it dry; back it is 2 h and 2 L over.
    """
    dry = dataclasses.replace(source_at(100.0), certainty=Certainty.LIKELY)
    rules = policy(call_at=("s100",), fill=FillHabit.SAFE, if_dry=if_dry)
    made = trip(containers=[container(19.0, 1)], policy=rules)
    plan = plan_without_mends(straight_route(LENGTH_KM, points=10), [dry], made)
    told = "If s100 is dry, the containers do not hold what going on asks for."

    assert [s.verdict for s in plan.stretches] == [Verdict.CLEAR] * 2
    assert (told in plan.headline.because) is is_named


@pytest.mark.parametrize("grade", [Grade.TREAT, Grade.POTABLE])
@pytest.mark.parametrize(("limit_l", "kept"), [(None, "s450"), (30.0, "s450.1")])
def test_nothing_is_poured_away_at_one_pool_to_be_taken_from_the_next(grade, limit_l, kept):
    """Two waters 0.1 km apart, of which one may give little: what arrives is carried on."""
    pools = [
        dataclasses.replace(
            source_at(km, grade=grade),
            kind="pool",
            certainty=Certainty.LIKELY,
            limit_l=most_l,
        )
        for km, most_l in ((450.0, limit_l), (450.1, None))
    ]
    made = trip(
        containers=[container(5.0, 6)],
        policy=policy(call_at=(kept,), reserve_days=0.0),
        can_treat=True,
    )
    made = dataclasses.replace(made, treatment=Treatment(method=TreatMethod.BOIL))
    fill = FillWay(FillHabit.SAFE)
    plan = plan_without_mends(straight_route(1400.0, points=7), pools, made, fill=fill)
    at_pools = [one for one in plan.fills.fills if one.water]

    assert [one.take_l > 0.0 for one in at_pools] == [True, False]
    assert at_pools[0].water.source.id == kept
    assert [one.left_l for one in at_pools] == [0.0, 0.0]
    assert at_pools[1].leaving.total_l > at_pools[0].arriving.total_l > 0.0


def test_a_ration_that_saves_water_for_a_limited_source_ahead_is_told():
    """By hand: twice 450 km, each 27 h, 19 of them waking: 2.375 L bare, 4.0625 lean, 10.8 full.

    Of 6 L the lean ration leaves 1.9375 L: with the litre of the cache enough for the bare ration
    alone, and the other way round too. The plan is short early, so that what is saved is in hand.
    """
    uses = [use(litres=1.0), use("cooking", 1.5, per=Accrual.PARTY_DAY, kept=Ration.LEAN)]
    uses.append(use("washing", 6.0, per=Accrual.PARTY_DAY, kept=Ration.FULL))
    cache = dataclasses.replace(source_at(450.0), limit_l=1.0)
    plan = plan_without_mends(
        straight_route(LENGTH_KM, points=10),
        [cache],
        trip(uses=uses, containers=[container(6.0, 1)], policy=policy(call_at=("s450",))),
    )

    assert [s.verdict for s in plan.stretches] == [Verdict.SHORT_RATION] * 2
    assert [s.ration_that_does for s in plan.stretches] == [Ration.BARE, Ration.LEAN]


def test_who_saves_for_a_later_stretch_lacks_nothing_on_this_one():
    """By hand: 2 h to the cache of 0.5 L take 0.375 L to drink and 0.75 L to wash, of 6.9 L.

    On from there it is 52 h, 36 of them waking: 6.75 L to drink. So the washing is saved before.
    """
    washing = use("washing", 9.0, per=Accrual.PARTY_DAY, kept=Ration.FULL)
    cache = dataclasses.replace(source_at(100.0), limit_l=0.5)
    plan = plan_without_mends(
        straight_route(LENGTH_KM, points=10),
        [cache],
        trip(
            people=1,
            uses=[use(litres=3.0), washing],
            containers=[container(6.9, 1)],
            policy=policy(call_at=("s100",)),
        ),
    )
    first = plan.stretches[0]

    assert first.verdict is Verdict.SHORT_RATION
    assert first.on_board_l > first.wanted_l
    assert first.missing_l == 0.0
    assert not any(" 0 L missing" in warning.text for warning in plan.warnings)
    assert any("no litres missing of its own" in warning.text for warning in plan.warnings)


def test_what_is_left_at_the_end_is_in_the_cans_whatever_the_days_after_it_need():
    """By hand: 2 h of 16 waking hours at 8 L a day take 1 L of 20 L; the day after takes 8 L."""
    plan = plan_without_mends(
        straight_route(100.0),
        [],
        trip(
            policy=policy(days_after_end=1.0, fill=FillHabit.TOP_UP),
            containers=[container(20.0, 1)],
        ),
    )
    (stretch,) = plan.stretches

    assert stretch.need.total_l == pytest.approx(9.0)
    assert (stretch.on_board_l, stretch.left_l) == pytest.approx((20.0, 19.0))
    assert plan.days[-1].on_board_l == pytest.approx(19.0)


def test_water_that_lasts_to_the_end_and_not_for_the_days_after_is_dry_after_the_end():
    """By hand: 5 L of 9 L; 1 L on the way, the other 4 L are half of the day after: at 22 o'clock.

    Departure at 8, 2 h on the way, then 12 of 24 h.
    """
    plan = plan_without_mends(
        straight_route(100.0),
        [],
        trip(policy=policy(days_after_end=1.0), containers=[container(5.0, 1)]),
    )
    (stretch,) = plan.stretches

    assert stretch.verdict is Verdict.TOO_LONG
    assert stretch.left_l == pytest.approx(4.0)
    assert stretch.runs_dry.km == pytest.approx(100.0)
    assert stretch.runs_dry.hour == pytest.approx(22.0, abs=0.01)


def test_water_that_a_stay_uses_up_is_dry_in_the_stay_and_not_on_arriving():
    """By hand: half a litre a waking hour; 4 L of which 2.5 L are drunk on the way, until 13:00.

    1.5 L and the seep's 1 L last 5 h more; the stay would take 5.5 L until 8:00.
    """
    seep = dataclasses.replace(source_at(250.0), limit_l=1.0)
    plan = plan_without_mends(
        straight_route(500.0),
        [seep],
        trip(
            policy=policy(call_at=(seep.id,)),
            containers=[container(4.0, 1)],
            camps=[PinnedCamp(km=250.0, at_water=True)],
        ),
    )
    first = plan.stretches[0]

    assert first.verdict is Verdict.TOO_LONG
    assert (first.left_l, first.dry_on_way) == (pytest.approx(1.5), None)
    assert first.runs_dry.km == pytest.approx(250.0)
    assert first.runs_dry.hour == pytest.approx(18.0, abs=0.01)
    assert plan.days[0].on_board_l == 0.0
    assert dry_words(first).startswith("dry during the stay at km 2")


@pytest.mark.parametrize(("grade", "told"), [(Grade.TREAT, 1), (Grade.POTABLE, 0)])
def test_it_is_told_that_what_goes_wrong_counts_litres_alone(grade, told):
    """Only where there is water to be treated, since elsewhere nothing hangs on it."""
    plan = plan_without_mends(
        straight_route(LENGTH_KM, points=10),
        [source_at(400.0, grade=grade)],
        trip(can_treat=True, policy=policy(call_at=("s400",))),
    )

    assert sum("count litres alone" in one.why for one in plan.assumptions) == told
