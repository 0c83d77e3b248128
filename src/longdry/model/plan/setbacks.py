"""Everything that was worked out about what goes wrong.

A what-if is what becomes of the plan when one thing goes otherwise. The published survival table
stands here too: it tells people who are stranded what to expect, and is never a planning allowance.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from longdry.model.arrays import FloatArray
from longdry.model.plan.stretch import DryStretch
from longdry.model.water.source import WaterSource
from longdry.model.words import Ration, Verdict
from longdry.units import TOLERANCE_L


@dataclass(frozen=True, slots=True, eq=False)
class Setbacks:
    """The answers, in the order in which a reader wants them."""

    worst: WhatIf | None
    """The worst single failure; None where nothing was asked."""
    dry: tuple[WhatIf, ...]
    """Each source at a call dry, then all the water of each two neighbouring calls."""
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
    in_need: tuple[WaterInNeed, ...] = ()
    """Water that does not count, to be named for those whose life hangs on it; by km, what is
    ungraded, salty or not for drinking last."""


class WhatIfKind(StrEnum):
    """What goes wrong."""

    DRY_SOURCE = "dry-source"
    DROUGHT = "drought"
    DELAY = "delay"
    PACE = "pace"
    HEAT = "heat"
    CONTAINER = "container"
    VEHICLE = "vehicle"
    TREATING = "treating"
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
    """Carried on finding the source dry, never below zero."""
    bare_l: float
    """What the way takes on the bare ration."""
    asked_l: float
    """What must be left for it: the litres of the bare ration with the margin."""
    ration: Ration | None
    """The fullest ration that does, with its margin; None: not even the bare one."""

    @property
    def possible(self) -> bool:
        """Whether any ration does."""
        return self.ration is not None

    @property
    def missing_l(self) -> float:
        """Litres that the bare ration and its margin lack."""
        return max(0.0, self.asked_l - self.left_l)


@dataclass(frozen=True, slots=True)
class DryPass:
    """One pass at which a source is found dry."""

    km: float
    label: str
    go_on: WayOut
    go_back: WayOut


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
    """The stretch that is worst then, judged with what the plan carries on leaving its beginning.
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
    passes: tuple[DryPass, ...] = ()
    """Every call at which a source is found dry, in travel order, each as if it were found out
    there."""

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
    """Last km from which what is left takes it back to the water behind on the bare ration, with
    the margin; the end of the stretch where that holds all along; None: not even from its
    beginning."""
    time_km: float | None = None
    """Last km of the stretch from which it is back at the start of the route in time; None where
    it is not, or no limit was given."""
    behind_km: float | None = None
    """Where the water behind is that it goes back to; None where it cannot."""
    behind: str = ""
    """The name of that water."""
    ration: Ration | None = None
    """The fullest ration on which it may go back from there; None where it cannot."""
    left_l: float | None = None
    """On arriving behind on that ration; None where it cannot."""

    @property
    def km(self) -> float | None:
        """The water's."""
        return self.water_km


@dataclass(frozen=True, slots=True)
class HelpWanted:
    """What waiting for help asks for at the place where least is beyond it, or most is missing."""

    km: float
    days: float
    """Until help is there."""
    asked_l: float
    """On the bare ration, at rest in shade."""
    carried_l: float
    """Never below zero."""

    @property
    def enough(self) -> bool:
        """Whether what is carried is enough."""
        return self.carried_l >= self.asked_l - TOLERANCE_L


@dataclass(frozen=True, slots=True, eq=False)
class SitOut:
    """How long the party can wait where it is."""

    km: FloatArray
    """Shape (n,), ascending."""
    days: FloatArray
    """Shape (n,), days of rest in shade on the bare ration with what is carried; no more than
    what holds since the km before."""
    least_days: float
    """Infinite where the bare ration asks for nothing."""
    at_km: float
    """Where the least is, the first of equals."""
    rest_l_per_day: float
    """What the party needs in a day of waiting there."""
    on_board_l: float
    """What is carried there."""
    help_days: float | None = None
    """Days until help can be there once it is called, as the trip says; None where not known."""
    wanted: HelpWanted | None = None
    """What waiting asks for where it is hardest; None where it is not known when help comes."""
    by_due_back: bool = False
    """Whether help is only looked for when the party is not back: it has no means of calling."""

    @property
    def lasts_until_help(self) -> bool | None:
        """Whether it is enough everywhere; None where it is not known when help can be there.

        Without a means of calling, and without a day on which the party is due back, nobody knows
        when help comes: too little for `help_days` is then told, enough never.
        """
        return None if self.wanted is None else self.wanted.enough


@dataclass(frozen=True, slots=True)
class WaterInNeed:
    """Known water that does not count, named for those whose life hangs on it."""

    source: WaterSource
    km: float
    """Of the route, at the point nearest to it."""
    way_km: float
    """Length of the way from there, one way."""
    hours: float
    """That the way takes who sets out in the morning."""
    litres: float
    """That the way takes on the bare ration."""
    why_not: str
    """Why it does not count."""


@dataclass(frozen=True, slots=True)
class StretchChance:
    """How often one stretch goes short."""

    stretch: int
    short: float
    """0 to 1, of all trials, those included that turned back before it."""
    standard_error: float


@dataclass(frozen=True, slots=True)
class Chance:
    """How often the party runs short or has to turn back, by simulation."""

    short: float
    """Of running short anywhere, going on or back, 0 to 1."""
    turn_back: float
    """Of having to turn back to the water behind, 0 to 1."""
    standard_error: float
    """The larger of the two figures'; never zero, even where no trial went short."""
    short_at_most: float
    """Of running short: the figure and two standard errors of its own."""
    by_stretch: tuple[StretchChance, ...]
    trials: int
    seed: int
    rests_on: str
    """What it rests on, whole sentences: never show the figures without them."""


@dataclass(frozen=True, slots=True)
class DryProof:
    """What must be carried so that any one uncertain source may be dry."""

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


SOURCE = (
    "E. A. Adolph and others, Physiology of Man in the Desert (1947), as repeated in US military "
    "survival manuals"
)
SURVIVAL_CAUTION = (
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
    """Carried there, shared among the people."""
    figure: SurvivalFigure


def is_from_memory(shade_max_f: float, water_qt: float) -> bool:
    """Whether a cell of the table was recalled and not read.

    >>> is_from_memory(100.0, 10.0), is_from_memory(110.0, 10.0), is_from_memory(100.0, 4.0)
    (True, False, False)
    """
    return water_qt > _READ_QT and shade_max_f != _READ_F
