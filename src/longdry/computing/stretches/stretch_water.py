"""What is carried through a stretch as it would be: never less than nothing, never scaled."""

from __future__ import annotations

from dataclasses import replace

from longdry.computing.needs.needs import WaterDemand
from longdry.computing.stretches.halving import halved
from longdry.computing.stretches.verdicts import TOLERANCE_L
from longdry.model.plan.fills import OnBoard
from longdry.model.plan.stretch import DryStretch, RunsDry
from longdry.model.plan.travel import Travel
from longdry.model.words import Ration

_WITHIN_H = 1.0 / 3600.0


def as_carried(stretch: DryStretch, demand: WaterDemand, carried: OnBoard) -> DryStretch:
    """Return the stretch with what is left on arriving, or where its water runs out.

    A stretch that even the bare ration does not do is lived through on it until no drinkable water
    is left.

    Parameters
    ----------
    carried
        On leaving, all of it drinkable once treated.
    """
    after_end = demand.trip.policy.days_after_end if stretch.end.water is None else 0.0
    need = next(n.need for n in stretch.needs if n.ration is stretch.ration_told)
    free_l = max(carried.total_l - demand.always_l, 0.0)
    if stretch.ration_that_does is not None or need.total_l <= free_l + TOLERANCE_L:
        left_l = max(carried.total_l - need.total_l, 0.0)
        return replace(stretch, on_board_l=carried.total_l, left_l=left_l)
    dry = runs_dry(stretch.travel, demand, free_l)
    if dry is None and after_end:
        dry = RunsDry(stretch.end.km, stretch.travel.end_h)
    return replace(stretch, on_board_l=carried.total_l, left_l=0.0, runs_dry=dry)


def runs_dry(travel: Travel, demand: WaterDemand, carried_l: float) -> RunsDry | None:
    """Return where water runs out on the bare ration, to the second; None where it lasts.

    What is used never shrinks with time, so the hour is found by halving.
    """

    def lasts_until(hour: float) -> bool:
        used_l = demand.need_l(Ration.BARE, travel.until(hour))
        return used_l <= carried_l + TOLERANCE_L

    if lasts_until(travel.end_h):
        return None
    wet_h = halved(lasts_until, travel.begin_h, travel.end_h, _WITHIN_H)
    return RunsDry(travel.km_at(wet_h), wet_h)
