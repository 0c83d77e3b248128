"""What becomes of the plan when something goes wrong."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from longdry.model.arrays import FloatArray
from longdry.model.dry_stretch import DryStretch
from longdry.model.water_source import WaterSource
from longdry.model.words import Ration, Verdict


class WhatIfKind(StrEnum):
    """What goes wrong."""

    DRY_SOURCE = "dry-source"
    DELAY = "delay"
    PACE = "pace"
    HEAT = "heat"
    CONTAINER = "container"
    PEOPLE = "people"


@dataclass(frozen=True, slots=True)
class WayOut:
    """A way to water from a source that was found dry, under way without pinned camps."""

    to_km: float
    to_label: str
    length_km: float
    """Ways off the route included."""
    days: float
    left_l: float
    """On board on finding the source dry, never below zero."""
    bare_l: float
    """What the way asks for on the bare ration."""
    ration: Ration | None
    """The fullest ration that does; None: not even the bare one."""

    @property
    def possible(self) -> bool:
        """Whether any ration does."""
        return self.ration is not None

    @property
    def missing_l(self) -> float:
        """Litres that the bare ration lacks."""
        return max(0.0, self.bare_l - self.left_l)


@dataclass(frozen=True, slots=True)
class WhatIf:
    """One thing that goes wrong and what it leads to."""

    kind: WhatIfKind
    words: str
    """What goes wrong, as the user can say it: 'pace 25 % slower'."""
    sources: tuple[WaterSource, ...]
    """Those that are dry; empty where none is."""
    before: Verdict
    """As planned: of the stretches that are touched, the worst."""
    verdict: Verdict
    """Afterwards; never better than before."""
    worst: DryStretch
    """The stretch that is worst then, judged with what the plan has on board at its beginning.
    Where a source is dry, the vain way to it counts."""
    known_dry: DryStretch | None = None
    """The same where the party knows beforehand, and does not call there."""
    go_on: WayOut | None = None
    """From the last source that was found dry to the next water; None where none is dry."""
    go_back: WayOut | None = None
    """From there to the last water behind."""
    later: DryStretch | None = None
    """Who goes on comes to the next water with less than planned; where that gives only so much,
    stretches beyond it begin with less: the worst of them. None where all is filled up again."""

    @property
    def can_go_on(self) -> bool:
        """Whether the party gets to the next water, be it on the bare ration."""
        return self.go_on.possible if self.go_on else self.worst.ration_that_does is not None

    @property
    def can_go_back(self) -> bool | None:
        """Whether it gets back to the last water; None where that is not asked."""
        return self.go_back.possible if self.go_back else None

    @property
    def leaves_neither(self) -> bool:
        """Whether a dry source leaves no way to water at all. Without containers: not known."""
        known = self.go_back is not None and self.verdict is not Verdict.NO_CONTAINERS
        return known and not self.can_go_on and not self.can_go_back


@dataclass(frozen=True, slots=True)
class TurnBack:
    """How far into a stretch the party can still turn round."""

    stretch: int
    """Number of the stretch."""
    water_km: float | None
    """Last km from which what is left takes it back to the water behind on the bare ration;
    None: not even from the beginning."""
    time_km: float | None = None
    """Last km of the stretch from which it is back at the start of the route in time; None where
    it is not, or no limit was given."""

    @property
    def km(self) -> float | None:
        """The water's."""
        return self.water_km


@dataclass(frozen=True, slots=True, eq=False)
class SitOut:
    """How long the party can wait where it is."""

    km: FloatArray
    """Shape (n,), ascending."""
    days: FloatArray
    """Shape (n,), days of rest in shade on the bare ration with what is on board; no more than
    what holds since the km before."""
    least_days: float
    """Infinite where the bare ration asks for nothing."""
    at_km: float
    """Where the least is, the first of equals."""
    rest_l_per_day: float
    """What the party needs in a day of waiting there."""
    on_board_l: float
    """What is on board there."""
    help_days: float | None = None
    """Days until help can be there; None where not known."""

    @property
    def lasts_until_help(self) -> bool | None:
        """Whether the least is enough; None where it is not known when help can be there."""
        return None if self.help_days is None else self.least_days >= self.help_days


@dataclass(frozen=True, slots=True)
class StretchChance:
    """How often one stretch goes short."""

    stretch: int
    short: float
    """0 to 1, whatever happened before: a party that ran short fills up at the next water."""
    standard_error: float


@dataclass(frozen=True, slots=True)
class Chance:
    """How often the party runs short, by simulation."""

    short: float
    """Of running short anywhere, 0 to 1."""
    standard_error: float
    """Never zero, even where no trial went short."""
    by_stretch: tuple[StretchChance, ...]
    trials: int
    seed: int
    rests_on: str
    """What it rests on, whole sentences: never show the figure without them."""


@dataclass(frozen=True, slots=True)
class DryProof:
    """What must be on board so that any one uncertain source may be dry."""

    least_l: tuple[float, ...]
    """For each stretch in travel order: litres on leaving its beginning; 0 where none is asked."""
    extra_l: tuple[float, ...]
    """What the plan has too little of."""
    breaks: tuple[WaterSource, ...]
    """Sources whose loss the containers cannot make good; none: the plan can survive."""

    @property
    def holds(self) -> bool:
        """Whether the containers hold what is asked for."""
        return not self.breaks
