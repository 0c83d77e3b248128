"""Whatever stands in a trip file, a water book or on the command line, the answer is one of ours.

Random text and bytes by hypothesis; ``tests/helpers/fuzzing.py`` says how to run them for long.
"""

from __future__ import annotations

import json

from fuzzing import answered, many
from hypothesis import example, given
from hypothesis import strategies as st

from longdry.cli.main import command_parser, main
from longdry.doing.what_if_options import inquiry_of
from longdry.errors import InputError
from longdry.model.trip.trip import Trip
from longdry.model.trip.what_if import Inquiry
from longdry.model.trip_file.keys import SECTIONS
from longdry.reading.book.book_file import book_from_text, read_book
from longdry.reading.trip.trip_file import read_trip, trip_from_text
from longdry.showing.exports.book_geojson import EMPTY_BOOK_TEXT

HEADINGS = [section.heading for section in SECTIONS]
KEYS = sorted({key.name for section in SECTIONS for key in section.keys})
values = st.sampled_from(
    ["0", "-1", "1e400", "nan", "inf", "-0.0", "true", '""', '"50 km/h"', "[1]", "{}", "9" * 30,
     "2027-05-03", "2027-02-30", "07:00:00", '"potable"', '"bare"', '"foot"', "1.5", "24", "[[]]"]
)  # fmt: skip
lines = st.sampled_from(HEADINGS) | st.builds("{} = {}".format, st.sampled_from(KEYS), values)
trips = st.lists(lines, max_size=14).map("\n".join)
json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner),
    max_leaves=8,
)


@many(2.0)
@given(trips)
@example("[[container]]\nrated_l = 1e400")
@example("[[heat_section]]\nacclimatised = 0\n" * 4)
def test_any_lines_of_a_trip_file_are_answered(text):
    """Known headings and keys with any values under each other: a trip or faults."""
    assert isinstance(answered(lambda: trip_from_text(text, origin="trip.toml")), Trip | InputError)


@many()
@given(st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
def test_any_bytes_of_a_trip_file_are_answered(tmp_path, content):
    """Bytes instead of a trip file: a trip or faults."""
    path = tmp_path / "trip.toml"
    path.write_bytes(content)

    assert isinstance(answered(read_trip, path), Trip | InputError)


@many()
@given(st.binary(max_size=200), st.integers(0, 400), st.integers(0, 60))
def test_a_damaged_water_book_is_answered(tmp_path, piece, start, length):
    """A book with bytes lost or changed anywhere: read or refused, and never another error."""
    good = EMPTY_BOOK_TEXT.encode()
    path = tmp_path / "book.geojson"
    path.write_bytes(good[:start] + piece + good[start + length :])

    assert answered(read_book, path) is not None


@many()
@given(
    json_values, st.dictionaries(st.sampled_from(["id", "name", "visits", "grade"]), json_values)
)
def test_any_feature_in_a_water_book_is_answered(geometry, properties):
    """Features of any shape in a book: read or refused."""
    book = json.loads(EMPTY_BOOK_TEXT)
    book["features"] = [{"type": "Feature", "geometry": geometry, "properties": properties}]

    assert answered(lambda: book_from_text(json.dumps(book), origin="book.geojson")) is not None


@many()
@given(
    st.text(max_size=20)
    | st.lists(
        st.sampled_from(["delay", "2", "days", "at", "km", "410", "pace", "25", "%", "slower", "C",
                         "hotter", "lose", "container", "more", "people", "dry", "-1", "1e9"]),
        max_size=7,
    ).map(" ".join)
)  # fmt: skip
def test_any_words_of_a_what_if_are_answered(words):
    """Words of any kind after --what-if: asked or refused."""
    options = command_parser("plan").parse_args(["r", "--water", "w", f"--what-if={words}"])

    assert isinstance(answered(inquiry_of, options), Inquiry | InputError)


@many()
@given(
    st.lists(
        st.sampled_from(["--trials", "--seed", "--units", "--fill", "--count-on", "--backdrop-mb",
                         "--strict", "--json", "--track", "--online-tiles", "--reverse"])
        | st.sampled_from(["", "0", "-1", "nan", "1e99", "x", "٣", "none.gpx", "https://x/{z}"]),
        max_size=6,
    )
)  # fmt: skip
def test_any_options_end_in_status_2(words):
    """Options in any order with any values and a route that is not there: one sentence, 2."""
    words = [word for word in words if word != "--json"]
    try:
        status = main(["plan", "none.gpx", "--water", "none.csv", *words])
    except SystemExit as ended:
        status = ended.code

    assert status == 2
