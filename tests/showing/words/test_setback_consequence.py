"""What a failure leads to, in litres that can be checked by hand. The source is invented."""

from __future__ import annotations

import re

from make import policy, source_at, straight_route, trip

from longdry.computing.plan.planning import plan_trip
from longdry.showing.words.measures import METRIC
from longdry.showing.words.setbacks import consequence


def test_missing_litres_are_those_above_what_is_on_board_there():
    """Not what the containers could hold: what the plan has on board where it goes wrong."""
    sources = [source_at(200.0), source_at(550.0)]
    party = trip(people=4, policy=policy(reserve_days=3.0))
    made = plan_trip(straight_route(1400.0, points=15), sources, party)
    told = {
        one: re.search(r": (\d+) L missing for need and reserve", consequence(one, METRIC))
        for one in made.setbacks.dry
    }
    by_what_if = {one: float(found[1]) for one, found in told.items() if found}

    assert by_what_if
    for one, missing_l in by_what_if.items():
        lacking_l = one.worst.need.total_l + one.worst.reserve_l - one.worst.available_l
        assert 0.0 < lacking_l <= missing_l + 1e-6 < lacking_l + 1.001
