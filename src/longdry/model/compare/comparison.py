"""Everything that comes of laying many plans side by side."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from longdry.model.compare.combination import Combination, Line, Row


@dataclass(frozen=True, slots=True)
class ComparedRoute:
    """A route as it was asked for."""

    name: str
    """Unlike that of any other route."""
    file: str
    length_km: float | None = None
    """None where it could not be read or measured."""
    failed: str = ""
    """Why it could not be read, one sentence; empty where it was."""


@dataclass(frozen=True, slots=True)
class CommonAssumption:
    """An assumption of some or all plans, told once."""

    what: str
    values: tuple[str, ...]
    """Each once, in the order in which they were met."""
    why: str
    plans: int
    """How many make it."""


@dataclass(frozen=True, slots=True)
class MatteringSource:
    """A source, and in how many combinations its loss leaves no way."""

    id: str
    name: str
    combinations: int
    routes: int
    """Of how many routes."""
    first_km: float
    """Where it lies on the first of them."""
    first: Combination


@dataclass(frozen=True, slots=True)
class Week:
    """Seven days from a Monday on, and what may be begun in them."""

    monday: dt.date
    rows: tuple[int, ...]
    """Indices of the rows that depart in it, planned or not."""
    best: int | None
    """Index of the best of them; None where none could be planned."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """The whole answer."""

    rows: tuple[Row, ...]
    """By trip, route, direction and day."""
    routes: tuple[ComparedRoute, ...]
    trips: tuple[str, ...]
    """Names, each unlike the others."""
    ranked: tuple[int, ...]
    """Indices of the rows that could be planned, the best first."""
    weeks: tuple[Week, ...]
    """In order; those without any departure are left out, as are rows without a day."""
    best_week: int | None
    """Index of the week with the best combination, the earliest of equals; None without weeks, or
    where all are alike."""
    worst_week: int | None
    """Index of the week whose best combination is the worst."""
    unbeaten: frozenset[int]
    """Indices of the rows that no other beats in headline, most to carry and chance."""
    out_of_season: Mapping[Combination, tuple[str, ...]]
    """Sources without water then that have some on another day of the same line, by name."""
    sources: tuple[MatteringSource, ...]
    """The ones that matter most first."""
    assumptions: tuple[CommonAssumption, ...]
    cautions: tuple[str, ...] = ()
    """What makes the comparison look better than it is, one sentence each."""
    remarks: tuple[str, ...] = ()
    """Of the readers, one sentence each."""

    def name_of_line(self, line: Line) -> str:
        """Name a route, its direction where it is the other one, its trip where there are more."""
        back = ", the other way" if line.reverse else ""
        trip = f" ({self.trips[line.trip]})" if len(self.trips) > 1 else ""
        return f"{self.routes[line.route].name}{back}{trip}"

    @property
    def lines(self) -> tuple[Line, ...]:
        """The lines of the calendar, in order."""
        return tuple(dict.fromkeys(row.of.line for row in self.rows))

    def rows_of_route(self, route: int) -> tuple[int, ...]:
        """Indices of the rows of a route; never empty."""
        return tuple(index for index, row in enumerate(self.rows) if row.of.route == route)

    def best_of_route(self, route: int) -> int | None:
        """Index of the best row of a route; None where it could not be planned at all."""
        return next((index for index in self.ranked if self.rows[index].of.route == route), None)

    @property
    def routes_worst_first(self) -> tuple[int, ...]:
        """Indices of the routes, by the best that can be done on each; those not planned first."""
        best: dict[int, int] = {}
        for place, index in enumerate(self.ranked):
            best.setdefault(self.rows[index].of.route, place)
        beyond = len(self.ranked)
        return tuple(sorted(range(len(self.routes)), key=lambda one: (-best.get(one, beyond), one)))
