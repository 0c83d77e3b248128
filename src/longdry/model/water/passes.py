"""Where the route comes by water, and whether there will be any when the party comes."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from longdry.model.water.source import WaterSource
from longdry.model.words import Certainty


@dataclass(frozen=True, slots=True)
class Approach:
    """One separate approach of the route to a place."""

    place: int
    """Index of the place in the arrays that were searched."""
    leg: int
    """Index of the leg with the nearest point."""
    fraction: float
    """Where on that leg, 0 to 1 by geodesic length."""
    km: float
    """Chainage of the nearest point."""
    offset_km: float
    """Geodesic distance from the nearest point to the place."""
    lat_deg: float
    lon_deg: float
    """The nearest point on the route."""


@dataclass(frozen=True, slots=True)
class WaterPass:
    """One approach of the route to a source."""

    source: WaterSource
    km: float
    offset_km: float
    way_km: float
    """Length of the way from the route to the source, one way."""
    lat_deg: float
    lon_deg: float
    """The point of the route where the way begins."""
    counted: bool
    """Whether the plan drinks from it."""
    judgement: Judgement
    """Whether there will be water on the day on which the party comes by."""
    why_not: str = ""
    """Why it is not counted; empty where it is."""
    on: dt.date | None = None
    """The day on which the party comes by; None where the trip has no dates."""
    call: bool = False
    """Whether the plan goes to it; of the waters of one stop one alone is called at."""
    passed_by_because: str = ""
    """Why the plan passes by a pass that counts; empty where it calls."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """What can be said of the water at one source on one date."""

    certainty: Certainty
    chance: float
    """Chance that there is water for the party, 0 to 1: the mean of what is known."""
    lower_bound: float
    """The chance is above this with a credibility of 80 %; the word rests on it."""
    why: str
    """What the word rests on, one or two sentences without the last full stop."""
    by_hand: bool = False
    """Whether the user set the word; it then stands, whatever the chance says."""
    is_sure: bool = False
    """Whether the plan may stand on it: certain, by what is known or by the user's word with water
    found lately. Every other source is uncertain, and may be dry."""
    on_word_alone: bool = False
    """Whether nothing is known but that the source is in the user's own layer."""
