"""Plain words for what may go wrong, there and back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from longdry.errors import TripFileError, UsageError
from longdry.model.trip.what_if import (
    Delay,
    Drought,
    DrySource,
    Hotter,
    LostContainer,
    LostVehicle,
    MorePeople,
    SlowerPace,
    TreatingFails,
)
from longdry.reading.trip.what_ifs import FORMS, read_what_ifs


def read(*texts):
    return read_what_ifs(texts, origin="trip.toml")


@pytest.mark.parametrize(
    ("text", "change"),
    [
        ("delay 2 days at km 410", Delay(2, 410.0)),
        ("Delay 1 day at km 12.5", Delay(1, 12.5)),
        ("delay 3 days", Delay(3)),
        ("pace 25 % slower", SlowerPace(25.0)),
        ("pace 12.5% slower", SlowerPace(12.5)),
        ("5 C hotter", Hotter(5.0)),
        ("  5   °C  hotter ", Hotter(5.0)),
        ("lose container blue can", LostContainer("blue can")),
        ('lose container "blue can"', LostContainer("blue can")),
        ("2 more people", MorePeople(2)),
        ("1 more person", MorePeople(1)),
        ("dry Old Bore", DrySource("Old Bore")),
        ("lose vehicle wagon", LostVehicle("wagon")),
        ('Lose vehicle "the wagon"', LostVehicle("the wagon")),
        ("treating  fails", TreatingFails()),
        ("Drought", Drought()),
    ],
)
def test_each_form_is_understood(text, change):
    """Case and blanks do not matter, nor do quotes around a name."""
    assert read(text) == (change,)


def test_every_form_that_the_message_names_is_understood():
    """What the user is told to write can be read."""
    assert len(read(*FORMS)) == len(FORMS)


@pytest.mark.parametrize(
    "text",
    [
        "", "delay", "delay two days", "delay 2 days at 410", "delay 1.5 days at km 3",
        "pace 25 slower", "pace nan % slower", "pace 1e1 % slower", "pace 1_0 % slower",
        "pace ٢٥ % slower", "-5 C hotter", "5 F hotter", "lose container", "dry", "2 people",
        "lose vehicle", "treating fails today", "droughts",
    ],
)  # fmt: skip
def test_anything_else_is_one_sentence_with_the_forms(text):
    """The message shows what was written and every form that would do."""
    with pytest.raises(TripFileError) as caught:
        read(text)

    message = str(caught.value)
    assert message.startswith(f'trip.toml: "{text}" is nothing that longdry can ask; write one of')
    assert all(form in message for form in FORMS)
    assert message.count("\n") == 0


@pytest.mark.parametrize(
    "text",
    ["delay 0 days", "delay 999 days", "pace 99 % slower", "45 C hotter", "0 more people"],
)
def test_figures_that_cannot_be_are_out_of_range(text):
    """The message says between which bounds a figure must be."""
    with pytest.raises(TripFileError, match=r"is out of range; days are 1 to 365"):
        read(text)


def test_all_faults_are_told_at_once():
    """Two of three are wrong; both are told, as the command line's own error where asked."""
    with pytest.raises(UsageError) as caught:
        read_what_ifs(
            ["fly", "5 C hotter", "pace 99 % slower"], origin="--what-if", error=UsageError
        )

    assert len(caught.value.faults) == 2


def test_control_characters_do_not_reach_the_screen():
    """An escape character is shown as what it is."""
    with pytest.raises(TripFileError) as caught:
        read("fly\x1b[2J")

    assert "\x1b" not in str(caught.value)


names = st.text(st.characters(categories=("L", "N")), min_size=1, max_size=12)
km = st.none() | st.floats(0.0, 99_999.0).map(lambda value: round(value, 3))
changes = st.one_of(
    st.builds(Delay, st.integers(1, 365), km),
    st.builds(SlowerPace, st.floats(0.0, 95.0)),
    st.builds(Hotter, st.floats(0.0, 30.0).map(lambda value: round(value, 4))),
    st.builds(MorePeople, st.integers(1, 1000)),
    st.builds(LostContainer, names),
    st.builds(LostVehicle, names),
    st.builds(TreatingFails),
    st.builds(Drought),
    st.builds(DrySource, names),
)


@given(changes)
def test_words_read_back_as_what_they_say(change):
    """A change that is put into words and read again is the same change."""
    (again,) = read(change.words)

    if isinstance(change, SlowerPace):
        assert again.percent == pytest.approx(change.percent, abs=1e-12)
    else:
        assert again == change
