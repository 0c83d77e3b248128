"""Water for need only, in words: never a place and litres without its grade and its salt."""

from __future__ import annotations

from collections.abc import Sequence

from longdry.model.plan.setbacks import WaterInNeed
from longdry.model.water.notes import doubts_in
from longdry.model.water.source import WaterSource
from longdry.model.words import Grade
from longdry.showing.words.amounts import need_words, offset_words
from longdry.showing.words.markup import clipped_text
from longdry.showing.words.measures import Measures
from longdry.showing.words.sources import GRADE_WORDS, salt_words

IN_NEED_HEADING = "In need only, never reckoned with"
MOST_IN_NEED = 5
"""Told for one stretch; of a dense layer the rest is counted."""
_ON_A_SHEET = 24
COUNT_NOTHING = "Count nothing from dew, plants, stills or digging. {never}: never."
MOST_DOUBTS = 2
_NO_NEWS_L = 0.5
_NO_GRADE = "no grade known: treat as not for drinking until tested"


def grade_and_salt_words(source: WaterSource) -> str:
    """Tell the grade, and the salt where it is known; salty water is called not for drinking."""
    grade = _NO_GRADE if source.grade is None else GRADE_WORDS[source.grade]
    if source.is_too_salty and source.trusted_grade is not Grade.NOT_FOR_DRINKING:
        grade = f"too salty, not for drinking, whatever its grade says ({grade})"
    return f"{grade}{salt_words(source)}"


def in_need_words(need: WaterInNeed, measures: Measures) -> str:
    """Tell all but the place and the name: grade, salt, the way there and what it takes."""
    return f"{grade_and_salt_words(need.source)}, {way_there_words(need, measures)}"


def way_there_words(need: WaterInNeed, measures: Measures) -> str:
    """Tell the way there and what it takes; less than half a litre is no news."""
    off = offset_words(need.way_km, measures)
    where = off if off == "on the route" else f"{off} off the route"
    if need.litres < _NO_NEWS_L:
        return where
    return f"{where}, at least {need_words(need.litres, measures)} to get there"


def in_a_word(source: WaterSource) -> str:
    """Tell in a few words what its water is: too salty, its grade, or that none is known."""
    if source.is_too_salty:
        return "too salty, not for drinking"
    return "no grade known" if source.grade is None else GRADE_WORDS[source.grade]


def doubts_words(need: WaterInNeed) -> str:
    """Quote what its note says of drought, locks, money or bad water; empty where nothing."""
    return "; ".join(doubts_in(need.source.note)[:MOST_DOUBTS])


def not_reckoned_words(need: WaterInNeed, measures: Measures) -> str:
    """Tell why it does not count; empty where the grade says so already."""
    why = clipped_text(measures.sentence(need.why_not))
    is_told = why.startswith("no grade given") or why in GRADE_WORDS.values()
    return "" if is_told else why


def best_in_need(
    needs: Sequence[WaterInNeed], most: int = MOST_IN_NEED
) -> tuple[tuple[WaterInNeed, ...], int]:
    """Return the few to be told of one stretch, the best first, and how many are left out."""
    best = sorted(needs, key=lambda need: (worseness(need.source), need.way_km, need.km))
    return tuple(best[:most]), max(0, len(best) - most)


def worseness(source: WaterSource) -> int:
    """Rank a source: to drink or to treat, without a grade, then known to be bad or salty."""
    if source.is_too_salty or source.grade is Grade.NOT_FOR_DRINKING:
        return 2
    return int(source.grade is None)


def most_on_sheet(stretches: int) -> int:
    """Return how many of one stretch a sheet has room for."""
    return max(1, min(MOST_IN_NEED, _ON_A_SHEET // max(1, stretches)))


def left_out_words(count: int) -> str:
    """Tell how many are left out; empty where none is."""
    if not count:
        return ""
    return f"and {count:,} more; all are in the JSON (--json)"
