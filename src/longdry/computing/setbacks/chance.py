"""How often the party runs short, and how often it must turn back, by seeded simulation.

Each trial draws which sources hold water (each once, however often it is passed), how much the
party uses, how fast it is, and how many times it is held up. It fills up to the plan's litres
wherever there is water, as far as that gives so much, and lives on the plan's ration up to the
first dry stop and on the bare one after it. At a dry stop it goes on where what is left is what the
plan asks for on; else it goes back, where `if_dry` lets it, and the trial is over. Short is who has
less than nothing before the next water, on or back.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from longdry.computing.setbacks.chance_passed import Passed
from longdry.computing.setbacks.chance_tables import (
    USUAL_SPREAD,
    Decisions,
    Needs,
    Spread,
    decisions_of,
    needs_of,
)
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.model.arrays import BoolArray, FloatArray, IntArray
from longdry.model.plan.setbacks import Chance, StretchChance
from longdry.model.words import IfDry
from longdry.units import TOLERANCE_L

STANDARD_ERRORS = 2.0
"""By which a figure may be too low: 1 simulation in 44 is farther off (normal distribution)."""


@dataclass(frozen=True, slots=True, eq=False)
class _Draws:
    """What happens in each trial."""

    wet: BoolArray
    """Shape (stretches, trials): whether there is water at the beginning of the stretch."""
    use: FloatArray
    """Shape (trials,): used over planned."""
    pace: IntArray
    """Shape (trials,): index of the pace."""
    passed: tuple[tuple[BoolArray, ...], ...]
    """For each stretch and each water that is passed by on it: whether there is any in a trial."""


def chance_of_short(
    plan: SuppliedPlan,
    chances: Mapping[str, float],
    *,
    trials: int,
    seed: int,
    spread: Spread = USUAL_SPREAD,
) -> Chance:
    """Return how often the party runs short, per stretch and over the trip, or turns back.

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
    needs = needs_of(plan, spread)
    draws = _draws(plan, chances, needs, trials, rng, spread)
    walk = _Walk(plan, needs, decisions_of(plan), draws, spread, rng)
    walk.whole_way()
    by_stretch = tuple(
        StretchChance(number, *_share(some)) for number, some in enumerate(walk.short, 1)
    )
    short, error = _share(np.asarray(walk.short.any(axis=0)))
    turned, error_of_turning = _share(walk.turned)
    return Chance(
        short,
        turned,
        max(error, error_of_turning),
        min(short + STANDARD_ERRORS * error, 1.0),
        by_stretch,
        trials,
        seed,
        _rests_on(plan, chances, spread),
    )


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
    needs: Needs,
    trials: int,
    rng: np.random.Generator,
    spread: Spread,
) -> _Draws:
    ids = [*(source.id for source in plan.sources())]
    ids += [one.source_id for some in needs.passed for one in some]
    places = {one: place for place, one in enumerate(dict.fromkeys(ids))}
    likely = np.array([chances.get(source, 0.0) for source in places])
    holds = (rng.random((trials, len(places))) < likely).T
    use = np.exp(spread.use * rng.standard_normal(trials))
    pace = rng.integers(0, needs.paces, trials)
    wet = np.ones((plan.last, trials), dtype=np.bool_)
    for stop in range(1, plan.last):
        known = [places[one] for one in needs.alone[stop]]
        wet[stop] = holds[known].any(axis=0)
        if needs.together[stop]:
            wet[stop] |= holds[[places[one] for one in needs.together[stop]]].all(axis=0)
        wet[stop] &= needs.gives_at_pace[:, stop].take(pace)
    passed = tuple(tuple(holds[places[one.source_id]] for one in some) for some in needs.passed)
    return _Draws(wet, use, pace, passed)


class _Walk:
    """All trials at once, stop by stop."""

    def __init__(
        self,
        plan: SuppliedPlan,
        needs: Needs,
        decisions: Decisions,
        draws: _Draws,
        spread: Spread,
        rng: np.random.Generator,
    ) -> None:
        trials = draws.use.shape
        self._plan, self._needs, self._decisions = plan, needs, decisions
        self._draws, self._spread, self._rng = draws, spread, rng
        self._left_l = np.zeros(trials)
        self._back_from = np.zeros(trials, dtype=np.int64)
        self.short = np.zeros(draws.wet.shape, dtype=np.bool_)
        """Shape (stretches, trials): where the party runs short."""
        self.turned = np.zeros(trials, dtype=np.bool_)
        """Shape (trials,): who had to turn back."""

    def whole_way(self) -> None:
        """Go from stop to stop to the end, or back."""
        for stop, wet in enumerate(self._draws.wet):
            if stop > 0:
                self._turn_round_at(stop, wet)
            self._fill_at(stop, wet)
            self._go_on_from(stop, wet)

    def _fill_at(self, stop: int, wet: BoolArray) -> None:
        gives_l = self._needs.gives_l[stop]
        has_l = np.maximum(self._left_l, 0.0) + min(gives_l, 0.0)
        up_to_l = np.minimum(self._plan.free_l(stop), has_l + max(gives_l, 0.0))
        self._left_l = np.where(wet, np.maximum(has_l, up_to_l), self._left_l)
        if self._needs.keeps_water[stop]:
            self._back_from = np.where(wet, stop, self._back_from)

    def _go_on_from(self, stop: int, wet: BoolArray) -> None:
        """Go on to the next stop, past other water: who is about to run short calls there."""
        now_l, day_l, days = self._needs.litres_on(stop, self._draws.pace, is_bare=~wet)
        begun = 0.0
        for water, is_wet in zip(self._needs.passed[stop], self._draws.passed[stop], strict=True):
            part, begun = water.share - begun, water.share
            self._use(stop, (part * now_l, day_l, part * days), ~self.turned)
            self._call_at(stop, water, is_wet)
        part = 1.0 - begun
        self._use(stop, (part * now_l, day_l, part * days), ~self.turned)

    def _call_at(self, stretch: int, water: Passed, is_wet: BoolArray) -> None:
        """Call at water that the plan passes by, where less is left than is needed."""
        calls = ~self.turned & (self._left_l < water.rest_l - TOLERANCE_L)
        if water.gives_l <= 0.0 or not calls.any():
            return
        left_l = self._left_l - self._draws.use * water.way_l
        self.short[stretch] |= calls & (left_l < -TOLERANCE_L)
        has_l = np.maximum(left_l, 0.0)
        full_l = np.minimum(self._plan.free_l(stretch), has_l + water.gives_l)
        after_l = np.where(is_wet, np.maximum(left_l, full_l), left_l)
        self._left_l = np.where(calls, after_l, self._left_l)

    def _use(
        self, stretch: int, used: tuple[FloatArray, FloatArray, FloatArray], who: BoolArray
    ) -> None:
        """Take off what is used on a stretch, or on the way back from its end, with delays."""
        now_l, day_l, days = used
        held_up = self._rng.poisson(self._spread.delays_per_day * days) * self._spread.delay_days
        left_l = self._left_l - self._draws.use * (now_l + held_up * day_l)
        self._left_l = np.where(who, left_l, self._left_l)
        self.short[stretch] |= who & (left_l < -TOLERANCE_L)

    def _turn_round_at(self, stop: int, wet: BoolArray) -> None:
        """Decide who turns round at a dry stop, and send it back."""
        at_dry = ~wet & ~self.turned
        if self._plan.trip.policy.if_dry is not IfDry.ON_OR_BACK or not at_dry.any():
            return
        on_l = self._decisions.on_l[stop]
        back_l = self._decisions.back_l(stop, self._back_from)
        goes_on = self._left_l >= on_l - TOLERANCE_L
        goes_back = ~goes_on & ((self._left_l >= back_l - TOLERANCE_L) | (back_l < on_l))
        turns = at_dry & goes_back
        if turns.any():
            used = self._needs.litres_back(stop, self._back_from, self._draws.pace)
            self._use(stop - 1, used, turns)
            self.turned |= turns


def _rests_on(plan: SuppliedPlan, chances: Mapping[str, float], spread: Spread) -> str:
    passed = (end.water.source for end in plan.passed if end.water)
    ids = {source.id for source in (*plan.sources(), *passed)}
    unknown = sum(one not in chances for one in ids)
    notes = f"{len(ids)} sources" if len(ids) != 1 else "1 source"
    days = "day" if spread.delay_days == 1.0 else "days"
    untold = f" ({unknown} of them without any, taken as dry)" if unknown else ""
    at_dry = (
        "goes on from a dry source where it has what the plan asks for that, else back"
        if plan.trip.policy.if_dry is IfDry.ON_OR_BACK
        else "goes on from a dry source and never back"
    )
    return (
        f"Rests on the judged chance of water at {notes}{untold}, each on its own: in a drought "
        "they fail together, and the true chance is larger. Assumed without a source: use spreads "
        f"by {spread.use:.0%}, moving hours by {spread.pace:.0%}, {spread.delays_per_day:g} delays "
        f"of {spread.delay_days:g} {days} to a day on the way. The party fills up to the plan "
        "wherever a source gives so much, takes nothing where it is closed at that pace or gives "
        f"less than a litre a head, saves only after a dry source, and {at_dry}. It calls at water "
        "that the plan passes by only where it has less than it needs. Grades, hours "
        "after a delay, and faults of the layer are left out. A comparison of plans, not a "
        "forecast."
    )
