"""Everything that was worked out about what goes wrong."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.survival_table import Stranded
from longdry.model.water_source import WaterSource
from longdry.model.what_if import Chance, DryProof, SitOut, TurnBack, WhatIf


@dataclass(frozen=True, slots=True)
class Survival:
    """What it takes that any one uncertain source may be dry."""

    extra_l: tuple[float, ...]
    """For each stretch, litres more on leaving its beginning than the plan would have."""
    extra_litre_km: float
    breaks: tuple[WaterSource, ...]
    """Sources whose loss still leaves neither way; none: the fills survive."""


@dataclass(frozen=True, slots=True, eq=False)
class Setbacks:
    """The answers, in the order in which a reader wants them."""

    worst: WhatIf | None
    """The worst single failure; None where nothing was asked."""
    dry: tuple[WhatIf, ...]
    """Each counted source dry, then each two neighbours."""
    changes: tuple[WhatIf, ...]
    """The standard set, then what was asked on top of it."""
    turn_backs: tuple[TurnBack, ...]
    """One for each stretch."""
    sit_out: SitOut
    proof: DryProof
    """What surviving any one dry source asks for, whether the plan does it or not."""
    chance: Chance | None
    """None where no trials were asked for."""
    stranded: Stranded | None = None
    """None where the trip gives no heat, or the published table does not reach so far."""
