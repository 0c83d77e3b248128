"""Sources that are open for a part of the day, as the layer says it."""

from __future__ import annotations

import dataclasses

import pytest
from make import container, source_at, straight_route, trip, use
from without_mends import plan_without_mends

from longdry.computing.water.opening import is_open_at
from longdry.model.words import Verdict
from longdry.reading.water.source import source_from_properties


def _tap(km=250.0, **known):
    return dataclasses.replace(source_at(km), **known)


def _plan(*sources, **changes):
    return plan_without_mends(straight_route(600.0), list(sources), trip(**changes))


@pytest.mark.parametrize(
    ("from_hour", "to_hour", "hour", "is_open"),
    [
        (8.0, 17.0, 12.0, True),
        (8.0, 17.0, 7.5, False),
        (8.0, 17.0, 24.0 + 17.5, False),
        (20.0, 6.0, 23.0, True),
        (20.0, 6.0, 24.0 + 5.0, True),
        (20.0, 6.0, 12.0, False),
        (9.0, None, 23.0, True),
        (None, 9.0, 23.0, False),
        (None, None, 3.0, True),
    ],
)
def test_hours_are_those_of_the_day(from_hour, to_hour, hour, is_open):
    """Worked by hand; an end that is not known is midnight, and hours may run past it."""
    tap = _tap(open_from_hour=from_hour, open_to_hour=to_hour)

    assert is_open_at(tap, hour) is is_open


@pytest.mark.parametrize(("to_hour", "counts"), [(14.0, True), (12.0, False)])
def test_nothing_is_taken_where_it_is_closed_on_arrival(to_hour, counts):
    """Worked by hand: 250 km at 50 km/h from 8 o'clock is 13:00; the next morning is too far off.

    The party needs 16 L a day: 5/16 of it before the tap, 17/16 after it, 22 L in all; it carries
    20 L at the most.
    """
    small = [container(20.0, 1)]
    plan = _plan(_tap(open_to_hour=to_hour), containers=small, uses=[use(litres=8.0)])

    assert (len(plan.fills.fills) == 2 and plan.fills.fills[1].take_l > 0.0) is counts
    assert plan.passes[0].counted is counts


def test_what_a_closed_source_costs_is_told_at_its_pass():
    """Closed on arrival, the tap does not count, its pass says so, and the water does not last.

    Worked by hand: 18 L a day, 5/16 of it before the tap, 17/16 after it, 24.75 L in all.
    """
    tight = {"containers": [container(20.0, 1)], "uses": [use(litres=9.0)]}
    plan = _plan(_tap(open_to_hour=12.0), **tight)

    assert plan.stretches[0].verdict is Verdict.TOO_LONG
    assert plan.passes[0].why_not == "closed when the party comes by"
    assert {s.verdict for s in _plan(_tap(), **tight).stretches} == {Verdict.CLEAR}


def test_a_door_that_opens_soon_is_waited_for():
    """At the tap at 13:00, it opens at 14:30: the wait lies in the stretch to it, and is told."""
    plan = _plan(
        _tap(open_from_hour=14.5, open_to_hour=20.0),
        containers=[container(20.0, 1)],
        uses=[use(litres=8.0)],
    )

    assert plan.stops[0].wait_h == pytest.approx(1.5)
    assert plan.stretches[0].days == pytest.approx(6.5 / 24.0)
    assert any("closed on arrival: the plan waits 1.5 h" in w.text for w in plan.warnings)


def test_the_layer_says_hours_and_cost():
    """The three properties arrive, by their ten-letter names of Shapefiles as well."""
    source, faults = source_from_properties(
        {"open_from_": 7, "open_to_ho": "18.5", "cost_per_l": 0.25},
        lat_deg=-25.0, lon_deg=130.0, where="feature 1", fallback_id="f", layer="w.shp",
    )  # fmt: skip

    assert faults == []
    assert (source.open_from_hour, source.open_to_hour, source.cost_per_l) == (7.0, 18.5, 0.25)


@pytest.mark.parametrize("hour", [24.5, -1.0, "noon"])
def test_an_hour_that_is_none_is_refused(hour):
    """Hours of the day are 0 to 24."""
    source, faults = source_from_properties(
        {"open_from_hour": hour},
        lat_deg=-25.0, lon_deg=130.0, where="feature 1", fallback_id="f", layer="w.csv",
    )  # fmt: skip

    assert source is None
    assert "open_from_hour" in faults[0].what


def test_a_paid_litre_is_summed():
    """Worked by hand: what is taken at 0.20 a litre costs a fifth of its litres."""
    plan = _plan(_tap(cost_per_l=0.2), containers=[container(20.0, 1)], uses=[use(litres=8.0)])
    fill = plan.fills.fills[1]

    assert fill.take_l > 0.0
    assert fill.cost == pytest.approx(0.2 * fill.take_l)
