"""The one list of the way: every stop, and after it the stretch to the next.

Page, sheet and terminal all follow this list.
"""

from __future__ import annotations

import datetime as dt
import itertools
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

from longdry.model.plan.days import TravelDay
from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import DryPass, TurnBack, WaterInNeed
from longdry.model.plan.stops import PlannedStop
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.water.passes import WaterPass
from longdry.model.words import Grade, Verdict
from longdry.showing.words.amounts import day_name
from longdry.showing.words.setbacks import stranding_ids, turn_backs_by_stretch
from longdry.showing.words.sources import time_words
from longdry.showing.words.stops import StopFill, fills_by_stretch
from longdry.units import HOURS_PER_DAY, MINUTES_PER_HOUR

T = TypeVar("T")


@dataclass(frozen=True, slots=True, eq=False)
class WayStretch:
    """The stretch after a stop, with what lies in it."""

    stretch: DryStretch
    turn: TurnBack | None
    camps: tuple[TravelDay, ...]
    """Days that end in a camp away from water."""
    passed_by: tuple[WaterPass, ...]
    """Water that counts and is not called at."""
    in_need: tuple[WaterInNeed, ...]

    @property
    def is_clear(self) -> bool:
        """Whether nothing is wrong with it."""
        return self.stretch.verdict is Verdict.CLEAR


@dataclass(frozen=True, slots=True, eq=False)
class WayStop:
    """The start, a call, or the end."""

    end: StretchEnd
    behind: str
    """Label of the stop before it."""
    planned: PlannedStop | None
    """How the call comes about; None at the start and the end."""
    fills: tuple[StopFill, ...]
    """One for each water; empty at the end and without containers."""
    dry: tuple[DryPass, ...]
    """What is left to do where a water of it is dry."""
    strands: bool
    """Whether a water of it leaves neither way to water where it is dry."""
    arriving_l: float | None
    """What is in the containers on coming here; None without containers."""
    after: WayStretch | None
    """None at the end."""

    @property
    def in_need(self) -> tuple[WaterInNeed, ...]:
        """Water on the way to the next stop that is never reckoned with."""
        return self.after.in_need if self.after else ()

    @property
    def is_bad(self) -> bool:
        """Whether it must be looked at: it strands, or the way on is not clear."""
        return self.strands or (self.after is not None and not self.after.is_clear)

    @property
    def grade(self) -> Grade | None:
        """Of the water that the stop is named by; None where there is none."""
        waters = self.end.waters
        return waters[0].source.trusted_grade if waters else None


def way_of(plan: Plan) -> tuple[WayStop, ...]:
    """Return the list, the end of the route last; page, sheet and terminal all go by it."""
    dry = _dry_by_pass(plan)
    stranding = stranding_ids(plan)
    turns = turn_backs_by_stretch(plan)
    planned: Sequence[PlannedStop | None] = (None, *plan.stops)
    stops = [
        WayStop(
            end=stretch.begin,
            behind=behind,
            planned=stop,
            fills=fills,
            dry=_dry_of(stretch.begin, dry),
            strands=any(water.source.id in stranding for water in stretch.begin.waters),
            arriving_l=fills[0].fill.arriving.total_l if fills else None,
            after=WayStretch(stretch, turns.get(stretch.number), *inside),
        )
        for stretch, inside, fills, stop, behind in zip(
            plan.stretches,
            _inside(plan),
            fills_by_stretch(plan),
            itertools.chain(planned, itertools.repeat(None)),
            ("", *(stretch.begin.label for stretch in plan.stretches)),
            strict=False,
        )
    ]
    last = plan.stretches[-1].end
    left_l = plan.stretches[-1].left_l
    behind = plan.stretches[-1].begin.label
    end = WayStop(last, behind, None, (), (), strands=False, arriving_l=left_l, after=None)
    return (*stops, end)


def _dry_by_pass(plan: Plan) -> dict[tuple[str, float], DryPass]:
    """Return what is left to do at each pass whose source alone is dry."""
    alone = plan.setbacks.dry if plan.setbacks else ()
    return {
        (what.sources[0].id, round(one.km, 3)): one
        for what in alone
        if len(what.sources) == 1
        for one in what.passes
    }


def _dry_of(end: StretchEnd, dry: dict[tuple[str, float], DryPass]) -> tuple[DryPass, ...]:
    keys = ((water.source.id, round(water.km, 3)) for water in end.waters)
    return tuple(dry[key] for key in keys if key in dry)


def _inside(
    plan: Plan,
) -> Iterator[tuple[tuple[TravelDay, ...], tuple[WaterPass, ...], tuple[WaterInNeed, ...]]]:
    """Yield for each stretch its camps, the water passed by and the water in need."""
    passed_by = [p for p in plan.passes if p.counted and not p.call and p.passed_by_because]
    camps = [day for day in plan.days if day.camp and not day.at_water]
    in_need = plan.setbacks.in_need if plan.setbacks else ()
    return zip(
        _by_stretch(plan, camps, [day.to_km for day in camps]),
        _by_stretch(plan, passed_by, [water.km for water in passed_by]),
        _by_stretch(plan, in_need, [water.km for water in in_need]),
        strict=True,
    )


def _by_stretch(plan: Plan, things: Sequence[T], kms: Sequence[float]) -> list[tuple[T, ...]]:
    """Return for each stretch those of the things that lie in it; its end belongs to the next."""
    begins = [stretch.begin.km for stretch in plan.stretches]
    found: list[list[T]] = [[] for _ in begins]
    for thing, km in zip(things, kms, strict=True):
        if km >= begins[0]:
            found[bisect_right(begins, km) - 1].append(thing)
    return [tuple(each) for each in found]


def date_of(plan: Plan, hour: float) -> dt.date | None:
    """Return the date of an hour since the midnight before departure; None without a date."""
    depart = plan.trip.depart
    return depart.date() + dt.timedelta(days=hour // HOURS_PER_DAY) if depart else None


def moment_words(plan: Plan, hour: float) -> str:
    """Write an hour since the midnight before departure as a day and a time, to the minute."""
    hour = _to_the_minute(hour)
    date = date_of(plan, hour)
    day = day_name(date).rsplit(" ", 1)[0] if date else f"day {int(hour // HOURS_PER_DAY) + 1}"
    return f"{day}, {clock_words(hour)}"


def day_words(hour: float) -> str:
    """Write the number of the day of an hour since the midnight before departure.

    >>> day_words(32.5)
    'day 2'
    """
    return f"day {int(hour // HOURS_PER_DAY) + 1}"


def clock_words(hour: float) -> str:
    """Write the time of the clock of an hour since some midnight, to the nearest minute.

    >>> clock_words(32.999), clock_words(24.0)
    ('09:00', '00:00')
    """
    return time_words(_to_the_minute(hour) % HOURS_PER_DAY, round)


def _to_the_minute(hour: float) -> float:
    return round(hour * MINUTES_PER_HOUR) / MINUTES_PER_HOUR
