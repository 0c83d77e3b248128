"""What containers add to a plan: fills, what goes wrong, what treating takes, and mends."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

from longdry.computing.fills.drawing import draws_of
from longdry.computing.fills.filling import Filling
from longdry.computing.fills.remarks import assumptions_of_fills, loads_of, warnings_of_fills
from longdry.computing.fills.settled import SettledTrip, Water
from longdry.computing.mends.search import mends_of
from longdry.computing.plan.rounds import settled_trip
from longdry.computing.setbacks.setbacks import Known, setbacks_of_plan
from longdry.computing.setbacks.warnings import warnings_of_setbacks
from longdry.computing.treating.treating import treating_of
from longdry.model.assumption import Assumption
from longdry.model.plan.mends import Mends
from longdry.model.plan.plan import Plan, PlanWarning
from longdry.model.plan.setbacks import Setbacks
from longdry.model.plan.treating import TreatmentPlan
from longdry.model.trip.what_if import Inquiry


@dataclass(frozen=True, slots=True, eq=False)
class ContainerResults:
    """The water carried, and what it is enough for."""

    settled: SettledTrip
    filling: Filling
    setbacks: Setbacks
    treating: TreatmentPlan | None
    mends: Mends

    def warnings_of_fills(self) -> tuple[PlanWarning, ...]:
        """Return what must be read about the fills."""
        return tuple(warnings_of_fills(self.filling, self.settled.trip, self.treating))

    def warnings_of_setbacks(self) -> tuple[PlanWarning, ...]:
        """Return what must be read about what goes wrong."""
        return tuple(warnings_of_setbacks(self.setbacks))

    def assumptions(self) -> tuple[Assumption, ...]:
        """Return what the fills took for granted."""
        return tuple(assumptions_of_fills(self.filling, self.settled.passes))

    def added_to(self, plan: Plan) -> Plan:
        """Return the plan with all of this in it."""
        return replace(
            plan,
            fills=self.filling.chosen,
            fills_of_other_habit=self.filling.other,
            setbacks=self.setbacks,
            loads=loads_of(self.filling, plan.trip),
            treating=self.treating,
            draws=draws_of(self.filling.chosen, plan.trip),
            mends=self.mends.found,
            mends_not_searched=self.mends.not_searched,
        )


def container_results(settled: SettledTrip, water: Water, inquiry: Inquiry) -> ContainerResults:
    """Work out what follows from the fills of a trip with containers."""
    filling = settled.filling
    if filling is None:
        raise ValueError("the trip names no containers")
    measured = settled.journey.prepared.measured
    return ContainerResults(
        settled=settled,
        filling=filling,
        setbacks=setbacks_of_plan(
            settled.journey,
            settled.stretches,
            inquiry,
            filling=filling,
            known=Known(water.sources, settled.passes),
        ),
        treating=treating_of(filling.chosen, filling.problem, settled.trip, measured),
        mends=mends_of(settled, water, partial(settled_trip, fill=settled.fill)),
    )
