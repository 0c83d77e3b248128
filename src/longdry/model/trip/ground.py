"""What surfaces slow a speed down to, and the ground layer that says where they are.

The layer is the user's own: areas and lines with a speed or a surface.
"""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.words import Travel

SURFACE_FACTORS = {
    Travel.VEHICLE: {
        "asphalt": 1.0, "paved": 1.0, "concrete": 1.0, "compacted": 0.8, "fine_gravel": 0.8,
        "gravel": 0.7, "unpaved": 0.6, "dirt": 0.6, "ground": 0.6, "earth": 0.6, "grass": 0.5,
        "salt": 0.4, "pebblestone": 0.4, "sand": 0.3, "mud": 0.2, "rock": 0.15,
    },
    Travel.FOOT: {
        "asphalt": 1.0, "paved": 1.0, "concrete": 1.0, "compacted": 1.0, "fine_gravel": 1.0,
        "gravel": 0.95, "unpaved": 0.9, "dirt": 0.9, "ground": 0.9, "earth": 0.9, "grass": 0.85,
        "salt": 0.8, "pebblestone": 0.7, "sand": 0.6, "mud": 0.5, "rock": 0.6,
    },
    Travel.BICYCLE: {
        "asphalt": 1.0, "paved": 1.0, "concrete": 1.0, "compacted": 0.85, "fine_gravel": 0.8,
        "gravel": 0.65, "unpaved": 0.6, "dirt": 0.6, "ground": 0.6, "earth": 0.6, "grass": 0.5,
        "salt": 0.5, "pebblestone": 0.35, "sand": 0.2, "mud": 0.2, "rock": 0.25,
    },
}  # fmt: skip
"""Speed on a surface over speed on a paved road. Common practice, no source. The words are values
of OpenStreetMap's key ``surface``."""


SURFACES = tuple(SURFACE_FACTORS[Travel.VEHICLE])
"""The words that have a factor."""


def surface_factor(surface: str, travel: Travel) -> float:
    """Return what a surface slows the speed on a paved road down to.

    Raises
    ------
    KeyError
        For a word that is not known.

    >>> surface_factor("sand", Travel.FOOT)
    0.6
    """
    return SURFACE_FACTORS[travel][surface]


@dataclass(frozen=True, slots=True)
class GroundFeature:
    """One area, or one line with the ground close to it."""

    wkb: bytes
    """Well-known binary (OGC 06-103r4) in WGS 84, longitude first."""
    speed_kmh: float | None = None
    """Mean speed on it; where it is None, the surface tells."""
    surface: str = ""
    """A value of OpenStreetMap's key ``surface``."""
