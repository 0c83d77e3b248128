"""The published survival table, read where the wait is shortest: on the plan and on the page."""

from __future__ import annotations

import numpy as np
import pytest
from lxml import html
from sample_plans import page_of, planned

from longdry.computing.setbacks.waiting import stranded_at_worst
from longdry.model.plan.setbacks import SURVIVAL_CAUTION, SitOut
from longdry.showing.exports.setbacks_json import setbacks_document

US_QUART_L = 0.946353


def _wait(litres, *, at_km=100.0, days=2.0):
    nowhere = np.array([at_km])
    return SitOut(nowhere, nowhere, days, at_km, 8.0, litres)


@pytest.mark.parametrize(
    ("shade_max_c", "quarts", "days", "from_memory"),
    [
        # E. A. Adolph and others (1947), read in a copy: cells of the table.
        ((110 - 32) / 1.8, 4.0, 4.0, False),
        ((100 - 32) / 1.8, 0.0, 5.0, False),
        # Half way between 1 and 2 qt at 100 °F: 5.5 and 6 days.
        ((100 - 32) / 1.8, 1.5, 5.75, False),
        # A cell from memory.
        ((100 - 32) / 1.8, 10.0, 9.5, True),
    ],
)
def test_table_is_read_with_what_each_person_has(shade_max_c, quarts, days, from_memory):
    """Two people share what is on board; a figure that rests on a recalled cell is marked."""
    found = stranded_at_worst(_wait(2 * quarts * US_QUART_L), [(500.0, shade_max_c)], 2)

    assert found.litres_each == pytest.approx(quarts * US_QUART_L)
    assert found.figure.days == pytest.approx(days, abs=1e-5)
    assert found.figure.from_memory is from_memory


def test_hottest_day_still_to_come_counts():
    """A day that is over when the party comes there does not count, a later one does."""
    found = stranded_at_worst(_wait(4.0), [(50.0, 45.0), (150.0, 30.0), (300.0, 35.0)], 2)

    assert found.shade_max_c == 35.0


@pytest.mark.parametrize(
    ("wait", "days"),
    [
        (_wait(4.0), []),
        (_wait(4.0), [(500.0, 55.0)]),
        (_wait(400.0), [(500.0, 40.0)]),
        (_wait(4.0, days=np.inf), [(500.0, 40.0)]),
    ],
    ids=["no heat", "too hot", "more than 20 qt a head", "endless"],
)
def test_nothing_is_read_beyond_the_limits(wait, days):
    """Outside 50 to 120 °F and 0 to 20 US quarts the table says nothing."""
    assert stranded_at_worst(wait, days, 2) is None


def test_page_gives_the_figure_between_caution_and_source():
    """Days are rounded down, and never stand without the caution before them: 22 °C are given."""
    stranded = planned("gorge_walk").setbacks.stranded
    words = _words(html.document_fromstring(page_of("gorge_walk")))
    days = int(stranded.figure.days * 10 + 1e-9) / 10
    told = f"expected about {days:g} day"

    assert words.index(SURVIVAL_CAUTION) < words.index(told) < words.index("Source: E. A.")
    assert "no time to plan with" in words
    assert "22 °C in the shade" in words


def test_document_gives_the_figure_with_its_caution_and_source():
    """Nobody reads the days out of the JSON without them."""
    told = setbacks_document(planned("gorge_walk").setbacks)["published_survival"]

    assert told["shade_max_c"] == 22.0
    assert told["caution"].startswith(SURVIVAL_CAUTION)
    assert "Physiology of Man in the Desert" in told["source"]


def test_page_without_heat_has_no_survival_table():
    """The vehicle sample gives no heat, so the table cannot be read for it."""
    assert planned("saltbush_loop").setbacks.stranded is None
    assert "Adolph" not in _words(html.document_fromstring(page_of("saltbush_loop")))


def _words(tree):
    return " ".join(tree.get_element_by_id("setbacks").text_content().split())
