"""Where and when the least litres are asked for: at each halt, and at each step between them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.model.plan.least import LATE_H
from longdry.model.plan.travel import Doing, Piece
from longdry.model.words import Travel

STEP_KM = {Travel.VEHICLE: 5.0, Travel.BICYCLE: 2.0, Travel.FOOT: 1.0}
"""Length of a row; no row takes longer than the half hour that counts as on time."""
_ON_TIME_H = 0.5
_SHORT_STAY_H = LATE_H[1] - LATE_H[0]
"""Who comes to a stop up to two hours early is still within the hours asked about on leaving it."""


@dataclass(frozen=True, slots=True)
class Stand:
    """A row before its litres: from where to where, and when."""

    from_km: float
    to_km: float
    hour: float
    way_km: float = 0.0
    """Off the route on leaving."""
    is_halt: bool = False
    nights_kept: int = 0
    """Of a camp that the trip pins where it begins."""
    is_on_arriving: bool = False
    """At a stop where the plan stays so long that it is asked about on arriving too."""


def stands(plan: SuppliedPlan, index: int) -> Iterator[Stand]:
    """Cut a stretch at its halts, and what lies between into steps.

    Parameters
    ----------
    index
        Of the stretch.
    """
    travel = plan.journey.itinerary.travels[index]
    begin = plan.ends[index]
    here = Stand(begin.km, begin.km, travel.begin_h, begin.way_km, is_halt=True)
    yield here
    if index:
        yield from _stayed(here, plan.arrives(index).hour)
    kept = 0
    for piece in travel.pieces:
        if piece.doing is Doing.NIGHT:
            km = piece.from_km
            yield Stand(km, km, piece.begin_h, is_halt=True, nights_kept=kept)
            kept += 1
        elif piece.doing is Doing.MOVING:
            yield from _steps(plan, piece, kept)
            kept = 0


def _stayed(here: Stand, came_h: float) -> Iterator[Stand]:
    """Stand at a stop from the hour at which the plan comes there, as long as it stays."""
    while here.hour - came_h > _SHORT_STAY_H:
        yield Stand(
            here.from_km, here.to_km, came_h, here.way_km, is_halt=True, is_on_arriving=True
        )
        came_h += LATE_H[-1]


def _steps(plan: SuppliedPlan, piece: Piece, kept: int) -> Iterator[Stand]:
    step_km = STEP_KM[plan.trip.pace.travel]
    along_km = piece.to_km - piece.from_km
    count = max(math.ceil(along_km / step_km), math.ceil(piece.hours / _ON_TIME_H), 1)
    marks = [piece.from_km + along_km * number / count for number in range(count + 1)]
    for from_km, to_km in itertools.pairwise(marks):
        hour = piece.begin_h + plan.journey.clock.profile.between(piece.from_km, from_km)
        yield Stand(from_km, to_km, hour, nights_kept=kept)
        kept = 0
