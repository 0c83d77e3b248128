"""The trip file that longdry writes to be filled in."""

from __future__ import annotations

import re
import tomllib

import pytest
from trip_text import EVERY_KEY, filled_in, ids, text_with

from longdry.errors import MOST_FAULTS_TOLD, TripFileError
from longdry.model.trip_file.keys import SECTIONS
from longdry.model.words import Travel
from longdry.reading.trip.trip_file import trip_from_text
from longdry.showing.exports.new_trip import new_trip_text

ASKED_FOR = {
    "depart", "people", "litres", "rated_l", "speed_kmh", "hours_per_day", "shade_max_c", "call",
    "due_back",
}  # fmt: skip
"""What only the party knows: when, who, rates, containers, pace, heat, help, due back."""


@pytest.fixture(params=list(Travel))
def travel(request):
    return request.param


def refused(text):
    with pytest.raises(TripFileError) as caught:
        trip_from_text(text, origin="trip.toml")
    return caught.value


def test_a_new_file_is_refused_until_it_is_filled_in(travel):
    """No invented figure can become a plan: every blank is told with its line, all at once."""
    text = new_trip_text(travel)
    blanks = [at for at, line in enumerate(text.split("\n"), 1) if '= "___"' in line]
    faults = refused(text).faults

    assert [int(re.search(r"line (\d+)", fault.where)[1]) for fault in faults] == blanks
    assert all(fault.what == "is still blank" for fault in faults)
    assert len(blanks) <= MOST_FAULTS_TOLD


def test_its_blanks_are_what_only_the_party_knows(travel):
    """Each blank asks for one of them, and none of them is filled in beforehand."""
    keys = re.findall(r"^(\w+) = \"___\"", new_trip_text(travel), flags=re.MULTILINE)

    assert set(keys) == ASKED_FOR


def test_filled_in_it_is_read_without_a_word(travel):
    """With a value in each blank it is a trip by the way of travel that was asked for."""
    trip = trip_from_text(filled_in(new_trip_text(travel), travel), origin="trip.toml")

    assert trip.pace.travel is travel
    assert trip.containers
    assert trip.contact.call
    assert trip.heat is not None
    assert not any(one.key in {"use", "party.people"} for one in trip.defaults)


def test_one_blank_left_is_named_with_what_to_write(travel):
    """The sentence names the key, the line, and what belongs there; no number to be copied."""
    text = filled_in(new_trip_text(travel), travel)
    left = re.sub(r"^people = \S+", 'people = "___"', text, flags=re.MULTILINE)
    line = left.split("\n").index(next(x for x in left.split("\n") if x.startswith("people"))) + 1

    assert str(refused(left)) == (
        f"trip.toml, [party] people (line {line}): is still blank; write a whole number (people),"
        " without quotes, in its place: how many people drink from this water."
    )


@pytest.mark.parametrize(("section", "key"), EVERY_KEY, ids=ids(EVERY_KEY))
def test_a_blank_is_known_under_every_key(section, key):
    """Whoever writes one elsewhere is told the same: it is no text, word or number."""
    told = str(refused(text_with(section, key, '"___"')))

    assert "is still blank" in told
    assert key.help.rstrip(".")[1:] in told


@pytest.mark.parametrize("blank", ["____", " ___ ", "___ _"])
def test_a_blank_with_strokes_and_spaces_more_is_one(blank):
    """Nobody can call for help with a line to write on."""
    assert "is still blank" in str(refused(f'[contact]\ncall = "{blank}"'))


def test_it_is_short(travel):
    """Some 40 lines, none longer than a window of a hundred columns."""
    lines = new_trip_text(travel).split("\n")

    assert 25 <= len(lines) <= 40
    assert max(map(len, lines)) <= 100


def test_what_is_not_blank_is_no_figure_that_flatters(travel):
    """Beside names and words only the count of containers is filled in: the least there is."""
    data = tomllib.loads(new_trip_text(travel))
    numbers = [
        (name, value)
        for table in (*data["use"], *data["container"], data["pace"], data["party"])
        for name, value in table.items()
        if not isinstance(value, str)
    ]

    assert numbers == [("count", 1)]


def test_it_defers_to_those_who_know_the_place(travel):
    """Land manager, local authorities and a doctor are named where rates are asked for."""
    text = " ".join(new_trip_text(travel).replace("\n# ", " ").split())

    assert "ask the land manager, the local authorities" in text
    assert "doctor" in text


def test_tables_stand_in_the_order_of_the_reference(travel):
    """Tables follow the order of the table of keys."""
    text = new_trip_text(travel)
    headings = [section.heading for section in SECTIONS if section.name]
    places = [text.index(f"\n{heading}") for heading in headings if f"\n{heading}" in text]

    assert places == sorted(places)
