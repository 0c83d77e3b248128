"""What the simulation reads: litres of each stretch by pace, and when a party turns round.

The clock is followed once for each pace; the trials then only look up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from longdry.computing.setbacks.changes import slower
from longdry.computing.setbacks.dry import any_rain_fed
from longdry.computing.setbacks.dry_run import DryRun, FoundDry, ways_from
from longdry.computing.setbacks.giving import gives_l, has_water_at, taken_through
from longdry.computing.setbacks.supplied import SuppliedPlan, planned_ration
from longdry.computing.setbacks.ways import way_between, with_margin
from longdry.model.arrays import FloatArray, IntArray
from longdry.model.plan.travel import Travel
from longdry.model.words import Ration

BoolArray = NDArray[np.bool_]
PACES = 16
"""Paces that are tried, equally likely."""


@dataclass(frozen=True, slots=True)
class Spread:
    """How much the party and the road may differ from the plan. Assumptions, no source.

    Raises
    ------
    ValueError
        Where a figure is negative or no number.
    """

    use: float = 0.15
    """Standard deviation of the logarithm of what is used against what is planned; 0: none."""
    pace: float = 0.15
    """The same of the moving hours."""
    delays_per_day: float = 0.02
    """Delays to be expected in a day on the way."""
    delay_days: float = 1.0
    """Days that each costs."""

    def __post_init__(self) -> None:
        for name in ("use", "pace", "delays_per_day", "delay_days"):
            value = getattr(self, name)
            if not 0.0 <= value < math.inf:
                raise ValueError(f"{name} is {value}, not 0 or more")


USUAL_SPREAD = Spread()


@dataclass(frozen=True, slots=True, eq=False)
class Needs:
    """Litres by pace and stretch, and what the stops give."""

    onward: FloatArray
    """Shape (2, 3, paces, stretches): on the plan's ration (0) and the bare one (1) the litres,
    those of one day more, and the days."""
    backward: FloatArray
    """Shape (3, paces, stretches): the same of the way back over a stretch, on the bare ration."""
    gives_l: FloatArray
    """Shape (stretches,): what the stop at its beginning gives."""
    keeps_water: tuple[bool, ...]
    """For each stop whether there is water after the plan has drawn there: to go back to."""
    gives_at_pace: BoolArray
    """Shape (paces, stretches): whether the stop is open, and gives a litre a head."""
    alone: tuple[tuple[str, ...], ...]
    """For each stop the ids of the sources that give by themselves what is drawn there."""
    together: tuple[tuple[str, ...], ...]
    """For each stop those that do so only together; empty where one alone does."""

    @property
    def paces(self) -> int:
        """How many there are."""
        return int(self.onward.shape[2])

    def litres_on(
        self, stretch: int, pace: IntArray, *, is_bare: BoolArray
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return litres, litres of a day more and days of a stretch, each of shape (trials,)."""
        of_stretch = self.onward[:, :, :, stretch]
        ration = is_bare.astype(np.int64)
        now_l, day_l, days = (of_stretch[ration, what, pace] for what in range(3))
        return now_l, day_l, days

    def litres_back(
        self, stop: int, back_to: IntArray, pace: IntArray
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return the same of the way back from a stop; the litres of a day are the largest."""
        upto = np.concatenate([np.zeros((3, self.paces, 1)), self.backward.cumsum(axis=2)], axis=2)
        now_l, _, days = upto[:, pace, stop] - upto[:, pace, back_to]
        day_l = self.backward[1].max(axis=1).take(pace)
        return now_l, day_l, days


@dataclass(frozen=True, slots=True, eq=False)
class Decisions:
    """What must be left at a dry stop to go on or back, as the plan tells it."""

    on_l: tuple[float, ...]
    """For each end but the last."""
    _back_to_l: FloatArray
    """Shape (ends,): litres of the way back to the start, cumulative."""
    _plan: SuppliedPlan = field(repr=False)

    def back_l(self, stop: int, back_to: IntArray) -> FloatArray:
        """Return what must be left at a stop to go back to some ends, shape (trials,)."""
        trip = self._plan.trip
        bare_l = self._back_to_l[stop] - self._back_to_l[: stop + 1]
        return np.array([with_margin(litres, trip) for litres in bare_l.tolist()]).take(back_to)


def decisions_of(plan: SuppliedPlan) -> Decisions:
    """Return what the plan asks for at each stop that is found dry, the others as they are."""
    on_l, back_l = [0.0], [0.0]
    for stop in range(1, plan.last):
        ids = plan.source_ids(stop)
        found = FoundDry(stop, plan.arrives(stop), 0.0, ())
        run = DryRun(stop - 1, (stop,), (stop,), stop + 1)
        gone = plan.with_spoilt(ids)
        ways = ways_from(gone, run, found, sure_only=any_rain_fed(plan, ids))
        on_l.append(with_margin(ways.on.way.bare_l, plan.trip))
        one_back = way_between(plan, found.now, plan.ends[stop], plan.ends[stop - 1])
        back_l.append(back_l[-1] + one_back.bare_l)
    return Decisions(tuple(on_l), np.array([*back_l, back_l[-1]]), plan)


def slowness(spread: Spread) -> list[float]:
    """Return by how much the moving hours are multiplied, in equally likely steps.

    Each step is taken at its slower end, the slowest in its middle.
    """
    if spread.pace == 0.0:
        return [1.0]
    upper = [(step + 1) / PACES for step in range(PACES - 1)] + [1.0 - 0.5 / PACES]
    return [math.exp(spread.pace * NormalDist().inv_cdf(share)) for share in upper]


def needs_of(plan: SuppliedPlan, spread: Spread) -> Needs:
    """Work out every table: the clock is followed once for each pace."""
    at_pace = [_at_pace(plan, times) for times in slowness(spread)]
    onward = np.array([[_onward(plan, slow, bare) for slow in at_pace] for bare in (False, True)])
    backward = np.array([_backward(slow) for slow in at_pace])
    alone, together = zip(*(_enough(plan, stop) for stop in range(plan.last)), strict=True)
    return Needs(
        onward=onward.transpose(0, 3, 1, 2),
        backward=backward.transpose(2, 0, 1),
        gives_l=np.array([_gives_l(plan, stop) for stop in range(plan.last)]),
        keeps_water=tuple(
            stop == 0 or has_water_at(plan, stop, plan.arrives(stop).hour, through=stop)
            for stop in range(plan.last)
        ),
        gives_at_pace=np.array([_gives_at(slow) for slow in at_pace]),
        alone=alone,
        together=together,
    )


def _at_pace(plan: SuppliedPlan, times: float) -> SuppliedPlan:
    return plan if times == 1.0 else slower(plan, 100.0 * (1.0 - 1.0 / times))


def _onward(plan: SuppliedPlan, slow: SuppliedPlan, is_bare: bool) -> list[list[float]]:  # noqa: FBT001 - used once
    rows = []
    for index, travel in enumerate(slow.journey.itinerary.travels):
        ration = Ration.BARE if is_bare else planned_ration(plan.stretch(index))
        after_end = plan.trip.policy.days_after_end if index == plan.last - 1 else 0.0
        rows.append(_row(slow, travel, ration, after_end))
    return rows


def _backward(slow: SuppliedPlan) -> list[list[float]]:
    rows = []
    for index in range(slow.last):
        now = slow.arrives(index + 1)
        way = way_between(slow, now, slow.ends[index + 1], slow.ends[index])
        rows.append(_row(slow, way.travel, Ration.BARE, 0.0))
    return rows


def _row(slow: SuppliedPlan, travel: Travel, ration: Ration, after_end: float) -> list[float]:
    """Return the litres, those of a day more, and the days."""
    now_l = slow.demand.need_l(ration, travel, extra_days=after_end)
    longer_l = slow.demand.need_l(ration, travel, extra_days=after_end + 1.0)
    return [now_l, longer_l - now_l, travel.days]


def _gives_l(plan: SuppliedPlan, stop: int) -> float:
    if stop == 0:
        return math.inf
    return gives_l(plan, stop, plan.arrives(stop).hour, taken_through(plan, stop - 1))


def _gives_at(slow: SuppliedPlan) -> list[bool]:
    """Return for each stop whether it is open and not empty at a pace."""
    return [
        stop == 0
        or (
            not slow.journey.itinerary.stays[stop - 1].is_closed
            and has_water_at(slow, stop, slow.arrives(stop).hour, through=stop - 1)
        )
        for stop in range(slow.last)
    ]


def _enough(plan: SuppliedPlan, stop: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return which waters of a stop give alone what is drawn there, and which only together."""
    if stop == 0:
        return (), ()
    waters = plan.ends[stop].waters
    hour, taken = plan.arrives(stop).hour, taken_through(plan, stop - 1)
    ids = tuple(water.source.id for water in waters)
    if len(ids) == 1:
        return ids, ()
    alone = tuple(
        one
        for one in ids
        if gives_l(plan.with_spoilt(set(ids) - {one}), stop, hour, taken)
        >= plan.drawn_at(stop) - 1e-9
    )
    return alone, () if alone else ids
