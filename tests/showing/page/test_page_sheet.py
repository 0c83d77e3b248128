"""The sheet to carry and the papers beside it: what they say, and that they fit on paper."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
import subprocess

import pytest
from lxml import html
from make import calling_at, container, source_at, straight_route, trip
from page_in_browser import opened
from plan_examples import HOSTILE_NAMES, Names, gap_plan, make_plan
from sample_plans import NAMES, page_of, planned

from longdry.computing.plan.planning import plan_trip
from longdry.model.plan.headline import Headline, HeadlineLevel
from longdry.model.trip.party import Use
from longdry.model.trip.trip import Contact
from longdry.model.words import Accrual, Certainty, Grade, Ration, Verdict
from longdry.showing.page.page import page_html

pytestmark = pytest.mark.browser
LONGEST = "W" * 10_000
LEAST_PX = 12 * 96 / 72
"""12 points."""


def _twelve_calls():
    """Plan 1,200 km with a call every 90 km, each a tap with a name, hours and a tool."""
    sources = [
        dataclasses.replace(source_at(90.0 * n), id=f"w{n}", name=f"Number {n} Government Tank",
                            access="tap, bring the tap key", open_from_hour=6.0,
                            open_to_hour=20.0)
        for n in range(1, 13)
    ]  # fmt: skip
    made = trip(policy=calling_at(*sources, reserve_days=1.0), containers=[container(20.0, 4)])
    named = dataclasses.replace(made, depart=dt.datetime(2027, 5, 3, 8))  # noqa: DTZ001 - local
    return plan_trip(straight_route(1200.0, 50), sources, named)


PLANS = {
    "gorge": lambda: planned("gorge_walk"),
    "loop": lambda: planned("saltbush_loop"),
    "ride": lambda: planned("stock_route_ride"),
    "12 calls": _twelve_calls,
    "gap": gap_plan,
}


@pytest.fixture(scope="module")
def loop():
    return planned("saltbush_loop")


def _rows(plan_page):
    """Rows of the stops, head and what stands between them left out."""
    tree = html.document_fromstring(plan_page)
    rows = tree.xpath("//table[@class='calls']/tbody/tr")
    return [row for row in rows if row.get("class") not in ("alarm", "turn")]


def _printed(browser, folder, plan, alone=""):
    """Print the page; return the words of each page of paper."""
    file = folder / "plan.html"
    file.write_text(page_html(plan), encoding="utf-8")
    with opened(browser, file) as watched:
        if alone:
            watched.page.evaluate(f"document.documentElement.classList.add('{alone}-alone')")
        watched.page.emulate_media(media="print")
        watched.page.pdf(path=folder / "plan.pdf", prefer_css_page_size=True)
    text = subprocess.run(
        ["pdftotext", "-layout", folder / "plan.pdf", "-"],
        capture_output=True, text=True, check=True,
    ).stdout  # fmt: skip
    return [" ".join(paper.split()) for paper in text.split("\f")[:-1]]


@pytest.mark.parametrize("name", PLANS)
def test_sheet_alone_is_one_leaf(browser, tmp_path, name):
    """Both sides of one A4 page, for 12 calls too; nothing else is printed with it."""
    plan = PLANS[name]()
    papers = _printed(browser, tmp_path, plan, "sheet")

    assert len(papers) <= 2
    assert "Local authorities" in papers[-1]
    assert "Worst stretch" not in " ".join(papers)
    if name == "12 calls":
        assert len(plan.stops) == 12


def test_the_sheet_waits_as_long_as_the_headline():
    """A day of help and half a day between two words home: 1.5 days in both."""
    plan = planned("gorge_walk")
    sheet = html.document_fromstring(page_of("gorge_walk")).xpath(
        "//div[contains(@class,'sheet-page')]"
    )
    words = " ".join(sheet[0].text_content().split())

    assert "Help may take 1.5 days." in words
    assert any("help may take 1.5 days" in one for one in plan.headline.because)


@pytest.mark.parametrize("level", HeadlineLevel)
def test_sheet_begins_with_whether_they_may_start(level):
    """Nobody carries the sheet of a plan that is not safe without reading so first."""
    plan = dataclasses.replace(gap_plan(), headline=Headline(level, ("Because.",)))
    sheet = html.document_fromstring(page_html(plan)).xpath("//div[contains(@class,'sheet-page')]")
    words = " ".join(sheet[0].text_content().split())

    assert words.startswith("Print this sheet alone")
    begins = "Print this sheet aloneDo not start on this plan."
    assert words.startswith(begins) is (level is HeadlineLevel.NOT_SAFE)


@pytest.mark.parametrize("name", NAMES)
def test_every_stop_stands_on_the_sheet_in_order(name):
    """Start, every call, end: km ascending, each call with its name and its coordinates."""
    plan = planned(name)
    rows = _rows(page_of(name))
    km = [float(row[0].text_content()) for row in rows]

    assert km == [round(end, 1) for end in [0.0, *(s.end.km for s in plan.stretches)]]
    for row, stretch in zip(rows[1:-1], plan.stretches[1:], strict=True):
        words = row[1].text_content()
        source = stretch.begin.water.source
        assert source.name in words
        assert f"{abs(source.lat_deg):.4f}° S {abs(source.lon_deg):.4f}° W" in words


@pytest.mark.parametrize("name", NAMES)
def test_sheet_says_what_to_leave_with_as_it_is_read_on_the_cans(name):
    """Litres by the fill plan, rounded up; full cans counted, the rest in quarters."""
    plan = planned(name)
    for row, stretch in zip(_rows(page_of(name)), plan.stretches, strict=False):
        words = row[2].text_content()
        assert 0.0 <= float(words.split()[0]) - stretch.on_board_l < 0.11
        assert "full" in words or "half" in words or "quarter" in words


def test_where_it_is_not_clear_an_alarm_stands_before_the_stretch(loop):
    """Litres missing and the last km to turn back, between the two stops."""
    tree = html.document_fromstring(page_of("saltbush_loop"))
    alarms = [" ".join(row.text_content().split()) for row in tree.xpath("//tr[@class='alarm']")]
    bad = [s for s in loop.stretches if s.verdict is not Verdict.CLEAR]

    assert len(alarms) == len(bad) > 1
    for alarm, stretch in zip(alarms, bad, strict=True):
        assert alarm.startswith(str(stretch.verdict).upper())
        assert "L missing" in alarm
    turn_km = loop.setbacks.turn_backs[bad[-1].number - 1].water_km
    found = float(re.search(r"TURN BACK BY KM ([\d.]+)", alarms[-1])[1])
    assert 0.0 <= turn_km - found < 0.1


def test_every_evening_has_the_litres_that_are_due(loop):
    """By the fill plan, rounded down, with room for what is found."""
    tree = html.document_fromstring(page_of("saltbush_loop"))
    items = tree.xpath("//ul[@class='evenings']/li")
    camps = [day for day in loop.days if day.camp]

    assert len(items) == len(camps)
    for item, day in zip(items, camps, strict=True):
        due = float(re.search(r"due ([\d.]+) L", item.text_content())[1])
        assert 0.0 <= day.on_board_l - due < 0.11
        assert item.xpath(".//*[contains(@class,'blank')]")


def test_the_order_of_giving_up_is_that_of_the_rations():
    """Washing is kept on the full ration alone, cooking on the lean, drinking always."""
    words = _sheet_words(page_of("saltbush_loop"))

    assert "Save first: evening wash, then cooking, then washing up." in words
    assert "Never save on drinking" in words


def test_water_that_is_always_carried_is_told():
    """It is never planned to be spent."""
    plan = gap_plan()
    engine = Use("engine", 5.0, Grade.NOT_FOR_DRINKING, Accrual.ALWAYS, Ration.BARE)
    uses = (*plan.trip.uses, engine)
    words = _sheet_words(
        page_html(dataclasses.replace(plan, trip=dataclasses.replace(plan.trip, uses=uses)))
    )

    assert "never planned to be spent: 5 L engine" in words


def test_whom_to_call_and_when_to_worry_stand_on_the_sheet_and_at_home():
    """Means of calling, check-in, alarm date and whom home rings, or room to write them."""
    plan = gap_plan()
    contact = Contact("satellite phone", 1.0, dt.date(2027, 5, 17), 2.0, "the police post")
    told = _sheet_words(
        page_html(dataclasses.replace(plan, trip=dataclasses.replace(plan.trip, contact=contact)))
    )
    tree = html.document_fromstring(
        page_html(dataclasses.replace(plan, trip=dataclasses.replace(plan.trip, contact=contact)))
    )
    home = " ".join(tree.get_element_by_id("papers").text_content().split())

    for words in (told, home):
        assert "satellite phone" in words
        assert "every 1 day" in words
        assert "Mon 17 May 2027" in words
        assert "the police post" in words


def test_papers_ask_first_about_what_strands_and_leave_out_what_is_certain():
    """Every uncertain source of the plan once; who leaves no way to water comes first."""
    plan = planned("saltbush_loop")
    tree = html.document_fromstring(page_of("saltbush_loop"))
    asked = [item.xpath("./b//bdi")[0].text for item in tree.xpath("//ul[@class='asks']/li")]
    uncertain = {
        water.source.name
        for stretch in plan.stretches
        for water in stretch.begin.waters
        if water.judgement.certainty is not Certainty.CERTAIN
    }

    assert sorted(asked) == sorted(uncertain)
    assert asked[0] == "Lastgate Tank"


def _sheet_words(page):
    tree = html.document_fromstring(page)
    return " ".join(tree.get_element_by_id("sheet").text_content().split())


def test_sheet_is_black_on_white_and_twelve_points(browser, sample_file):
    """On paper no colour and no type below 12 points, in the papers beside it too."""
    with opened(browser, sample_file("saltbush_loop"), dark=True) as watched:
        watched.page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        watched.page.emulate_media(media="print", color_scheme="light")
        styles = watched.page.evaluate(
            """[...document.querySelectorAll(".paper *")].filter(e => e.checkVisibility()).map(
              e => getComputedStyle(e)).map(s => [s.color, parseFloat(s.fontSize)])"""
        )

    assert {colour for colour, _ in styles} == {"rgb(0, 0, 0)"}
    assert min(size for _, size in styles) >= LEAST_PX - 0.01


@pytest.mark.parametrize("names", [Names(), Names(LONGEST, LONGEST, (LONGEST,) * 5, LONGEST)])
def test_phone_sets_the_sheet_below_itself(browser, tmp_path, names):
    """At 360 px nothing is scrolled sideways, open as it is."""
    file = tmp_path / "plan.html"
    file.write_text(page_html(gap_plan(names)), encoding="utf-8")
    with opened(browser, file, width=360, height=740) as watched:
        page = watched.page
        page.evaluate("document.querySelectorAll('#sheet, #papers').forEach(d => d.open = true)")

        assert page.evaluate("document.documentElement.scrollWidth") <= 360


@pytest.mark.parametrize("part", ["sheet", "papers"])
def test_button_prints_its_part_alone(browser, sample_file, part):
    """Pressed by keyboard, it prints with everything else hidden, and all is back afterwards."""
    with opened(browser, sample_file("saltbush_loop")) as watched:
        page = watched.page
        page.evaluate("window.print = () => { window.seen = document.documentElement.className; }")
        page.locator(f"#{part} > summary").click()
        page.locator(f"[data-print={part}]").press("Enter")
        assert f"{part}-alone" in page.evaluate("window.seen")
        page.emulate_media(media="print")
        assert page.locator(f"#{part} .paper").first.is_visible()
        assert not page.locator("#answer").is_visible()
        page.evaluate("window.dispatchEvent(new Event('afterprint'))")
        assert page.locator("#answer").is_visible()


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_names_on_the_papers_are_text(name):
    """A hostile name adds no element to sheet or papers; only the name is isolated."""
    for part in ("sheet", "papers"):
        plain, hostile = (
            html.document_fromstring(
                page_html(gap_plan(Names(n, n, (n,) * 5, n)))
            ).get_element_by_id(part)
            for n in ("Well", name)
        )

        assert [e.tag for e in hostile.iter()] == [e.tag for e in plain.iter()]


def test_a_long_trip_goes_on_to_more_leaves(browser, tmp_path):
    """60 stops are all there, whatever paper it takes."""
    papers = _printed(browser, tmp_path, make_plan((Verdict.CLEAR, Verdict.TOO_LONG) * 30), "sheet")
    rows = _rows((tmp_path / "plan.html").read_text("utf-8"))

    assert len(papers) > 2
    assert all(row[0].text_content() in " ".join(papers) for row in rows)
