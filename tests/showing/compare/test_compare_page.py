"""The page of a comparison in a browser: every cell says its word, and why.

Rules of accessibility: WCAG 2.2 A and AA by axe-core.
"""

from __future__ import annotations

import datetime as dt
import re

import pytest
from compare_files import HEAT, TRIP, asked_of, write_all, write_route
from page_in_browser import axe_violations, click_everything, opened, settled

from longdry import api
from longdry.at_once.comparing import compare
from longdry.at_once.job import in_this_process
from longdry.computing.compare.side_by_side import side_by_side
from longdry.model.compare.combination import Combination, HeatVerdict, Row
from longdry.model.plan.headline import HeadlineLevel
from longdry.showing.compare.page import compare_html
from longdry.showing.compare.terminal import compare_text
from longdry.showing.compare.words import answer_of
from longdry.showing.words.measures import METRIC, US

pytestmark = pytest.mark.browser
HOSTILE = "</script><script>alert(1)</script>`${alert(2)}`"
DAYS = [dt.date(2027, month, 3) for month in (3, 4, 5, 6)]


@pytest.fixture(scope="module")
def comparison(tmp_path_factory):
    """Two routes both ways on six days, one of a hostile name, and a file that is none."""
    folder = tmp_path_factory.mktemp("compared")
    write_all(folder)
    escaped = HOSTILE.replace("<", "&lt;").replace(">", "&gt;")
    write_route(folder / "routes" / "south.gpx", escaped, -25.03, 2.4)
    (folder / "routes" / "bad.gpx").write_text("no route")
    trips = []
    for cans in (1, 2):
        file = folder / f"{cans}.toml"
        file.write_text(TRIP.format(name=f"Cans: {cans}", cans=cans) + HEAT)
        trips.append(api.read_trip(file))
    return compare(asked_of(folder, DAYS, trips=tuple(trips)), in_this_process).comparison


@pytest.fixture(scope="module")
def page_file(comparison, tmp_path_factory):
    """The page on disk."""
    file = tmp_path_factory.mktemp("page") / "compare.html"
    file.write_text(compare_html(comparison), encoding="utf-8")
    return file


WORD = {None: "?", HeadlineLevel.LASTS: "yes", HeadlineLevel.ONLY_IF: "if",
        HeadlineLevel.NOT_SAFE: "no"}  # fmt: skip


def test_the_made_comparison_shows_something_of_everything(comparison):
    """Cells of all four kinds, water out of season, heat beyond the limits, sources that matter."""
    kinds = {row.outcome.level if row.outcome else None for row in comparison.rows}
    heat = {row.outcome.heat for row in comparison.rows if row.outcome}

    assert kinds == {None, *HeadlineLevel}
    assert HeatVerdict.BEYOND in heat
    assert set(comparison.out_of_season.values()) == {("May Creek",)}
    assert comparison.sources


@pytest.mark.parametrize(("width", "dark"), [(1280, False), (1280, True), (360, False)])
def test_the_page_is_open_to_all_and_asks_the_network_for_nothing(page_file, browser, width, dark):
    """No request, no message, nothing that axe finds, no rolling sideways; all can be tapped."""
    with opened(browser, page_file, width=width, dark=dark) as seen:
        seen.page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
        found = axe_violations(seen.page)
        wide = seen.page.evaluate("document.documentElement.scrollWidth")
        click_everything(seen.page)

    assert found == []
    assert (seen.requests, seen.messages) == ([], [])
    assert wide <= width


def test_every_cell_says_the_word_of_its_row(page_file, browser, comparison):
    """Hue is never alone: the word, and the name that a screen reader says, tell the same."""
    words = {row.of.key: WORD[row.outcome.level if row.outcome else None]
             for row in comparison.rows}  # fmt: skip
    with opened(browser, page_file) as seen:
        cells = seen.page.eval_on_selector_all(
            ".cell", "all => all.map(c => [c.dataset.rows, c.textContent, c.ariaLabel])"
        )

    assert {key: word for key, word, _ in cells} == words
    assert all(f": {word}." in label for _, word, label in cells)


def test_a_week_with_several_departures_says_its_worst_first(comparison):
    """Whoever leaves a day later must not find out: word, link and reason are the worst day's."""
    days = [dt.timedelta(days=n) for n in range(4)]
    outcomes = {WORD[row.outcome.level if row.outcome else None]: row.outcome
                for row in comparison.rows}  # fmt: skip
    monday = dt.datetime(2027, 5, 3, 8)
    rows = [
        Row(Combination(0, 0, reverse=False, depart=monday + day + week), outcomes[word])
        for week, words in ((dt.timedelta(), ("yes", "if", "no", "yes")),
                            (dt.timedelta(days=7), ("yes", "yes", "if", "yes")))
        for day, word in zip(days, words, strict=True)
    ]  # fmt: skip
    html = compare_html(side_by_side(rows, comparison.routes[1:2], ["T"]))
    cells = re.findall(
        r'class="cell [\w-]+" data-rows="(\S+)[^"]*".*?class="word"[^>]*>(\w+)<', html
    )

    assert cells == [(rows[2].of.key, "no"), (rows[6].of.key, "if")]


@pytest.mark.parametrize(
    ("steps", "words", "told"),
    [
        ([0, 2, 6, 7, 9], "no yes yes yes no", "leaving 5 May 2027 to 10 May 2027, the"),
        ([0, 2, 6, 7, 9], "yes ? yes if no", "leaving 3 May 2027 or 9 May 2027, the"),
        ([0, 63], "yes yes", "leaving 3 May 2027 or 5 Jul 2027, the"),
        ([0, 1, 2, 3, 4, 5, 6, 7], "yes no yes no yes no yes no",
         "on some days from 3 May 2027 to 9 May 2027, the"),
    ],
)  # fmt: skip
def test_the_first_line_names_no_day_on_which_the_water_does_not_last(
    comparison, steps, words, told
):
    """Neither a worse day of a good week, nor one between, nor one that nobody has planned."""
    outcomes = {WORD[row.outcome.level if row.outcome else None]: row.outcome
                for row in comparison.rows}  # fmt: skip
    monday = dt.datetime(2027, 5, 3, 8)
    rows = [
        Row(
            Combination(0, 0, reverse=False, depart=monday + dt.timedelta(days=step)),
            outcomes[word],
        )
        for step, word in zip(steps, words.split(), strict=True)
    ]

    assert told in answer_of(side_by_side(rows, comparison.routes[1:2], ["T"]), METRIC).count


def test_the_reason_comes_by_tap_and_by_keys(page_file, browser, comparison):
    """Tab to the calendar, arrows along it, Enter for the reason, Escape to be rid of it."""
    with opened(browser, page_file) as seen:
        page = seen.page
        page.locator(".cell[tabindex='0']").focus()
        page.keyboard.press("ArrowRight")
        page.keyboard.press("ArrowDown")
        key = page.evaluate("document.activeElement.dataset.rows")
        page.keyboard.press("Enter")
        told = page.locator("#reason").inner_text()
        page.keyboard.press("Escape")
        gone = page.locator("#reason").inner_text()
        page.locator(".point").first.click()
        of_point = page.locator(".chart + .reason").inner_text()

    line = comparison.lines[1]
    row = next(row for row in comparison.rows if row.of.key == key)
    assert (row.of.line, row.of.depart.date()) == (line, DAYS[1])
    assert "3 Apr 2027" in told
    assert row.failed in told
    assert gone == ""
    assert re.search(r"Hottest|No heat is given", of_point)


def test_reasons_alike_are_told_once_and_the_scale_stays_in_view(browser, comparison, tmp_path):
    """A week of seven like days is one reason on a phone; its chart says how high a point lies.

    The reason leads to the whole plan.
    """
    day = next(row for row in comparison.rows if row.outcome and row.outcome.chances)
    depart = dt.datetime(2027, 5, 3, 8)
    rows = [
        Row(
            Combination(0, 0, reverse=False, depart=depart + dt.timedelta(days=n)),
            day.outcome,
            page=f"plans/{n}.html",
        )
        for n in range(14)
    ]
    file = tmp_path / "c.html"
    file.write_text(compare_html(side_by_side(rows, comparison.routes[1:2], ["T"])), "utf-8")
    with opened(browser, file, width=360) as seen:
        seen.page.locator(".cell").first.click()
        heads = seen.page.locator("#reason h3").all_inner_texts()
        leads = seen.page.locator("#reason .plan").get_attribute("href")
        seen.page.evaluate("document.querySelector('.chart').scrollLeft = 9999")
        settled(seen.page)
        left = seen.page.evaluate(
            "document.querySelector('.upright .room').getBoundingClientRect().left"
            " - document.querySelector('.chart').getBoundingClientRect().left"
        )

    assert len(heads) == 1
    assert leads == "plans/0.html"
    assert "3 May 2027, and 6 more for the same reasons" in heads[0]
    assert left == pytest.approx(0.0, abs=1.0)


def test_without_scripts_every_link_leads_to_its_row(comparison):
    """Cells and points are links to the rows of the tables, whose reasons they tell."""
    html = compare_html(comparison)
    ids = set(re.findall(r'<tr id="([\w-]+)"', html))

    assert ids == {row.of.key for row in comparison.rows}
    assert set(re.findall(r'href="#(trip[\w-]+)"', html)) <= ids


def test_on_paper_the_answer_the_weeks_and_the_cautions_stand(page_file, browser):
    """Folded tables and the help for fingers stay behind."""
    with opened(browser, page_file) as seen:
        seen.page.emulate_media(media="print")
        shown = [seen.page.locator(one).first.is_visible()
                 for one in ("#answer", ".calendar", "#cautions", ".scatter", ".how-to",
                             "#line-1")]  # fmt: skip

    assert shown == [True, True, True, True, False, False]


def test_cautions_and_assumptions_stand_once(comparison):
    """However many plans there are."""
    html = compare_html(comparison)

    assert html.count("A plan is not water.") == 1
    for one in comparison.assumptions:
        assert html.count(f">{one.what}: ") <= 1


def test_figures_are_told_in_the_units_asked_for(comparison):
    """US units in page and terminal, each metric figure of a sentence beside its US one."""
    html, text = compare_html(comparison, US), compare_text(comparison, US)

    assert "US gal" in html
    assert "°F" in html
    assert re.search(r", mile [\d.]+</td>", html)
    assert re.search(r"\d mi, ", html)
    assert "<script>alert" not in html
    for figure in re.findall(r"[\d.]+ L\b[^.;]{0,12}", text):
        assert "US gal" in figure
