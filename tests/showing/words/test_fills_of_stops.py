"""Fills and stretches go together by the stop, which may have several waters."""

from __future__ import annotations

import dataclasses

import pytest
from lxml import html
from make import calling_at, container, source_at, straight_route, trip, use

from longdry.computing.plan.planning import plan_trip
from longdry.model.words import ContainerGrade, Grade, Ration
from longdry.showing.page.page import page_html
from longdry.showing.terminal.fills import fill_lines
from longdry.showing.words.measures import METRIC
from longdry.showing.words.stops import fills_by_stretch, shown_fills

TAP = source_at(300.0, id="tap")
RAW = dataclasses.replace(source_at(300.1, grade=Grade.TREAT), id="raw", name="raw")
BEYOND = source_at(450.0, id="beyond")
AT_START = source_at(0.0, id="town")
OTHER_SIDE = source_at(300.0, offset_km=1.0, id="far")


def _plan(*sources, **changes):
    drum = dataclasses.replace(container(20.0, 1), name="drum", grade=ContainerGrade.ANY)
    washing = use("washing", 5.0, grade=Grade.NOT_FOR_DRINKING, kept=Ration.FULL)
    parts = {"can_treat": True, "containers": [container(20.0, 2), drum], "uses": [use(), washing]}
    called = [source for source in sources if source is not AT_START]
    made = trip(**parts | {"policy": calling_at(*called, reserve_days=1.0)} | changes)
    return plan_trip(straight_route(600.0, 7), list(sources), made)


@pytest.mark.parametrize(
    "sources",
    [(), (TAP,), (TAP, RAW), (TAP, RAW, BEYOND), (AT_START, TAP, RAW), (TAP, RAW, OTHER_SIDE)],
)
def test_the_last_fill_of_a_stop_leaves_with_what_the_stretch_is_begun_with(sources):
    """Every fill belongs to one stretch; what is carried on leaving is one figure for both."""
    plan = _plan(*sources)
    stops = fills_by_stretch(plan)

    assert [one.index for fills in stops for one in fills] == list(range(len(plan.fills.fills)))
    for stretch, fills in zip(plan.stretches, stops, strict=True):
        waters = [one.fill.water for one in fills if one.fill.water]
        assert sorted(w.source.id for w in waters) == sorted(
            w.source.id for w in stretch.begin.waters
        )
        assert fills[-1].fill.leaving.total_l == stretch.on_board_l


def test_a_start_whose_containers_hold_what_they_hold_has_one_fill():
    """What is stated is on board, and the tap at the start is a stop of its own."""
    plan = _plan(AT_START, TAP, policy=calling_at(AT_START, TAP, start_on_board_l=30.0))

    assert [len(fills) for fills in fills_by_stretch(plan)] == [1] * len(plan.stretches)


def test_without_containers_no_stretch_has_a_fill():
    """An empty list for each, not a missing one."""
    assert fills_by_stretch(_plan(TAP, containers=[])) == [(), ()]


def test_what_to_leave_with_is_told_once_for_a_stop():
    """Two waters are one line of the list; each is told what to take, the stop what to leave."""
    plan = _plan(TAP, RAW)
    stop = html.document_fromstring(page_html(plan)).get_element_by_id("stop-1")
    last = {fills[-1].index for _, fills in shown_fills(plan)}

    assert len(stop.xpath(".//ul[@class='do-list']")) == 2
    assert len(stop.xpath(".//summary//*[@class='leave']")) == 1
    assert "\n".join(fill_lines(plan, METRIC)).count("leave with") == len(last)


def test_the_sheet_names_each_water_of_a_stop():
    """On paper the stop is one row; both waters stand in it, and what is to be treated."""
    tree = html.document_fromstring(page_html(_plan(TAP, RAW)))
    rows = tree.xpath("//table[@class='calls']/tbody/tr[contains(., 'raw')]")

    assert len(rows) == 1
    assert "tap" in rows[0].text_content()
    assert "Treat first" in rows[0].text_content()
