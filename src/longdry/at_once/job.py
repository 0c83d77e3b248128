"""A few plans on one measured line: the piece of work that is sent to a process.

Pure: the same job gives the same answer wherever it is done.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable
from dataclasses import dataclass, field

from longdry.api import plan_along
from longdry.computing.compare.combinations import leaving_at
from longdry.computing.compare.outcome import outcome_of
from longdry.computing.compare.side_by_side import AssumptionsTold
from longdry.computing.plan.planning import WaterAlong
from longdry.errors import LongdryError
from longdry.model.compare.combination import Combination, Row
from longdry.model.trip.trip import Trip
from longdry.model.trip.what_if import Inquiry
from longdry.model.words import Units
from longdry.showing.page.page import page_html
from longdry.showing.words.measures import Measures

A_PAGE = 6
"""A whole plan with its page takes as long as so many without."""
_FIGURES_ALONE = Inquiry(mends=False, costly_calls=False)
"""All that the headline rests on is worked out: what goes wrong, and the chances."""
_WITH_PAGE = Inquiry(least_litres=True)
"""As `longdry plan --out` asks."""


@dataclass(frozen=True, slots=True)
class Job:
    """Some departures of one trip along one line."""

    along: WaterAlong
    """Measured once; with those sources alone that its plans may tell anything of."""
    trip: Trip
    combinations: tuple[Combination, ...]
    page_units: Units | None = None
    """Units of the page of each whole plan; None: no pages are made."""

    @property
    def plans(self) -> int:
        """How many plans take about as long."""
        return len(self.combinations) * (1 if self.page_units is None else A_PAGE)


@dataclass(frozen=True, slots=True)
class Page:
    """The page of one whole plan."""

    of: Combination
    html: str


@dataclass(frozen=True, slots=True)
class JobResult:
    """What a job gave."""

    rows: tuple[Row, ...] = ()
    assumptions: AssumptionsTold = field(default_factory=AssumptionsTold)
    pages: tuple[Page, ...] = ()


Runner = Callable[[Iterable[Job]], Generator[JobResult, None, None]]
"""Does jobs somewhere and yields what they gave, in any order."""


def run_job(job: Job) -> JobResult:
    """Plan every combination of a job; one that cannot be planned is a row that says why."""
    assumptions = AssumptionsTold()
    done = [_planned(job, one, assumptions) for one in job.combinations]
    pages = tuple(page for _, page in done if page)
    return JobResult(tuple(row for row, _ in done), assumptions, pages)


def _planned(
    job: Job, combination: Combination, assumptions: AssumptionsTold
) -> tuple[Row, Page | None]:
    trip = leaving_at(job.trip, combination.depart)
    inquiry = _WITH_PAGE if job.page_units else _FIGURES_ALONE
    try:
        plan = plan_along(job.along, trip, inquiry=inquiry)
    except LongdryError as fault:
        return Row(combination, None, failed=str(fault)), None
    assumptions.add(plan.assumptions)
    row = Row(combination, outcome_of(plan))
    if job.page_units is None:
        return row, None
    return row, Page(combination, page_html(plan, Measures(job.page_units)))


def in_this_process(jobs: Iterable[Job]) -> Generator[JobResult, None, None]:
    """Do the jobs in this process, one after the other."""
    yield from map(run_job, jobs)
