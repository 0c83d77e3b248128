"""The short answer on the terminal: headline, warnings, and one list of the way.

Two people drink half a litre an hour together, from 6 to 22 o'clock; 300 km are a day.
"""

from __future__ import annotations

import dataclasses
import os
import pty
import re

import pytest
from make import container, policy, source_at, straight_route, trip
from sample_plans import NAMES, planned

from longdry.cli.terminal import terminal_here
from longdry.computing.plan.planning import plan_trip
from longdry.model.plan.stretch import worst_first
from longdry.model.trip.party import Vehicle
from longdry.model.words import Grade, Units, Verdict
from longdry.showing.terminal.full import full_text
from longdry.showing.terminal.layout import Terminal
from longdry.showing.terminal.plan import plan_text
from longdry.showing.words.amounts import need_words, poured_words
from longdry.showing.words.headline import headline_words
from longdry.showing.words.measures import METRIC, Measures
from longdry.showing.words.stretches import (
    alarm_words,
    three_amounts,
    told_missing_l,
    what_to_do,
)

WELL = source_at(200.0, id="well")


def _plan(length_km=600.0, **changes):
    called = dataclasses.replace(changes.pop("policy", policy()), call_at=("well",))
    return plan_trip(straight_route(length_km, 7), [WELL], trip(policy=called, **changes))


def _words(plan, units=Units.METRIC):
    return " ".join(plan_text(plan, Measures(units)).split())


@pytest.mark.parametrize("name", NAMES)
def test_the_answer_to_a_sample_fits_on_a_screen(name):
    """At most 30 lines of at most 96 columns."""
    lines = plan_text(planned(name)).splitlines()

    assert len(lines) <= 30
    assert max(map(len, lines)) <= 96


@pytest.mark.parametrize("name", NAMES)
def test_the_answer_begins_with_the_headline_and_its_first_reason(name):
    """The words of the page, whole, before anything else but the name of the trip."""
    plan = planned(name)
    answer = " ".join(plan_text(plan).split("\n\n")[1].split())

    assert answer.startswith(f"{headline_words(plan).upper()} {plan.headline.because[0]}")


@pytest.mark.parametrize("name", NAMES)
def test_every_stop_and_every_stretch_has_a_line_of_its_own(name):
    """Litres to leave with at each stop, and what each stretch that is not clear lacks."""
    plan = planned(name)
    text = _words(plan)

    assert text.count("leave with") == len(plan.stretches)
    for stretch in plan.stretches:
        assert f"{stretch.begin.km:.1f} {stretch.begin.label}" in text
        if stretch.verdict is not Verdict.CLEAR:
            litres = poured_words(stretch.missing_l)
            assert re.search(rf"{str(stretch.verdict).upper()}[^|]*: [\d.]+ L missing", text), (
                litres
            )


@pytest.mark.parametrize("width", [40, 60, 96, 200])
def test_no_line_is_wider_than_the_terminal(width):
    """Whatever its width: tables that find no room are written row by row, nothing left out."""
    plan = planned("saltbush_loop")
    texts = [
        write(plan, METRIC, Terminal(width, is_screen=True)) for write in (plan_text, full_text)
    ]

    for text in texts:
        assert max(map(len, text.splitlines())) <= width
    words = " ".join(texts[1].split())
    for day in plan.days:
        if day.date:
            assert day.date.isoformat() in words


def test_a_file_keeps_its_tables_whatever_their_width():
    """Who writes to a file or a pipe gets columns."""
    assert re.search(r"(?m)^no +from +to +km", full_text(planned("saltbush_loop")))


def test_colour_changes_no_word():
    """With the escapes of colour taken out the text is the same."""
    plan = planned("saltbush_loop")
    coloured = plan_text(plan, METRIC, Terminal(colour=True))

    assert coloured != plan_text(plan)
    assert re.sub(r"\x1b\[\d+m", "", coloured) == plan_text(plan)


@pytest.mark.parametrize(("no_colour", "coloured"), [("", True), ("1", False)])
def test_colour_is_for_terminals_without_no_color(monkeypatch, no_colour, coloured):
    """NO_COLOR (no-color.org): present and not empty means no colour."""
    own, theirs = pty.openpty()
    with os.fdopen(theirs, "w") as out:
        monkeypatch.setattr("sys.stdout", out)
        monkeypatch.setenv("NO_COLOR", no_colour)
        monkeypatch.setenv("TERM", "xterm")
        monkeypatch.setenv("COLUMNS", "71")
        shown = terminal_here()
    os.close(own)

    assert shown == Terminal(71, colour=coloured, is_screen=True)


def test_a_pipe_gets_plain_text_of_the_usual_width():
    """Nothing is known of who reads it."""
    assert terminal_here() == Terminal()


def test_of_many_stretches_the_worst_are_told_on_a_screen():
    """60 calls: the worst stand alone, ten at most, the others in runs that say how they are."""
    sources = [source_at(20.0 * n + 7.0 * (n % 3), id=f"w{n}") for n in range(1, 61)]
    called = policy(call_at=tuple(source.id for source in sources), reserve_days=1.0)
    plan = plan_trip(straight_route(1300.0, 7), sources, trip(policy=called))
    text = plan_text(plan)
    alone = text.count("         | ")
    worst = {f"{one.begin.km:.1f}" for one in worst_first(plan.stretches)[:alone]}

    assert len(plan.stretches) == 61
    assert len(text.splitlines()) <= 30
    assert 3 <= alone <= 10
    assert {line.split()[0] for line in text.splitlines() if re.match(r" +\d[\d.]+  \w", line)} == {
        *worst,
        "1300.0",
    }
    assert sum(map(int, re.findall(r"… (\d+) stretch", text))) == len(plan.stretches) - alone


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_said_twice_above_the_way(name):
    """No two lines of the answer begin alike, and no reason stands there again as a warning."""
    answer = plan_text(planned(name)).split("\n\n")[1]
    told = [" ".join(one.split())[:40] for one in answer.split("\n  ! ")]

    assert len(set(told)) == len(told)


def test_room_in_cans_is_nothing_to_spare():
    """100 L of cans, and the party leaves with need and reserve alone: 0 L to spare, not 83 L."""
    assert ": 0 L to spare" in _words(_plan(policy=policy(reserve_days=1.0)))


@pytest.mark.parametrize(
    ("units", "told"),
    [
        (Units.METRIC, r"dry at km (\S+), day 3, about (\S+)"),
        (Units.US, r"dry at mile (\S+), day 3, about (\S+)"),
    ],
)
def test_a_stretch_that_is_too_long_says_where_its_water_runs_out(units, told):
    """20 L from noon at km 200: to 20:00 of day 3 at km 900, or mile 559.2; never told later."""
    plan = _plan(1500.0, containers=[container(20.0, 1)])
    found = re.search(told, alarm_words(plan.stretches[1], Measures(units)))

    assert found
    at_km = float(found[1]) * (1.609344 if units is Units.US else 1.0)
    assert 900.0 - 0.4 <= at_km <= 900.0
    assert "19:58" <= found[2].rstrip(":.;") <= "20:00"
    assert f"dry at {'mile' if units is Units.US else 'km'} {found[1]}" in _words(plan, units)


def test_litres_that_are_not_missing_are_not_told_as_none():
    """A stretch that is held back by grade or treating has litres enough, and is not clear."""
    plan = _plan()
    held = dataclasses.replace(
        plan.stretches[1], verdict=Verdict.SHORT_RATION, held_back=True, lacking_l=0.0
    )

    assert told_missing_l(held) is None
    assert "0 L missing" not in alarm_words(held)
    assert alarm_words(held).startswith("SHORT RATION: not litres alone")
    assert told_missing_l(plan.stretches[1]) == 0.0


def test_what_cannot_be_carried_is_not_told_as_carried():
    """Cans of 40 L on a cart that bears 6 kg: 6 L are carried, whatever the cans hold."""
    can = dataclasses.replace(container(40.0, 1), vehicle="cart")
    made = dataclasses.replace(
        trip(containers=[can], policy=policy(call_at=("well",))), vehicles=(Vehicle("cart", 6.0),)
    )
    plan = plan_trip(straight_route(1500.0, 7), [WELL], made)
    stretch = plan.stretches[1]

    assert stretch.verdict is Verdict.TOO_LONG
    assert stretch.on_board_l == pytest.approx(6.0)
    assert "40 L" not in what_to_do(stretch)


def test_heat_beyond_the_limits_is_told_before_other_reasons():
    """Three dry stretches more do not push aside what nobody may do by day."""
    plan = planned("saltbush_loop")
    hot = "Days 1 to 3: 46 °C. Do not move by day: people cannot drink what they lose."
    because = (*(f"Stretch {n} is too long." for n in range(4)), hot)
    shown = plan_text(
        dataclasses.replace(plan, headline=dataclasses.replace(plan.headline, because=because))
    )

    assert shown.index(hot) < shown.index("Stretch 1 is too long.")


def test_no_way_without_water_is_longer_than_the_route_told_beside_it():
    """A route of 173.24 km that is one dry stretch: both lengths are rounded up alike."""
    words = _words(plan_trip(straight_route(173.24, 7), [], trip()))

    assert ": 173.3 km, " in words
    assert "Longest without water: 173.3 km" in words


def test_best_water_in_need_is_named_where_a_stretch_is_too_long():
    """Of the loop, whose layers are invented: treat before unknown, the nearest; else nobody."""
    plan = planned("saltbush_loop")
    gaps = [one for one in plan.stretches if one.verdict is Verdict.TOO_LONG]
    lying_there = [
        need
        for need in plan.setbacks.in_need
        if any(gap.begin.km <= need.km < gap.end.km for gap in gaps)
    ]
    told = re.search(r"In need only, never counted on: (.+?) \(km ([\d.]+), ", _words(plan))
    named = next(need for need in lying_there if need.source.name == told[1])

    assert f"{named.km:.1f}" == told[2]
    assert f", {len(lying_there) - 1} more." in _words(plan)
    assert all(
        need.source.grade in (None, Grade.NOT_FOR_DRINKING)
        or need.source.is_too_salty
        or need.way_km >= named.way_km
        for need in lying_there
    )
    assert "In need only" not in _words(planned("stock_route_ride"))


def test_without_containers_each_stop_says_what_to_take():
    """20 L and a reserve for a day: litres stand at the stops, the lack of cans once, above."""
    plan = _plan(containers=[])
    words = _words(plan)
    way = words.partition("The way")[2]

    for stretch in plan.stretches:
        assert f"take at least {need_words(stretch.wanted_l)}" in way
    assert "no containers" not in way


@pytest.mark.parametrize("name", NAMES)
def test_need_and_reserve_add_up_to_no_more_than_is_carried_where_a_stretch_is_clear(name):
    """Added up by whoever reads them, to three roundings of 0.1 L."""
    for stretch in planned(name).stretches:
        carried, need, reserve = (float(one.split()[0]) for one in three_amounts(stretch))
        if stretch.verdict is Verdict.CLEAR:
            assert need + reserve <= carried + 0.3 + 1e-9


@pytest.mark.parametrize(("payload_kg", "is_told"), [(15.0, True), (500.0, False)])
def test_what_the_vehicle_cannot_bear_is_no_room_in_cans(payload_kg, is_told):
    """A drum of 40 L and 3 kg on 15 kg of payload left: 12 L, at 1 kg a litre."""
    drum = dataclasses.replace(container(40.0, 1), tare_kg=3.0, vehicle="ute")
    loaded = dataclasses.replace(trip(containers=[drum]), vehicles=(Vehicle("ute", payload_kg),))
    words = _words(plan_trip(straight_route(300.0), [], loaded))

    assert ("of which the payload left lets 12 L be carried" in words) is is_told
    assert "the containers hold 40 L" in words
