"""Mends in words and in the plan document."""

from __future__ import annotations

from types import SimpleNamespace

from make import container, source_at, straight_route, trip, use
from mending import mended

from longdry.model.plan.headline import Headline, HeadlineLevel
from longdry.model.plan.mends import MendKind
from longdry.model.words import Accrual, Ration
from longdry.showing.exports.plan_json import mend_values
from longdry.showing.words.mends import ORDER, mend_lines, mend_title, turned_words

ROUTE = straight_route(600.0, points=7)
USES = [
    use("drinking", 10.0, per=Accrual.PARTY_100KM),
    use("shower", 5.0, per=Accrual.PARTY_100KM, kept=Ration.FULL),
]
KEYS = {
    "litres",
    "count",
    "kg",
    "at_km",
    "extra_km",
    "extra_days",
    "extra_l",
    "km_per_day",
    "saved_l",
}


def planned(litres, *sources, uses=USES):
    """Give what is told of a plan: stretches, mends and what was not searched."""
    made = mended(*sources, route=ROUTE, trip=trip(uses=uses, containers=[container(litres, 1)]))
    return SimpleNamespace(
        stretches=made.settled.stretches,
        mends=made.found,
        are_mends_searched=True,
        mends_not_searched=made.not_searched,
        headline=Headline(HeadlineLevel.NOT_SAFE, ("Because.",)),
    )


def test_each_mend_is_told_with_its_verdicts_its_cost_and_its_caution():
    """Changes stand with the verdicts of stretch and trip, and cautions behind them."""
    plan = planned(60.0)
    text = " ".join(mend_lines(plan))

    assert plan.mends
    for mend in plan.mends:
        assert " -> ".join(turned_words(mend)) in text
        assert f"(the whole trip then: {mend.trip_after.value})" in text
        assert mend.change in text
        assert "It costs" in mend.change
        assert mend.caution in text
    assert text.endswith(ORDER)


def test_a_stretch_that_nothing_helps_is_told_not_to_be_gone():
    """The title says the verdict and what follows from it, and promises nothing after."""
    plan = planned(1.0, uses=[use("drinking", 1000.0, per=Accrual.PARTY_100KM)])
    (mend,) = plan.mends

    assert mend_title(mend) == "Stretch 1, too long: do not go"
    assert "->" not in " ".join(mend_lines(plan))


def test_what_was_not_tried_is_said():
    """Seven bad stretches: five are searched, the others are named."""
    wells = [source_at(km) for km in (80.0, 161.0, 243.0, 326.0, 410.0, 495.0)]
    text = " ".join(mend_lines(planned(2.0, *wells)))

    assert "Not tried, or not in full, though not clear: stretch 1, 2." in text


def test_nothing_is_said_of_a_clear_plan():
    """No heading stands over an empty list."""
    assert mend_lines(planned(90.0)) == []


def test_the_document_gives_every_mend():
    """The JSON holds what the plan holds, under the documented keys."""
    plan = planned(60.0)
    told = [mend_values(mend) for mend in plan.mends]

    assert [one["what"] for one in told] == [mend.what.value for mend in plan.mends]
    assert all(set(one["figures"]) == KEYS for one in told)
    (ration,) = [one for one in told if one["what"] == MendKind.RATION.value]
    assert ration["figures"]["saved_l"] == {"shower": 30.0}
    assert ration["verdict_after"] == ration["trip_after"] == "clear"
    assert ration["caution"]
