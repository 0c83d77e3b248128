"""Everything that was worked out, with its assumptions. Nothing is computed while showing."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.assumption import Assumption
from longdry.model.plan.days import TravelDay
from longdry.model.plan.fills import CarrierLoad, Draw, FillPlan
from longdry.model.plan.headline import Headline, MostToCarry
from longdry.model.plan.least import LeastTable
from longdry.model.plan.mends import Mend
from longdry.model.plan.setbacks import Setbacks
from longdry.model.plan.stops import PlannedStop, WithoutWater
from longdry.model.plan.stretch import DryStretch
from longdry.model.plan.treating import TreatmentPlan
from longdry.model.route import MeasuredRoute
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource


@dataclass(frozen=True, slots=True)
class Longest:
    """Numbers of the stretches that stand out."""

    by_km: int
    by_days: int
    worst: int
    """Worst verdict, then most litres missing, then least litres to spare."""


@dataclass(frozen=True, slots=True)
class PlanWarning:
    """Something that the party must read before it leaves."""

    text: str
    """Whole sentences."""
    stretch: int | None = None
    """Number of the stretch that it is about, if any."""
    grave: bool = False
    """Whether life may hang on it."""
    of_verdict: bool = False
    """Whether it says no more than the verdict of its stretch and its figures."""


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """The whole answer."""

    measured: MeasuredRoute
    trip: Trip
    sources: tuple[WaterSource, ...]
    """All sources of the layers, near the route or not."""
    passes: tuple[WaterPass, ...]
    """By km, counted or not."""
    stretches: tuple[DryStretch, ...]
    """In travel order; they tile the route."""
    days: tuple[TravelDay, ...]
    headline: Headline
    most_to_carry: MostToCarry
    longest: Longest
    longest_without_water: WithoutWater
    warnings: tuple[PlanWarning, ...]
    """The gravest first."""
    assumptions: tuple[Assumption, ...]
    stops: tuple[PlannedStop, ...] = ()
    """The calls, in travel order."""
    fills: FillPlan | None = None
    """What to fill where; None where the trip names no containers."""
    fills_of_other_habit: FillPlan | None = None
    """The same filled the other way, to compare."""
    setbacks: Setbacks | None = None
    """What goes wrong and what it leads to; None where the trip names no containers."""
    loads: tuple[CarrierLoad, ...] = ()
    """The heaviest load of each vehicle; ``stop`` is an index into the fills."""
    treating: TreatmentPlan | None = None
    """What treating takes; None where the party does not treat."""
    draws: tuple[Draw, ...] = ()
    """What it takes to draw the water of the fills, one for each counted pass."""
    mends: tuple[Mend, ...] = ()
    """What would turn the verdicts that are not clear, by stretch, the best first."""
    least: LeastTable | None = None
    """The least litres to go on with from anywhere; None where it was not asked for."""
    are_mends_searched: bool = True
    """False where the plan was asked for without them."""
    mends_not_searched: tuple[int, ...] = ()
    """Stretches that are not clear and that mends were not searched for: only the worst few."""
