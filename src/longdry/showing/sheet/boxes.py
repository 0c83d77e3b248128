"""On the sheet: whom to call, how to wait, the litres of a day, the rule of the heat."""

from __future__ import annotations

import math
from collections.abc import Iterator

from longdry.model.plan.plan import Plan
from longdry.model.trip.party import Use
from longdry.model.words import Accrual, Ration, Travel
from longdry.showing.sheet.names import blank, check_in_words, on_paper, whole
from longdry.showing.words.amounts import (
    count_words,
    day_name,
    days_lasting_words,
    need_words,
)
from longdry.showing.words.headline import NOT_BY_DAY, reasons
from longdry.showing.words.markup import Markup, joined, tag
from longdry.showing.words.measures import Measures
from longdry.units import rounded_up

STAY = {
    Travel.VEHICLE: (
        "Broken down or hurt?",
        "Stay with the vehicle. Shade. Call now. Do not walk by day.",
    ),
    Travel.FOOT: (
        "Hurt or lost?",
        (
            "Stop in shade. Call. Make yourself seen. Move only if you know the water and night has"
            " come."
        ),
    ),
}
STAY[Travel.BICYCLE] = STAY[Travel.FOOT]
_NOT_BY_DAY = {
    Travel.VEHICLE: "Nobody walks or digs by day.",
    Travel.FOOT: "Nobody walks or digs by day.",
    Travel.BICYCLE: "Nobody rides, walks or digs by day.",
}
_PER = {
    Accrual.PERSON_DAY: "each a day",
    Accrual.PARTY_DAY: "a day for all",
    Accrual.PERSON_NIGHT: "each a night",
    Accrual.PARTY_NIGHT: "a night for all",
    Accrual.PARTY_100KM: "every 100 km for all",
}


def boxes(plan: Plan, measures: Measures) -> Markup:
    """Build the four."""
    return tag(
        "div",
        {"class": "boxes"},
        tag("p", {"class": "box"}, *_call(plan)),
        tag("p", {"class": "box"}, *_wait(plan, measures)),
        tag("p", None, *_litres(plan, measures)),
        tag("p", None, *_heat(plan, measures)),
    )


def _call(plan: Plan) -> Iterator[Markup]:
    contact, days = plan.trip.contact, _help_days(plan)
    yield joined(
        [tag("b", None, "Call: "), whole(contact.call) if contact.call else blank("long"), ". "]
    )
    if contact.on_overdue:
        yield joined(["Home rings ", whole(contact.on_overdue), ". "])
    yield joined(["Check in ", check_in_words(contact.check_in_days), " at ", blank(), ". "])
    alarm = day_name(contact.due_back) if contact.due_back else blank("long")
    yield joined([tag("b", None, "Alarm: "), alarm, " at ", blank(), ". "])
    takes = count_words(rounded_up(days, 0.1), "day") if days is not None else blank()
    yield joined(["Help may take ", takes, "."])


def _help_days(plan: Plan) -> float | None:
    """Return the days until help that the headline reckons with, those between two words too."""
    wanted = plan.setbacks.sit_out.wanted if plan.setbacks else None
    return wanted.days if wanted else plan.trip.policy.help_days


def _wait(plan: Plan, measures: Measures) -> Iterator[Markup]:
    head, rule = STAY[plan.trip.pace.travel]
    yield joined([tag("b", None, head), f" {rule} "])
    wait = plan.setbacks.sit_out if plan.setbacks else None
    if wait and math.isfinite(wait.least_days):
        yield tag(
            "b", None, f"{need_words(wait.rest_l_per_day, measures)} a day for all, at rest. "
        )
        lasts = days_lasting_words(wait.least_days)
        yield joined([f"It lasts least at {measures.mark(wait.at_km)}: {lasts}. "])
    yield joined(["Water lasts until ", blank("long")])


def _litres(plan: Plan, measures: Measures) -> Iterator[Markup]:
    """Tell each use at its own rate, and what is given up first."""
    uses = plan.trip.uses
    yield tag("b", None, "Litres: ")
    parts: list[str] = []
    for use in (one for one in uses if one.per is not Accrual.ALWAYS):
        parts += [", " if parts else "", on_paper(use.name),
                  f" {need_words(use.litres, measures)} {_PER[use.per]}"]  # fmt: skip
    yield joined([*parts, ". "])
    order = [*_kept(uses, Ration.FULL), *_kept(uses, Ration.LEAN)]
    if order:
        saved: list[str] = []
        for use in order:
            saved += [", then " if saved else "", on_paper(use.name)]
        yield joined([tag("b", None, "Save first: "), *saved, ". "])
    yield Markup("Never save on drinking: water helps in you, not in the can.")


def _kept(uses: tuple[Use, ...], down_to: Ration) -> list[Use]:
    return [use for use in uses if use.kept is down_to and use.per is not Accrual.ALWAYS]


def _heat(plan: Plan, measures: Measures) -> Iterator[Markup]:
    hottest = max(
        (day.shade_max_c for day in plan.days if day.shade_max_c is not None), default=None
    )
    expected = "no heat was given: ask for the forecast" if hottest is None else (
        f"up to {measures.heat(hottest)} in the shade"
    )  # fmt: skip
    yield joined([tag("b", None, "Heat: "), f"{expected}. "])
    rest = plan.trip.pace.break_h
    hours = f"from {rest[0]:g} to {rest[1]:g}" if rest else "in the hottest hours"
    yield Markup(f"{_nobody_by_day(plan, measures)} Shade {hours}. ")
    most = measures.sentence("At most 1.4 L an hour and 11 L a day each")
    yield Markup(f"{most}, and eat salty food with it (US Army TB MED 507).")


def _nobody_by_day(plan: Plan, measures: Measures) -> str:
    """Tell who stays in the shade; those on foot and by bicycle may move within their limits."""
    travel = plan.trip.pace.travel
    words = _NOT_BY_DAY[travel]
    if travel is Travel.VEHICLE or any(NOT_BY_DAY in why for why in reasons(plan, measures)):
        return words
    return f"In great heat n{words[1:]}"
