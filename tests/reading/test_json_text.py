"""JSON that can be read in two ways is refused (RFC 8259, sections 4, 6 and 9)."""

from __future__ import annotations

import pytest

from longdry.errors import WaterLayerError
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
