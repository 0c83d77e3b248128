"""What the water and its containers weigh against the payload left."""

from __future__ import annotations

from longdry.model.plan.fills import CarrierLoad, FillPlan, FillProblem
from longdry.model.trip.party import Vehicle
from longdry.units import KG_PER_L_WATER


def load_kg(water_l: float, tare_kg: float) -> float:
    """Give the weight of water and containers: 1.00 kg a litre.

    >>> load_kg(100.0, 0.0)
    100.0
    """
    return water_l * KG_PER_L_WATER + tare_kg


def carrier_loads(problem: FillProblem, plan: FillPlan) -> tuple[CarrierLoad, ...]:
    """Give the heaviest load of every carrier under a plan.

    Without legs nothing is carried anywhere: the loads are those of the empty containers.
    """
    return tuple(_load_of(problem, plan, carrier) for carrier in problem.carriers)


def _load_of(problem: FillProblem, plan: FillPlan, carrier: Vehicle) -> CarrierLoad:
    own = {v.name for v in problem.vessels if v.carrier == carrier.name}
    tare_kg = sum(v.tare_kg for v in problem.vessels if v.carrier == carrier.name)
    waters = [
        (sum(level.litres for level in fill.levels_leaving if level.vessel in own), fill.stop)
        for fill in plan.fills
    ]
    water_l, stop = max(waters, key=lambda w: (w[0], -w[1]), default=(0.0, 0))
    kg = load_kg(water_l, tare_kg)
    return CarrierLoad(
        carrier=carrier.name,
        payload_left_kg=carrier.payload_left_kg,
        tare_kg=tare_kg,
        load_kg=kg,
        stop=stop,
        over_kg=max(0.0, kg - carrier.payload_left_kg),
    )
