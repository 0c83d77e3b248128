"""The days of the trip as HTML: way, drinking, heat, light, and water carried."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from longdry.model.plan.days import TravelDay
from longdry.showing.page.tables import Column, TableRow, table
from longdry.showing.words.amounts import (
    count_words,
    day_name,
    hours_words,
    need_words,
    on_board_words,
    place_words,
    supply_words,
)
from longdry.showing.words.markup import Markup, joined, name_tag, tag
from longdry.showing.words.measures import Measures

_WAY = (
    Column("Day"),
    Column("Date"),
    Column("From", numeric=True),
    Column("To", numeric=True),
    Column("Goes", numeric=True),
    Column("Moving", numeric=True),
    Column("Ends"),
    Column("Drinking", numeric=True),
)
_HEAT = (
    Column("Shade maximum", numeric=True),
    Column("The heat asks", numeric=True),
    Column("Own rate", numeric=True),
)
_BOARD = (Column("Water used", numeric=True), Column("Carried at its end", numeric=True))
_LIGHT = (Column("Sunrise", numeric=True), Column("Sunset", numeric=True))
_PASSED = (Column("Water passed"),)
_COMMA = tag("span", None, ", ")
_MOST_PASSED = 8
"""Names of a day; of a dense layer the rest is counted."""


def day_table(days: Sequence[TravelDay], measures: Measures) -> Markup:
    """Every day of the trip; the moving hours have the ways off the route in them.

    Columns about heat, light and water carried stand only where the plan knows of them.
    """
    heat = any(day.heat_asks_l is not None for day in days)
    board = any(day.on_board_l is not None for day in days)
    light = any(day.date is not None for day in days)
    parts = ((True, _WAY), (heat, _HEAT), (board, _BOARD), (light, _LIGHT), (True, _PASSED))
    columns = [column for shown, part in parts if shown for column in part]
    return table(
        "day-table",
        "Days of the trip, drinking for the whole party; moving hours with the ways to the water",
        columns,
        [
            TableRow(
                (
                    *_way(day, measures),
                    *(_heat(day, measures) if heat else ()),
                    *(_board(day, measures) if board else ()),
                    *((_hour(day.sunrise), _hour(day.sunset)) if light else ()),
                    _passed(day),
                )
            )
            for day in days
        ],
    )


def _way(day: TravelDay, measures: Measures) -> tuple[str, ...]:
    return (
        str(day.number),
        day_name(day.date),
        place_words(day.from_km, measures),
        place_words(day.to_km, measures),
        measures.way(day.to_km - day.from_km),
        hours_words(day.moving_h),
        _ends(day),
        need_words(day.drinking_l, measures),
    )


def _ends(day: TravelDay) -> Markup:
    what = "rest day" if day.rest else ("camp" if day.camp else "end of the route")
    at = f", {_hour(day.arrives)}" if day.arrives else ""
    dark = " after dark" if day.arrives_after_dark else ""
    water = ", at the water" if day.at_water else ""
    parts = [tag("span", None, f"{what}{at}{dark}{water}")]
    if day.camp_name:
        parts += [tag("span", None, " at "), name_tag(day.camp_name)]
    return joined(parts)


def _heat(day: TravelDay, measures: Measures) -> tuple[str, ...]:
    expected = "" if day.shade_max_c is None else measures.heat(day.shade_max_c)
    return (
        expected,
        need_words(day.heat_asks_l or 0.0, measures),
        supply_words(day.measured_l, measures),
    )


def _board(day: TravelDay, measures: Measures) -> tuple[str, ...]:
    used_l, left_l = day.used_l or 0.0, day.on_board_l or 0.0
    return need_words(used_l, measures), on_board_words(left_l, measures)


def _hour(moment: dt.datetime | None) -> str:
    return f"{moment:%H:%M}" if moment else ""


def _passed(day: TravelDay) -> Markup:
    told = day.sources[:_MOST_PASSED]
    parts = [part for name in told for part in (_COMMA, name_tag(name))]
    more = len(day.sources) - len(told)
    if more:
        parts += [_COMMA, tag("span", None, f"and {count_words(more, 'source')} more")]
    return joined(parts[1:])
