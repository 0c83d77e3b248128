"""Minutes and battery charge that drawing water takes, at each pass where the plan takes some."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from longdry.model.plan.fills import Draw, Fill, FillPlan
from longdry.model.water.source import WaterSource
from longdry.units import MINUTES_PER_HOUR


def draws_of(fills: FillPlan, sources: Mapping[str, WaterSource]) -> tuple[Draw, ...]:
    """Return one draw for each fill at a source, in travel order.

    Parameters
    ----------
    sources
        By id; every source of a fill is among them.
    """
    return tuple(_draw(fill, sources[fill.source]) for fill in fills.fills if fill.source)


def _draw(fill: Fill, source: WaterSource) -> Draw:
    minutes, charge_ah = _minutes_and_charge(fill.take_l, source)
    return Draw(
        km=fill.km,
        litres=fill.take_l,
        minutes=minutes,
        charge_ah=charge_ah,
    )


def _minutes_and_charge(litres: float, source: WaterSource) -> tuple[float | None, float | None]:
    flow = source.flow_l_per_min
    if flow == 0.0:
        return None, None
    if needs_pump(source.access):
        work = pump_work(litres, source_flow_l_per_min=flow)
        return work.minutes, work.charge_ah
    return (None if flow is None else minutes_for(litres, flow)), None


PUMP_FLOW_L_PER_MIN = 11.0
"""Flow of a usual 12 V pump. Common practice, no source."""
PUMP_CURRENT_A = 7.5
"""Current that it draws at 12 V. Common practice, no source."""
_PUMPS_IN_PLACE = ("hand", "foot", "powered", "electric", "solar", "wind")
"""Words for pumps that stand at the source and need no battery of the party."""


@dataclass(frozen=True, slots=True)
class PumpWork:
    """What it takes to draw some litres with a 12 V pump."""

    minutes: float
    charge_ah: float
    """Ampere-hours from a 12 V battery."""


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
    current_a: float = PUMP_CURRENT_A,
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
    return PumpWork(minutes, minutes / MINUTES_PER_HOUR * current_a)


def needs_pump(access: str | None) -> bool:
    """Whether the way of getting at the water asks for a pump that the party brings.

    >>> needs_pump("12 V pump"), needs_pump("hand pump"), needs_pump("dip"), needs_pump(None)
    (True, False, False, False)
    """
    words = (access or "").lower().replace("-", " ")
    if "pump" in words and "12v" in words.replace(" ", ""):
        return True
    return "pump" in words and not any(kind in words for kind in _PUMPS_IN_PLACE)
