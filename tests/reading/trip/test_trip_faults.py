"""Each wrong thing in a trip file is answered with its place, its value and its mend."""

from __future__ import annotations

import pytest
from trip_fault_cases import TOGETHER
from trip_text import EVERY_KEY, ids, text_with

from longdry.errors import TripFileError
from longdry.model.trip_file.key import Kind
from longdry.reading.trip.trip_file import LARGEST_BYTES, read_trip, trip_from_text


def faults_of(text):
    with pytest.raises(TripFileError) as caught:
        trip_from_text(text, origin="trip.toml")
    return caught.value.faults


def the_fault(text):
    (fault,) = faults_of(text)
    return fault


WRONG_NUMBERS = {
    '"20 L"': '"20 L" is text, not a number',
    "true": "true is a yes or no, not a number",
    "nan": "nan is out of range",
    "inf": "inf is out of range",
    "-inf": "-inf is out of range",
    "-1000": "-1000 is out of range",
    "1e12": "1000000000000.0 is out of range",
    "[1]": "[1] is a list, not a number",
    "2027-05-03": "2027-05-03 is a date, not a number",
    "{}": "{} is a table, not a number",
}
WRONG = {
    Kind.NUMBER: WRONG_NUMBERS,
    Kind.WHOLE: {**WRONG_NUMBERS, "1.5": "1.5 is not a whole number"},
    Kind.TEXT: {
        "3": "3 is a number, not text",
        "true": "true is a yes or no, not text",
        '" "': '" " is empty',
        '"a\\nb"': "line break",
        '"\\u001b[31m"': "control character",
        f'"{"a" * 201}"': "has 201 characters",
    },
    Kind.WORD: {
        '"nonsense"': '"nonsense" is not a word',
        "7": "7 is not a word",
        "false": "false is not a word",
        '""': '"" is not a word',
    },
    Kind.YES_NO: {
        '"yes"': '"yes" is text, not true or false',
        "1": "1 is a number, not true or false",
        "[]": "[] is a list, not true or false",
    },
    Kind.TEXTS: {
        '"Old Bore"': '"Old Bore" is text, not a list of texts',
        "3": "3 is a number, not a list of texts",
        "[3]": "item 1, 3 is a number, not text",
        '["Old Bore", " "]': 'item 2, " " is empty',
        '["a\\nb"]': "line break",
        '["\\u001b[31m"]': "control character",
    },
    Kind.DAY: {
        "2027-05-17T08:00:00": "2027-05-17T08:00:00 has an hour",
        '"2027-05-17T08:00"': "2027-05-17T08:00:00 has an hour",
        '"next week"': '"next week" is text, not a date',
        "2200-01-01": "2200-01-01 is out of range",
        "17": "17 is a number, not a date",
    },
    Kind.MOMENT: {
        '"tomorrow"': '"tomorrow" is text, not a date',
        '"2027-02-30"': '"2027-02-30" is text, not a date',
        '"2027-05-03T25:00"': '"2027-05-03T25:00" is text, not a date',
        '"2027-05-03T08:00+09:30"': "2027-05-03T08:00:00+09:30 has an offset from UTC",
        "2027-05-03T08:00Z": "has an offset from UTC",
        "08:00:00": "08:00:00 is a time of day, not a date",
        "2027-05-03T08:00:00+09:30": "2027-05-03T08:00:00+09:30 has an offset from UTC",
        "2027-05-03T08:00:00Z": "has an offset from UTC",
        "0027-05-03": "0027-05-03 is out of range",
        "2200-01-01": "2200-01-01 is out of range",
        "20270503": "20270503 is a number, not a date",
    },
}
WRONG_VALUES = [
    (section, key, value, what)
    for section, key in EVERY_KEY
    for value, what in WRONG[key.kind].items()
]
NAMES = [
    f"{name}-{value}"
    for name, (*_, value, _) in zip(
        ids([(section, key) for section, key, *_ in WRONG_VALUES]), WRONG_VALUES, strict=True
    )
]


@pytest.mark.parametrize(("section", "key", "value", "what"), WRONG_VALUES, ids=NAMES)
def test_a_wrong_value_is_named_with_place_line_and_mend(section, key, value, what):
    """Every key refuses every value of the wrong kind, and says where and how to mend it."""
    text = text_with(section, key, value)
    line = text.count("\n") + 1

    faults = [fault for fault in faults_of(text) if what in fault.what]

    (fault,) = faults
    assert fault.where == f"{section.place(key.name, 1)} (line {line})"
    assert key.name in fault.mend or str(key.sample) in fault.mend or "year" in fault.mend


LIMITED = [(section, key) for section, key in EVERY_KEY if key.range is not None]


@pytest.mark.parametrize(("section", "key"), LIMITED, ids=ids(LIMITED))
def test_limits_are_told_in_the_unit(section, key):
    """A number out of range is answered with the range and its unit."""
    (fault, *_) = faults_of(text_with(section, key, "-1e9"))

    assert f"{key.range} {key.unit}".rstrip() in fault.mend


REQUIRED = [(section, key) for section, key in EVERY_KEY if key.required]


@pytest.mark.parametrize(("section", "key"), REQUIRED, ids=ids(REQUIRED))
def test_what_is_needed_is_missed(section, key):
    """A table without a key that it needs is named with an example of that key."""
    text = text_with(section, key, "0").rpartition("\n")[0]

    fault = the_fault(text)

    assert fault.where == f"{section.place(key.name, 1)} (line 1)"
    assert (fault.what, fault.mend[:10]) == ("is missing", "add a line")
    assert f"{key.name} = " in fault.mend


@pytest.mark.parametrize(("text", "where", "what", "mend"), TOGETHER.values(), ids=TOGETHER.keys())
def test_a_fault_is_one_sentence_with_place_value_and_mend(text, where, what, mend):
    """What cannot stand is told once, where it stands, with what to do about it."""
    fault = the_fault(text)

    assert fault.where == where
    assert what in fault.what
    assert mend in fault.mend


@pytest.mark.parametrize(
    "text",
    [
        "[[section]]\nfrom_km=0\nto_km=9\nspeed_kmh=2\n[[section]]\nfrom_km=9\nto_km=12\nspeed_kmh=3",
        "[[section]]\nfrom_km=0\nto_km=9\nspeed_kmh=2\n[[section]]\nfrom_km=20\nto_km=30\nspeed_kmh=3",
        "[pace]\nhours_per_day = 24\nstart_hour = 0",
        "[[container]]\nrated_l = 20\nbrimful_l = 20",
        '[[container]]\nrated_l = 20\nvehicle = "wagon"',
        "[policy]\nstart_on_board_l = 60",
        "[party]\npeople = 2.0",
        '[policy]\ncall_at = ["Well@12"]\npass_by = ["well@40", "Bore"]',
        "depart = 2027-05-07T23:30\n[contact]\ndue_back = 2027-05-07",
        '[[vehicle]]\nname = "a"\npayload_left_kg = 9\npeople = 2',
        '[[vehicle]]\nname="a"\npayload_left_kg=9\npeople=1\n[[vehicle]]\nname="b"\npayload_left_kg=9',
        '[[container]]\nrated_l = 20\ngrade = "potable"\ndrinking_only = true',
        '[kit]\npump = true\n[[pump]]\nname = "12 V pump"\nl_per_min = 8',
        "[pace]\nhours_per_day = 0.5",
    ],
    ids=["sections meet", "sections leave a gap", "all day", "brim as rated",
         "carrier without list", "water without containers", "whole number with a point",
         "one pass of two", "back on the day", "everybody in one", "one vehicle not told",
         "potable said twice", "pump said twice", "days as short as the shorter day"],
)  # fmt: skip
def test_what_stands_at_the_limit_is_no_fault(text):
    """The last value that makes sense is taken."""
    assert trip_from_text(text, origin="trip.toml").origin == "trip.toml"


def test_all_faults_are_told_at_once():
    """Faults of single values and of values beside each other come in one answer."""
    text = """
[party]
people = 0
[[container]]
rated_l = "20 L"
[[container]]
rated_l = 20
brimful_l = 10
[[camp]]
"""

    assert [fault.where for fault in faults_of(text)] == [
        "[party] people (line 3)",
        "[[container]] 1, rated_l (line 5)",
        "[[container]] 2, brimful_l (line 8)",
        "[[camp]] 1 (line 9)",
    ]


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ('use = [{name = "tea", litres = -1}]', "[[use]] 1, litres (line 1)"),
        ("party = {people = 0}", "[party] people (line 1)"),
        ("party.people = 0", "[party] people (line 1)"),
        ('"name" = 1', "name (line 1)"),
        ("# people\n\n[ party ]\n\tpeople=0", "[party] people (line 4)"),
        ('name = """\n[party]\npeople = 9"""\n', "name (line 1)"),
        ("[party]\r\npeople = 0\r\n", "[party] people (line 2)"),
        ("depart = 2027-05-07T10:30 # noon\n[party]\npeople = 0", "[party] people (line 3)"),
    ],
    ids=["list on one line", "table on one line", "dotted", "quoted", "blanks", "long text",
         "line ends of Windows", "departure without seconds"],
)  # fmt: skip
def test_the_line_is_found_in_every_way_of_writing(text, where):
    """Whatever form of TOML is used, the line is the one that a reader would look at."""
    assert the_fault(text).where == where


def sentence_of(path):
    with pytest.raises(TripFileError) as caught:
        read_trip(path)
    return str(caught.value)


def test_a_missing_file_is_named(tmp_path):
    """A file that is not there is answered with its name."""
    path = tmp_path / "no.toml"

    assert sentence_of(path) == f"{path}: there is no such file; check the name."


def test_a_folder_is_no_file(tmp_path):
    """A folder is answered as a folder."""
    assert sentence_of(tmp_path) == f"{tmp_path}: this is a folder; name the trip file in it."


@pytest.mark.parametrize("content", ['name = "é"'.encode("cp1252"), 'name = "a"'.encode("utf-16")])
def test_text_that_is_not_utf8_is_refused(tmp_path, content):
    """Other encodings are answered with the encoding that is wanted."""
    path = tmp_path / "trip.toml"
    path.write_bytes(content)

    sentence = sentence_of(path)

    assert "in line 1 is not UTF-8 text; save the file as UTF-8 text." in sentence


def test_a_file_that_is_far_too_large_is_refused(tmp_path):
    """A track handed over by mistake is not read to its end."""
    path = tmp_path / "trip.toml"
    path.write_bytes(b"#" * (LARGEST_BYTES + 1))

    assert "larger than 1 MB; check that it is a trip file" in sentence_of(path)


def test_a_name_that_no_file_can_have_is_refused():
    """A name with a zero byte is answered, not crashed on."""
    assert "the file cannot be read" in sentence_of("a\0b")
