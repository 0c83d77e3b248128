"""On the sheet: each evening the litres that are due, with room for those that are found."""

from __future__ import annotations

from collections.abc import Iterator

from longdry.model.plan.days import TravelDay
from longdry.model.plan.plan import Plan
from longdry.model.words import Accrual
from longdry.showing.sheet.names import blank, on_paper
from longdry.showing.words.amounts import day_name, on_board_words, supply_words
from longdry.showing.words.markup import Markup, joined, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.stops import sizes_l


def camps(plan: Plan, measures: Measures) -> Markup:
    """List the evenings; nothing where the trip has no camps."""
    evenings = [day for day in plan.days if day.camp]
    if not evenings:
        return Markup()
    size_l = max(sizes_l(plan).values(), default=0.0)
    items = [_evening(day, size_l, measures) for day in evenings]
    return joined(
        [
            tag("h4", None, "Camps: count the cans each evening"),
            tag("ul", {"class": "evenings"}, *items),
            tag("p", None, *_calendar(plan, size_l, measures)),
        ]
    )


def _evening(day: TravelDay, size_l: float, measures: Measures) -> Markup:
    when = day_name(day.date).rsplit(" ", 2)[0] if day.date else f"Day {day.number}"
    where: list[str] = [f"{when}, {measures.mark(day.to_km)}"]
    if day.at_water:
        where += [", at ", on_paper(day.camp_name) if day.camp_name else "the water"]
    due = []
    if day.on_board_l is not None:
        due = [tag("b", None, f"due {on_board_words(day.on_board_l, measures)}"),
               _full(day.on_board_l, size_l)]  # fmt: skip
    return tag("li", None, tag("span", None, *where), tag("span", None, *due), blank("short"))


def _full(litres: float, size_l: float) -> str:
    """Tell how many of the largest containers are still full then: the can calendar."""
    if size_l <= 0.0 or litres < size_l:
        return ""
    return f", {int(litres / size_l + 1e-9)} full"


def _calendar(plan: Plan, size_l: float, measures: Measures) -> Iterator[Markup]:
    if size_l > 0.0:
        yield joined(
            [
                tag("b", None, "One can in use at a time. "),
                (
                    f"“Full” counts cans of {supply_words(size_l, measures)}: fewer full than"
                    " stands there, and you use too much. "
                ),
            ]
        )
    kept = [use for use in plan.trip.uses if use.per is Accrual.ALWAYS]
    if kept:
        parts: list[str] = []
        for use in kept:
            parts += [
                ", " if parts else "",
                supply_words(use.litres, measures),
                " ",
                on_paper(use.name),
            ]
        yield joined([tag("b", None, "Always carried, never planned to be spent: "), *parts, "."])
