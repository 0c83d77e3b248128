"""A what-if on the command line that asks for what is not there names the option, not a file."""

from __future__ import annotations

import pytest
from project_places import SAMPLES

from longdry.cli.main import main

TRIP = next(SAMPLES.glob("*/trip.toml"))


@pytest.mark.parametrize(
    "words",
    [
        "dry Nowhere", "lose container Nothing", "delay 1 day at km 99999", "dry", "",
        "delay 0 days", "pace 100 % slower", "0 more people", "-5 C hotter",
    ],
)  # fmt: skip
def test_wrong_words_name_the_option_and_themselves(words, capsys):
    """Exit status 2; the option and the words stand in the complaint, the trip file does not."""
    route, water = (next(TRIP.parent.glob(name)) for name in ("route*.gpx", "water*"))
    with_what_if = ["plan", str(route), "--water", str(water), "--trip", str(TRIP)]

    status = main([*with_what_if, "--what-if", words])

    told = capsys.readouterr().err
    assert status == 2
    assert "--what-if" in told
    assert words in told
    assert "trip.toml" not in told
