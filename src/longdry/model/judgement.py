"""Whether there will be water at a source, and what that rests on."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.words import Certainty


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
    on_word_alone: bool = False
    """Whether nothing is known but that the source is in the user's own layer."""
