"""Better calls near those that the search found, each choice planned whole.

The search reckons with the most that can be carried; a plan knows grades, treating, payload and how
long each stop takes. So the best ways of the search are planned, and from the best of these the
plans that call at one stop more or less, as long as that betters the plan; where it is not clear,
two stops more, less or in place of each other are tried as well.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from longdry.computing.calls.lists import WorstFirst

PLANNED_WAYS = 3
"""Ways of the search that are planned whole."""
MOST_STOPS = 12
"""On ways with more stops no others are tried: each takes a whole plan."""

Calls = frozenset[int]
"""Stops that are called at, by index."""
P = TypeVar("P")


@dataclass(frozen=True, slots=True, order=True)
class Worth:
    """What the better plan is smaller in, the first first."""

    stretches: WorstFirst
    if_dry: tuple[WorstFirst, ...]
    """With each uncertain call dry in turn."""
    unkept: int
    """Wishes that are not kept."""
    trouble_h: float

    @property
    def is_clear(self) -> bool:
        """Whether the water lasts, also with any one uncertain call dry."""
        return not self.stretches and not self.if_dry


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
        best = self._plan(ways[0])
        if best is None:
            return None
        self._tried.add(ways[0])
        best = self._best_of(best, ways[1:PLANNED_WAYS])
        while len(open_to) <= MOST_STOPS:
            better = self._best_of(best, _toggled(best.calls, open_to, 1))
            if better is best and not best.worth.is_clear:
                better = self._best_of(best, _toggled(best.calls, open_to, 2))
            if better is best:
                break
            best = better
        return best.plan

    def _best_of(self, best: Planned[P], others: Iterable[Calls]) -> Planned[P]:
        for calls in others:
            if calls in self._tried:
                continue
            self._tried.add(calls)
            other = self._plan(calls) if self._may_be(calls) < best.worth else None
            if other and other.worth < best.worth:
                best = other
        return best


def _toggled(calls: Calls, open_to: Sequence[int], number: int) -> Iterator[Calls]:
    """Yield the calls that differ in so many stops."""
    return (calls.symmetric_difference(some) for some in itertools.combinations(open_to, number))
