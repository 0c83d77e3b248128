"""Better calls near those that the search found, each choice planned whole.

The search reckons with the most that can be carried; a plan knows grades, treating, payload and how
long each stop takes. So the best ways of the search are planned, and from the best of these the
plans that call at one stop more or less, or at one in place of another, as long as that betters the
plan. Where it is not clear, two stops more or less are tried as well, also from the plan with the
best list, which is the measure of the others; where it is clear and the stops are few, three.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from longdry.computing.calls.lists import (
    MARGIN_IF_DRY,
    WorstFirst,
    is_near,
    measure_of,
)

PLANNED_WAYS = 12
"""Ways of the search that are planned whole."""
MOST_STOPS_FOR_NEIGHBOURS = 12
"""Past more stops no neighbours are tried, and few ways: each takes a whole plan."""
PLANNED_WAYS_OF_MANY = 2

MOST_STOPS_FOR_THREE = 8
"""Of no more stops, three are added or left out where the plan is clear: for less trouble."""
SLACK_L = 0.9
"""By so much a plan may turn out better than it was hoped to be: stops are longer or shorter then,
and days begin and end elsewhere. It is less than what matters, or all that miss the same would be
planned."""
SLACK_TROUBLE = 0.1
"""By this part of its trouble, for the same reason."""

Calls = frozenset[int]
"""Stops that are called at, by index."""
P = TypeVar("P")


@dataclass(frozen=True, slots=True)
class Worth:
    """What the better plan is smaller in, the first first."""

    stretches: WorstFirst
    if_dry: tuple[WorstFirst, ...]
    """With each uncertain call dry in turn, the worst first."""
    unkept: int
    """Wishes that are not kept."""
    trouble_h: float

    @property
    def is_clear(self) -> bool:
        """Whether the water lasts, also with any one uncertain call dry."""
        return not self.stretches and not self.if_dry

    def at_its_best(self) -> Worth:
        """Return the same with as much less missing and less trouble as may turn out."""
        return replace(
            self,
            stretches=_less_missing(self.stretches, SLACK_L),
            if_dry=tuple(_less_missing(one, SLACK_L) for one in self.if_dry),
            trouble_h=self.trouble_h * (1.0 - SLACK_TROUBLE),
        )


def _less_missing(items: WorstFirst, litres: float) -> WorstFirst:
    return tuple((severity, missing_l - litres) for severity, missing_l in items)


def best_of(worths: Sequence[Worth]) -> int:
    """Return which of some plans is the best, by index.

    Those stay whose list is near the best one; of these those whose lists with an uncertain call
    dry are near the best ones. Of the rest the one that keeps most wishes, then least trouble.
    """
    (best,) = min(([one.stretches] for one in worths), key=measure_of)
    open_to = [index for index, one in enumerate(worths) if is_near(one.stretches, best)]
    best_dry = min((worths[index].if_dry for index in open_to), key=measure_of)
    open_to = [index for index in open_to if _all_near(worths[index].if_dry, best_dry)]
    return min(open_to, key=lambda index: (worths[index].unkept, worths[index].trouble_h))


def _all_near(lists: Sequence[WorstFirst], best: Sequence[WorstFirst]) -> bool:
    for one, other in itertools.zip_longest(lists, best, fillvalue=()):
        if not is_near(one, other, MARGIN_IF_DRY):
            return False
        if not is_near(other, one, MARGIN_IF_DRY):
            return True
    return True


@dataclass(frozen=True, slots=True, eq=False)
class Planned(Generic[P]):
    """A plan of some calls."""

    calls: Calls
    worth: Worth
    plan: P


class Neighbourhood(Generic[P]):
    """The plans of some calls, made as they are asked for."""

    def __init__(
        self,
        plan: Callable[[Calls], Planned[P] | None],
        may_be: Callable[[Calls, P], Worth],
    ) -> None:
        """Ask ``plan`` for plans, but only where ``may_be`` gives hope.

        Parameters
        ----------
        plan
            None where a call turns out not to count.
        may_be
            About the best that a plan can be, by one that is near it; it takes far less to work
            out.
        """
        self._plan, self._may_be = plan, may_be
        self._tried: set[Calls] = set()
        self._planned: list[Planned[P]] = []

    def best(self, ways: Sequence[Calls], open_to: Sequence[int]) -> P | None:
        """Return the best plan of some ways and of their neighbours.

        None where the first way cannot be gone: then the others were chosen by mistake, too.

        Parameters
        ----------
        ways
            The best first.
        open_to
            Stops at which it is left open whether to call.
        """
        first = self._plan(ways[0])
        if first is None:
            return None
        self._tried.add(ways[0])
        self._planned.append(first)
        are_few = len(open_to) <= MOST_STOPS_FOR_NEIGHBOURS
        self._try(ways[1 : PLANNED_WAYS if are_few else PLANNED_WAYS_OF_MANY], first)
        best = self._best()
        while are_few:
            self._try((best.calls ^ {one} for one in open_to), best)
            if self._best() is best:
                two = _swapped if best.worth.is_clear else _two_toggled
                self._try(two(best.calls, open_to), best)
            if self._best() is best and not best.worth.is_clear:
                measure = min(self._planned, key=lambda one: measure_of([one.worth.stretches]))
                self._try((measure.calls ^ {one} for one in open_to), measure)
                self._try(_two_toggled(measure.calls, open_to), measure)
            if (
                self._best() is best
                and best.worth.is_clear
                and len(open_to) <= MOST_STOPS_FOR_THREE
            ):
                three = itertools.combinations(open_to, 3)
                self._try((best.calls.symmetric_difference(one) for one in three), best)
            if self._best() is best:
                break
            best = self._best()
        return best.plan

    def _best(self) -> Planned[P]:
        return self._planned[best_of([one.worth for one in self._planned])]

    def _try(self, others: Iterable[Calls], near: Planned[P]) -> None:
        """Plan those that have not been planned, and may be better than the best so far."""
        for calls in others:
            if calls in self._tried:
                continue
            self._tried.add(calls)
            worths = [one.worth for one in self._planned]
            hope = self._may_be(calls, near.plan).at_its_best()
            changes_the_choice = best_of([*worths, hope]) != best_of(worths)
            other = self._plan(calls) if changes_the_choice else None
            if other:
                self._planned.append(other)


def _two_toggled(calls: Calls, open_to: Sequence[int]) -> Iterator[Calls]:
    """Yield the calls that differ in two stops."""
    return (calls.symmetric_difference(two) for two in itertools.combinations(open_to, 2))


def _swapped(calls: Calls, open_to: Sequence[int]) -> Iterator[Calls]:
    """Yield as many calls, one of them in place of another."""
    return (one for one in _two_toggled(calls, open_to) if len(one) == len(calls))
