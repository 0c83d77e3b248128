"""What the party must read about its days: heat beyond all drinking, and arrivals in the dark."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from longdry.computing.heat_by_day import DayOfHeat
from longdry.model.plan import PlanWarning
from longdry.model.travel_day import TravelDay
from longdry.units import rounded_up

if TYPE_CHECKING:  # a trip without heat has none of these
    from longdry.model.day_in_heat import HeatRemark, RemarkKind

MOST_DAYS = 8


def warnings_of_days(
    days: Sequence[TravelDay], heat: Sequence[DayOfHeat]
) -> tuple[PlanWarning, ...]:
    """Return one warning for each kind of trouble, with the days that it is about."""
    return (*_of_heat(heat), *_measured_too_low(days), *_after_dark(days))


def named_days(numbers: Sequence[int]) -> str:
    """Name days by number, runs as such.

    >>> named_days([2]), named_days([1, 2, 3, 5])
    ('Day 2', 'Days 1 to 3, 5')
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    words = [f"{run[0]} to {run[-1]}" if len(run) > 1 else str(run[0]) for run in runs]
    more = f" and {len(words) - MOST_DAYS} more" if len(words) > MOST_DAYS else ""
    head = "Days" if len(numbers) > 1 else "Day"
    return f"{head} {', '.join(words[:MOST_DAYS])}{more}"


def _of_heat(heat: Sequence[DayOfHeat]) -> list[PlanWarning]:
    """Tell each kind of remark once, in the words of the day that asks for most."""
    found: dict[RemarkKind, list[tuple[int, float, HeatRemark]]] = {}
    for number, day in enumerate(heat, 1):
        for remark in day.remarks:
            found.setdefault(remark.kind, []).append((number, day.asks_l, remark))
    told = []
    for remarks in found.values():
        numbers = list(dict.fromkeys(number for number, _, _ in remarks))
        _, _, worst = max(remarks, key=lambda entry: entry[1])
        told.append(PlanWarning(f"{named_days(numbers)}: {worst.text}", grave=worst.grave))
    return told


def _measured_too_low(days: Sequence[TravelDay]) -> list[PlanWarning]:
    low = [day for day in days if day.heat_asks_l is not None and day.heat_asks_l > day.measured_l]
    if not low:
        return []
    worst = max(low, key=lambda day: (day.heat_asks_l or 0.0) - day.measured_l)
    text = (
        f"{named_days([day.number for day in low])}: the party's own rate for drinking is lower"
        f" than the heat asks for, on day {worst.number} {worst.measured_l:.1f} L against"
        f" {rounded_up(worst.heat_asks_l or 0.0, 0.1):.1f} L for all people together."
        " The plan counts the larger."
    )
    return [PlanWarning(text)]


def _after_dark(days: Sequence[TravelDay]) -> list[PlanWarning]:
    late = [day for day in days if day.arrives_after_dark]
    if not late:
        return []
    first = late[0]
    at = f" at {first.arrives:%H:%M}" if first.arrives else ""
    sunset = f", sunset {first.sunset:%H:%M}" if first.sunset else ""
    text = (
        f"{named_days([day.number for day in late])}: the party moves until it is dark"
        f" (day {first.number}: km {first.to_km:.1f}{at}{sunset}). A camp or a source is hard to"
        " find then."
    )
    return [PlanWarning(text)]
