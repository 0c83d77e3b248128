"""What making the water of a plan safe takes, stop by stop and in all."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.trip.treatment import TreatEffort, TreatLimits, TreatMethod


@dataclass(frozen=True, slots=True)
class StopTreatment:
    """At one stop of the fill plan and on the leg after it."""

    here: TreatEffort
    on_way: TreatEffort
    """In daily lots."""


@dataclass(frozen=True, slots=True)
class TreatmentPlan:
    """Of the whole plan."""

    method: TreatMethod | None
    """None: the trip does not name it."""
    litres_per_day: float | None
    """None: as much as wanted, an assumption."""
    by_stop: tuple[StopTreatment, ...]
    """One for each fill of the plan, in the same order."""
    in_all: TreatEffort
    limits: TreatLimits
    """What stays in the water; to be shown beside it."""
