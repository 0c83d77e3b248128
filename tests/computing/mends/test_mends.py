"""What would turn a verdict: by hand, and each mend applied to the trip and planned afresh."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from make import container, pace, policy, source_at, straight_route, trip, use

from longdry.computing.plan.planning import plan_trip
from longdry.model.plan.mends import MendKind
from longdry.model.trip.heat import Effort, HeatExpectation, HeatOutlook, PersonInHeat, TripHeat
from longdry.model.trip.party import Party, Vehicle
from longdry.model.words import (
    VERDICTS_WORST_FIRST,
    Accrual,
    Certainty,
    CountOn,
    Grade,
    Ration,
    Verdict,
)
from longdry.showing.exports.plan_json import plan_json
from longdry.showing.terminal.plan import plan_text

ROUTE = straight_route(600.0, points=7)
WASHING = use("washing up", 10.0, per=Accrual.PARTY_DAY, kept=Ration.FULL)


def by_km(litres, kept=Ration.BARE, name="drinking"):
    return use(name, litres, per=Accrual.PARTY_100KM, kept=kept)


def mends(plan, kind=None, stretch=None):
    return [
        mend for mend in plan.mends if kind in (None, mend.what) and stretch in (None, mend.stretch)
    ]


def rank(verdict):
    return VERDICTS_WORST_FIRST.index(verdict)


def worst_between(plan, from_km, to_km):
    inside = [
        s.verdict for s in plan.stretches if min(s.end.km, to_km) - max(s.begin.km, from_km) > 1e-6
    ]
    return min(inside, key=rank)


def worst(plan):
    return min((s.verdict for s in plan.stretches), key=rank)


def test_a_clear_trip_has_no_mends():
    """Where nothing is wrong, nothing is proposed."""
    assert plan_trip(ROUTE, [source_at(300.0)], trip()).mends == ()


def test_a_trip_without_containers_has_no_mends():
    """Without containers no change could be checked, so none is told."""
    assert plan_trip(ROUTE, [], trip(containers=[])).mends == ()


def test_the_ration_and_what_each_use_saves():
    """600 km at 10 L and 5 L per 100 km: 90 L; 60 L on board do for the 60 L without showers."""
    uses = [by_km(10.0), by_km(5.0, Ration.FULL, "shower")]
    made = plan_trip(ROUTE, [], trip(uses=uses, containers=[container(60.0, 1)]))
    (mend,) = mends(made, MendKind.RATION)

    assert (mend.verdict_before, mend.verdict_after) == (Verdict.SHORT_RATION, Verdict.CLEAR)
    assert [(s.use, pytest.approx(s.litres)) for s in mend.figures.saved] == [("shower", 30.0)]
    afresh = plan_trip(ROUTE, [], trip(uses=uses[:1], containers=[container(60.0, 1)]))
    assert worst(afresh) is mend.verdict_after


def test_no_ration_gives_up_drinking():
    """Drinking that a trip keeps on the full ration only is no way to save water."""
    uses = [by_km(10.0, Ration.FULL), by_km(1.0, Ration.BARE, "cooking")]
    made = plan_trip(ROUTE, [], trip(uses=uses, containers=[container(20.0, 1)]))

    assert made.stretches[0].verdict is not Verdict.CLEAR
    assert mends(made, MendKind.RATION) == []


def test_containers_to_add_and_what_they_weigh():
    """60 L against 20 L: two more cans of 20 L; 40 kg of water and two tares of 1.5 kg: 43 kg."""
    can = dataclasses.replace(container(20.0, 1), tare_kg=1.5)
    made = plan_trip(ROUTE, [], trip(uses=[by_km(10.0)], containers=[can]))
    (mend,) = mends(made, MendKind.CONTAINERS)

    assert (mend.figures.count, mend.figures.litres) == (2, 40.0)
    assert mend.figures.kg == pytest.approx(43.0)
    afresh = [dataclasses.replace(can, count=3)]
    assert worst(plan_trip(ROUTE, [], trip(uses=[by_km(10.0)], containers=afresh))) is (
        mend.verdict_after
    )


@pytest.mark.parametrize(("payload_kg", "helps"), [(66.0, True), (60.0, False)])
def test_containers_are_added_only_as_the_payload_allows(payload_kg, helps):
    """Three cans of 20 L and 1.5 kg weigh 64.5 kg: 66 kg of payload carry them, 60 kg do not."""
    can = dataclasses.replace(container(20.0, 1), tare_kg=1.5, vehicle="car")
    loaded = dataclasses.replace(
        trip(uses=[by_km(10.0)], containers=[can]), vehicles=(Vehicle("car", payload_kg),)
    )
    verdicts = [m.verdict_after for m in mends(plan_trip(ROUTE, [], loaded), MendKind.CONTAINERS)]

    assert (Verdict.CLEAR in verdicts) is helps


def test_a_source_beyond_the_detour():
    """A bore 10 km off at km 300: 13 km each way. Parts of 313 km ask for 31.3 L; 35 L do."""
    bore = source_at(300.0, offset_km=10.0)
    tight = trip(uses=[by_km(10.0)], containers=[container(35.0, 1)])
    made = plan_trip(ROUTE, [bore], tight)
    (mend,) = mends(made, MendKind.DETOUR)

    assert mend.verdict_after is Verdict.CLEAR
    assert mend.figures.at_km == pytest.approx(300.0, abs=0.1)
    assert mend.figures.extra_km == pytest.approx(26.0, abs=0.01)
    assert mend.figures.extra_days == pytest.approx(2.6 / 24.0, abs=0.001)
    assert mend.figures.extra_l == pytest.approx(2.6, abs=0.01)
    wider = dataclasses.replace(tight, policy=policy(max_detour_km=11.0))
    assert worst(plan_trip(ROUTE, [bore], wider)) is Verdict.CLEAR


def test_a_detour_that_costs_more_than_it_saves_is_not_told():
    """A bore 24 km off adds 31.2 km to each half: 331.2 km ask for 33.1 L, and 32 L do not do."""
    bore = source_at(300.0, offset_km=24.0)
    made = plan_trip(ROUTE, [bore], trip(uses=[by_km(10.0)], containers=[container(32.0, 1)]))

    assert mends(made, MendKind.DETOUR) == []


def test_a_detour_tells_how_certain_its_source_is():
    """The caution of a detour names the certainty of the source that it goes to."""
    bore = dataclasses.replace(source_at(300.0, offset_km=10.0), certainty=Certainty.LIKELY)
    made = plan_trip(ROUTE, [bore], trip(uses=[by_km(10.0)], containers=[container(35.0, 1)]))

    assert "likely" in mends(made, MendKind.DETOUR)[0].caution


@pytest.mark.parametrize(
    ("source", "fact", "known", "treats"),
    [
        (source_at(300.0, grade=None), "no grade is given", {"grade": Grade.POTABLE}, False),
        (
            dataclasses.replace(source_at(300.0), certainty=Certainty.DOUBTFUL),
            "that there is water in it",
            {"certainty": Certainty.CERTAIN},
            False,
        ),
        (source_at(300.0, grade=Grade.TREAT), "a way of treating", {}, True),
    ],
)
def test_which_fact_would_make_a_source_count(source, fact, known, treats):
    """Grade, certainty or a way of treating: the mend names it, and a fresh plan with it agrees."""
    tight = trip(uses=[by_km(10.0)], containers=[container(35.0, 1)])
    tight = dataclasses.replace(
        tight, containers=(dataclasses.replace(tight.containers[0], cleanable=True),)
    )
    (mend,) = mends(plan_trip(ROUTE, [source], tight), MendKind.CONFIRMED)
    confirmed = dataclasses.replace(source, **known)
    party = dataclasses.replace(tight, party=Party(people=2, can_treat=treats))

    assert fact in mend.change
    assert worst(plan_trip(ROUTE, [confirmed], party)) is mend.verdict_after
    assert "it does not count" in mend.caution


def test_water_that_is_not_for_drinking_is_never_a_mend():
    """No fact makes water count that is graded as not for drinking."""
    bad = source_at(300.0, grade=Grade.NOT_FOR_DRINKING)
    made = plan_trip(ROUTE, [bad], trip(uses=[by_km(10.0)], containers=[container(35.0, 1)]))

    assert mends(made, MendKind.CONFIRMED) == []


def test_where_a_cache_goes_and_what_laying_it_costs():
    """600 km ask for 60 L; 45 L on board leave 15 L to lay, between km 150 and km 450.

    Nearest to the start: km 150, from which 450 km ask for 45 L. Out and back is 300 km: 30 L are
    used up, and the other 15 L of the 45 L are laid in one journey of a day.
    """
    tight = trip(uses=[by_km(10.0)], containers=[container(45.0, 1)])
    (mend,) = mends(plan_trip(ROUTE, [], tight), MendKind.CACHE)

    assert mend.figures.litres == pytest.approx(15.0, abs=1.0)
    assert mend.figures.at_km == pytest.approx(150.0, abs=0.11)
    assert mend.figures.extra_km == pytest.approx(300.0, abs=0.3)
    assert mend.figures.extra_l == pytest.approx(30.0, abs=0.1)


def test_a_cache_laid_as_told_keeps_its_promise():
    """The cache put into the water layer as a source with a limit makes the plan clear."""
    tight = trip(uses=[by_km(10.0)], containers=[container(45.0, 1)])
    (mend,) = mends(plan_trip(ROUTE, [], tight), MendKind.CACHE)
    laid = dataclasses.replace(
        source_at(mend.figures.at_km, id="our cache"),
        kind="cache",
        limit_l=mend.figures.litres,
        certainty=Certainty.CERTAIN,
        laid_by_us=True,
        laid_on=dt.date(2027, 5, 1),
    )

    assert worst(plan_trip(ROUTE, [laid], tight)) is mend.verdict_after is Verdict.CLEAR


def test_a_cache_is_laid_from_the_end_where_that_costs_less():
    """A well near the far end is the cheaper base: 20 km out, not 400 km from the start."""
    well = source_at(420.0)
    tight = trip(uses=[by_km(10.0)], containers=[container(40.0, 1)])
    (mend,) = mends(plan_trip(ROUTE, [well], tight), MendKind.CACHE)

    assert mend.stretch == 1
    assert mend.figures.extra_l < 10.0


def test_a_cache_says_who_must_lay_and_check_it():
    """A cache of others is never counted on; the caution says so."""
    tight = trip(uses=[by_km(10.0)], containers=[container(45.0, 1)])
    (mend,) = mends(plan_trip(ROUTE, [], tight), MendKind.CACHE)

    assert "Lay and check this cache yourselves" in mend.caution
    assert "Never count on a cache of others" in mend.caution


def test_the_pace_that_does_it():
    """600 km at 300 km a day are 30 h: 8 L a day x 30/24 = 10 L; in 12 h a day it is one day.

    9 L do for 27 h: 12 moving hours, of which the second day's part ends 27 h after 8 o'clock, so
    at 11 o'clock: 3 h, after 9 h on the first day.
    """
    tight = trip(containers=[container(9.0, 1)])
    hours, speed = mends(plan_trip(ROUTE, [], tight), MendKind.PACE)
    longer = dataclasses.replace(tight, pace=pace(hours_per_day=9.0))

    assert hours.figures.km_per_day == pytest.approx(450.0)
    assert worst(plan_trip(ROUTE, [], longer)) is hours.verdict_after is Verdict.CLEAR
    shorter = dataclasses.replace(tight, pace=pace(hours_per_day=8.5))
    assert worst(plan_trip(ROUTE, [], shorter)) is not Verdict.CLEAR
    faster = dataclasses.replace(tight, pace=pace(speed_kmh=speed.figures.km_per_day / 6.0))
    assert worst(plan_trip(ROUTE, [], faster)) is speed.verdict_after


def test_the_other_way_round_helps_a_start_that_is_not_full():
    """10 L on board at the start do for 100 km, not for 500 km: begin at the end near the well."""
    tight = trip(
        uses=[by_km(10.0)],
        containers=[container(55.0, 1)],
        policy=policy(start_on_board_l=10.0),
    )
    well = source_at(500.0)
    (mend,) = mends(plan_trip(ROUTE, [well], tight), MendKind.OTHER_WAY)
    turned = plan_trip(ROUTE, [well], tight, reverse=True)

    assert mend.verdict_after is turned.stretches[-1].verdict is Verdict.CLEAR
    assert mend.trip_after is worst(turned)


def test_the_other_way_round_judges_sources_on_the_other_dates():
    """Dates turn with the route: what the mend promises is what the turned plan says."""
    dated = dataclasses.replace(
        trip(uses=[by_km(10.0)], containers=[container(55.0, 1)]),
        depart=dt.datetime(2026, 5, 30, 8, 0),  # noqa: DTZ001 - local time of the trip
        policy=policy(start_on_board_l=10.0),
    )
    well = dataclasses.replace(source_at(500.0), kind="creek", months=frozenset({5}))
    for count_on in CountOn:
        made = plan_trip(ROUTE, [well], dated, count_on=count_on)
        turned = plan_trip(ROUTE, [well], dated, reverse=True, count_on=count_on)
        for mend in mends(made, MendKind.OTHER_WAY):
            stretch = made.stretches[mend.stretch - 1]
            after = worst_between(turned, 600.0 - stretch.end.km, 600.0 - stretch.begin.km)
            assert mend.verdict_after is after


def test_only_the_worst_five_are_searched_and_the_others_are_named():
    """Seven stretches of 80 km to 100 km with 2 L each: five are searched, two are told."""
    wells = [source_at(km) for km in (80.0, 161.0, 243.0, 326.0, 410.0, 495.0)]
    made = plan_trip(ROUTE, wells, trip(uses=[by_km(10.0)], containers=[container(2.0, 1)]))

    assert made.mends_not_searched == (1, 2)
    assert {mend.stretch for mend in made.mends} <= {3, 4, 5, 6, 7}


sources = st.lists(
    st.builds(
        lambda km, offset_km, grade, certainty: dataclasses.replace(
            source_at(km, offset_km=offset_km, grade=grade, id=f"s{km}-{offset_km}"),
            certainty=certainty,
        ),
        st.integers(10, 590),
        st.sampled_from([0.0, 2.0, 8.0]),
        st.sampled_from([Grade.POTABLE, Grade.TREAT, None]),
        st.sampled_from([Certainty.CERTAIN, Certainty.DOUBTFUL]),
    ),
    max_size=4,
    unique_by=lambda source: source.id,
)


@settings(max_examples=40, deadline=None)
@given(
    sources,
    st.integers(1, 5),
    st.floats(0.0, 1.0),
    st.sampled_from([0.0, 30.0]),
    st.sampled_from([None, 15.0]),
)
def test_every_mend_betters_its_stretch_and_worsens_no_trip(
    layer, count, reserve_days, fill_minutes, start_l
):
    """Whatever the trip, a mend is better than before and the whole trip no worse."""
    tight = trip(
        uses=[use(), WASHING],
        containers=[container(10.0, count)],
        policy=policy(reserve_days=reserve_days, start_on_board_l=start_l),
        pace=pace(fill_minutes=fill_minutes),
    )
    made = plan_trip(ROUTE, layer, tight)

    for mend in made.mends:
        assert mend.verdict_before is made.stretches[mend.stretch - 1].verdict
        assert rank(mend.verdict_after) > rank(mend.verdict_before)
        assert rank(mend.trip_after) >= rank(worst(made))
        assert afresh_with(mend, made, layer, tight) in (None, mend.verdict_after)


def is_off(source, at_km):
    """Whether a source of the drawn layers, named by its km and offset, is the one of a detour."""
    km, offset_km = source.id[1:].split("-")
    return offset_km == "8.0" and abs(float(km) - at_km) < 0.1


def paced(before, change):
    """Read the pace out of the words of a mend."""
    hours, percent = re.search(r"Move ([\d.]+) hours|Travel (\d+) %", change).groups()
    if hours:
        return dataclasses.replace(before, hours_per_day=float(hours))
    return dataclasses.replace(before, speed_kmh=before.speed_kmh * (1.0 + float(percent) / 100.0))


def afresh_with(mend, made, layer, tight):
    """Apply a mend to what the files hold and plan afresh; None for facts, tested by hand above."""
    stretch = made.stretches[mend.stretch - 1]
    from_km, to_km = stretch.begin.km, stretch.end.km
    if mend.what is MendKind.OTHER_WAY:
        turned = plan_trip(ROUTE, layer, tight, reverse=True)
        return worst_between(turned, 600.0 - to_km, 600.0 - from_km)
    match mend.what:
        case MendKind.CONTAINERS:
            more = dataclasses.replace(container(10.0, mend.figures.count), name="more")
            tight = dataclasses.replace(tight, containers=(*tight.containers, more))
        case MendKind.RATION:
            tight = dataclasses.replace(tight, uses=tight.uses[:1])
        case MendKind.DETOUR:
            near = {water.source.id for water in made.passes}
            layer = [one for one in layer if one.id in near or is_off(one, mend.figures.at_km)]
            wider = dataclasses.replace(tight.policy, max_detour_km=9.0)
            tight = dataclasses.replace(tight, policy=wider)
        case MendKind.PACE:
            tight = dataclasses.replace(tight, pace=paced(tight.pace, mend.change))
        case MendKind.CACHE:
            laid = dataclasses.replace(
                source_at(mend.figures.at_km, id="our cache"),
                limit_l=mend.figures.litres,
                certainty=Certainty.CERTAIN,
            )
            layer = [*layer, laid]
        case _:
            return None
    return worst_between(plan_trip(ROUTE, layer, tight), from_km, to_km)


def test_the_terminal_tells_each_mend_with_its_caution():
    """Changes stand with their verdicts, and their cautions behind them."""
    made = plan_trip(ROUTE, [], trip(uses=[by_km(10.0)], containers=[container(45.0, 1)]))
    text = " ".join(plan_text(made).split())

    for mend in made.mends:
        assert mend.change in text
        assert mend.caution in text
        assert f"{mend.verdict_before.value} -> {mend.verdict_after.value}" in text


def test_the_terminal_tells_where_nothing_helps():
    """One litre for 600 km at 100 L per 100 km: no single change betters that."""
    made = plan_trip(ROUTE, [], trip(uses=[by_km(1000.0)], containers=[container(1.0, 1)]))

    assert made.mends == ()
    assert "No single change that was tried betters stretch 1." in plan_text(made)


def test_a_clear_plan_says_nothing_of_mends():
    """No heading stands over an empty list."""
    assert "mend" not in plan_text(plan_trip(ROUTE, [source_at(300.0)], trip()))


def test_the_document_gives_every_mend():
    """The JSON holds what the plan holds, under the documented keys."""
    uses = [by_km(10.0), by_km(5.0, Ration.FULL, "shower")]
    made = plan_trip(ROUTE, [], trip(uses=uses, containers=[container(60.0, 1)]))
    told = json.loads(plan_json(made))["mends"]

    assert [(one["stretch"], one["what"], one["change"], one["verdict_after"]) for one in told] == [
        (m.stretch, m.what.value, m.change, m.verdict_after.value) for m in made.mends
    ]
    assert told[0]["figures"]["saved_l"] == {"shower": pytest.approx(30.0)}


def test_in_the_heat_longer_hours_are_paid_for_in_sweat():
    """The pace that is told is confirmed by a plan that works the heat out anew."""
    heat = TripHeat(HeatOutlook(HeatExpectation(40.0)), PersonInHeat(Effort(1.5)))
    hot = dataclasses.replace(trip(containers=[container(22.0, 1)]), heat=heat)
    made = plan_trip(ROUTE, [], hot)
    told = mends(made, MendKind.PACE)

    assert made.stretches[0].verdict is not Verdict.CLEAR
    assert told
    for mend in told:
        faster = dataclasses.replace(hot, pace=paced(hot.pace, mend.change))
        assert worst(plan_trip(ROUTE, [], faster)) is mend.verdict_after
