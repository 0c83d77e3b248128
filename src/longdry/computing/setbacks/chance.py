"""How often the party runs short, by seeded simulation.

Each trial draws which sources hold water (each once, however often it is passed), how much the
party uses, how fast it is, and how many times it is held up. It fills up to the plan's litres
wherever there is water, lives on the plan's ration up to the first dry source and on the bare one
after it, and goes on, never back. Where the plan finds a source closed, or with less than a litre a
head, it takes nothing. Short is who has less than nothing before the next water.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from longdry.computing.needs.rates import RATIONS
from longdry.computing.setbacks.changes import slower
from longdry.computing.setbacks.dry import counted_sources
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.setbacks.water_in_reach import arrival_hour, gives_water_at
from longdry.computing.setbacks.ways import planned_ration
from longdry.computing.stretches.many_needs import ManyNeeds
from longdry.computing.stretches.many_spans import spans_between
from longdry.computing.stretches.stretches import StretchContext
from longdry.model.arrays import FloatArray, IntArray
from longdry.model.plan.setbacks import Chance, StretchChance
from longdry.model.words import Ration

BoolArray = NDArray[np.bool_]
PACES = 16
"""Paces that are tried, equally likely."""
TOLERANCE_L = 1e-9


@dataclass(frozen=True, slots=True)
class Spread:
    """How much the party and the road may differ from the plan. Assumptions, no source.

    Raises
    ------
    ValueError
        Where a figure is negative or a chance above 1.
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


@dataclass(frozen=True, slots=True, eq=False)
class _Draws:
    """What happens in each trial."""

    wet: BoolArray
    """Shape (stretches, trials): whether there is water at the beginning of the stretch."""
    use: FloatArray
    """Shape (trials,): used over planned."""
    pace: IntArray
    """Shape (trials,): index of the pace."""


@dataclass(frozen=True, slots=True, eq=False)
class _Needs:
    """Litres by pace and stretch, on the plan's ration (0) and the bare one (1)."""

    litres: FloatArray
    """Shape (2, paces, stretches)."""
    day_l: FloatArray
    """Shape (2, paces, stretches): of one day more."""
    days: FloatArray
    """Shape (paces, stretches)."""


def chance_of_short(
    plan: SuppliedPlan,
    chances: Mapping[str, float],
    *,
    trials: int,
    seed: int,
    spread: Spread = Spread(),
) -> Chance:
    """Return how often the party runs short, per stretch and over the trip.

    Parameters
    ----------
    chances
        Chance of water, 0 to 1, by source id; one that is not named has none.
    trials
        At least 1.

    Raises
    ------
    ValueError
        Where the trials are none or a chance is not one.
    """
    if trials < 1:
        raise ValueError(f"{trials} trials are none")
    if not all(0.0 <= chance <= 1.0 for chance in chances.values()):
        raise ValueError("a chance is not 0 to 1")
    rng = np.random.default_rng(seed)
    needs = _needs(plan, spread)
    draws = _draws(plan, chances, spread, trials, rng)
    short = _short(plan, needs, draws, spread, rng)
    by_stretch = tuple(
        StretchChance(number, *_share(trials_short)) for number, trials_short in enumerate(short, 1)
    )
    whole, error = _share(np.asarray(short.any(axis=0)))
    return Chance(whole, error, by_stretch, trials, seed, _rests_on(plan, chances, spread))


def _share(hits: BoolArray) -> tuple[float, float]:
    """Return the share of hits and its standard error.

    One hit and one miss more keep the error from zero: the rule of succession (from memory).
    """
    count, trials = float(hits.sum()), hits.size
    careful = (count + 1.0) / (trials + 2.0)
    return count / trials, math.sqrt(careful * (1.0 - careful) / trials)


def _draws(
    plan: SuppliedPlan,
    chances: Mapping[str, float],
    spread: Spread,
    trials: int,
    rng: np.random.Generator,
) -> _Draws:
    places = {source.id: place for place, source in enumerate(counted_sources(plan))}
    likely = np.array([chances.get(source, 0.0) for source in places])
    holds = (rng.random((trials, len(places))) < likely).T
    wet = np.ones((len(plan.on_board_l), trials), dtype=np.bool_)
    for index, end in enumerate(plan.ends[:-1]):
        if end.water is not None:
            wet[index] = holds[places[end.water.source.id]]
    use = np.exp(spread.use * rng.standard_normal(trials))
    return _Draws(wet, use, rng.integers(0, _paces(spread), trials))


def _paces(spread: Spread) -> int:
    return PACES if spread.pace > 0.0 else 1


def _needs(plan: SuppliedPlan, spread: Spread) -> _Needs:
    tables = [_table(plan, slower_by(plan, times).going) for times in _slowness(spread)]
    stacked = np.array(tables)
    return _Needs(
        litres=stacked[:, 0:2].transpose(1, 0, 2),
        day_l=stacked[:, 2:4].transpose(1, 0, 2),
        days=stacked[:, 4],
    )


def _slowness(spread: Spread) -> list[float]:
    """Return by how much the moving hours are multiplied, in equally likely steps.

    Each step is taken at its slower end, the slowest in its middle.
    """
    if spread.pace == 0.0:
        return [1.0]
    upper = [(step + 1) / PACES for step in range(PACES - 1)] + [1.0 - 0.5 / PACES]
    return [math.exp(spread.pace * NormalDist().inv_cdf(share)) for share in upper]


def slower_by(plan: SuppliedPlan, times: float) -> SuppliedPlan:
    """Return the plan with the moving hours multiplied; below 1 the party is faster."""
    return slower(plan, 100.0 * (1.0 - 1.0 / times), None)


def _table(plan: SuppliedPlan, going: StretchContext) -> FloatArray:
    """Return for each stretch at a pace five figures, shape (5, stretches).

    The need on the plan's and the bare ration, that of a day more on each, and the days.
    """
    stretches = plan.stretches()
    spans = spans_between(plan.ends, going)
    length_km = np.array([stretch.length_km for stretch in stretches])
    days_after_end = np.zeros(len(stretches))
    days_after_end[-1] = going.trip.policy.days_after_end

    needs = ManyNeeds(spans, length_km, going)
    now_l, longer_l = (
        np.array([needs.litres(ration, extra_days) for ration in RATIONS])
        for extra_days in (days_after_end, days_after_end + 1.0)
    )
    lived_on = [RATIONS.index(planned_ration(stretch)) for stretch in stretches]
    planned, bare = (lived_on, range(len(stretches))), RATIONS.index(Ration.BARE)
    day_l = longer_l - now_l
    return np.array([now_l[planned], now_l[bare], day_l[planned], day_l[bare], spans.days])


def _short(
    plan: SuppliedPlan, needs: _Needs, draws: _Draws, spread: Spread, rng: np.random.Generator
) -> BoolArray:
    """Return where the party runs short, shape (stretches, trials)."""
    short = np.zeros(draws.wet.shape, dtype=np.bool_)
    left_l = np.zeros(draws.use.shape)
    paces = needs.days.shape[0]
    for index, wet in enumerate(draws.wet):
        filled = wet & _gives_as_planned(plan, index)
        left_l = np.where(filled, np.maximum(left_l, plan.on_board_l[index]), left_l)
        by_pace = np.where(wet, draws.pace, draws.pace + paces)
        now_l, day_l = (by[:, :, index].ravel().take(by_pace) for by in (needs.litres, needs.day_l))
        expected = (spread.delays_per_day * needs.days[:, index]).take(draws.pace)
        days_lost = rng.poisson(expected) * spread.delay_days
        left_l = left_l - draws.use * (now_l + days_lost * day_l)
        short[index] = left_l < -TOLERANCE_L
    return short


def _gives_as_planned(plan: SuppliedPlan, index: int) -> bool:
    if plan.ends[index].water is None:
        return True
    hour = arrival_hour(plan, index)
    return gives_water_at(plan, index, hour, taken_through=index - 1)


def _rests_on(plan: SuppliedPlan, chances: Mapping[str, float], spread: Spread) -> str:
    sources = counted_sources(plan)
    unknown = sum(source.id not in chances for source in sources)
    notes = f"{len(sources)} sources" if len(sources) != 1 else "1 source"
    days = "day" if spread.delay_days == 1.0 else "days"
    untold = f" ({unknown} of them without any, taken as dry)" if unknown else ""
    return (
        f"Rests on the judged chance of water at {notes}{untold}, each on its own: in a drought "
        "they fail together, and the true chance is larger. Assumed without a source: use spreads "
        f"by {spread.use:.0%}, moving hours by {spread.pace:.0%}, {spread.delays_per_day:g} delays "
        f"of {spread.delay_days:g} {days} to a day on the way. The party fills up to the plan "
        "wherever there is water, takes nothing where the plan finds a source closed or with less "
        "than a litre a head, saves only after a dry source, and never turns back. Grades, other "
        "limits and other hours of sources and faults of the layer are left out. A comparison of "
        "plans, not a forecast."
    )
