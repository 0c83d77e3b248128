"""Areas and lines of the user's own layer that say what the ground is like."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class GroundFeature:
    """One area, or one line with the ground close to it."""

    wkb: bytes
    """Well-known binary (OGC 06-103r4) in WGS 84, longitude first."""
    speed_kmh: float | None = None
    """Mean speed on it; where it is None, the surface tells."""
    surface: str = ""
    """A value of OpenStreetMap's key ``surface``."""
