"""What the readings of a tally tell, as lines for the terminal."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from longdry.model.trip.tally import Rate, TallyTold
from longdry.plain_text import escaped
from longdry.showing.words.amounts import (
    count_words,
    days_lasting_words,
    need_words,
    place_words,
    supply_words,
)
from longdry.showing.words.measures import Measures
from longdry.units import rounded_down

TALLY_CAUTION = (
    "Caution: hotter or harder days ask for more than the days behind. A source may be dry;\n"
    "ask local authorities and land managers, and call for help early."
)


def tally_text(told: TallyTold, measures: Measures, *, wrote: bool) -> str:
    """Tell the true rates beside the planned ones, and how long what is left lasts."""
    written = "Written down. " if wrote else ""
    lines = [f"{written}{count_words(told.readings, 'reading')} in the tally."]
    lines += [
        *_rates(told, measures),
        *_speeds(told, measures),
        *_ahead(told, measures),
        TALLY_CAUTION,
    ]
    return "\n".join(lines) + "\n"


def _rates(told: TallyTold, measures: Measures) -> Iterator[str]:
    if told.mean_l_per_day is None:
        yield "No rate yet: it takes two readings of what is left, at least two hours apart."
        return
    for rate in told.rates:
        yield f"  {_minute(rate.from_at)} to {_minute(rate.to_at)}: {_rate_words(rate, measures)}"
    a_day = [rate.l_per_day for rate in told.rates]
    spread = f", from {need_words(min(a_day), measures)} to {need_words(max(a_day), measures)}"
    yield (
        f"True use: {need_words(told.mean_l_per_day, measures)} a day"
        f"{spread if len(a_day) > 1 else ''}; {_planned(told, measures)}."
    )
    if told.lost_l:
        yield f"Lost: {need_words(told.lost_l, measures)}, which is no part of the rates."


def _rate_words(rate: Rate, measures: Measures) -> str:
    planned = rate.planned_l
    beside = "" if planned is None else f", planned {need_words(planned, measures)}"
    return (
        f"used {need_words(rate.used_l, measures)}{beside}:"
        f" {need_words(rate.l_per_day, measures)} a day"
    )


def _planned(told: TallyTold, measures: Measures) -> str:
    if told.planned_l_per_day is None:
        return "give the trip file with --trip to see the planned rate beside it"
    over = (told.mean_l_per_day or 0.0) > told.planned_l_per_day
    word = "MORE THAN PLANNED" if over else "no more than planned"
    return (
        f"planned {need_words(told.planned_l_per_day, measures)} a day on the full ration, heat"
        f" left out: {word}"
    )


def _speeds(told: TallyTold, measures: Measures) -> Iterator[str]:
    if not told.speeds or told.planned_kmh is None:
        return
    kmh = [one.kmh for one in told.speeds]
    hours = sum(one.hours for one in told.speeds)
    mean = sum(one.to_km - one.from_km for one in told.speeds) / hours
    figures = [f"{rounded_down(one / measures.km_per_length, 0.1):.1f}" for one in kmh]
    spread = f", from {min(figures, key=float)} to {max(figures, key=float)}" if kmh[1:] else ""
    yield (
        f"True speed: {rounded_down(mean / measures.km_per_length, 0.1):.1f}"
        f" {measures.length}/h{spread}; the trip's own is"
        f" {told.planned_kmh / measures.km_per_length:.1f} where no section says otherwise."
    )


def _ahead(told: TallyTold, measures: Measures) -> Iterator[str]:
    last = told.last
    left_l = last.left_l if last else None
    if last is None or left_l is None:
        yield "What is left was not read off yet: --left LITRES."
        return
    where = "" if last.km is None else f" at {place_words(last.km, measures)}"
    yield f"Left{where}, {_minute(last.at)}: {supply_words(left_l, measures)}."
    if told.rates:
        hardest = max(rate.l_per_day for rate in told.rates)
        yield _lasting(left_l, told.mean_l_per_day or 0.0, last.at, "at the true use")
        yield _lasting(left_l, hardest, last.at, "at that of the hardest time so far")
    if told.planned_l_per_day:
        yield _lasting(left_l, told.planned_l_per_day, last.at, "at the planned use")
    yield "Whether that takes you to water, and what is ahead: longdry plan … --tally FILE."


def _lasting(left_l: float, l_per_day: float, at: dt.datetime, how: str) -> str:
    if l_per_day <= 0.0:
        return f"  Nothing was used so far: {how} nothing can be said."
    days = min(left_l / l_per_day, 3650.0)
    until = at + dt.timedelta(days=days)
    return f"  It lasts {days_lasting_words(days)} {how}, until {_minute(until)}."


def _minute(at: dt.datetime) -> str:
    return escaped(f"{at:%Y-%m-%d %H:%M}")
