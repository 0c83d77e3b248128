"""Our quantile of the Beta distribution against scipy.stats.beta (general reference library)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import beta

from longdry.computing.water.priors import beta_quantile, beta_share_below

shapes = st.floats(min_value=0.05, max_value=2000.0)


@given(x=st.floats(0.0, 1.0), a=shapes, b=shapes)
def test_share_below_agrees_with_scipy(x, a, b):
    """The share below x is that of scipy.stats.beta.cdf."""
    assert beta_share_below(x, a, b) == pytest.approx(beta.cdf(x, a, b), abs=1e-10)


@given(share=st.floats(0.001, 0.999), a=shapes, b=shapes)
def test_quantile_agrees_with_scipy_and_is_not_above_it(share, a, b):
    """The quantile is that of scipy.stats.beta.ppf, to 1e-9, and errs low."""
    reference = beta.ppf(share, a, b)

    assert reference - 1e-9 <= beta_quantile(share, a, b) <= reference + 1e-12
