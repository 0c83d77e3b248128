"""What speaks against the sources that a plan drinks from. The sources are invented."""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest
from lxml import html
from make import POLICY, calling_at, source_at, straight_route, trip
from without_mends import plan_without_mends

from longdry.model.trip.party import Pump
from longdry.model.trip.trip import PinnedCamp
from longdry.model.water.source import Found, Visit
from longdry.model.words import Certainty, CountOn, Grade
from longdry.showing.exports.plan_json import plan_document
from longdry.showing.page.page import page_html
from longdry.showing.sheet.calls import call_table
from longdry.showing.words.measures import METRIC

ROUTE = straight_route(600.0, points=7)
DEPART = dt.datetime(2027, 5, 3, 8)


def plan(*, calls=False, **known):
    source = dataclasses.replace(source_at(250.0, id="Fork"), **known)
    its_trip = trip(policy=calling_at(source) if calls else POLICY)
    return plan_without_mends(ROUTE, [source], dataclasses.replace(its_trip, depart=DEPART))


def texts(made):
    return " ".join(warning.text for warning in made.warnings)


@pytest.mark.parametrize(
    ("known", "why"),
    [
        ({"flow_l_per_min": 0.0}, "the layer gives it a flow of 0 L/min"),
        ({"limit_l": 0.0}, "the layer gives it a limit of 0 L"),
    ],
)
def test_source_that_gives_nothing_ends_no_stretch(known, why):
    """A flow or a limit of nothing is no water to count on, however it is graded."""
    made = plan(**known)

    assert made.passes[0].why_not == why
    assert len(made.stretches) == 1


@pytest.mark.parametrize("found", [Found.DRY, Found.UNREACHABLE])
def test_word_set_by_hand_against_the_last_visit_is_a_grave_warning(found):
    """What the user set stands, and the plan says first that the last visit found none."""
    visits = (Visit(dt.date(2027, 4, 1), Found.FLOWING), Visit(dt.date(2027, 4, 20), found))
    made = plan(certainty=Certainty.CERTAIN, visits=visits)

    assert made.passes[0].counted
    assert made.warnings[0].grave
    assert f"the last visit, on 2027-04-20, found it {found.value}" in made.warnings[0].text


def test_word_set_by_hand_that_the_last_visit_bears_out_is_no_warning():
    """Nobody is warned of a source that the last visit found flowing."""
    visits = (Visit(dt.date(2027, 4, 1), Found.DRY), Visit(dt.date(2027, 4, 20), Found.FLOWING))

    assert "set by hand" not in texts(plan(certainty=Certainty.CERTAIN, visits=visits))


@pytest.mark.parametrize(
    ("known", "told"),
    [
        ({"kind": "creek", "certainty": Certainty.CERTAIN}, True),
        ({"kind": "bore", "certainty": Certainty.LIKELY}, False),
        ({"kind": "creek"}, False),
    ],
)
def test_assumptions_count_what_only_the_users_hand_makes_certain(known, told):
    """A creek that counts because the user says so is an assumption; a bore needs no hand."""
    named = {one.what: one.value for one in plan(**known).assumptions}

    assert (named.get("sources counted because their certainty is set by hand") == "1") is told


@pytest.mark.parametrize(("access", "told"), [("12 V pump", True), ("hand pump", False)])
def test_figures_of_a_pump_that_the_party_brings_are_an_assumption(access, told):
    """Minutes and ampere-hours rest on 11 L/min at 7.5 A: common practice, no source."""
    named = {one.what: one.value for one in plan(access=access).assumptions}

    pump = named.get("12 V pump that the party brings")
    assert pump == ("11 L/min at 7.5 A, sources: 1" if told else None)


def test_the_trips_own_pump_leaves_nothing_to_assume():
    """Whoever states the flow of the pump is not told that 11 L/min were taken."""
    source = dataclasses.replace(source_at(250.0), access="12 V pump")
    its_trip = dataclasses.replace(trip(), pumps=(Pump("ours", 0.5, None),))

    made = plan_without_mends(ROUTE, [source], its_trip)
    assert "12 V pump that the party brings" not in {one.what for one in made.assumptions}


@pytest.mark.parametrize(
    ("count_on", "counted"),
    [
        (CountOn.CERTAIN, ["sure"]),
        (CountOn.LIKELY, ["sure", "may be"]),
        (CountOn.ANY, ["sure", "may be", "hardly"]),
    ],
)
def test_only_sources_certain_enough_end_a_stretch(count_on, counted):
    """The others stay among the passes, each with its word and its reason."""
    sources = [
        dataclasses.replace(source_at(km, id=name), certainty=word)
        for km, name, word in (
            (100.0, "sure", Certainty.CERTAIN),
            (200.0, "may be", Certainty.LIKELY),
            (300.0, "hardly", Certainty.DOUBTFUL),
        )
    ]
    made = plan_without_mends(ROUTE, sources, trip(), count_on=count_on)

    assert [one.source.id for one in made.passes if one.counted] == counted
    assert len(made.passes) == 3
    assert all(
        one.why_not == f"{one.judgement.certainty.value}: set by hand in the layer"
        for one in made.passes
        if not one.counted
    )


def test_last_visit_in_the_json_is_none_that_is_still_to_come():
    """A visit dated after the party comes by is no last visit to tell it of."""
    past, to_come = (Visit(dt.date(year, 4, 1), Found.FLOWING) for year in (2026, 2028))

    (both,) = plan_document(plan(visits=(past, to_come)))["passes"]
    (none,) = plan_document(plan(visits=(to_come,)))["passes"]

    assert both["last_visit"]["on"] == "2026-04-01"
    assert none["last_visit"] is None


def test_last_visit_on_the_page_is_that_of_the_json():
    """Page and JSON leave out the same visits, and of several on a day tell the worst."""
    past, worse = (Visit(dt.date(2026, 4, 1), found) for found in (Found.FLOWING, Found.DRY))
    to_come = Visit(dt.date(2028, 4, 1), Found.LOW)

    both, none = plan(visits=(past, worse, to_come)), plan(visits=(to_come,))

    assert plan_document(both)["passes"][0]["last_visit"]["found"] == "dry"
    assert "last visit 2026-04-01 found it dry" in _aside(both)
    assert "last visit 2028" not in _aside(both) + _aside(none)


def _aside(made):
    """Words about the water that does not count."""
    tree = html.document_fromstring(page_html(made))
    return " ".join(tree.get_element_by_id("water").text_content().split())


def test_reason_that_stands_in_the_row_already_is_not_told_again():
    """One column says why it does not count; what that rests on stands once in the row."""
    dry = _aside(plan(visits=(Visit(dt.date(2027, 4, 1), Found.DRY),)))
    retired = _aside(plan(retired="fell in"))

    assert dry.count("last visit 2027-04-01 found it dry") == 1
    assert retired.count("fell in") == 1


@pytest.mark.parametrize(
    ("known", "told"),
    [
        ({"certainty": Certainty.CERTAIN}, "Certain (your own word)"),
        (
            {"certainty": Certainty.CERTAIN, "visits": (Visit(dt.date(2027, 4, 1), Found.DRY),)},
            "Certain (your own word; last seen dry 1 Apr 2027)",
        ),
        ({"own": True, "kind": None}, "Likely (unseen)"),
        (
            {"visits": (Visit(dt.date(2027, 4, 1), Found.FLOWING),)},
            "last seen flowing 1 Apr 2027)",
        ),
    ],
)
def test_sheet_says_on_whose_word_there_is_water(known, told):
    """A word set by hand is no finding: the sheet says whose it is, and what was last seen."""
    sheet = html.document_fromstring(call_table(plan(calls=True, **known), METRIC))

    assert told in sheet.text_content()


def camping(*camps):
    water = source_at(250.0, grade=Grade.NOT_FOR_DRINKING)
    return plan_without_mends(ROUTE, [water], trip(camps=camps))


@pytest.mark.parametrize(
    ("said", "grave", "words"),
    [(True, True, "said to be at water"), (None, False, "at water that does not count")],
)
def test_a_camp_at_salty_water_is_dry_and_told_with_the_reason(said, grave, words):
    """Water that does not count is none, also where the camp is pinned on it."""
    made = camping(PinnedCamp(km=250.0, at_water=said))

    (told,) = [w for w in made.warnings if words in w.text]
    assert told.grave is grave
    assert "(s250: not for drinking)" in told.text
    assert made.stretches[0].nights == 2


def test_of_a_camp_meant_to_be_dry_nothing_is_told():
    """Beside the well by the party's own word, or far from any."""
    made = camping(PinnedCamp(km=250.0, at_water=False), PinnedCamp(km=300.0))

    assert not any("camp pinned" in w.text for w in made.warnings)
