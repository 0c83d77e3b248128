"""The layout of JSON that people compare: the same values, one item a line."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from longdry.showing.exports.json_by_line import json_by_line

leaves = (
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False)
)
values = st.recursive(
    leaves | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=30,
)


@given(value=values)
def test_the_layout_changes_no_value(value):
    """Any reader of JSON (RFC 8259) gets back what was written, keys in their order."""
    read = json.loads(json_by_line(value))

    assert read == value
    assert json.dumps(read) == json.dumps(value)


def test_each_item_of_a_list_has_its_line():
    """A stretch that changes is one line that differs, wherever the list stands."""
    stretches = [{"number": number, "need_l": {"drinking": 1.5}} for number in (1, 2, 3)]
    plan = {"stretches": stretches, "chance": {"short": 0.5, "by_stretch": stretches}}

    lines = json_by_line(plan).splitlines()

    written = [line.strip().rstrip(",") for line in lines if '"number"' in line]
    assert written == [json.dumps(stretch) for stretch in (*stretches, *stretches)]
    assert ' "short": 0.5,' in [line.removeprefix(" ") for line in lines]


def test_letters_stand_as_they_are():
    """A name in any script can be read in the file, and a line feed in it does not break a line."""
    assert json_by_line(["Böhrung ↑\n"]) == '[\n "Böhrung ↑\\n"\n]'


@pytest.mark.parametrize("number", [float("nan"), float("inf")])
def test_what_is_no_number_is_refused(number):
    """JSON (RFC 8259, section 6) permits neither NaN nor Infinity."""
    with pytest.raises(ValueError, match="not JSON compliant"):
        json_by_line({"days": [{"used_l": number}]})
