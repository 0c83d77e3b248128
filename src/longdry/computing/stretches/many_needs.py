"""Litres of many spans at once, in arrays: what `WaterDemand.need_l` says of one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from longdry.computing.stretches.many_spans import Spans
from longdry.computing.stretches.stretches import StretchContext
from longdry.model.arrays import FloatArray
from longdry.model.words import Ration


@dataclass(frozen=True, slots=True, eq=False)
class ManyNeeds:
    """What many spans ask for: `WaterDemand.need_l` of each."""

    spans: Spans
    length_km: FloatArray
    going: StretchContext
    _asked_l: dict[float, FloatArray] = field(default_factory=dict, init=False, repr=False)
    """What the heat asks for, by what the people count on drinking: often the same by ration."""

    def litres(self, ration: Ration, extra_days: FloatArray | float = 0.0) -> FloatArray:
        """Return the litres of each span on a ration, shape (n,)."""
        rates, heat, spans = self.going.asking.rates[ration], self.going.asking.heat, self.spans
        least_l = np.zeros(self.length_km.shape)
        if heat.is_asking:
            own_l = rates.own_drinking_l_per_day
            least_l = self._within(own_l) + extra_days * heat.most_l(own_l)
        days, nights = spans.days + extra_days, spans.nights + extra_days
        return rates.totals_l(days, nights, self.length_km, least_l)

    def _within(self, own_l: float) -> FloatArray:
        if own_l not in self._asked_l:
            heat = self.going.asking.heat
            litres = [heat.within(*hours, own_l) for hours in self.spans.hours()]
            self._asked_l[own_l] = np.array(litres)
        return self._asked_l[own_l]


def litres_on_rations(
    rations: Sequence[Ration], spans: Spans, length_km: FloatArray, going: StretchContext
) -> FloatArray:
    """Return the litres of each span on a ration of its own."""
    litres = np.zeros(length_km.shape)
    for ration in set(rations):
        on_it = np.array([one is ration for one in rations])
        litres[on_it] = ManyNeeds(spans.of(on_it), length_km[on_it], going).litres(ration)
    return litres
