"""The sheet to carry and the papers beside it: what they say, and that they fit on paper."""

from __future__ import annotations

import dataclasses
import datetime as dt
import itertools
import re
import subprocess

import pytest
from lxml import html
from make import PACE, calling_at, container, source_at, straight_route, trip, use
from page_in_browser import opened
from plan_examples import HOSTILE_NAMES, Names, gap_plan, make_plan
from sample_plans import NAMES, page_of, planned

from longdry.computing.plan.planning import plan_trip
from longdry.model.plan.fills import VesselLevel
from longdry.model.plan.headline import Headline, HeadlineLevel
from longdry.model.trip.party import Use
from longdry.model.trip.trip import Contact
from longdry.model.words import (
    Accrual,
    Certainty,
    ContainerGrade,
    FillHabit,
    Grade,
    Ration,
    Travel,
    Verdict,
)
from longdry.showing.page.page import page_html
from longdry.showing.sheet.sheet import sheet_section
from longdry.showing.words.cans import fewest_full
from longdry.showing.words.measures import METRIC

pytestmark = pytest.mark.browser
LONGEST = "W" * 10_000
FOR_ALL = (
    "Never stake your life on one uncertain source",
    "do not wait for rain",
    "Camp 200 m from it, never in a creek bed",
    "water helps in you, not in the can",
    "share what is left anew",
)
"""Cautions that every sheet has."""
LEAST_PX = 12 * 96 / 72
"""12 points."""


def test_heat_beyond_the_limits_is_the_first_reason_on_the_sheet():
    """Two dry stretches before it, and room for two reasons: what nobody may do by day leads."""
    plan = gap_plan()
    hot = "Days 1 to 3: 46 °C. Do not move by day: people cannot drink what they lose."
    because = ("Stretch 1 is too long.", "Stretch 2 is too long.", hot)
    hotter = dataclasses.replace(plan, headline=dataclasses.replace(plan.headline, because=because))
    head = html.fromstring(sheet_section(hotter, METRIC)).find(".//h4").getnext()

    assert head.text_content().strip() == f"{hot} Stretch 1 is too long."


def _twelve_calls():
    """Plan 13 days with 12 calls, each with a name, hours, a tool, a way and a camp.

    Every second is treated, two are locked at times, four waters lie there for need alone.
    """
    sources = [
        dataclasses.replace(
            source_at(190.0 * n, offset_km=0.5 + n / 10.0,
                      grade=Grade.POTABLE if n % 2 else Grade.TREAT),
            id=f"w{n}", name=f"Number {n} Government Tank", kind="tank",
            access="bucket on a rope, 9 m" if n % 2 else "tap, bring the tap key",
            open_from_hour=6.0, open_to_hour=20.0, flow_l_per_min=5.0,
            certainty=Certainty.LIKELY, note="" if n % 5 else "locked at times")
        for n in range(1, 13)
    ]  # fmt: skip
    dams = [
        dataclasses.replace(source_at(190.0 * n + 80.0, offset_km=3.0, grade=None),
                            id=f"d{n}", name=f"Old Cattle Dam {n}", kind="dam")
        for n in (1, 3, 5, 7)
    ]  # fmt: skip
    uses = [
        use(litres=5.0),
        use("cooking", 1.6, per=Accrual.PARTY_DAY, kept=Ration.LEAN),
        use("washing up", 2.2, per=Accrual.PARTY_DAY, kept=Ration.LEAN, grade=Grade.TREAT),
        use("evening wash", 0.8, per=Accrual.PERSON_NIGHT, kept=Ration.FULL, grade=Grade.TREAT),
        use("engine", 5.0, per=Accrual.ALWAYS, grade=Grade.NOT_FOR_DRINKING),
    ]
    bladder = dataclasses.replace(container(10.0, 1), name="bladder", grade=ContainerGrade.ANY)
    made = trip(
        people=3,
        can_treat=True,
        uses=uses,
        containers=[container(20.0, 4), bladder],
        pace=dataclasses.replace(PACE, hours_per_day=3.4),
        policy=calling_at(*sources, reserve_days=2.0, fill=FillHabit.TOP_UP),
    )
    contact = Contact("satellite phone", 1.0, dt.date(2027, 5, 25), 2.0, "the police post")
    depart = dt.datetime(2027, 5, 3, 8)
    named = dataclasses.replace(made, depart=depart, contact=contact)
    return plan_trip(straight_route(2450.0, 60), [*sources, *dams], named)


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
        assert sum(day.camp for day in plan.days) == 12


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


@pytest.mark.parametrize("name", NAMES)
def test_what_helps_nobody_out_there_is_not_on_the_sheet(name):
    """No percents, no formulas, no mends, no grams of fuel; beside the calls no sentence twice."""
    words = _sheet_words(page_of(name))
    sheet = html.document_fromstring(page_of(name)).get_element_by_id("sheet")
    sheet.xpath(".//table")[0].drop_tree()
    beside = " ".join(part.strip() for part in sheet.itertext())
    sentences = [one for one in re.split(r"(?<=[.]) +", beside) if len(one.split()) > 3]

    for part in ("%", "standard error", "mend", "g of fuel", "ISO 7933", "US qt"):
        assert part not in words
    assert len(set(sentences)) == len(sentences)


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


@pytest.mark.parametrize("left_l", range(0, 71, 7))
def test_fewer_cans_are_full_only_where_too_much_is_used(left_l):
    """Worked by trying: however cans are emptied one after the other, no fewer are left full.

    Three cans of 20 L and a bag of 10 L, all full; what is used comes out of them in any order.
    """
    cans = {"can 1": 20.0, "can 2": 20.0, "can 3": 20.0, "bag": 10.0}
    levels = [VesselLevel(name, litres, Grade.POTABLE) for name, litres in cans.items()]
    full = []
    for order in itertools.permutations(cans):
        held, used_l = dict(cans), 70.0 - left_l
        for name in order:
            poured_l = min(held[name], used_l)
            held[name] -= poured_l
            used_l -= poured_l
        full.append(sum(held[name] == 20.0 for name in cans))

    assert fewest_full(levels, left_l, cans) == min(full)


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


@pytest.mark.parametrize(
    ("travel", "told"),
    [
        (Travel.VEHICLE, ("Five litres each by the door", "Radiator water", "Stay with the vehicle",
                          ". Nobody walks or digs by day")),
        (Travel.FOOT, ("Move only if you know the water", "In great heat nobody walks or digs")),
        (Travel.BICYCLE, ("Move only if you know the water", "In great heat nobody rides, walks")),
    ],
)  # fmt: skip
def test_cautions_are_those_of_the_way_of_travel(travel, told):
    """Of a door and of a radiator nobody reads who walks; the others stand for all."""
    plan = gap_plan()
    pace = dataclasses.replace(plan.trip.pace, travel=travel)
    page = page_html(dataclasses.replace(plan, trip=dataclasses.replace(plan.trip, pace=pace)))
    words = _sheet_words(page)

    for caution in (*told, *FOR_ALL):
        assert caution in words
    assert ("by the door" in words) is ("adiator" in words) is (travel is Travel.VEHICLE)


def test_of_caches_they_read_who_count_on_one():
    """A cache that nobody has seen again is not there."""
    plan = gap_plan()
    cached = dataclasses.replace(plan.stretches[1].begin.water.source, kind="cache")
    water = dataclasses.replace(plan.stretches[1].begin.water, source=cached)
    begin = dataclasses.replace(plan.stretches[1].begin, water=water)
    stretches = list(plan.stretches)
    stretches[1] = dataclasses.replace(stretches[1], begin=begin)
    told = "not seen again means not there"

    assert told not in _sheet_words(page_html(plan))
    assert told in _sheet_words(page_html(dataclasses.replace(plan, stretches=tuple(stretches))))


def test_what_is_read_in_need_is_not_cut_off():
    """A telephone number at the end of long words stands on the sheet and at home."""
    plan = gap_plan()
    long = "the police post at the far crossing of the two long roads, telephone 5550 1000"
    contact = Contact("satellite phone", 0.5, dt.date(2027, 5, 17), 2.0, long)
    page = page_html(
        dataclasses.replace(plan, trip=dataclasses.replace(plan.trip, contact=contact))
    )
    words = html.document_fromstring(page).text_content()

    assert words.count("telephone 5550 1000") >= 2
    assert "every 12 hours" in words


def test_bring_names_tools_and_nothing_that_is_fixed_there():
    """Rope, bucket and tap key can be brought; a tap, a hand pump and a pool cannot."""
    papers = html.document_fromstring(page_of("saltbush_loop")).get_element_by_id("papers")
    tools = [" ".join(li.text_content().split()) for li in papers.xpath(".//li[*[@aria-hidden]]")
             if "asked" not in li.text_content()]  # fmt: skip

    assert tools == ["rope of 9 m: Fork Well", "bucket: Fork Well", "tap key: Sandridge Depot"]


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
        assert "every day" in words
        assert "Mon 17 May 2027" in words
        assert "the police post" in words


@pytest.mark.parametrize("part", ["here", "sheet", "papers"])
def test_whom_home_rings_stands_wherever_it_is_asked_for(part):
    """On the road while waiting, on the sheet, and on the paper for home: as the trip has it."""
    words = html.document_fromstring(page_of("gorge_walk")).get_element_by_id(part).text_content()
    told = planned("gorge_walk").trip.contact.on_overdue

    assert told == "the ranger, then the police of the district"
    assert (f": ring {told}." if part == "papers" else f"Home rings {told}.") in words


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


@pytest.mark.parametrize("part", ["sheet", "papers", "both"])
def test_button_prints_its_part_alone(browser, sample_file, part):
    """Pressed by keyboard, it prints with everything else hidden, and all is back afterwards."""
    with opened(browser, sample_file("saltbush_loop")) as watched:
        page = watched.page
        page.evaluate("window.print = () => { window.seen = document.documentElement.className; }")
        kept = {"both": ["sheet", "papers"]}.get(part, [part])
        page.locator(f"#{kept[-1]} > summary").click()
        page.locator(f"[data-print={part}]").press("Enter")
        assert f"{part}-alone" in page.evaluate("window.seen")
        page.emulate_media(media="print")
        assert all(page.locator(f"#{one} .paper").first.is_visible() for one in kept)
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
