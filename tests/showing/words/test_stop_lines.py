"""What to do at a stop: one wording for the page, the sheet and the terminal."""

from __future__ import annotations

import dataclasses

import pytest
from lxml import html
from sample_plans import NAMES, page_of, planned

from longdry.model.plan.fills import Decant, Fill, OnBoard, Pour, VesselLevel
from longdry.model.words import Grade
from longdry.showing.page.page import page_html
from longdry.showing.terminal.full import full_text
from longdry.showing.terminal.plan import plan_text
from longdry.showing.words.measures import METRIC, US
from longdry.showing.words.stops import fills_by_stretch, leave_words, sizes_l, stop_lines
from longdry.showing.words.stretches import alarm_words

SIZES_L = {"can 1": 10.0, "can 2": 10.0, "can 3": 10.0, "drum": 20.0}
NOTHING = Fill(
    stop=1, km=50.0, source="w", grade=Grade.POTABLE, take_l=0.0, into=(), treated_l=0.0,
    decants=(), drawn_off=(), left_l=0.0, cleaned=(), arriving=OnBoard(0.0, 0.0),
    leaving=OnBoard(0.0, 0.0), levels_arriving=(), levels_leaving=(), minutes=3.0, cost=0.0,
)  # fmt: skip


KEPT = (
    "1 L more than you need from here on may stay here: keep them if in doubt about the next water"
)


def _fill(pours, levels, **changes):
    """Fill containers with litres and grade each, so that they come to the given levels."""
    into = tuple(Pour(*pour) for pour in pours)
    after = tuple(
        VesselLevel(name, litres, pour.grade)
        for (name, litres), pour in zip(levels.items(), into, strict=False)
    )
    take_l = sum(pour.litres for pour in into)
    return dataclasses.replace(NOTHING, take_l=take_l, into=into, levels_leaving=after, **changes)


def _words(fill):
    return [line.words() for line in stop_lines(fill, None, SIZES_L, METRIC)]


def test_each_container_says_its_litres_and_the_mark_they_come_to():
    """10 L into two empty cans of 10 L; 2 L upon 5 L; 4 L into an empty drum."""
    pours = [("can 1", 10.0), ("can 2", 10.0), ("can 3", 2.0), ("drum", 4.0)]
    levels = {"can 1": 10.0, "can 2": 10.0, "can 3": 7.0, "drum": 4.0}
    fill = _fill([(*pour, Grade.POTABLE) for pour in pours], levels)

    assert _words(fill) == [
        "take 26 L (3 min)",
        "can 1, 2: 10 L each, full",
        "can 3: 2 L more, to 7 L",
        "drum: 4 L",
    ]


def test_water_that_would_foul_a_clean_container_is_treated_before_it_goes_in():
    """Potable water from a source to be treated: the can would be fouled by raw water."""
    pours = [("can 1", 10.0, Grade.POTABLE)]
    alike = _fill(pours, {"can 1": 10.0}, grade=Grade.TREAT)
    mixed = _fill(
        [*pours, ("drum", 20.0, Grade.TREAT)], {"can 1": 10.0, "drum": 20.0}, grade=Grade.TREAT
    )

    assert _words(alike) == [
        "take 10 L (3 min), treat before it goes in",
        "can 1: 10 L, full",
    ]
    assert _words(mixed) == [
        "take 30 L (3 min)",
        "can 1: 10 L, full (treat first)",
        "drum: 20 L, full (treat before drinking)",
    ]


def test_what_comes_first_stands_first_and_no_can_is_poured_into_itself():
    """Cleaning and pouring come before filling; water that counts as worse stays where it is."""
    fouled = Decant("can 1", "can 1", 5.2, Grade.TREAT)
    poured = Decant("can 2", "drum", 3.0, Grade.TREAT)
    fill = dataclasses.replace(NOTHING, cleaned=("can 3",), decants=(fouled, poured))

    assert _words(fill) == [
        "clean can 3 first",
        "what is in can 1 (5.2 L) counts as treat before drinking from here on",
        "pour 3 L from can 2 into drum",
        "take nothing",
    ]


def test_like_pours_into_like_containers_are_one_line():
    """A litre each from the drum into three cans is one thing to do; the order is kept."""
    into = [Decant("drum", f"can {n}", 1.0, Grade.POTABLE) for n in (1, 2, 3)]
    between = Decant("can 1", "drum", 1.0, Grade.POTABLE)
    alike = dataclasses.replace(NOTHING, decants=tuple(into))
    apart = dataclasses.replace(NOTHING, decants=(*into[:2], between, into[2]))

    assert _words(alike)[:-1] == ["pour 1 L each from drum into can 1-3"]
    assert _words(apart)[:-1] == [
        "pour 1 L each from drum into can 1, 2",
        "pour 1 L from can 1 into drum",
        "pour 1 L from drum into can 3",
    ]


def test_water_treated_into_another_can_is_named_with_the_can_that_it_comes_from():
    """Raw water of the drum is treated into a can: nothing is taken, and yet there is a job."""
    fill = dataclasses.replace(
        _fill([("can 1", 4.0, Grade.POTABLE)], {"can 1": 4.0}, grade=Grade.TREAT),
        take_l=0.0,
        treated_l=4.0,
        drawn_off=(VesselLevel("drum", 4.0, Grade.TREAT),),
    )

    assert _words(fill) == [
        "draw 4 L off drum and treat them",
        "take nothing",
        "can 1: 4 L (treated)",
    ]


def test_only_what_does_not_come_from_the_source_is_drawn_off_to_be_treated():
    """6 L are treated into the cans; the source gives 2 of them and the drum 4 of its 5."""
    fill = dataclasses.replace(
        _fill([("can 1", 6.0, Grade.POTABLE)], {"can 1": 6.0}, grade=Grade.TREAT),
        take_l=2.0,
        treated_l=6.0,
        left_l=1.0,
        drawn_off=(VesselLevel("drum", 5.0, Grade.TREAT),),
    )

    assert _words(fill) == [
        "draw 4 L off drum and treat them",
        "take 2 L (3 min), treat before it goes in",
        "can 1: 6 L",
        KEPT,
    ]


def test_a_container_is_emptied_before_it_is_cleaned_and_filled_with_other_water():
    """Nobody is told to keep what has to be poured out."""
    fill = dataclasses.replace(
        _fill([("drum", 20.0, Grade.POTABLE)], {"drum": 20.0}),
        cleaned=("drum",),
        left_l=3.0,
        drawn_off=(VesselLevel("drum", 3.0, Grade.TREAT),),
        decants=(Decant("drum", "can 3", 2.0, Grade.TREAT),),
    )

    assert _words(fill) == [
        "pour 3 L out of drum",
        "pour 2 L from drum into can 3",
        "clean drum first",
        "take 20 L (3 min)",
        "drum: 20 L, full",
    ]


def test_litres_to_leave_with_are_rounded_up():
    """A target that is rounded down would be missed: 24.51 L are 24.6 L, 3.01 L of them 3.1 L."""
    fill = dataclasses.replace(NOTHING, leaving=OnBoard(21.5, 3.01))

    assert leave_words(fill, SIZES_L, METRIC) == ("24.6 L", "3.1 L of it to treat")


def test_nobody_is_told_to_leave_with_more_than_the_containers_hold():
    """50 L are 13.208 US gal: 13.3 up, but the containers are called full at 13.2."""
    fill = dataclasses.replace(NOTHING, leaving=OnBoard(50.0, 0.0))

    assert leave_words(fill, SIZES_L, US) == ("13.2 US gal, all full", "")
    assert leave_words(fill, SIZES_L, METRIC) == ("50 L, all full", "")


@pytest.mark.parametrize("name", NAMES)
def test_list_sheet_and_terminal_leave_with_the_same_litres(name):
    """One figure, not 28 L in one place and 27.1 L in the other; every line of every stop."""
    plan = planned(name)
    tree = html.document_fromstring(page_of(name))
    sheet = [row for row in tree.xpath("//table[@class='calls']/tbody/tr") if len(row) > 1]
    short, full = (" ".join(write(plan).split()) for write in (plan_text, full_text))
    checked = 0
    for place, fills in enumerate(fills_by_stretch(plan)):
        stop = " ".join(tree.get_element_by_id(f"stop-{place}").text_content().split())
        for one in fills:
            lines = stop_lines(one.fill, one.treating, sizes_l(plan), METRIC)
            for words in (line.words() for line in lines):
                assert words[1:] in stop
                assert words in full
                checked += 1
        litres = leave_words(fills[-1].fill, sizes_l(plan), METRIC)[0].removesuffix(", all full")
        assert f"leave with {litres}" in stop
        assert f"leave with {litres}" in short
        assert sheet[place][2].text_content().startswith(litres)

    assert checked > 15


def test_potable_water_that_must_be_treated_says_why():
    """The loop pours potable water into a bladder that has held raw water; the walk does not."""
    told = "Potable water counts as treat before drinking in a container"

    assert told in page_of("saltbush_loop")
    assert told in full_text(planned("saltbush_loop"))
    assert told not in page_of("gorge_walk")
    assert told not in full_text(planned("gorge_walk"))


def test_name_of_a_container_cannot_turn_its_litres_round():
    """At its stop only the name is set apart for its own direction of writing."""
    plan = planned("gorge_walk")
    boxes = tuple(dataclasses.replace(box, name=f"وعاء {box.name}") for box in plan.trip.containers)
    fills = tuple(
        dataclasses.replace(
            fill,
            into=tuple(p._replace(vessel=f"وعاء {p.vessel}") for p in fill.into),
            levels_leaving=tuple(
                one._replace(vessel=f"وعاء {one.vessel}") for one in fill.levels_leaving
            ),
        )
        for fill in plan.fills.fills
    )
    changed = dataclasses.replace(
        plan,
        trip=dataclasses.replace(plan.trip, containers=boxes),
        fills=dataclasses.replace(plan.fills, fills=fills),
    )
    line = html.document_fromstring(page_html(changed)).xpath(
        "//ul[@class='do-list']/li[@class='do-into']/bdi"
    )[0]

    assert line.text == "وعاء bladder"
    assert line.tail.startswith(" 1")


@pytest.mark.parametrize("name", NAMES)
def test_litres_to_leave_with_that_are_not_enough_say_so_beside_them(name):
    """On the sheet and on the terminal; where they are enough nothing cries out."""
    plan = planned(name)
    tree = html.document_fromstring(page_of(name))
    cries = [row.text_content() for row in tree.xpath("//tr[@class='alarm']")]
    stops = full_text(plan).split("What to fill:")[1].split("\n  - ")[1:]
    alarms = [alarm_words(stretch) for stretch in plan.stretches]

    assert len(cries) == len(list(filter(None, alarms)))
    for cry, alarm in zip(cries, filter(None, alarms), strict=True):
        assert cry.startswith(alarm)
    for alarm, stop in zip(alarms, stops, strict=False):
        assert ("missing" in stop) == bool(alarm)
        assert alarm in " ".join(stop.split())
