"""From routes, water, trips and days to one comparison: read, cut, send, gather."""

from __future__ import annotations

import contextlib
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from longdry.api import read_each_line, read_route, water_along
from longdry.at_once.job import Job, JobResult, Page, Runner
from longdry.computing.compare.combinations import (
    SourcePlaces,
    combinations_of,
    reach_of,
)
from longdry.computing.compare.side_by_side import (
    AssumptionsTold,
    Told,
    one_heat_for_all,
    side_by_side,
)
from longdry.computing.plan.planning import WaterAlong
from longdry.errors import Fault, InputError, LongdryError
from longdry.model.arrays import FloatArray
from longdry.model.compare.combination import Combination, Row
from longdry.model.compare.comparison import ComparedRoute, Comparison
from longdry.model.route import Route
from longdry.model.trip.trip import Trip
from longdry.model.water.source import WaterLayer
from longdry.model.words import Units

PLANS_A_JOB = 8
"""Enough that sending is nothing beside planning, and few enough to share a year among cores."""


@dataclass(frozen=True, slots=True)
class ToCompare:
    """What is to be compared."""

    routes: tuple[Path, ...]
    """Files."""
    water: WaterLayer
    trips: tuple[Trip, ...]
    """At least one."""
    days: tuple[date, ...] = ()
    """Of departure; none: each trip on its own day."""
    both_ways: bool = False
    each_line: bool = False
    """Whether every line of a file is a route of its own."""
    page_units: Units | None = None
    """Units of the page of each whole plan; None: none are made."""
    lines_wanted: bool = False
    """Whether the lines of the routes are kept, to be written."""

    @property
    def plans_a_route(self) -> int:
        """How many plans are made of each route."""
        return len(self.trips) * max(len(self.days), 1) * (2 if self.both_ways else 1)


@dataclass(frozen=True, slots=True, eq=False)
class Compared:
    """The comparison, and the lines of its routes where they were wanted."""

    comparison: Comparison
    lines: tuple[tuple[FloatArray, FloatArray] | None, ...]
    """Latitude and longitude of each route; None where it could not be read."""


def _silent(_done: int, _all: int) -> None:
    """Tell nobody."""


def compare(
    asked: ToCompare,
    run: Runner,
    *,
    told: Callable[[int, int], None] = _silent,
    take_page: Callable[[Page], str] | None = None,
) -> Compared:
    """Plan every combination and lay the plans side by side.

    Parameters
    ----------
    run
        What does the jobs; the answer is the same whatever it is.
    told
        Is told how many plans are made, and how many there will be as far as is known.
    take_page
        Takes each page as soon as it is made, and returns the name of its file.

    Raises
    ------
    WorkerError
        Where a process or a cluster is lost.
    """
    gathered = _Gathered(asked)
    with contextlib.closing(run(gathered.jobs())) as answers:
        for done in answers:
            gathered.take(done, take_page)
            told(gathered.made, gathered.to_be_made)
    return gathered.compared()


@dataclass(slots=True)
class _RouteRead:
    """A route that was read, or the fault of one that was not."""

    name: str
    file: str
    length_km: float | None = None
    failed: str = ""
    line: tuple[FloatArray, FloatArray] | None = None
    remarks: tuple[str, ...] = ()


@dataclass(slots=True)
class _Gathered:
    """What is known so far."""

    asked: ToCompare
    routes: list[_RouteRead] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    assumptions: AssumptionsTold = field(default_factory=AssumptionsTold)
    files_left: int = 0

    @property
    def made(self) -> int:
        return len(self.rows)

    @property
    def to_be_made(self) -> int:
        """As many as are known of; a file that is not read yet counts as one route."""
        return (len(self.routes) + self.files_left) * self.asked.plans_a_route

    def jobs(self) -> Iterator[Job]:
        """Read route after route and yield their jobs; what cannot be planned becomes rows."""
        places = SourcePlaces.of(self.asked.water)
        reach_km = max(map(reach_of, self.asked.trips))
        self.files_left = len(self.asked.routes)
        for file in self.asked.routes:
            found = _read(file, each_line=self.asked.each_line)
            self.files_left -= 1
            first = len(self.routes)
            self.routes += [_route_read(one, file, self.asked) for one in found]
            for number, route in enumerate(found, first):
                if isinstance(route, Route):
                    yield from self._jobs_of(number, route, places.near(route, reach_km))
                else:
                    self._fail(self._combinations_of(number), str(route))

    def _combinations_of(self, route: int) -> list[Combination]:
        asked = self.asked
        return list(combinations_of(asked.trips, route, asked.days, both_ways=asked.both_ways))

    def _jobs_of(self, number: int, route: Route, water: WaterLayer) -> Iterator[Job]:
        measured: dict[tuple[bool, float, float], WaterAlong] = {}
        lines: dict[tuple[int, bool], list[Combination]] = {}
        for one in self._combinations_of(number):
            lines.setdefault((one.trip, one.reverse), []).append(one)
        for (trip_number, reverse), combinations in lines.items():
            trip = self.asked.trips[trip_number]
            key = (reverse, trip.pace.winding_factor, trip.policy.max_detour_km)
            try:
                if key not in measured:
                    measured[key] = water_along(route, water, trip, reverse=reverse)
            except LongdryError as fault:
                self._fail(combinations, str(fault))
                continue
            self.routes[number].length_km = measured[key].measured.length_km
            step = PLANS_A_JOB if self.asked.page_units is None else 1
            for begin in range(0, len(combinations), step):
                some = tuple(combinations[begin : begin + step])
                yield Job(measured[key], trip, some, self.asked.page_units)

    def _fail(self, combinations: Sequence[Combination], sentence: str) -> None:
        self.rows += [Row(one, None, failed=sentence) for one in combinations]

    def take(self, done: JobResult, take_page: Callable[[Page], str] | None) -> None:
        """Keep what a job gave; its pages are handed on at once."""
        files = {page.of: take_page(page) for page in done.pages} if take_page else {}
        self.rows += [
            Row(row.of, row.outcome, row.failed, files.get(row.of, "")) for row in done.rows
        ]
        self.assumptions.merge(done.assumptions)

    def compared(self) -> Compared:
        """Lay all rows side by side."""
        routes, names = self.routes, unlike([(one.name, one.file) for one in self.routes])
        trips = unlike([(_trip_name(trip), trip.origin) for trip in self.asked.trips])
        of_routes = (
            f"{name}: {remark.rstrip('.')}."
            for one, name in zip(routes, names, strict=True)
            for remark in one.remarks
        )
        comparison = side_by_side(
            self.rows,
            [
                ComparedRoute(name, one.file, one.length_km, one.failed)
                for one, name in zip(routes, names, strict=True)
            ],
            trips,
            Told(
                self.assumptions.told(),
                tuple(one_heat_for_all(self.asked.trips, trips, self.asked.days)),
                (*self.asked.water.remarks, *of_routes),
            ),
        )
        return Compared(comparison, tuple(one.line for one in routes))


def _trip_name(trip: Trip) -> str:
    return trip.name or (Path(trip.origin).stem if trip.origin else "no trip file")


def _read(file: Path, *, each_line: bool) -> Sequence[Route | InputError]:
    try:
        return read_each_line(file) if each_line else (read_route(file),)
    except InputError as fault:
        return (_as_told_here(fault),)


_ONE_OF_SEVERAL = "--track"


def _as_told_here(fault: InputError) -> InputError:
    """Return a fault that is mended by choosing a line with what this command has for that."""
    mend = "take every line as a route of its own with --each-line, or draw it as one line"
    faults = [
        Fault(one.where, one.what, mend) if _ONE_OF_SEVERAL in one.mend else one
        for one in fault.faults
    ]
    return type(fault)(fault.origin, faults)


def _route_read(found: Route | InputError, file: Path, asked: ToCompare) -> _RouteRead:
    if isinstance(found, Route):
        line = (found.lat_deg, found.lon_deg) if asked.lines_wanted else None
        remarks = (*found.grave_remarks, *found.remarks)
        return _RouteRead(found.name, str(file), line=line, remarks=remarks)
    return _RouteRead(file.stem, str(file), failed=str(found))


def unlike(named: Sequence[tuple[str, str]]) -> list[str]:
    """Return names each unlike the others: with their file, and numbered where that is not enough.

    >>> unlike([("Loop", "a.gpx"), ("Loop", "b.gpx"), ("Walk", "c.gpx")])
    ['Loop (a.gpx)', 'Loop (b.gpx)', 'Walk']
    >>> unlike([("x", "a.gpkg"), ("x", "a.gpkg")])
    ['x (a.gpkg) #1', 'x (a.gpkg) #2']
    """
    seldom = Counter(name for name, _ in named)
    names = [name if seldom[name] == 1 else f"{name} ({Path(file).name})" for name, file in named]
    again, met = Counter(names), Counter[str]()
    found = []
    for name in names:
        met[name] += 1
        found.append(name if again[name] == 1 else f"{name} #{met[name]}")
    return found
