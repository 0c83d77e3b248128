"""Minima that are prominent, against topographic prominence read off as it is defined."""

from __future__ import annotations

import numpy as np
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st

from longdry.computing.route.minima import prominent_minima

STEPS = st.integers(0, 24).map(lambda step: step / 8.0)
"""Eighths of a km, exact in binary, so that ties and thresholds are hit often."""


def by_definition(minima, saddles):
    """Return the minima whose every way to a lower one (of equals: an earlier) climbs enough."""
    kept = []
    for at, level in enumerate(minima):
        needed = level + max(0.5, level)
        lower = [i for i, other in enumerate(minima) if (other, i) < (level, at)]
        if all(max(saddles[min(i, at) : max(i, at)]) >= needed for i in lower):
            kept.append(at)
    return kept


@st.composite
def chains(draw):
    """Minima with saddles between that are no lower than they are."""
    minima = draw(st.lists(STEPS, min_size=1, max_size=14))
    rises = draw(st.lists(STEPS, min_size=len(minima), max_size=len(minima)))
    beside = zip(minima[:-1], minima[1:], rises[:-1], strict=True)
    return minima, [max(here, there) + rise for here, there, rise in beside] + [np.inf]


@drawn_proof(1600)
@given(chains())
def test_dropping_neighbours_gives_what_the_definition_says(chain):
    """Dropping neighbour by neighbour leaves just the minima of sufficient prominence."""
    minima, saddles = chain

    assert prominent_minima(np.array(minima), np.array(saddles)).tolist() == by_definition(*chain)


@given(chains())
def test_the_lowest_always_stands_apart(chain):
    """The first of the lowest minima is always kept."""
    minima, saddles = chain

    assert int(np.argmin(minima)) in prominent_minima(np.array(minima), np.array(saddles))


@given(chains(), chains())
def test_chains_out_of_reach_have_nothing_to_do_with_each_other(one, other):
    """Behind an infinite saddle a chain keeps what it keeps alone."""
    both = prominent_minima(np.array(one[0] + other[0]), np.array(one[1] + other[1]))

    alone = by_definition(*one) + [len(one[0]) + at for at in by_definition(*other)]
    assert both.tolist() == alone
