"""Minutes and battery charge at each pass, for the litres that the fill plan takes there."""

from __future__ import annotations

from collections.abc import Mapping

from longdry.computing.pumping import minutes_for, needs_pump, pump_work
from longdry.model.draw import Draw
from longdry.model.fill import Fill, FillPlan
from longdry.model.water_source import WaterSource


def draws_of(fills: FillPlan, sources: Mapping[str, WaterSource]) -> tuple[Draw, ...]:
    """Return one draw for each fill at a source, in travel order.

    Parameters
    ----------
    sources
        By id; every source of a fill is among them.
    """
    return tuple(_draw(fill, sources[fill.source]) for fill in fills.fills if fill.source)


def _draw(fill: Fill, source: WaterSource) -> Draw:
    minutes, charge_ah = _work(fill.take_l, source)
    return Draw(
        km=fill.km,
        source_id=source.id,
        litres=fill.take_l,
        minutes=minutes,
        charge_ah=charge_ah,
    )


def _work(litres: float, source: WaterSource) -> tuple[float | None, float | None]:
    flow = source.flow_l_per_min
    if flow == 0.0:
        return None, None
    if needs_pump(source.access):
        work = pump_work(litres, source_flow_l_per_min=flow)
        return work.minutes, work.charge_ah
    return (None if flow is None else minutes_for(litres, flow)), None
