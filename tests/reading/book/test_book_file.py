"""The water book is read strictly, and nothing of it is lost.

Reference: RFC 7946 (GeoJSON), RFC 8259 (JSON). The books are invented: not for navigation.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import gzip
import json

import pytest
from book_examples import EDITED_BOOK, edited_book
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st

from longdry.computing.book.changes import retire_change, visit_change
from longdry.errors import BookError
from longdry.model.water.source import Found, Visit
from longdry.model.words import Certainty, Grade
from longdry.reading.book.book_file import book_from_text, read_book
from longdry.showing.exports.book_geojson import EMPTY_BOOK_TEXT, changed_book_text

VISIT = Visit(dt.date(2027, 5, 3), Found.LOW, litres=40.0, note="ü")


def after(book, change) -> str:
    return changed_book_text(book, change.features)


def test_points_are_sources_and_the_rest_is_kept_aside():
    """A point is a source; a line and a feature without a place are only counted."""
    book = edited_book()

    assert [source.name for source in book.sources] == ["Old Bore", "Fork"]
    assert book.others == 2


def test_what_a_feature_tells_is_read_whatever_the_case_of_its_keys():
    """Grade, kind and visits are read; the member id is the id where no property is one."""
    bore = edited_book().sources[0]

    assert (bore.id, bore.grade, bore.kind) == ("7", Grade.TREAT, "bore")
    assert (bore.lat_deg, bore.lon_deg) == (-25.5, 131.0)
    assert bore.visits == (Visit(dt.date(2026, 5, 2), Found.FLOWING, litres=20.0),)
    assert edited_book().sources[1].certainty is Certainty.LIKELY


def test_every_other_byte_stays_where_one_feature_changes():
    """Before and behind the changed feature the text is the same, byte for byte."""
    book = edited_book()
    feature = book.features[2]

    text = after(book, visit_change(book, "fork", VISIT))

    assert text.startswith(EDITED_BOOK[: feature.begin])
    assert text.endswith(EDITED_BOOK[feature.end :])


def test_numbers_of_a_changed_feature_keep_their_digits():
    """131.00 stays 131.00, 12345678901234567890 keeps all digits, 1e2 stays 1e2."""
    book = edited_book()

    text = after(book, visit_change(book, "7", VISIT))

    for digits in ("[131.00, -25.50, 412.70]", "45.50", "12345678901234567890", "1e2", "20.0"):
        assert digits in text


def test_changed_feature_keeps_all_that_longdry_does_not_know():
    """Foreign members, properties, keys of visits, and the order of all of them are kept."""
    book = edited_book()
    expected = json.loads(EDITED_BOOK)
    expected["features"][0]["properties"]["visits"].append(
        {"on": "2027-05-03", "found": "low", "litres": 40.0, "note": "ü"}
    )

    changed = json.loads(after(book, visit_change(book, "7", VISIT)))

    assert json.dumps(changed) == json.dumps(expected)


def test_feature_on_several_lines_stays_on_several_lines():
    """Who laid a feature out by hand finds it laid out, not on one long line."""
    book = edited_book()

    text = after(book, visit_change(book, "7", VISIT))

    assert '\n      "geometry": {' in text
    assert '\n        "coordinates": [131.00, -25.50, 412.70]' in text


def test_property_in_another_case_is_changed_and_not_doubled():
    """A book with 'Grade' gets its 'Grade' changed, no second 'grade'."""
    book = edited_book()
    worse = Visit(dt.date(2027, 5, 3), Found.FLOWING, grade=Grade.NOT_FOR_DRINKING)

    properties = json.loads(after(book, visit_change(book, "7", worse)))["features"][0][
        "properties"
    ]

    assert properties["Grade"] == "not-for-drinking"
    assert "grade" not in properties


def test_visits_written_as_text_stay_text():
    """GDAL hands lists through as text in some formats; the new visit is written into the text."""
    visits = json.dumps([{"on": "2026-05-02", "found": "dry"}])
    document = {
        "type": "FeatureCollection",
        "features": [
            {
                "type": "Feature",
                "geometry": {"type": "Point", "coordinates": [1.0, 2.0]},
                "properties": {"id": "a", "visits": visits},
            }
        ],
    }
    book = book_from_text(json.dumps(document), origin="b.geojson")

    changed = book_from_text(after(book, visit_change(book, "a", VISIT)), origin="b.geojson")

    assert [visit.found for visit in changed.sources[0].visits] == [Found.DRY, Found.LOW]
    assert '"visits": "[' in changed.text


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3)
    | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=8,
)  # fmt: skip
foreign = st.dictionaries(
    st.text(max_size=6).map(lambda name: f"x-{name}"), json_values, max_size=4
)


@drawn_proof(240)
@given(top=foreign, members=foreign, properties=foreign, indent=st.sampled_from([None, 0, 1, 4]))
def test_foreign_members_of_any_shape_survive_a_change(top, members, properties, indent):
    """Whatever JSON stands in a book, a visit changes the visits and nothing else."""
    feature = {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [131.5, -25.25]},
        "properties": {"id": "a", **properties},
        **members,
    }
    other = {**feature, "properties": {"id": "b"}}
    document = {**top, "type": "FeatureCollection", "features": [feature, other]}
    text = json.dumps(document, indent=indent)
    book = book_from_text(text, origin="book.geojson")

    changed = json.loads(after(book, visit_change(book, "a", VISIT)))

    assert changed["features"][0]["properties"].pop("visits")[0]["found"] == "low"
    assert changed == json.loads(text)


def test_empty_book_takes_its_first_source_apart_from_nothing():
    """The book that longdry makes is a feature collection without a feature."""
    document = json.loads(EMPTY_BOOK_TEXT)

    assert (document["type"], document["features"]) == ("FeatureCollection", [])
    assert book_from_text(EMPTY_BOOK_TEXT, origin="b").sources == ()


NONSENSE = {
    "a lost bracket": (EDITED_BOOK[:-4], "no JSON from here on"),
    "two commas": (EDITED_BOOK.replace('"Fork",', '"Fork",,'), r"line 14, column \d+: is no"),
    "text behind": (EDITED_BOOK + "x", "there is more behind the end"),
    "a list": ("[]", '"{" is missing'),
    "a feature alone": ('{"type": "Feature"}', "not a feature collection"),
    "no features": ('{"type": "FeatureCollection"}', "has no list of features"),
    "features as text": (
        '{"type": "FeatureCollection", "features": "none"}',
        "has no list of features",
    ),
    "a number as feature": (
        '{"type": "FeatureCollection", "features": [3]}',
        "is 3, not a feature",
    ),
    "an unknown grade": (EDITED_BOOK.replace("treat-before-drinking", "fine"), 'grade is "fine"'),
    "a day that does not exist": (EDITED_BOOK.replace("05-02", "05-32"), "2026-05-32"),
    "lat and lon swapped": (EDITED_BOOK.replace("[131.20,-25.60]", "[-25.60,131.20]"), "swapped"),
    "a place in words": (EDITED_BOOK.replace("[131.20,-25.60]", '["x","y"]'), "not a number"),
    "one coordinate": (EDITED_BOOK.replace("[131.20,-25.60]", "[131.20]"), "is no place"),
    "NaN": (EDITED_BOOK.replace("131.20", "NaN"), "NaN is no number"),
    "a name twice": (EDITED_BOOK.replace('"id":"fork"', '"name":"fork"'), '"name" is told twice'),
    "features twice": (EDITED_BOOK.replace('"made"', '"features"'), '"features" is told twice'),
    "an id twice": (EDITED_BOOK.replace('"id":"fork"', '"id":7'), 'id "7", as has feature 1'),
    "another reference system": (
        EDITED_BOOK.replace("urn:ogc:def:crs:OGC:1.3:CRS84", "EPSG:28353"),
        "EPSG:28353",
    ),
    "properties as list": (EDITED_BOOK.replace('{"name":"fence"}', "[1]"), "its properties are"),
    "a deep nest": (
        '{"type": "FeatureCollection", "x": ' + "[" * 200_000 + "]" * 200_000 + "}",
        "nested too deeply",
    ),
    "a number of 5000 digits": (EDITED_BOOK.replace("45.50", "9" * 5000), "thousands of digits"),
}  # fmt: skip


@pytest.mark.parametrize(("text", "said"), NONSENSE.values(), ids=NONSENSE)
def test_nonsense_is_told_in_one_sentence(text, said):
    """A book that somebody edited into nonsense is refused, and the sentence says where."""
    with pytest.raises(BookError, match=said) as refusal:
        book_from_text(text, origin="book.geojson")

    assert str(refusal.value).startswith("book.geojson")
    assert len(str(refusal.value).splitlines()) == 1


def test_all_faults_are_told_at_once_and_capped():
    """A book with twelve wrong features tells ten and counts the rest."""
    feature = '{"type": "Feature", "geometry": {"type": "Point", "coordinates": [500, 0]}}'
    text = f'{{"type": "FeatureCollection", "features": [{", ".join([feature] * 12)}]}}'

    with pytest.raises(BookError) as refusal:
        book_from_text(text, origin="book.geojson")

    assert len(str(refusal.value).splitlines()) == 12
    assert "and 2 more" in str(refusal.value)


@given(st.binary(max_size=60))
def test_bytes_of_any_kind_never_end_in_a_traceback(data):
    """Whatever stands where a grade should be, the answer is a book or a BookError."""
    text = EDITED_BOOK.replace("treat-before-drinking", data.decode("latin-1"))

    with contextlib.suppress(BookError):
        assert len(book_from_text(text, origin="book.geojson").features) == 4


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "the file is empty"),
        (gzip.compress(EMPTY_BOOK_TEXT.encode()), "unpack it first"),
        (b"PK\x03\x04 book", "zip archive"),
        (b'{"a": "\xff"}', "not UTF-8"),
        (b"<html></html>", '"{" is missing'),
    ],
)
def test_file_that_is_no_book_is_told(tmp_path, content, said):
    """Empty, packed, binary and web pages get one sentence."""
    path = tmp_path / "book.geojson"
    path.write_bytes(content)

    with pytest.raises(BookError, match=said):
        read_book(path)


def test_missing_book_and_folder_are_told(tmp_path):
    """No file and a folder get one sentence."""
    with pytest.raises(BookError, match="no such file"):
        read_book(tmp_path / "book.geojson")
    with pytest.raises(BookError, match="folder"):
        read_book(tmp_path)


def test_retired_source_keeps_everything_else():
    """Retiring adds a reason and takes nothing away."""
    book = edited_book()

    properties = json.loads(after(book, retire_change(book, "fork", "fenced off")))["features"][2][
        "properties"
    ]

    assert properties == {
        "id": "fork", "name": "Fork", "certainty": "likely", "retired": "fenced off",
    }  # fmt: skip


def test_words_for_nothing_are_nothing():
    """A word such as n/a in a book is nothing known, and stays as it was written."""
    text = EDITED_BOOK.replace('"depth_m"', '"months": "n/a", "depth_m"')
    book = book_from_text(text, origin="book.geojson")

    assert book.sources[0].months is None
    assert '"months": "n/a"' in book.text
