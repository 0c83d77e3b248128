"""How the trip file says how water is made safe."""

from __future__ import annotations

import pytest

from longdry.model.trip.treatment import Fuel, Stove, Treatment, TreatMethod
from longdry.reading.trip.trip_file import trip_from_text

_BOILS = """[treatment]
method = "boil"
litres_per_day = 12
stove_efficiency = 0.4
stove_kw = 1.8
pot_l = 2.5
fuel = "propane"
"""


def trip(text):
    return trip_from_text(text, origin="trip.toml")


def assumed(read):
    return {assumption.key: assumption.value for assumption in read.defaults}


def test_a_stated_method_means_that_the_party_can_treat():
    """[treatment] without can_treat: the party can treat, and that is told."""
    read = trip('[treatment]\nmethod = "filter"')

    assert read.party.can_treat
    assert assumed(read)["party.can_treat"] == "yes"


def test_a_party_that_says_it_cannot_treat_is_believed():
    """can_treat = false leaves [treatment] without part, and that is told."""
    read = trip('[party]\ncan_treat = false\n[treatment]\nmethod = "filter"')

    assert not read.party.can_treat
    assert read.treatment is None
    assert assumed(read)["treatment"] == "without part"


def test_without_a_word_nothing_is_treated():
    """Neither can_treat nor [treatment]: no treatment, and no default of it is told."""
    read = trip("")

    assert read.treatment is None
    assert not [key for key in assumed(read) if key.startswith("treatment")]


def test_an_unstated_capacity_is_told():
    """can_treat alone: as many litres as are wanted, and no method: both told."""
    read = trip("[party]\ncan_treat = true")

    assert read.treatment == Treatment()
    assert assumed(read)["treatment.litres_per_day"] == "as many litres as are wanted"
    assert assumed(read)["treatment.method"] == "not named"


def test_a_stove_comes_back_as_it_was_written():
    """Every key of boiling lands in its field."""
    assert trip(_BOILS).treatment == Treatment(
        TreatMethod.BOIL, litres_per_day=12.0, stove=Stove(0.4, 1.8, 2.5, Fuel.PROPANE)
    )


def test_without_the_stove_s_efficiency_no_stove_is_made_up():
    """Fuel is told only from a stated efficiency."""
    assert trip('[treatment]\nmethod = "boil"\npot_l = 2').treatment == Treatment(TreatMethod.BOIL)


@pytest.mark.parametrize(
    ("text", "treatment"),
    [
        ("filter_l_per_min = 0.8", Treatment(TreatMethod.FILTER, filter_l_per_min=0.8)),
        (
            "litres_per_tablet = 2\nwait_minutes = 30",
            Treatment(TreatMethod.CHLORINE_TABLETS, litres_per_tablet=2.0, wait_minutes=30.0),
        ),
        ("cloudy_or_cold = true", Treatment(TreatMethod.BLEACH, is_cloudy_or_cold=True)),
        ("wait_minutes = 1.5", Treatment(TreatMethod.UV, wait_minutes=1.5)),
    ],
)
def test_what_a_method_needs_lands_in_its_field(text, treatment):
    """Flow, tablets, waiting time and doubling come back as written."""
    assert trip(f'[treatment]\nmethod = "{treatment.method}"\n{text}').treatment == treatment
