"""The commented trip file that longdry writes."""

from __future__ import annotations

import tomllib

import pytest
from trip_text import EVERY_KEY, ids

from longdry.model.trip_file.keys import SECTIONS
from longdry.model.words import Travel
from longdry.reading.trip.trip_file import read_trip, trip_from_text
from longdry.showing.exports.new_trip import new_trip_text

UNUSED_TABLES = ("animal", "vehicle", "section", "heat_month", "heat_section", "person")


def blocks_of(text):
    return text.split("\n\n")


def in_use(block):
    """Take away the # before the keys of a block that are not in use."""
    return "\n".join(
        line[1:] if line.startswith("#") and not line.startswith("# ") else line
        for line in block.split("\n")
    )


@pytest.fixture(params=list(Travel))
def travel(request):
    return request.param


def test_a_new_file_can_be_read_as_it_is(travel):
    """Nothing has to be changed before the first plan."""
    trip = trip_from_text(new_trip_text(travel), origin="trip.toml")

    assert trip.pace.travel is travel
    assert trip.containers
    assert not any(a.key == "use" for a in trip.defaults)


@pytest.mark.parametrize("key", [key for _, key in EVERY_KEY], ids=ids(EVERY_KEY))
def test_every_key_stands_in_it_with_help_and_unit(key):
    """Each key is there, in use or not, below its explanation, limits and unit."""
    flat = " ".join(new_trip_text(Travel.FOOT).replace("\n# ", " ").split("\n"))

    told = flat.partition(key.help)[2].partition(f"{key.name} = ")[0]

    assert str(key.range or "") in told
    assert key.unit in told


def test_it_says_that_it_is_invented(travel):
    """Nobody takes the example for a trip that was made."""
    head = blocks_of(new_trip_text(travel))[0]

    assert "invented: not for navigation" in head
    assert "land manager" in head


def test_every_key_not_in_use_can_be_taken_into_use(travel):
    """Taking away one # gives a file that is read clean."""
    lines = new_trip_text(travel).split("\n")
    heading = ""
    for at, line in enumerate(lines):
        heading = line if line.startswith(("[", "#[")) else heading
        if line.startswith("#") and not line.startswith(("# ", "#[")) and heading[:1] != "#":
            changed = [*lines[:at], line[1:], *lines[at + 1 :]]
            trip_from_text("\n".join(changed), origin=f"line {at + 1}")


@pytest.mark.parametrize("table", UNUSED_TABLES)
def test_every_table_not_in_use_can_be_taken_into_use(travel, table):
    """Taking away the # of a whole table gives a file that is read clean."""
    blocks = [
        in_use(block) if f"#[[{table}]]" in block else block
        for block in blocks_of(new_trip_text(travel))
    ]
    text = "\n\n".join(blocks)

    assert table in tomllib.loads(text)
    assert trip_from_text(text, origin="trip.toml").origin == "trip.toml"


def test_it_is_no_less_careful_than_no_file_where_a_wrong_guess_hurts(travel):
    """Left as it is, the file treats no water and has people drink no less than the default."""
    trip = trip_from_text(new_trip_text(travel), origin="trip.toml")
    usual = read_trip(None)

    assert not trip.party.can_treat
    assert trip.uses[0].name == usual.uses[0].name == "drinking"
    assert trip.uses[0].litres >= usual.uses[0].litres
    assert trip.policy.fill_to is usual.policy.fill_to


@pytest.mark.parametrize("travel", [Travel.FOOT, Travel.BICYCLE])
def test_people_who_sweat_drink_by_the_hour(travel):
    """Parks Australia: at least 1 L per person and hour of walking, so 6 L in 6 hours."""
    trip = trip_from_text(new_trip_text(travel), origin="trip.toml")

    assert trip.uses[0].litres > trip.pace.hours_per_day * 1.0


def test_lines_are_short(travel):
    """The file can be read in a window of a hundred columns."""
    assert max(len(line) for line in new_trip_text(travel).split("\n")) <= 100


def test_tables_stand_in_one_order(travel):
    """Tables follow the order of the table of keys."""
    text = new_trip_text(travel)
    places = [text.index(f"{section.heading}\n") for section in SECTIONS if section.name]

    assert places == sorted(places)
