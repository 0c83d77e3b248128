"""The panel of the road in a real Chromium: what it asks, what it says, what it keeps.

Its figures are held against plans made again in tests/computing/plan/test_least_litres.py.
"""

from __future__ import annotations

import json
import math

import pytest
from page_in_browser import axe_violations, opened
from project_places import SAMPLES
from sample_plans import planned

from longdry.api import plan_trip, read_route, read_trip, read_water
from longdry.cli.main import main
from longdry.model.trip.here import OnTheWay
from longdry.model.trip.what_if import Inquiry
from longdry.reading.road.tally_file import line_of, read_tally
from longdry.showing.page.page import page_html

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


def test_less_water_is_never_told_a_better_answer(browser, sample_file):
    """From much to nothing the answer goes from on to saving, to back, to waiting."""
    ranks = {"Go on.": 0, "Go on, saving": 1, "Turn back": 2, "Wait here": 3}
    with opened(browser, sample_file("gorge_walk"), width=360, height=740) as watched:
        told = []
        for litres in (200, 60, 45, 38, 32, 28, 20, 12, 3, 0):
            ask(watched.page, km=30, left=str(litres))
            first = said(watched.page).splitlines()[0]
            told.append(next(rank for words, rank in ranks.items() if first.startswith(words)))
        width = watched.page.evaluate("document.documentElement.scrollWidth")

    assert told == sorted(told)
    assert set(told) >= {0, 2, 3}
    assert width <= 360
    assert watched.requests == []
    assert watched.messages == []


def test_an_hour_that_no_table_reaches_is_told_as_worse(browser, sample_file):
    """Days late: no figure is given to go on with, and the way out is to plan again or to wait."""
    with opened(browser, sample_file("gorge_walk")) as watched:
        ask(watched.page, km=30, day=9, left="60")
        words = said(watched.page)

    assert words.startswith("Not known for that hour.")
    assert "At rest in shade the water lasts until" in words


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


def test_a_tap_on_the_route_gives_its_km(browser, sample_file):
    """Each km mark of the map, tapped, is told as its own km, to 0.1."""
    with opened(browser, sample_file("gorge_walk")) as watched:
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
