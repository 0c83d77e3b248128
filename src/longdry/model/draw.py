"""What it takes to get the wanted water out of a source."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Draw:
    """Drawing the water that the fill plan takes at one pass."""

    km: float
    source_id: str
    litres: float
    minutes: float | None
    """None where neither the flow nor a pump tells."""
    charge_ah: float | None
    """Ampere-hours from a 12 V battery; None where no 12 V pump is needed."""
