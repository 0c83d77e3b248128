"""Figures of a day."""

from __future__ import annotations

import datetime as dt

from longdry.model.plan.days import TravelDay
from longdry.showing.figures.figure import Figure, ToldIn
from longdry.showing.words.markup import clipped_name


def _time(moment: dt.datetime | None) -> str | None:
    return moment.isoformat(timespec="minutes") if moment else None


def _names(day: TravelDay) -> str:
    return "; ".join(map(clipped_name, day.sources))


DAY_FIGURES: tuple[Figure[TravelDay], ...] = (
    Figure("number", "", "from 1", lambda d: d.number),
    Figure(
        "date",
        "",
        "null without a departure",
        lambda d: d.date.isoformat() if d.date else None,
    ),
    Figure("from_km", "km", "of the route, in the morning", lambda d: d.from_km),
    Figure("to_km", "km", "of the route, in the evening", lambda d: d.to_km),
    Figure("moving_h", "h", "on the move, ways included", lambda d: d.moving_h),
    Figure("camp", "", "whether it ends in a camp", lambda d: d.camp),
    Figure("rest", "", "whether nobody moves", lambda d: d.rest),
    Figure(
        "at_water",
        "",
        "whether the night is spent at a call and draws on it",
        lambda d: d.at_water,
    ),
    Figure(
        "camp_name",
        "",
        "of a counted source within 1 km along the route, else of a waypoint within 1 km",
        lambda d: d.camp_name or None,
        shown=clipped_name,
    ),
    Figure(
        "sources",
        "",
        "names of the counted sources that are passed",
        lambda d: list(d.sources),
        ToldIn.DOCUMENT,
    ),
    Figure("sources", "", "the same in one text", _names, ToldIn.TABLE, str),
    Figure(
        "drinking_l",
        "L",
        "for the whole party and all 24 hours, animals left out: the larger of the next two",
        lambda d: d.drinking_l,
    ),
    Figure(
        "heat_asks_l",
        "L",
        "what the heat asks for with `moving_h` of moving, the hours of work, and rest for all "
        "others; null without heat",
        lambda d: d.heat_asks_l,
    ),
    Figure("measured_l", "L", "what the party's own rates make", lambda d: d.measured_l),
    Figure("shade_max_c", "°C", "expected; null without heat", lambda d: d.shade_max_c),
    Figure(
        "used_l",
        "L",
        "of what is carried, all uses and animals, within the hours of the trip; null without "
        "containers",
        lambda d: d.used_l,
    ),
    Figure(
        "on_board_l",
        "L",
        "carried at midnight, or at the end of the trip; null without containers",
        lambda d: d.on_board_l,
    ),
    Figure("arrives", "local time", "end of the last move", lambda d: _time(d.arrives)),
    Figure("sunrise", "local time", "at the day's last km", lambda d: _time(d.sunrise)),
    Figure("sunset", "local time", "at the day's last km", lambda d: _time(d.sunset)),
    Figure(
        "arrives_after_dark",
        "",
        "whether the sun is more than 6 degrees below the horizon then",
        lambda d: d.arrives_after_dark,
    ),
)
