"""The sheet to carry: what it says, and that it is one page of paper, in a real Chromium."""

from __future__ import annotations

import re
import subprocess

import pytest
from lxml import html
from page_in_browser import opened
from plan_examples import HOSTILE_NAMES, Names, gap_plan, make_plan
from sample_plans import page_of, planned

from longdry.model.words import Verdict
from longdry.showing.page.page import page_html

pytestmark = pytest.mark.browser
LONGEST = "W" * 10_000


PLANS = {
    "gorge": lambda: planned("gorge_walk"),
    "loop": lambda: planned("saltbush_loop"),
    "ride": lambda: planned("stock_route_ride"),
    "gap": gap_plan,
    "hostile": lambda: gap_plan(Names(LONGEST, LONGEST, (LONGEST,) * 5, LONGEST)),
    "60 stops": lambda: make_plan((Verdict.CLEAR, Verdict.TOO_LONG) * 30),
}


@pytest.fixture(scope="module")
def loop():
    return planned("saltbush_loop")


@pytest.fixture(scope="module")
def rows():
    """Rows of the sheet of that loop, head left out."""
    tree = html.document_fromstring(page_of("saltbush_loop"))
    return tree.xpath("//table[contains(@class,'carry')]//tr")[1:]


def _printed(browser, folder, plan):
    """Print the page; return the words of each sheet of paper."""
    file = folder / "plan.html"
    file.write_text(page_html(plan), encoding="utf-8")
    with opened(browser, file) as watched:
        watched.page.emulate_media(media="print")
        watched.page.pdf(path=folder / "plan.pdf", prefer_css_page_size=True)
        clipped = watched.page.evaluate("document.documentElement.scrollWidth > innerWidth")
    text = subprocess.run(
        ["pdftotext", "-layout", folder / "plan.pdf", "-"],
        capture_output=True, text=True, check=True,
    ).stdout  # fmt: skip
    assert not clipped
    return [" ".join(paper.split()) for paper in text.split("\f")[:-1]]


@pytest.mark.parametrize("name", PLANS)
def test_sheet_prints_first_on_as_many_pages_as_it_says(browser, tmp_path, name):
    """Each of its pages is one A4 page, before all else; one page unless the stops are many."""
    papers = _printed(browser, tmp_path, PLANS[name]())
    sheets = [paper for paper in papers if "Leave" in paper and "Local authorities" in paper]
    said = re.findall(r"page \d+ of (\d+)", papers[0])

    assert papers[: len(sheets)] == sheets
    assert len(sheets) == (int(said[0]) if said else 1)
    assert (len(sheets) > 1) == (name == "60 stops")
    assert "Goes on: page 2" in papers[0] if len(sheets) > 1 else "Goes on" not in papers[0]


def test_every_stop_stands_on_the_sheet_in_order(loop, rows):
    """Start, every counted pass, end: km ascending, each with its name."""
    km = [float(row[0][0].text_content()) for row in rows]
    names = [row[1][0].text_content() for row in rows[1:-1]]

    assert km == [round(end, 1) for end in [0.0, *(s.end.km for s in loop.stretches)]]
    assert names == [s.begin.label for s in loop.stretches[1:]]


def test_sheet_says_what_to_fill_to_which_mark_and_what_to_leave_with(loop, rows):
    """Full containers are called full, others get the litres of their mark by the fill plan."""
    sizes = {f"{box.name} {n}" if box.count > 1 else box.name: box.rated_l
             for box in loop.trip.containers for n in range(1, box.count + 1)}  # fmt: skip
    checked = 0
    for row, fill in zip(rows, loop.fills.fills, strict=False):
        words = row[2].text_content()
        levels = {level.vessel: level.litres for level in fill.levels_leaving}
        for pour in fill.into:
            full = levels[pour.vessel] >= sizes[pour.vessel] - 0.05
            marks = [float(mark) for mark in re.findall(r"([\d.]+) L", words)]
            assert (
                "full" in words
                if full
                else any(0.0 <= mark - levels[pour.vessel] < 0.11 for mark in marks)
            )
            checked += 1
        assert 0.0 <= float(row[3][0].text_content().split()[0]) - fill.leaving.total_l < 0.11
    assert checked > 10


def test_sheet_needs_no_colour_and_is_large(browser, sample_file):
    """On paper everything is black on white, and no type is smaller than 9 points."""
    with opened(browser, sample_file("saltbush_loop"), dark=True) as watched:
        watched.page.emulate_media(media="print", color_scheme="light")
        styles = watched.page.evaluate(
            """[...document.querySelectorAll('#sheet .carry *')].map(e => {
              const s = getComputedStyle(e); return [s.color, parseFloat(s.fontSize)]; })"""
        )

    assert {colour for colour, _ in styles} == {"rgb(0, 0, 0)"}
    assert min(size for _, size in styles) >= 9 * 96 / 72


@pytest.mark.parametrize("name", ["loop", "hostile"])
def test_phone_sets_the_sheet_below_itself(browser, tmp_path, name):
    """At 360 px nothing is scrolled sideways, every cell says its heading, and it stays a table."""
    file = tmp_path / "plan.html"
    file.write_text(page_html(PLANS[name]()), encoding="utf-8")
    with opened(browser, file, width=360, height=740) as watched:
        page = watched.page
        beyond = page.evaluate(
            "[...document.querySelectorAll('#sheet .table-room')]"
            ".map(room => room.scrollWidth - room.clientWidth)"
        )
        headed = page.evaluate(
            "getComputedStyle(document.querySelector('.carry td:nth-child(3)'), '::before').content"
        )
        sheet = page.get_by_role("region").locator("table.carry")

        assert max(beyond) <= 0
        assert headed == '"Fill here"'
        assert sheet.get_by_role("columnheader", name="Leave with").count() == 1
        assert sheet.get_by_role("rowheader").count() == sheet.get_by_role("row").count() - 1


def test_button_prints_the_sheet_alone(browser, sample_file):
    """Pressed by keyboard, it prints with everything else hidden, and all is back afterwards."""
    with opened(browser, sample_file("saltbush_loop")) as watched:
        page = watched.page
        page.evaluate("window.print = () => { window.seen = document.documentElement.className; }")
        page.locator("#print-sheet").press("Enter")
        assert "sheet-alone" in page.evaluate("window.seen")
        page.emulate_media(media="print")
        assert page.locator("#sheet").is_visible()
        assert not page.locator("#answer").is_visible()
        page.evaluate("window.dispatchEvent(new Event('afterprint'))")
        assert page.locator("#answer").is_visible()


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_names_on_the_sheet_are_text(name):
    """A hostile name adds no element to the sheet and can be read on it."""
    plain, hostile = (
        html.document_fromstring(page_html(gap_plan(Names(n, n, (n,) * 5, n)))).get_element_by_id(
            "sheet"
        )
        for n in ("Well", name)
    )

    assert [e.tag for e in hostile.iter()] == [e.tag for e in plain.iter()]
