"""One value on straight lines through knots, against numpy.interp, which measures the same."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from longdry.model.arrays import frozen_floats, value_at

numbers = st.floats(-1e6, 1e6).map(lambda number: round(number, 12))
"""No two km are closer than a nanometre; 1e-300 km apart no slope is a number."""


@given(
    st.lists(st.tuples(numbers, numbers), min_size=1, max_size=20, unique_by=lambda k: k[0]),
    st.floats(-2e6, 2e6),
    st.booleans(),
)
def test_it_is_what_numpy_interpolates(knots, x, at_a_knot):
    """At knots, between them and beyond them, to the last bit but one."""
    km, values = (frozen_floats(column) for column in zip(*sorted(knots), strict=True))
    x = float(km[len(km) // 2]) if at_a_knot else x
    expected = np.interp(x, km, values)

    assert np.isclose(value_at(x, km, values), expected, rtol=1e-12, atol=1e-9)
