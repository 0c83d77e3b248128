"""Minutes and battery charge that drawing water takes, at each pass where the plan takes some."""

from __future__ import annotations

import math
from dataclasses import dataclass

from longdry.model.plan.fills import Draw, FillPlan
from longdry.model.trip.party import Pump
from longdry.model.trip.tools import needs_pump
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.units import MINUTES_PER_HOUR


def draws_of(fills: FillPlan, trip: Trip) -> tuple[Draw, ...]:
    """Return one draw for each fill at a source, in travel order."""
    return tuple(_draw(fill.water, fill.take_l, trip) for fill in fills.fills if fill.water)


def draw_minutes(water: WaterPass, litres: float, trip: Trip) -> float:
    """Return how long drawing takes, by the slower of source and pump; 0 where neither tells."""
    return _draw(water, litres, trip).minutes or 0.0


def _draw(water: WaterPass, litres: float, trip: Trip) -> Draw:
    source = water.source
    flow = source.flow_l_per_min
    if flow == 0.0:
        return Draw(water, litres, None, None)
    pump = _pump_for(source, trip)
    if pump is not None:
        work = pump_work(
            litres,
            source_flow_l_per_min=flow,
            pump_flow_l_per_min=pump.l_per_min,
            current_a=pump.amp,
        )
        return Draw(water, litres, work.minutes, work.charge_ah)
    return Draw(water, litres, None if flow is None else minutes_for(litres, flow), None)


def slower_flow_l_per_min(source: WaterSource, trip: Trip) -> float | None:
    """Return the flow of the slower of source and pump; None where neither tells."""
    pump = _pump_for(source, trip)
    flows = (source.flow_l_per_min, pump.l_per_min if pump else None)
    return min((flow for flow in flows if flow is not None), default=None)


def _pump_for(source: WaterSource, trip: Trip) -> Pump | None:
    if not needs_pump(source.access):
        return None
    return trip.pumps[0] if trip.pumps else USUAL_PUMP


PUMP_FLOW_L_PER_MIN = 11.0
"""Flow of a usual 12 V pump. Common practice, no source."""
PUMP_CURRENT_A = 7.5
"""Current that it draws at 12 V. Common practice, no source."""
USUAL_PUMP = Pump("12 V pump", PUMP_FLOW_L_PER_MIN, PUMP_CURRENT_A)


@dataclass(frozen=True, slots=True)
class PumpWork:
    """What it takes to draw some litres with a 12 V pump."""

    minutes: float
    charge_ah: float | None
    """Ampere-hours from a 12 V battery; None where no current is known."""


def minutes_for(litres: float, flow_l_per_min: float) -> float:
    """Return how long ``litres`` take at a flow; infinite where litres are wanted and none flow.

    Raises
    ------
    ValueError
        For litres or a flow below zero, or not a number.

    Examples
    --------
    >>> round(minutes_for(100.0, 11.0), 1), minutes_for(0.0, 0.0), minutes_for(5.0, 0.0)
    (9.1, 0.0, inf)
    """
    for name, value in (("litres", litres), ("flow_l_per_min", flow_l_per_min)):
        if not value >= 0.0:
            raise ValueError(f"{name} is {value}, not zero or more")
    if litres == 0.0:
        return 0.0
    return litres / flow_l_per_min if flow_l_per_min > 0.0 else math.inf


def pump_work(
    litres: float,
    *,
    source_flow_l_per_min: float | None = None,
    pump_flow_l_per_min: float = PUMP_FLOW_L_PER_MIN,
    current_a: float | None = PUMP_CURRENT_A,
) -> PumpWork:
    """Return the minutes and ampere-hours of a 12 V pump for ``litres``.

    A source that gives less than the pump takes sets the time, and the pump is taken to run
    through it. Where the source's flow is unknown the pump's own holds.

    >>> work = pump_work(100.0)
    >>> round(work.minutes, 1), round(work.charge_ah, 2)
    (9.1, 1.14)
    """
    flow = pump_flow_l_per_min
    if source_flow_l_per_min is not None:
        flow = min(flow, source_flow_l_per_min)
    minutes = minutes_for(litres, flow)
    charge_ah = None if current_a is None else minutes / MINUTES_PER_HOUR * current_a
    return PumpWork(minutes, charge_ah)
