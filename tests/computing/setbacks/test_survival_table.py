"""The published table of expected survival, cell by cell.

E. A. Adolph and others, *Physiology of Man in the Desert* (1947), as repeated in US military
survival manuals: days by highest shade temperature in °F and by US quarts of water. The columns
for 0 to 4 quarts were read in copies of the manuals; those for 10 and 20 are from memory, but for
the row of 110 °F.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from longdry.computing.setbacks.waiting import SOURCE, SURVIVAL_CAUTION, expected_survival

PUBLISHED = """
°F     0    1    2    4    10   20
120    2    2    2    2.5  3    4.5
110    3    3    3.5  4    5    7
100    5    5.5  6    7    9.5  13.5
90     7    8    9    10.5 15   23
80     9    10   11   13   19   29
70     10   11   12   14   20.5 32
60     10   11   12   14   21   32
50     10   11   12   14.5 21   32
"""
HEAD, *ROWS = [line.split() for line in PUBLISHED.split("\n") if line]
CELLS = [
    (float(row[0]), float(quarts), float(days))
    for row in ROWS
    for quarts, days in zip(HEAD[1:], row[1:], strict=True)
]
LITRES_PER_QUART = 0.946352946
"""NIST SP 811 (2008), appendix B."""


def celsius(fahrenheit):
    return (fahrenheit - 32.0) / 1.8


@pytest.mark.parametrize(("fahrenheit", "quarts", "days"), CELLS)
def test_every_published_cell_is_reproduced(fahrenheit, quarts, days):
    """In degrees Celsius and litres, and marked where it is from memory."""
    figure = expected_survival(celsius(fahrenheit), quarts * LITRES_PER_QUART)

    assert figure.days == pytest.approx(days)
    assert figure.from_memory is (quarts > 4.0 and fahrenheit != 110.0)
    assert ("from memory" in figure.caution) is figure.from_memory


def test_the_middle_of_four_cells_worked_by_hand():
    """95 °F and 3 quarts lie amid 9, 10.5 (90 °F) and 6, 7 (100 °F): 32.5 / 4 = 8.125 days."""
    figure = expected_survival(celsius(95.0), 3.0 * LITRES_PER_QUART)

    assert figure.days == pytest.approx(8.125)
    assert not figure.from_memory


def test_a_figure_between_a_read_cell_and_one_from_memory_is_from_memory():
    """Seven quarts at 100 °F lie between 4, read, and 10, not read."""
    assert expected_survival(celsius(100.0), 7.0 * LITRES_PER_QUART).from_memory


@pytest.mark.parametrize(
    ("celsius_max", "litres"), [(9.9, 1.0), (49.0, 1.0), (30.0, -0.1), (30.0, 19.0)]
)
def test_nothing_is_said_outside_the_limits(celsius_max, litres):
    """Colder than 50 °F, hotter than 120 °F, less than nothing, more than 20 quarts."""
    assert expected_survival(celsius_max, litres) is None


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_nothing_is_said_of_what_is_no_number(value):
    """Neither of a temperature nor of litres."""
    assert expected_survival(value, 1.0) is None
    assert expected_survival(30.0, value) is None


def test_caution_and_source_go_with_every_figure():
    """Who shows the days has both at hand."""
    figure = expected_survival(30.0, 1.0)

    assert figure.caution.startswith(SURVIVAL_CAUTION)
    assert figure.source == SOURCE
    assert "never plan" in SURVIVAL_CAUTION
    assert "medical" in SURVIVAL_CAUTION


heat = st.floats(10.0, 48.8)
water = st.floats(0.0, 18.9)


@given(heat, water, water)
def test_more_water_never_shortens(celsius_max, one_l, other_l):
    """At one temperature the days do not fall with the litres."""
    less, more = sorted((one_l, other_l))

    assert (
        expected_survival(celsius_max, less).days
        <= expected_survival(celsius_max, more).days + 1e-9
    )


@given(heat, heat, water)
def test_more_heat_never_lengthens(one_c, other_c, litres):
    """With one amount of water the days do not rise with the temperature."""
    cooler, hotter = sorted((one_c, other_c))

    assert expected_survival(hotter, litres).days <= expected_survival(cooler, litres).days + 1e-9
