"""The panel of the road in a real Chromium: what it asks, what it says, what it keeps.

Its figures at many places are held against plans made again in
tests/computing/plan/test_least_litres.py.
"""

from __future__ import annotations

import dataclasses
import json
import math
import random
import re

import pytest
from page_in_browser import at_rest, axe_violations, opened
from page_in_browser import settled as drawn
from project_places import SAMPLES
from random_plans import Case
from sample_plans import NAMES, planned

from longdry.api import plan_trip, read_route, read_trip, read_water
from longdry.cli.main import main
from longdry.computing.plan.rounds import settled_trip
from longdry.computing.road.rest import rest_of_trip
from longdry.computing.stretches.prepared import prepare
from longdry.model.plan.fills import USUAL_FILL_WAY
from longdry.model.plan.least import row_on_plan
from longdry.model.trip.here import OnTheWay
from longdry.model.trip.tally import LitresLeft
from longdry.model.trip.what_if import Inquiry
from longdry.reading.road.tally_file import line_of, read_tally
from longdry.showing.page.page import page_html
from longdry.showing.words.dry import least_to_go_on, least_words
from longdry.showing.words.measures import METRIC
from longdry.showing.words.stops import sizes_l
from longdry.units import rounded_up

pytestmark = pytest.mark.browser
WALK = SAMPLES / "gorge_walk"


def ask(page, *, moves="yes", km=None, day=2, time="08:30", left="40"):
    """Open the panel and fill it in, with the day counted from 1."""
    page.evaluate("for (const id of ['here', 'note']) document.getElementById(id).open = true")
    page.check(f"[name=can-move][value={moves}]")
    if km is not None:
        page.fill("#here-km", str(km))
    page.select_option("#here-day", str(day - 1))
    page.fill("#here-time", time)
    page.fill("#here-left", left)


def said(page):
    """Return the words of the answer."""
    return page.locator("#here-answer").inner_text()


MADE_AGAIN = 2
"""States of each trip that are typed into the page by hand."""


def held(plan):
    """Return the trip with the plan's own calls; which are best is not asked again."""
    named = [(f"{one.source.id}@{one.km}", one) for one in plan.passes if one.counted]
    at_stops = {(one.source.id, one.km) for stretch in plan.stretches for one in stretch.end.waters}
    calls = [name for name, one in named if (one.source.id, one.km) in at_stops]
    policy = dataclasses.replace(
        plan.trip.policy,
        call_at=tuple(calls),
        pass_by=tuple(name for name, _ in named if name not in calls),
    )
    return dataclasses.replace(plan.trip, policy=policy)


def made_again(plan, km, hour):
    """Return the litres of each ration to the next water by a plan made again from there."""
    case = Case(None, plan.sources, held(plan))
    said = OnTheWay(hour, (LitresLeft(0.0),), km)
    rest = rest_of_trip(prepare(plan.measured, case.trip), plan.sources, said)
    stretches = settled_trip(rest, case.water_near(rest), USUAL_FILL_WAY).stretches
    always_l = plan.least.waiting.always_l
    return [one.need.total_l + always_l for one in stretches[0].needs]


@pytest.mark.parametrize("name", NAMES)
def test_what_the_panel_says_is_no_less_than_a_plan_made_again(browser, sample_file, name):
    """Typed by hand at random km, hours and litres, by vehicle, on foot and by bicycle, in heat.

    The three figures are never below the plan's, and other water changes nothing.
    """
    dice = random.Random(20270503)
    plan, found = planned(name), []
    with opened(browser, sample_file(name), width=360, height=740) as watched:
        for _ in range(MADE_AGAIN):
            row = dice.choice([one for one in plan.least.rows[1:] if not one.is_halt])
            km = round(dice.uniform(row.from_km, row.to_km), 1)
            hour = round(row.hour + dice.uniform(0.0, 40.0), 1)
            clock = f"{int(hour % 24):02d}:{round(hour % 1 * 60):02d}"
            ask(watched.page, km=km, day=int(hour // 24) + 1, time=clock, left="30")
            told = said(watched.page)
            watched.page.fill("#here-other", str(dice.randint(1, 50)))
            assert said(watched.page) == told
            figures = re.search(r"need ([0-9.]+) L full, ([0-9.]+) L lean, ([0-9.]+) L bare", told)
            found += zip(map(float, figures.groups()), made_again(plan, km, hour), strict=True)

    assert len(found) == 3 * MADE_AGAIN
    assert [pair for pair in found if pair[0] < pair[1] - 1e-6] == []


def test_the_device_finds_the_place_where_it_may(browser, sample_file):
    """Granted, its place gives the km of a km mark; refused, the page says to choose or to type.

    Off the route, and where the device is not sure, the page says so.
    """
    with opened(browser, sample_file("gorge_walk")) as watched:
        page = watched.page
        km, lat, lon, *_ = json.loads(page.locator("#map-data").text_content())["marks"][30]
        ask(page)
        words = page.locator("#here-place-words")
        page.click("#here-position")
        words.filter(has_text="gives no place").wait_for()
        refused = page.input_value("#here-km")
        told = []
        for lat_deg, accuracy_m in ((lat, 20.0), (lat + 0.1, 3000.0)):
            page.context.grant_permissions(["geolocation"])
            place = {"latitude": lat_deg, "longitude": lon, "accuracy": accuracy_m}
            page.context.set_geolocation(place)
            page.fill("#here-km", "")
            page.click("#here-position")
            page.wait_for_function("() => document.getElementById('here-km').value !== ''")
            told.append((float(page.input_value("#here-km")), words.inner_text()))
        page.context.clear_permissions()

    assert refused == ""
    assert told[0][0] == pytest.approx(km, abs=0.1)
    assert told[0][1].startswith("About km")
    assert "off the route" not in told[0][1]
    assert "km off the route: the way to it is not in these figures" in told[1][1]
    assert "may be wrong by 3 km" in told[1][1]


def test_a_stop_that_is_dry_and_cans_that_cannot_hold_so_much_are_told(browser, sample_file):
    """At water: fill first, or back should it be dry; no more litres count than cans hold.

    Nothing is said before the first question is answered. Water in need nearby is named to who can
    move and to who cannot.
    """
    with opened(browser, sample_file("saltbush_loop")) as watched:
        page = watched.page
        page.evaluate("document.getElementById('here').open = true")
        page.fill("#here-left", "60")
        first = said(page)
        stop = planned("saltbush_loop").stretches[1].begin
        ask(page, km=round(stop.km, 1), day=2, time="14:00", left="10")
        little = said(page)
        page.fill("#here-left", "60")
        enough = said(page)
        page.fill("#here-left", "600")
        most = said(page)
        page.fill("#here-km", "440")
        in_need = [said(page)]
        page.check("[name=can-move][value=no]")
        in_need.append(said(page))

    assert first == "First say, above: can you move?"
    assert little.startswith("Fill here first.")
    assert "If it is dry here, back to the start, km 0.0" in little
    assert "Then wait here and call for help." in little
    assert "What is said here holds all the same." in enough
    assert most.startswith("Your containers hold no more than 90 L: read them off again.")
    assert "You have 90 L." in most
    for words in in_need:
        assert "In need only, never reckoned with: Old Cattle Dam, km 447.9, 8 km ahead" in words


def test_nobody_is_sent_to_water_that_they_wrote_down_as_dry(browser, sample_file):
    """Neither back nor on to it; before it is written down, and once that is undone, both."""
    plan = planned("saltbush_loop")
    behind, ahead = (plan.stretches[number].begin for number in (2, 3))
    here = {"km": round(behind.km + 1.0, 1), "day": 5, "time": "12:00", "left": "12"}
    told = []
    with opened(browser, sample_file("saltbush_loop")) as watched:
        page = watched.page
        ask(page, **here)
        told.append(said(page))
        page.evaluate("document.getElementById('note').open = true")
        for stop in (behind, ahead):
            ask(page, **here)
            page.select_option("#note-water", stop.label)
            page.select_option("#note-found", "dry")
            page.click("#note-keep")
            told.append(said(page))
        page.click("#note-undo")
        page.click("#note-undo")
        told.append(said(page))

    assert told[0].startswith(f"Turn back to {behind.label}")
    for words in told[1:3]:
        assert words.startswith("Wait here. Call for help.")
        assert f"You found no water at {behind.label}: do not turn back to it." in words
        assert "there and back" not in words
    assert f"You found no water at {ahead.label}: on only past it." in told[2]
    assert told[3] == told[0]


def test_a_walker_just_on_plan_is_told_to_go_on(browser, sample_file):
    """Typed at each camp late in the evening, on a phone, as the day table tells it.

    But for water that breaks the plan: no cans hold enough to bear it dry. In the morning with less
    than the plan has: to save from now on, then to turn back.
    """
    plan, told = planned("gorge_walk"), {}
    breaks = {one.id for one in plan.setbacks.proof.breaks}
    with opened(browser, sample_file("gorge_walk"), width=360, height=740) as watched:
        for day in (one for one in plan.days if one.camp and not one.at_water):
            ask(watched.page, km=round(day.to_km, 1), day=day.number, time="23:30",
                left=str(math.floor(day.on_board_l)))  # fmt: skip
            water = next(one.end.water for one in plan.stretches if one.end.km > day.to_km)
            is_held = water is None or water.source.id not in breaks
            told[day.to_km] = (is_held, said(watched.page))
        camp = plan.days[1].to_km
        row, late = row_on_plan(plan.least.planned, camp, 55.5, plan.stretches[1].end.km)
        least_l = rounded_up(row.least_l(late), 0.1)
        morning = []
        for left in (row.told_l, least_l, least_l - 0.1):
            ask(watched.page, km=round(camp, 1), day=3, time="07:30", left=f"{left:.1f}")
            morning.append(said(watched.page))

    assert len(told) > 5
    held = [words for is_held, words in told.values() if is_held]
    assert len(held) > 4
    assert [words for words in held if not words.startswith("Go on.")] == []
    assert morning[0].startswith("Go on.\n")
    assert "You have what the plan counts on here." in morning[0]
    assert "is dry: the bare ration from there, on or back; your water is enough" in morning[0]
    assert "the way back is open until km 46.1" in morning[0]
    assert morning[1].startswith("Go on, saving. On the bare ration.")
    assert morning[2].startswith("Turn back to Hut Tank at Wren Gap")


RANKS = ["on", "saving", "fill", "back", "wait"]


def test_less_water_is_never_told_a_better_answer(browser, sample_file):
    """From much to nothing the answer goes from on to saving, to back, to waiting.

    At 200 random places and hours by the page's own script, and at one by typing.
    """
    dice = random.Random(20270503)
    asked = [(dice.uniform(0.0, 100.0), dice.uniform(7.0, 110.0)) for _ in range(200)]
    run = """(asked) => {
      const data = JSON.parse(document.getElementById("here-data").textContent);
      const all = [...Array(61).keys()].map((each) => 69 - each * 1.15);
      return asked.map((one) => all.map((litres) => longdryAnswer(data, ...one, litres).says));
    }"""
    with opened(browser, sample_file("gorge_walk"), width=360, height=740) as watched:
        told = []
        for litres in (69, 60, 45, 38, 32, 28, 20, 12, 3, 0):
            ask(watched.page, km=30, left=str(litres))
            told.append(watched.page.locator("#here-answer .says").inner_text())
        width = watched.page.evaluate("document.documentElement.scrollWidth")
        found = watched.page.evaluate(run, asked)
        requests, messages = watched.requests, watched.messages

    starts = ("Go on.", "Go on, saving", "Fill", "Turn back", "Wait here")
    typed = [
        next(rank for rank, words in enumerate(starts) if one.startswith(words)) for one in told
    ]
    assert typed == sorted(typed)
    assert len(set(typed)) > 1
    ranked = [[RANKS.index(one) for one in each] for each in found if "unknown" not in each]
    assert [each for each in ranked if each != sorted(each)] == []
    assert len(ranked) > 20
    assert {rank for each in ranked for rank in each} >= {0, 1, 3, 4}
    assert width <= 360
    assert requests == []
    assert messages == []


def test_an_hour_that_no_table_reaches_is_told_as_worse(browser, sample_file):
    """Days late: no figure is given to go on with, and the way out is to plan again or to wait."""
    with opened(browser, sample_file("gorge_walk")) as watched:
        ask(watched.page, km=30, day=9, left="60")
        words = said(watched.page)

    assert words.startswith("Not known for that hour.")
    assert "At rest in shade the water lasts until" in words


def test_who_comes_to_a_camp_at_water_and_finds_it_dry_is_answered(browser, sample_file):
    """No plan made again from that hour asks for more; evening and night are answered too."""
    plan = planned("stock_route_ride")
    came = next(row for row in plan.least.rows if row.is_on_arriving)
    leaves_h = next(
        row.hour for row in plan.least.rows if row.is_halt and row.from_km == came.from_km
    )
    first_h = math.ceil(came.hour * 4.0) / 4.0
    hours, told = [first_h, *range(math.ceil(first_h), int(leaves_h), 2)], []
    with opened(browser, sample_file("stock_route_ride")) as watched:
        for hour in hours:
            clock = f"{int(hour % 24):02d}:{round(hour % 1 * 60):02d}"
            day = int(hour // 24) + 1
            ask(watched.page, km=round(came.from_km, 3), day=day, time=clock, left="1")
            told.append(said(watched.page))
    figures = re.search(r"need ([0-9.]+) L full, ([0-9.]+) L lean, ([0-9.]+) L bare", told[0])
    again = made_again(plan, came.from_km, first_h)

    assert leaves_h - came.hour > 12.0
    assert [words for words in told if "Not known" in words] == []
    assert [
        (shown, asked)
        for shown, asked in zip(map(float, figures.groups()), again, strict=True)
        if shown < asked - 1e-6
    ] == []


@pytest.mark.parametrize("name", ["gorge_walk", "saltbush_loop"])
def test_who_cannot_move_gets_the_waiting_page_alone(browser, sample_file, name):
    """How to wait, and until when the water lasts: litres over the litres of a day of waiting."""
    table = planned(name).least
    with opened(browser, sample_file(name), width=360, height=740, dark=True) as watched:
        ask(watched.page, moves="no", km=40, day=2, time="10:00", left="60")
        shown = watched.page.locator("body").inner_text()
        found = axe_violations(watched.page)
        ask(watched.page, moves="yes")
        again = watched.page.locator("#way").is_visible()
    days = (60.0 - table.waiting.always_l) / table.waiting.l_per_day
    hour = 34 + math.floor(days * 24.0)

    assert f"lasts until day {hour // 24 + 1}, " in shown
    assert f"{hour % 24:02d}:00." in shown
    assert "The way" not in shown.splitlines()
    assert "a day for all" in shown
    assert "Turn back" not in shown
    assert found == []
    assert again


def test_stops_and_camps_of_the_list_lead_there(browser, sample_file):
    """Each button fills in its km and the plan's own hour; keys alone do."""
    with opened(browser, sample_file("gorge_walk")) as watched:
        page = watched.page
        page.evaluate("for (const d of document.querySelectorAll('.way details')) d.open = true")
        buttons = page.locator("[data-here]")
        kms = buttons.evaluate_all("all => all.map(one => Number(one.dataset.here))")
        buttons.nth(2).focus()
        page.keyboard.press("Enter")
        filled = float(page.input_value("#here-km"))
        is_open = page.locator("#here").get_attribute("open") is not None
        page.keyboard.press("Space")
        page.fill("#here-left", "40")
        words = said(page)
    plan = planned("gorge_walk")
    camps = [day.to_km for day in plan.days if day.camp and not day.at_water]

    assert filled == pytest.approx(kms[2], abs=1e-3)
    assert is_open
    assert "you need" in words
    for km in [*(stretch.begin.km for stretch in plan.stretches), *camps]:
        assert min(abs(km - at) for at in kms) < 0.01


def test_the_panel_is_asked_and_answered_by_keys_alone(browser, sample_file):
    """From the link at the head of the page on: Tab, arrows, Enter and typing."""
    with opened(browser, sample_file("gorge_walk")) as watched:
        page = watched.page
        page.locator(".to-here").focus()
        page.keyboard.press("Enter")
        page.locator("#here > summary").focus()
        if page.locator("#here").get_attribute("open") is None:
            page.keyboard.press("Enter")
        page.keyboard.press("Tab")
        page.keyboard.press("Space")
        page.keyboard.press("Tab")
        page.keyboard.press("ArrowDown")
        page.keyboard.press("ArrowDown")
        for _ in range(40):
            if page.evaluate("document.activeElement.id") == "here-left":
                break
            page.keyboard.press("Tab")
        page.keyboard.type("40")
        words, found = said(page), axe_violations(page)

    assert "you need" in words
    assert found == []


@pytest.mark.parametrize("name", ["gorge_walk", "saltbush_loop"])
def test_the_list_tells_the_least_litres_that_the_panel_goes_on_with(browser, sample_file, name):
    """Without script too, at every stop and camp: with so much the panel goes on, with less not."""
    plan, found = planned(name), []
    run = """([km, hour, litres]) => {
      const data = JSON.parse(document.getElementById("here-data").textContent);
      return litres.map((one) => longdryAnswer(data, km, hour, one).says);
    }"""
    halts = [row for row in plan.least.rows if row.is_halt and not row.is_on_arriving]
    holds_l = sum(sizes_l(plan).values())
    with opened(browser, sample_file(name)) as watched:
        shown = watched.page.locator("#way").text_content()
        for row in halts:
            day = int(row.hour // 24.0) + 1
            _, saving_l, dry_l = least_to_go_on(plan, row.from_km, day)
            asked = [one + more for one in [max(saving_l, dry_l)] for more in (0.1, -0.1)]
            says = watched.page.evaluate(run, [row.from_km, row.hour, asked])
            if asked[0] <= holds_l:
                found.append(says)
            told = (least_words(plan, row.from_km, METRIC, one)[1:] for one in (day, None))
            assert any(words in shown for words in told)

    assert len(found) > 5
    assert {enough for enough, _ in found} <= {"on", "saving"}
    assert {less for _, less in found}.isdisjoint({"on", "saving"})


def slid(page):
    """Drag the slider from its end to its middle, then press keys: the km of each, and the way."""
    page.locator("#here-slide").scroll_into_view_if_needed()
    drawn(page)
    box = page.locator("#here-slide").bounding_box()
    y = box["y"] + box["height"] / 2.0
    page.mouse.move(box["x"] + 8.0, y)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 4.0, y, steps=4)
    page.mouse.move(box["x"] + box["width"] / 2.0, y, steps=4)
    page.mouse.up()
    kms = [float(page.input_value("#here-km"))]
    for key in ("ArrowRight", "ArrowLeft", "End"):
        page.keyboard.press(key)
        kms.append(float(page.input_value("#here-km")))
    return kms


def test_a_tap_on_the_route_and_the_slider_give_a_km(browser, sample_file):
    """Each km mark of the map, tapped, is told as its own km, to 0.1; a line midway too.

    The slider, dragged to its middle, gives the middle of the way; an arrow is a tenth of a km.
    """
    middle = """(line) => {
      const half = line.getPointAtLength(line.getTotalLength() / 2);
      const point = half.matrixTransform(line.getScreenCTM());
      return [point.x, point.y];
    }"""
    with opened(browser, sample_file("gorge_walk")) as watched:
        watched.page.evaluate("document.getElementById('here').open = true")
        half_km, more_km, again_km, end_km = slid(watched.page)
        line = watched.page.locator("path.reach").first
        line.scroll_into_view_if_needed()
        at_rest(watched.page)
        watched.page.mouse.click(*line.evaluate(middle))
        tapped = float(watched.page.input_value("#here-km"))
        marks = json.loads(watched.page.locator("#map-data").text_content())["marks"][4::20]
        ask(watched.page, km=1)
        found = [
            watched.page.evaluate(
                """([_, lat, lng]) => {
                  const detail = { lat, lng };
                  document.dispatchEvent(new CustomEvent("longdry-tap", { detail }));
                  return Number(document.getElementById("here-km").value);
                }""",
                mark,
            )
            for mark in marks
        ]

    middles = [(one.begin.km + one.end.km) / 2.0 for one in planned("gorge_walk").stretches]
    assert min(abs(tapped - km) for km in middles) < 1.0
    length_km = planned("gorge_walk").measured.length_km
    assert half_km == pytest.approx(length_km / 2.0, rel=0.05)
    assert (more_km - half_km, again_km) == (pytest.approx(0.1), half_km)
    assert end_km == pytest.approx(length_km, abs=0.1)
    assert len(marks) > 5
    for mark, km in zip(marks, found, strict=True):
        assert km == pytest.approx(mark[0], abs=0.1)


def write_down(page):
    """Keep two readings: water called at, and new water."""
    ask(page, km=46.1, day=3, time="09:00", left="31.5")
    page.select_option("#note-water", label="km 46.1, Fern Pool")
    page.select_option("#note-found", "low")
    page.fill("#note-took", "12")
    page.fill("#note-words", "one end green")
    page.click("#note-keep")
    ask(page, km=61, day=4, time="15:00", left="20")
    page.select_option("#note-water", "new")
    page.fill("#note-name", "بئر بلا اسم")
    page.select_option("#note-found", "flowing")
    page.click("#note-keep")


def test_what_is_written_down_comes_home(browser, sample_file, tmp_path):
    """Kept over a reload, undone, saved; the file is read as a tally, planned with and brought."""
    with opened(browser, sample_file("gorge_walk")) as watched:
        page = watched.page
        write_down(page)
        ask(page, km=70, day=5, time="10:00", left="9")
        page.click("#note-keep")
        page.reload()
        kept = page.locator("#note-list li").all_text_contents()
        ask(page, km=70)
        page.click("#note-undo")
        with page.expect_download() as download:
            page.click("#note-save")
        name = download.value.suggested_filename
        download.value.save_as(tmp_path / name)
        page.evaluate("localStorage.clear()")
        requests, messages = watched.requests, watched.messages
    entries = read_tally(tmp_path / name)
    book = tmp_path / "book.geojson"
    brought = [["bring", book, WALK / "water.geojson", "--own"], ["bring", book, tmp_path / name]]
    status = [main([str(word) for word in words]) for words in brought]
    rest = plan_trip(
        read_route(WALK / "route.gpx"),
        read_water([book]),
        read_trip(WALK / "trip.toml"),
        inquiry=Inquiry(trials=0),
        on_the_way=OnTheWay(entries[-1].at, entries[-1].left, entries[-1].km, tally=entries),
    )

    assert name == "Nine_Gorges_Walk.tally.json"
    assert len(kept) == 3
    assert [(entry.km, entry.left_l) for entry in entries] == [(46.1, 31.5), (61.0, 20.0)]
    assert (entries[0].source, entries[0].took_l, entries[0].found) == ("Fern Pool", 12.0, "low")
    assert entries[1].new_source.name == "بئر بلا اسم"
    assert entries[1].at.isoformat() == "2027-07-13T15:00:00"
    assert "".join(map(line_of, entries)).count("\n") == 2
    assert rest.stretches[0].begin.km == 61.0
    assert status == [0, 0]
    assert requests == []
    assert messages == []


def test_where_storage_is_refused_the_text_is_there_to_copy(browser, sample_file):
    """A browser that keeps nothing for a file says so, and shows every reading as text."""
    with opened(browser, sample_file("gorge_walk")) as watched:
        page = watched.page
        page.evaluate(
            "() => { Storage.prototype.setItem = () => { throw new Error('refused'); }; }"
        )
        write_down(page)
        words = page.locator("#note-says").inner_text()
        lines = page.input_value("#note-text").splitlines()

    assert "copy the text below" in words
    assert len(lines) == 2
    assert json.loads(lines[0])["took_l"] == 12


def test_the_page_of_the_rest_of_a_trip_asks_and_answers_from_there(browser, tmp_path):
    """From km 61 on: the panel begins there, and no word speaks of the start."""
    rest = plan_trip(
        read_route(WALK / "route.gpx"),
        read_water([WALK / "water.geojson"]),
        read_trip(WALK / "trip.toml"),
        inquiry=Inquiry(trials=0, least_litres=True),
        on_the_way=OnTheWay(81.0, read_tally_left(tmp_path, 30.0), 61.0),
    )
    file = tmp_path / "rest.html"
    file.write_text(page_html(rest), encoding="utf-8")
    with opened(browser, file) as watched:
        page = watched.page
        ask(page, km=65, day=4, time="11:00", left="30")
        words = said(page)
        shown = page.locator("main").inner_text().casefold()
        ask(page, km=30, day=4, time="11:00", left="30")
        behind = said(page)

    assert "you need" in words
    assert "not on the way" in behind
    assert "before you go on" in shown
    assert "here of the route" not in shown
    assert "from the start" not in shown


def read_tally_left(folder, litres):
    """Return what is left as a tally says it."""
    file = folder / "rest.tally.json"
    file.write_text(f'{{"at": "2027-07-13T09:00", "left": {litres}}}\n', encoding="utf-8")
    return read_tally(file)[-1].left
