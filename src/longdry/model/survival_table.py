"""Expected survival of people who are stranded: a published table, never a planning allowance.

E. A. Adolph and others, *Physiology of Man in the Desert* (1947), as repeated in US military
survival manuals: days without walking, by the highest shade temperature of the day and the US
quarts of water that a person has in all.
"""

from __future__ import annotations

from dataclasses import dataclass

SOURCE = (
    "E. A. Adolph and others, Physiology of Man in the Desert (1947), as repeated in US military "
    "survival manuals"
)
CAUTION = (
    "These are mortality figures of fit young men who lay in the shade, to the day they died: "
    "never plan with them. Nobody may count on them; children, the old, the ill and whoever has "
    "worked or walked have less. Drink when thirsty; in distress call for help and follow "
    "medical advice."
)
FROM_MEMORY = (
    "The figures for 10 and 20 US quarts, but for those at 110 °F, are from memory, not read in "
    "the source."
)

SHADE_MAX_F = (50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 120.0)
WATER_QT = (0.0, 1.0, 2.0, 4.0, 10.0, 20.0)
DAYS = (
    (10.0, 11.0, 12.0, 14.5, 21.0, 32.0),
    (10.0, 11.0, 12.0, 14.0, 21.0, 32.0),
    (10.0, 11.0, 12.0, 14.0, 20.5, 32.0),
    (9.0, 10.0, 11.0, 13.0, 19.0, 29.0),
    (7.0, 8.0, 9.0, 10.5, 15.0, 23.0),
    (5.0, 5.5, 6.0, 7.0, 9.5, 13.5),
    (3.0, 3.0, 3.5, 4.0, 5.0, 7.0),
    (2.0, 2.0, 2.0, 2.5, 3.0, 4.5),
)
"""One row for each shade temperature, one column for each amount of water."""
_READ_QT = 4.0
_READ_F = 110.0


@dataclass(frozen=True, slots=True)
class SurvivalFigure:
    """What the table says, to be shown with all of its fields."""

    days: float
    from_memory: bool
    """Whether a cell from memory took part."""
    caution: str
    source: str


@dataclass(frozen=True, slots=True)
class Stranded:
    """What the table says of the place where the party can wait least; no planning allowance."""

    at_km: float
    shade_max_c: float
    """The highest expected on the day that the party comes there, or later."""
    litres_each: float
    """On board there, shared among the people."""
    figure: SurvivalFigure


def is_from_memory(shade_max_f: float, water_qt: float) -> bool:
    """Whether a cell of the table was recalled and not read.

    >>> is_from_memory(100.0, 10.0), is_from_memory(110.0, 10.0), is_from_memory(100.0, 4.0)
    (True, False, False)
    """
    return water_qt > _READ_QT and shade_max_f != _READ_F
