"""What the simulation reads: litres of each stretch by pace, and when a party turns round.

The clock is followed once for each pace; the trials then only look up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from statistics import NormalDist

import numpy as np

from longdry.computing.needs.rates import Amounts
from longdry.computing.setbacks.chance_passed import Passed, passed_on
from longdry.computing.setbacks.changes import slower
from longdry.computing.setbacks.dry import any_rain_fed
from longdry.computing.setbacks.found_dry import FoundDry, group_at, ways_from
from longdry.computing.setbacks.giving import gives_after_stay_l, has_water_at
from longdry.computing.setbacks.supplied import SuppliedPlan, planned_ration
from longdry.computing.setbacks.water_in_reach import certain_passed
from longdry.computing.setbacks.ways import way_between, with_margin
from longdry.model.arrays import BoolArray, FloatArray, IntArray
from longdry.model.plan.stretch import StretchEnd
from longdry.model.words import Ration

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
    """Shape (3, paces, stretches): litres on the plan's ration and on the bare one, and days."""
    backward: FloatArray
    """Shape (2, paces, ends): litres on the bare ration, and days, of the way back to the start."""
    day_l: FloatArray
    """Shape (2, stretches): at most those of a day more on the plan's ration and the bare one."""
    gives_l: FloatArray
    """Shape (stretches,): what the stop at its beginning gives; below 0 what a stay there lacks."""
    keeps_water: tuple[bool, ...]
    """For each stop whether there is water after the plan has drawn there: to go back to."""
    gives_at_pace: BoolArray
    """Shape (paces, stretches): whether the stop is open, and gives a litre a head."""
    alone: tuple[tuple[str, ...], ...]
    """For each stop the ids of the sources that give by themselves what is drawn there."""
    together: tuple[tuple[str, ...], ...]
    """For each stop those that do so only together; empty where one alone does."""
    passed: tuple[tuple[Passed, ...], ...]
    """For each stretch the water that the plan passes by."""

    @property
    def paces(self) -> int:
        """How many there are."""
        return int(self.onward.shape[1])

    def litres_on(
        self, stretch: int, pace: IntArray, *, is_bare: BoolArray
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return litres, litres of a day more and days of a stretch, each of shape (trials,)."""
        planned_l, bare_l, days = (table.take(pace) for table in self.onward[:, :, stretch])
        day_l = self.day_l[:, stretch]
        return np.where(is_bare, bare_l, planned_l), day_l.take(is_bare.astype(np.int64)), days

    def litres_back(
        self, stop: int, back_to: IntArray, pace: IntArray
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return the same of the way back from a stop to others."""
        now_l, days = self.backward[:, pace, stop] - self.backward[:, pace, back_to]
        return now_l, np.full(pace.shape, self.day_l[1].max()), days


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
        gone = plan.with_spoilt(ids)
        ways = ways_from(gone, group_at(stop), found, sure_only=any_rain_fed(plan, ids))
        on_l.append(with_margin(ways.on.way.bare_l, plan.trip))
        one_back = way_between(plan, found.now, plan.ends[stop], _behind(plan, stop - 1))
        back_l.append(back_l[-1] + one_back.bare_l)
    return Decisions(tuple(on_l), np.array([*back_l, back_l[-1]]), plan)


def _behind(plan: SuppliedPlan, index: int) -> StretchEnd:
    """Return the end that a party goes back to; behind where it stands, the last certain water."""
    if index or plan.trip.here is None:
        return plan.ends[index]
    return [plan.home, *certain_passed(plan, plan.ends[0].km)][-1]


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
    alone, together = zip(*(_enough(plan, stop) for stop in range(plan.last)), strict=True)
    rations = [planned_ration(stretch) for stretch in plan.stretches()]
    return Needs(
        onward=np.array([_onward(slow, rations) for slow in at_pace]).transpose(2, 0, 1),
        backward=_backward(at_pace),
        day_l=np.array(
            [[_day_l(plan, one) for one in rations], [_day_l(plan, Ration.BARE)] * plan.last]
        ),
        gives_l=np.array([_gives_l(plan, stop) for stop in range(plan.last)]),
        keeps_water=tuple(
            stop == 0 or has_water_at(plan, stop, plan.arrives(stop).hour, through=stop)
            for stop in range(plan.last)
        ),
        gives_at_pace=np.array([_gives_at(slow) for slow in at_pace]),
        alone=alone,
        together=together,
        passed=passed_on(plan),
    )


def _at_pace(plan: SuppliedPlan, times: float) -> SuppliedPlan:
    return plan if times == 1.0 else slower(plan, 100.0 * (1.0 - 1.0 / times))


def _day_l(plan: SuppliedPlan, ration: Ration) -> float:
    """Return what a day and a night more ask for at most, in the heat of the worst day."""
    demand = plan.demand
    heat = demand.heat
    least_l = heat.most_l(demand.own_l_per_day) if heat.is_asking else 0.0
    return demand.rates[ration].total_l(Amounts(1.0, 1.0, 0.0, 1.0), least_l)


def _onward(slow: SuppliedPlan, rations: Sequence[Ration]) -> list[list[float]]:
    """Return for each stretch the litres on the plan's ration and the bare one, and the days."""
    rows = []
    for index, travel in enumerate(slow.journey.itinerary.travels):
        after_end = slow.trip.policy.days_after_end if index == slow.last - 1 else 0.0
        litres = slow.demand.litres(travel, extra_days=after_end)
        rows.append([litres[rations[index]], litres[Ration.BARE], travel.days])
    return rows


def _backward(at_pace: Sequence[SuppliedPlan]) -> FloatArray:
    """Return litres and days of the way back to the start from every end, as `Needs.backward`."""
    tables = np.array([_backward_at(slow) for slow in at_pace]).transpose(2, 0, 1)
    return np.concatenate([np.zeros((*tables.shape[:2], 1)), tables.cumsum(axis=2)], axis=2)


def _backward_at(slow: SuppliedPlan) -> list[list[float]]:
    rows = []
    for index in range(slow.last):
        here, now = slow.ends[index + 1], slow.arrives(index + 1)
        way = way_between(slow, now, here, _behind(slow, index))
        rows.append([way.bare_l, way.travel.days])
    return rows


def _gives_l(plan: SuppliedPlan, stop: int) -> float:
    return gives_after_stay_l(plan, stop) if stop else math.inf


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
    ids = tuple(water.source.id for water in waters)
    if len(ids) == 1:
        return ids, ()
    alone = tuple(
        one
        for one in ids
        if _gives_l(plan.with_spoilt(set(ids) - {one}), stop) >= plan.drawn_at(stop) - 1e-9
    )
    return alone, () if alone else ids
