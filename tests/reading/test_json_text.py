"""JSON that can be read in two ways is refused (RFC 8259, sections 4, 6 and 9)."""

from __future__ import annotations

import json

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from longdry.errors import WaterLayerError
from longdry.reading.files.feature_list import spanned_document
from longdry.reading.files.json_text import json_faults, strict_json

TWO_WAYS = {
    "a name twice": ('{"grade": "potable", "grade": "not-for-drinking"}', '"grade" is told twice'),
    "a name twice, deep inside": ('[{"a": {"b": 1, "b": 2}}]', '"b" is told twice'),
    "NaN": ('{"flow": NaN}', "NaN is no number"),
    "Infinity": ("[-Infinity]", "-Infinity is no number"),
    "cut short": ('{"a": [1, 2', "line 1, column 12"),
    "text behind": ("{} x", "line 1, column 4"),
    "deep": ("[" * 100_000 + "]" * 100_000, "nested too deeply"),
    "digits": ("1" * 5000, "thousands of digits"),
}


@pytest.mark.parametrize(("text", "said"), TWO_WAYS.values(), ids=TWO_WAYS)
def test_a_doubtful_text_is_refused_in_one_sentence(text, said):
    """The sentence names the file, where known the place, and the mend."""
    with (
        pytest.raises(WaterLayerError) as refused,
        json_faults("w.geojson", WaterLayerError, "mend it"),
    ):
        strict_json(text)

    assert str(refused.value).startswith("w.geojson")
    assert said in str(refused.value)
    assert str(refused.value).endswith("; mend it.")


def test_who_tells_the_feature_himself_gets_the_number():
    """A NaN among coordinates is handed on to whoever can name the feature that holds it."""
    value = strict_json("[NaN, 1]", takes_nan=True)

    assert value[0] != value[0]
    assert value[1] == 1


NAMES = st.sampled_from(["features", "type", "crs"])
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=3),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(NAMES, inner, max_size=3),
    max_leaves=6,
)
TEXTS = st.builds(
    lambda value, indent: json.dumps(value, indent=indent),
    st.dictionaries(NAMES, VALUES, max_size=3) | VALUES,
    st.sampled_from([None, 1]),
)
SIGNS = st.sampled_from([*' \n\t,:"[]{}1', "NaN", '"features": [1]', '"type": 2,', "\u00a0"])


@st.composite
def broken_texts(draw):
    """JSON with a piece taken out and another put in its place, or neither."""
    text = draw(TEXTS)
    begin = draw(st.integers(0, len(text)))
    return text[:begin] + draw(SIGNS | st.just("")) + text[begin + draw(st.integers(0, 2)) :]


@given(broken_texts() | TEXTS)
@example('{"features": [1, 2], "features": 3}')
@example('{"features": [1, 2,], "type": 3}')
@example('{"features": [{"a": 1, "a": 2}]}')
def test_an_object_read_item_by_item_is_the_one_that_is_read_whole(text):
    """By Python's own reader: the same texts are refused, all else has the same members."""
    items = []
    try:
        whole = strict_json(text, takes_nan=True)
    except ValueError:
        whole = None
    try:
        found = spanned_document(text, items.append, takes_nan=True)
    except ValueError:
        assert not isinstance(whole, dict)
    else:
        values = [one.value for one in items]
        if found.list_end is not None:
            assert text[found.list_end] == "]"
            found.members["features"] = values
        assert repr(found.members) == repr(whole)
        assert repr([json.loads(text[one.begin : one.end]) for one in items]) == repr(values)
