"""Better calls near those that the search found, each choice planned whole.

The search reckons with the most that can be carried; a plan knows grades, treating, payload and how
long each stop takes. So the best ways of the search are planned, and from the best of these the
plans that call at one stop more or less, as long as that betters the plan; where it is not clear,
two stops more, less or in place of each other are tried as well.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from longdry.computing.calls.lists import WorstFirst, none_is_better_than

PLANNED_WAYS = 3
"""Ways of the search that are planned whole."""
MOST_STOPS = 12
"""Past more stops no neighbours are tried, and one way less: each takes a whole plan."""

SLACK_L = 1.0
"""By so much a plan may turn out better than it was hoped to be: stops are longer or shorter then,
and days begin and end elsewhere."""
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

    First those are left out that another betters by a litre or more: in its list, then in its lists
    with an uncertain call dry. Of the rest the one that keeps most wishes, then least trouble.
    """
    open_to = list(range(len(worths)))
    for number in range(-1, max(len(one.if_dry) for one in worths)):
        lists = [_list_at(number, worths[index]) for index in open_to]
        open_to = [open_to[index] for index in none_is_better_than(lists)]
        if len(open_to) == 1:
            break
    return min(open_to, key=lambda index: (worths[index].unkept, worths[index].trouble_h))


def _list_at(number: int, worth: Worth) -> WorstFirst:
    """Return the list of a plan, -1, or with calls dry, the worst first from 0."""
    if number < 0:
        return worth.stretches
    return worth.if_dry[number] if number < len(worth.if_dry) else ()


@dataclass(frozen=True, slots=True, eq=False)
class Planned(Generic[P]):
    """A plan of some calls."""

    calls: Calls
    worth: Worth
    plan: P


class Neighbourhood(Generic[P]):
    """The plans of some calls, made as they are asked for."""

    def __init__(
        self, plan: Callable[[Calls], Planned[P] | None], may_be: Callable[[Calls], Worth]
    ) -> None:
        """Ask ``plan`` for plans, but only where ``may_be`` gives hope.

        Parameters
        ----------
        plan
            None where a call turns out not to count.
        may_be
            About the best that a plan can be; it takes far less to work out.
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
        are_few = len(open_to) <= MOST_STOPS
        self._try(ways[1 : PLANNED_WAYS if are_few else PLANNED_WAYS - 1])
        best = self._best()
        while are_few:
            self._try(_toggled(best.calls, open_to, 1))
            if self._best() is best and not best.worth.is_clear:
                self._try(_toggled(best.calls, open_to, 2))
            if self._best() is best:
                break
            best = self._best()
        return best.plan

    def _best(self) -> Planned[P]:
        return self._planned[best_of([one.worth for one in self._planned])]

    def _try(self, others: Iterable[Calls]) -> None:
        """Plan those that have not been planned, and may be better than the best so far."""
        for calls in others:
            if calls in self._tried:
                continue
            self._tried.add(calls)
            hope = self._may_be(calls).at_its_best()
            other = self._plan(calls) if best_of([self._best().worth, hope]) else None
            if other:
                self._planned.append(other)


def _toggled(calls: Calls, open_to: Sequence[int], number: int) -> Iterator[Calls]:
    """Yield the calls that differ in so many stops."""
    return (calls.symmetric_difference(some) for some in itertools.combinations(open_to, number))
