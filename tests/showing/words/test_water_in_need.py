"""Water for need only: grade and salt on every line, the bad last, of many only the best few."""

from __future__ import annotations

import dataclasses
import re

import pytest
from lxml import html
from make import source_at, straight_route
from sample_plans import page_of, planned

from longdry.api import plan_trip
from longdry.model.plan.mends import MendKind
from longdry.model.plan.setbacks import DryPass, WaterInNeed, WayOut
from longdry.model.words import Grade, Ration, Verdict
from longdry.showing.map.drawn_sources import MOST_NAMED_SOURCES, drawn_water
from longdry.showing.page.page import page_html
from longdry.showing.terminal.full import full_text
from longdry.showing.words.dry import on_or_back
from longdry.showing.words.headline import easiest_mend, mend_head
from longdry.showing.words.in_need import best_in_need, grade_and_salt_words
from longdry.showing.words.measures import METRIC

SALTY = "not for drinking, 6800 mg/L of salt"
UNGRADED = "no grade known: treat as not for drinking until tested"


def need(name, way_km, **known):
    source = dataclasses.replace(source_at(10.0), id=name, **known)
    return WaterInNeed(source, 10.0, way_km, 1.0, 0.5, "")


def way(asked_l, ration, to_label):
    return WayOut(10.0, to_label, 10.0, 1.0, 60.0, asked_l, asked_l, ration)


def test_page_sheet_and_terminal_name_the_salt_of_the_bitter_bore():
    """The place and the litres never stand without what the water is."""
    text = " ".join(html.document_fromstring(page_of("saltbush_loop")).text_content().split())
    terminal = " ".join(full_text(planned("saltbush_loop")).split())

    assert len(re.findall(rf"Bitter Bore(?:, km 860\.3)?: {SALTY}, 1\.4 km off", text)) == 2
    assert f"Bitter Bore: {SALTY}, 1.4 km off" in terminal
    assert f"Hollow Log Soak: {UNGRADED}, 3.3 km off" in terminal


def test_what_a_note_asks_is_quoted_wherever_water_is_named_for_need():
    """Terminal, list of the way and sheet: who goes there in need reads that it is locked."""
    plan = planned("saltbush_loop")
    locked = [
        dataclasses.replace(one, source=dataclasses.replace(one.source, note="Locked. Shade."))
        for one in plan.setbacks.in_need
    ]
    setbacks = dataclasses.replace(plan.setbacks, in_need=tuple(locked))
    noted = dataclasses.replace(plan, setbacks=setbacks)
    page = html.document_fromstring(page_html(noted)).text_content()

    assert 'note: "Locked"' in " ".join(full_text(noted).split())
    assert len(re.findall(r'; note: "Locked"', page)) == len(locked)
    assert len(re.findall(r', note: "Locked"', page)) == len(locked)


@pytest.mark.parametrize(
    ("known", "words"),
    [
        ({"grade": None, "tds_mg_per_l": None}, UNGRADED),
        ({"grade": Grade.TREAT, "tds_mg_per_l": 900.0}, "treat before drinking, 900 mg/L of salt"),
        ({"grade": Grade.NOT_FOR_DRINKING, "tds_mg_per_l": 6800.0}, SALTY),
    ],
)
def test_grade_and_salt(known, words):
    """In plain words, the salt where it is known."""
    assert grade_and_salt_words(need("a", 1.0, **known).source) == words


def test_salty_water_is_not_for_drinking_whatever_its_grade():
    """Treating leaves the salt."""
    salty = need("a", 1.0, grade=Grade.POTABLE, tds_mg_per_l=6800.0)

    assert "too salty, not for drinking" in grade_and_salt_words(salty.source)


def test_the_bad_comes_last_and_the_rest_is_counted():
    """Nearest first among the good; without a grade, then salty behind them, however near."""
    needs = [
        need("salty", 0.1, grade=Grade.TREAT, tds_mg_per_l=6800.0),
        need("ungraded", 0.2, grade=None),
        need("far", 9.0, grade=Grade.TREAT),
        need("near", 3.0, grade=Grade.TREAT),
    ]
    told, left = best_in_need(needs, 3)

    assert ([one.source.id for one in told], left) == (["near", "far", "ungraded"], 1)


def test_nobody_is_told_to_go_on_with_more_than_the_containers_hold():
    """109 L with 90 L of cans: not on, but back."""
    dry = DryPass(5.0, "A", way(109.0, None, "B"), way(19.0, Ration.BARE, "C"))

    assert "".join(on_or_back(dry, ("C", "B"), 90.0, METRIC)) == (
        "If dry: do not go on (109 L are needed, 90 L can be carried); back with 19 L."
    )
    assert "".join(on_or_back(dry, ("C", "B"), 120.0, METRIC)) == (
        "If dry: on only with 109 L, else back with 19 L."
    )


def test_of_mends_that_are_not_enough_the_best_is_named_and_one_that_is_enough_before_all():
    """Easiest first: 60 L missing, then 20 L, then less on a short ration, then enough."""
    plan = planned("saltbush_loop")
    one = next(m for m in plan.mends if m.stretch == plan.longest.worst)
    left = [(Verdict.TOO_LONG, 60.0), (Verdict.TOO_LONG, 20.0), (Verdict.SHORT_RATION, 30.0)]
    left += [(Verdict.INTO_RESERVE, 5.0), (Verdict.CLEAR, 0.0)]
    mends = [
        dataclasses.replace(one, verdict_after=verdict, missing_after_l=litres, settles=())
        for verdict, litres in left
    ]

    def named_of(count):
        return easiest_mend(dataclasses.replace(plan, mends=tuple(mends[:count])))

    assert [mends.index(named_of(count)) for count in range(1, 6)] == [0, 1, 2, 3, 3]


def test_the_mend_is_of_the_worst_stretch_or_none_is_named():
    """Mends of other stretches do not stand in for it."""
    plan = planned("saltbush_loop")
    worst = plan.longest.worst
    others = dataclasses.replace(
        plan, mends=tuple(one for one in plan.mends if one.stretch != worst)
    )

    assert mend_head(plan).startswith(
        f"Stretch {worst}, Sandridge Depot to Lastgate Tank: easiest mend (with it: "
    )
    assert easiest_mend(plan).stretch == worst
    assert easiest_mend(plan).what is not MendKind.DO_NOT_GO
    assert others.mends
    assert easiest_mend(others) is None
    assert "no single change that was tried mends it" in mend_head(others)


def test_a_dense_layer_is_folded():
    """3,000 bores along 100 km: the page stays small, the text short, dots lie below the route."""
    bores = [
        dataclasses.replace(
            source_at(n / 30.0, offset_km=0.2 + n % 40 / 40.0),
            id=f"b{n}",
            name=f"B {n}",
            grade=None,
        )
        for n in range(3000)
    ]
    plan = plan_trip(straight_route(100.0, points=50), bores)
    named, dots, _ = drawn_water(plan)

    assert (len(named), len(named) + len(dots)) == (MOST_NAMED_SOURCES, 3000)
    page = page_html(plan)
    still = page[page.index('class="overview-map"') :]

    assert len(page) < 1_000_000
    assert still.index('class="water-dots"') < still.index('class="casing"')
    assert len(full_text(plan).splitlines()) < 300
    assert "2,995 more; all are in the JSON" in " ".join(full_text(plan).split())
