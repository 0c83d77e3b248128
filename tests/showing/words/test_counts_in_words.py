"""One of a thing is not told in the plural, nor several in the singular."""

from __future__ import annotations

import re

import pytest
from make import container, straight_route, trip, use

from longdry.computing.plan.planning import plan_trip
from longdry.showing.terminal.full import full_text


@pytest.mark.parametrize("one", ["day", "person", "stop"])
def test_one_is_no_plural(one):
    """A trip of one day without water on the way has one day, one person and one stop."""
    cans = [container(20.0, 2)]
    plan = plan_trip(
        straight_route(20.0), [], trip(people=1, containers=cans, uses=[use(litres=2.0)])
    )
    text = full_text(plan)

    assert len(plan.days) == len(plan.stretches) == 1
    assert re.search(rf"\b1 {one}\b", text)
    assert not re.search(r"(?<![\d.,])1 (?:days|people|stretches|stops|sources)\b", text)
