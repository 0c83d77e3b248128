"""What containers add to a plan: fills, what goes wrong, what treating takes, and mends.

Loaded only for trips that name containers: others pay nothing for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from longdry.computing.fills.drawing import draws_of
from longdry.computing.fills.filling import Filling, filling_of, stretches_as_filled
from longdry.computing.fills.remarks import assumptions_of_fills, loads_of, warnings_of_fills
from longdry.computing.mends.search import mends_of
from longdry.computing.mends.trials import MendSearch
from longdry.computing.setbacks.setbacks import filling_that_survives, setbacks_of_plan
from longdry.computing.setbacks.warnings import warnings_of_setbacks
from longdry.computing.stretches.outlook import Ahead
from longdry.computing.treating.treating import treating_of
from longdry.computing.water.passes import CountingRule
from longdry.model.assumption import Assumption
from longdry.model.plan.fills import FillWay
from longdry.model.plan.mends import Mends
from longdry.model.plan.plan import Plan, PlanWarning
from longdry.model.plan.setbacks import Setbacks, Survival
from longdry.model.plan.stretch import DryStretch
from longdry.model.plan.treating import TreatmentPlan
from longdry.model.trip.what_if import Inquiry
from longdry.model.water.source import WaterSource
from longdry.model.words import Verdict


@dataclass(frozen=True, slots=True, eq=False)
class ContainerResults:
    """The water on board, and what it is enough for."""

    ahead: Ahead
    filling: Filling
    stretches: tuple[DryStretch, ...]
    """As filled."""
    setbacks: Setbacks
    survival: Survival | None
    treating: TreatmentPlan | None
    mends: Mends | None
    """None where every stretch is clear."""

    def warnings_of_fills(self) -> tuple[PlanWarning, ...]:
        """Return what must be read about the fills."""
        outset = self.ahead.outset
        return tuple(warnings_of_fills(self.filling, outset.trip, outset.passes, self.treating))

    def warnings_of_setbacks(self) -> tuple[PlanWarning, ...]:
        """Return what must be read about what goes wrong."""
        return tuple(warnings_of_setbacks(self.setbacks, self.survival))

    def assumptions(self) -> tuple[Assumption, ...]:
        """Return what the fills took for granted."""
        return tuple(assumptions_of_fills(self.filling, self.ahead.outset.passes))

    def added_to(self, plan: Plan) -> Plan:
        """Return the plan with all of this in it."""
        return replace(
            plan,
            fills=self.filling.chosen,
            fills_of_other_habit=self.filling.other,
            setbacks=self.setbacks,
            survival=self.survival,
            loads=loads_of(self.filling, plan.trip),
            treating=self.treating,
            draws=draws_of(self.filling.chosen, {s.id: s for s in plan.sources}),
            mends=self.mends.found if self.mends else (),
            mends_not_searched=self.mends.not_searched if self.mends else (),
        )


def carrying_of(
    ahead: Ahead,
    bare: tuple[DryStretch, ...],
    sources: Sequence[WaterSource],
    counting: CountingRule,
    *,
    fill: FillWay,
    inquiry: Inquiry,
) -> ContainerResults:
    """Work out the fills of a trip with containers, and what follows from them.

    Parameters
    ----------
    bare
        The stretches judged by what the containers hold, the fills aside.
    """
    filling, survival = filling_of(bare, ahead.going, fill), None
    if inquiry.survive_dry:
        as_planned = stretches_as_filled(bare, filling)
        filling, survival = filling_that_survives(ahead, as_planned, filling)
    stretches = stretches_as_filled(bare, filling)
    outset = ahead.outset
    return ContainerResults(
        ahead=ahead,
        filling=filling,
        stretches=stretches,
        setbacks=setbacks_of_plan(ahead, stretches, inquiry),
        survival=survival,
        treating=treating_of(filling.chosen, stretches, outset.trip, outset.measured),
        mends=_mends(ahead, bare, stretches, sources, counting),
    )


def _mends(
    ahead: Ahead,
    bare: tuple[DryStretch, ...],
    stretches: tuple[DryStretch, ...],
    sources: Sequence[WaterSource],
    counting: CountingRule,
) -> Mends | None:
    if all(stretch.verdict is Verdict.CLEAR for stretch in stretches):
        return None

    return mends_of(MendSearch(ahead, bare, stretches, tuple(sources), counting))
