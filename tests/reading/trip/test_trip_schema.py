"""The schema that editors get says what the reader says."""

from __future__ import annotations

import datetime as dt
import json
import tomllib
from importlib.resources import files

import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from project_places import ROOT
from trip_text import EVERY_KEY, as_toml, companions, filled_in, ids, sample_toml, text_with

from longdry.errors import TripFileError
from longdry.model.trip_file.key import Kind
from longdry.model.trip_file.keys import SECTIONS
from longdry.model.words import Travel
from longdry.reading.trip.schema import trip_schema, trip_schema_text
from longdry.reading.trip.tables import TripFaults, lines_of, tables_of, with_seconds
from longdry.reading.trip.trip_file import trip_from_text
from longdry.showing.exports.new_trip import new_trip_text

SAMPLES = sorted(ROOT.glob("sample_routes/*/*.toml"))
DATED = {Kind.MOMENT, Kind.DAY}
VALIDATOR = Draft202012Validator(trip_schema())


def as_json(value):
    """Turn what TOML holds into what JSON holds: days and hours become text."""
    return json.loads(json.dumps(value, default=lambda moment: moment.isoformat()))


def parsed(text):
    return tomllib.loads(with_seconds(text))


def schema_takes(text):
    return VALIDATOR.is_valid(as_json(parsed(text)))


def reader_takes(text):
    try:
        trip_from_text(text, origin="trip.toml")
    except TripFileError:
        return False
    return True


def values_pass(text):
    """Whether the reader finds no fault with any value by itself."""
    faults = TripFaults(lines_of(text))
    tables_of(parsed(text), faults)
    return not faults.faults


def test_there_are_samples():
    """The samples are found, so that the check of them cannot pass on none."""
    assert SAMPLES


def test_the_schema_is_a_schema():
    """The schema meets JSON Schema 2020-12 itself."""
    Draft202012Validator.check_schema(trip_schema())


def test_the_shipped_file_is_the_schema_of_the_table():
    """The file that is shipped was written from the table of keys as it is now."""
    shipped = files("longdry").joinpath("trip.schema.json").read_text("utf-8")

    assert shipped == trip_schema_text()


@pytest.mark.parametrize("travel", Travel)
def test_new_trip_files_meet_the_schema(travel):
    """A file that longdry writes is one that editors find no fault with."""
    assert schema_takes(filled_in(new_trip_text(travel), travel))


@pytest.mark.parametrize("path", SAMPLES, ids=[path.parent.name for path in SAMPLES])
def test_sample_trips_meet_the_schema(path):
    """The samples are files that editors find no fault with."""
    assert schema_takes(path.read_text("utf-8"))


@pytest.mark.parametrize(("section", "key"), EVERY_KEY, ids=ids(EVERY_KEY))
def test_every_key_is_told_with_its_unit(section, key):
    """An editor shows what a key is and what it is counted in."""
    schema = trip_schema()
    table = schema["properties"][section.name] if section.name else schema
    described = table.get("items", table)["properties"][key.name]["description"]

    assert key.help in described
    assert key.unit in described


@pytest.mark.parametrize("key", [key for _, key in EVERY_KEY], ids=ids(EVERY_KEY))
def test_every_number_has_limits_and_every_word_a_list(key):
    """No number is without sane limits, no word without the words allowed."""
    assert (key.range is not None) == (key.kind in {Kind.NUMBER, Kind.WHOLE})
    assert bool(key.words) == (key.kind is Kind.WORD)


def junk(key):
    """Draw values of any kind; a text for a date is left out, as JSON has no dates."""
    text = st.text(max_size=4) | st.sampled_from(
        ["", " ", "full", "potable", "foot", "a\n", "é" * 201]
    )
    numbers = st.integers(-5, 10**7) | st.floats(allow_nan=False, allow_infinity=False)
    moments = st.dates(dt.date(1890, 1, 1), dt.date(2210, 1, 1))
    kinds = numbers | st.booleans() | st.lists(st.integers(), max_size=2)
    lists = st.lists(text, max_size=2)
    return (kinds | moments) if key.kind in DATED else (kinds | text | lists)


def likely(key):
    """Draw values near the limits of a key."""
    if key.range is not None:
        edges = [key.range.low, key.range.high]
        return st.sampled_from([*edges, *(e + d for e in edges for d in (-1, -0.5, 0.5, 1))])
    if key.kind in DATED:
        return st.datetimes(dt.datetime(1895, 1, 1), dt.datetime(2205, 1, 1))
    return st.sampled_from([*key.words, key.sample])


@pytest.mark.parametrize(("section", "key"), EVERY_KEY, ids=ids(EVERY_KEY))
@drawn_proof(160)
@given(data=st.data())
def test_schema_and_reader_agree_on_every_value(section, key, data):
    """A value by itself is taken by both or by neither."""
    value = data.draw(junk(key) | likely(key))
    text = text_with(section, key, as_toml(value))

    assert schema_takes(text) == values_pass(text)


@st.composite
def tables(draw):
    """Draw a small file of sample values, now and then with a key too much or a wrong one."""
    lines = []
    for section in draw(st.lists(st.sampled_from(SECTIONS[1:]), max_size=3, unique=True)):
        lines.append(section.heading)
        chosen = draw(st.lists(st.sampled_from(section.keys), max_size=4, unique=True))
        lines += [f"{key.name} = {sample_toml(key)}" for key in chosen]
        if draw(st.integers(0, 5)) == 0:
            lines.append(draw(st.sampled_from(["qqq = 1", "litre = 2", "rated = 3"])))
    return "\n".join(lines)


@drawn_proof(800)
@given(tables())
def test_schema_and_reader_agree_on_small_files(text):
    """What the schema refuses the reader refuses; what it takes has no wrong value or key."""
    if schema_takes(text):
        assert values_pass(text)
    else:
        assert not reader_takes(text)


@pytest.mark.parametrize(
    "place",
    ['km = 5\nwaypoint = "a"', "lat = 5", "km = 5\nlat = 5\nlon = 5", "rest_days = 1"],
)
def test_the_schema_refuses_camps_without_one_place(place):
    """A camp has exactly one place, for the schema as for the reader."""
    text = f"[[camp]]\n{place}"

    assert not schema_takes(text)
    assert not reader_takes(text)


def test_companions_are_what_a_table_needs():
    """The tests' own smallest files stand: each key with its companions is taken by both."""
    for section, key in EVERY_KEY:
        text = text_with(section, key, sample_toml(key))
        assert schema_takes(text), companions(section, key)
        assert reader_takes(text), companions(section, key)
