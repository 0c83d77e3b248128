"""Nights at water that gives less than the party uses there."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from longdry.computing.fills.settled import SettledTrip
from longdry.model.plan.fills import Fill
from longdry.model.plan.stretch import StretchEnd
from longdry.model.plan.travel import Doing, Piece, TravelTime
from longdry.model.water.passes import WaterPass
from longdry.model.words import Ration
from longdry.units import MINUTES_PER_HOUR, rounded_down, rounded_up

_TOLERANCE_L = 0.05


@dataclass(frozen=True, slots=True)
class ThinStay:
    """Nights at water that gives less than the party uses there and takes along."""

    end: StretchEnd
    used_l: float
    left_for_it_l: float
    """What the water gives in that time, less what the fills take along."""
    spare_l: float
    """Carried on leaving beyond need and reserve: what the nights may take of it."""

    @property
    def lacks_l(self) -> float:
        """Litres that nobody has counted."""
        return self.used_l - self.left_for_it_l

    @property
    def is_covered(self) -> bool:
        """Whether what is carried beyond need and reserve makes up for it."""
        return self.lacks_l <= self.spare_l

    @property
    def words(self) -> str:
        """Return it in two sentences."""
        lacks = f"{rounded_up(self.lacks_l, 0.1):.1f} L"
        rest = (
            f"The other {lacks} come out of what is carried to spare"
            if self.is_covered
            else f"{lacks} are missing: camp elsewhere, or carry more"
        )
        return (
            f"The stay at {self.end.label} (km {self.end.km:.1f}) uses"
            f" {rounded_up(self.used_l, 0.1):.1f} L, and the water there gives"
            f" {rounded_down(self.left_for_it_l, 0.1):.1f} L of it beside what is taken along."
            f" {rest}."
        )


def thin_stays(settled: SettledTrip) -> list[ThinStay]:
    """Return the nights at water whose limit or flow does not give what they use, worst first."""
    if settled.filling is None:
        return []
    journey, fills = settled.journey, settled.filling.chosen.fills
    found = []
    for end, stay, after in zip(
        journey.ends[1:-1], journey.itinerary.stays, settled.stretches[1:], strict=True
    ):
        hours = stay.leaves.hour - stay.arrives.hour
        if not stay.nights:
            continue
        night = Piece(Doing.NIGHT, stay.arrives.hour, stay.leaves.hour, 0, end.km, end.km)
        pieces = (night,) * stay.nights
        travel = TravelTime(night.begin_h, night.end_h, pieces, journey.clock.profile)
        used_l = journey.demand.need_l(Ration.FULL, travel)
        gives_l = sum(_gives_l(one, hours, fills) for one in end.waters)
        thin = ThinStay(end, used_l, min(gives_l, used_l), max(after.spare_l or 0.0, 0.0))
        if thin.lacks_l > _TOLERANCE_L:
            found.append(thin)
    return sorted(found, key=lambda one: one.spare_l - one.lacks_l)


def _gives_l(water: WaterPass, hours: float, fills: Sequence[Fill]) -> float:
    """Return what a water gives in some hours beside what the fills take of it."""
    source = water.source
    of_it = [fill for fill in fills if fill.water and fill.water.source.id == source.id]
    flow = source.flow_l_per_min
    flows_l = math.inf if flow is None else flow * MINUTES_PER_HOUR * hours
    here_l = sum(fill.take_l for fill in of_it if fill.water and fill.water.km == water.km)
    limit_l = math.inf if source.limit_l is None else source.limit_l
    return max(min(flows_l - here_l, limit_l - sum(fill.take_l for fill in of_it)), 0.0)
