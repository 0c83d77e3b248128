"""The first screen: safe or not, why, and every gap by name."""

from __future__ import annotations

from longdry.model.plan.plan import Plan, PlanWarning
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import VERDICTS_WORST_FIRST, Verdict
from longdry.showing.page.notes import formula_id
from longdry.showing.page.tables import verdict_mark
from longdry.showing.signs.signs import verdict_class
from longdry.showing.words.markup import Markup, clipped_text, joined, name_tag, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.setbacks import consequence, failure_words
from longdry.showing.words.stops import fills_by_stretch, leave_words, sizes_l
from longdry.showing.words.wording import (
    alarm_words,
    carried_words,
    count_words,
    days_taken_words,
    end_words,
    gap_words,
    leaving_l,
    length_words,
    missing_words,
    need_words,
    place_words,
    time_taken_words,
    told_missing_l,
)

_HEADLINES = {
    Verdict.NO_CONTAINERS: "Nobody can say: the trip names no containers",
    Verdict.TOO_LONG: "Not safe on these figures",
    Verdict.SHORT_RATION: "Not safe on the full ration",
    Verdict.INTO_RESERVE: "Not safe: it lasts only by drinking into the reserve",
    Verdict.CLEAR: "On these figures the water lasts",
}
_FORMULA_OF = {
    "Longest stretch": "Length of a stretch",
    "Longest in days": "Days of a stretch",
    "Missing on the worst stretch": "Missing",
    "To leave with, reserve included": "Fills",
    "To leave with, NOT ENOUGH": "Fills",
}
"""Where each key figure comes from."""
_CLEAR_CAUTION = (
    "Every stretch ends with its reserve, if each counted source has water and the pace is kept. "
    "A source may be dry: read the cautions."
)


def answer_section(plan: Plan, measures: Measures) -> Markup:
    """Answer in words, with the figures that stand out."""
    worst = plan.stretches[plan.longest.worst - 1]
    heading = tag("h2", {"id": "answer-heading"}, _headline(plan, worst))
    return tag(
        "section",
        {
            "id": "answer",
            "class": f"answer verdict-{verdict_class(worst.verdict)}",
            "aria-labelledby": "answer-heading",
        },
        heading,
        tag("p", {"class": "why"}, *_why(plan, worst, measures)),
        tag("dl", {"class": "key-figures"}, *_key_figures(plan, worst, measures)),
        *_worst_failure(plan, measures),
    )


def warning_section(plan: Plan, measures: Measures) -> Markup:
    """Every gap by name, then all else that must be read before leaving."""
    gaps = [_gap(stretch, measures) for stretch in gaps_worst_first(plan)]
    notes = [_warning(warning, measures) for warning in plan.warnings if not warning.of_verdict]
    if not gaps and not notes:
        return Markup()
    parts: list[Markup] = []
    if gaps:
        parts.append(tag("ol", {"class": "gaps"}, *gaps))
    if notes:
        parts += [tag("h3", None, "To be read before leaving"), tag("ul", None, *notes)]
    return tag(
        "section",
        {"id": "warnings", "class": "warnings", "aria-labelledby": "warnings-heading"},
        tag("h2", {"id": "warnings-heading"}, "Warnings"),
        *parts,
    )


def gaps_worst_first(plan: Plan) -> list[DryStretch]:
    """Every stretch that is not clear, the worst verdict first, then the most litres missing."""
    order = {verdict: place for place, verdict in enumerate(VERDICTS_WORST_FIRST)}
    named = [s for s in plan.stretches if s.verdict not in (Verdict.CLEAR, Verdict.NO_CONTAINERS)]
    return sorted(named, key=lambda s: (order[s.verdict], -s.missing_l, s.number))


def _headline(plan: Plan, worst: DryStretch) -> str:
    but = ", but heed the warnings" if worst.verdict is Verdict.CLEAR and _grave(plan) else ""
    return f"{_HEADLINES[worst.verdict]}{but}"


def _grave(plan: Plan) -> int:
    return sum(warning.grave for warning in plan.warnings)


def _but_heed(plan: Plan) -> list[str]:
    """Temper a clear answer where life may hang on a warning."""
    count = _grave(plan)
    if not count:
        return []
    noun = "warning" if count == 1 else "warnings"
    link = tag("a", {"href": "#warnings"}, f"{count} grave {noun} below")
    return [tag("strong", None, "Clear, but heed the warnings: ", link, " can undo it. ")]


def _why(plan: Plan, worst: DryStretch, measures: Measures) -> list[str]:
    if worst.verdict is Verdict.CLEAR:
        return [*_but_heed(plan), _CLEAR_CAUTION]
    if worst.verdict is Verdict.NO_CONTAINERS:
        return [
            (
                "The needs below are worked out, but nothing says whether they can be carried. "
                "Name the containers in the trip."
            )
        ]
    gaps = gaps_worst_first(plan)
    count = f"{len(gaps)} of {count_words(len(plan.stretches), 'stretch', 'stretches')}"
    verb = "is" if len(gaps) == 1 else "are"
    return [
        f"{count} {verb} not clear. The worst is from ",
        name_tag(end_words(worst.begin)),
        " to ",
        name_tag(end_words(worst.end)),
        (
            f": {need_words(worst.need.total_l, measures)} and a reserve of "
            f"{need_words(worst.reserve_l, measures)} are needed, {carried_words(worst, measures)}."
        ),
    ]


def _worst_failure(plan: Plan, measures: Measures) -> list[Markup]:
    failure = plan.setbacks.worst if plan.setbacks else None
    if failure is None:
        return []
    notes = [
        tag("strong", None, "Worst single failure: "),
        name_tag(failure_words(failure, measures)),
        f". {consequence(failure, measures)} ",
        tag("a", {"href": "#setbacks"}, "When it goes wrong"),
    ]
    return [tag("p", {"class": "failure"}, *notes)]


def _key_figures(plan: Plan, worst: DryStretch, measures: Measures) -> list[Markup]:
    by_km = plan.stretches[plan.longest.by_km - 1]
    by_days = plan.stretches[plan.longest.by_days - 1]
    first = plan.stretches[0]
    enough = "NOT ENOUGH" if alarm_words(first, measures) else "reserve included"
    return [
        _figure("Longest stretch", length_words(by_km.length_km, measures), by_km),
        _figure("Longest in days", days_taken_words(by_days.days), by_days),
        _figure("Missing on the worst stretch", missing_words(worst, measures), worst),
        _figure(f"To leave with, {enough}", _to_leave_with(plan, measures), first),
    ]


def _to_leave_with(plan: Plan, measures: Measures) -> str:
    """Tell what the sheet tells, where the fills are planned."""
    if plan.fills is None:
        return need_words(leaving_l(plan.stretches[0]), measures)
    at_start = fills_by_stretch(plan)[0]
    return leave_words(at_start[-1].fill, sizes_l(plan), measures)[0]


def _figure(head: str, value: str, stretch: DryStretch) -> Markup:
    where = tag("a", {"href": f"#stretch-{stretch.number}"}, f"stretch {stretch.number}")
    about = joined([where, ", ", name_tag(end_words(stretch.begin)), " to ",
                    name_tag(end_words(stretch.end))])  # fmt: skip
    return tag(
        "div",
        None,
        tag("dt", None, tag("a", {"href": f"#{formula_id(_FORMULA_OF[head])}"}, head)),
        tag("dd", None, tag("strong", None, value), tag("span", None, about)),
    )


def _gap(stretch: DryStretch, measures: Measures) -> Markup:
    head = tag(
        "p",
        {"class": "gap-head"},
        verdict_mark(stretch),
        " ",
        tag("a", {"href": f"#stretch-{stretch.number}"}, f"Stretch {stretch.number}"),
        ": ",
        name_tag(end_words(stretch.begin)),
        f" ({place_words(stretch.begin.km, measures)}) to ",
        name_tag(end_words(stretch.end)),
        f" ({place_words(stretch.end.km, measures)})",
    )
    figures = tag(
        "p",
        {"class": "gap-figures"},
        f"{length_words(stretch.length_km, measures)}, {time_taken_words(stretch.days)}. ",
        *_missing(stretch, measures),
        gap_words(stretch, measures),
    )
    return tag("li", {"class": f"gap verdict-{verdict_class(stretch.verdict)}"}, head, figures)


def _missing(stretch: DryStretch, measures: Measures) -> list[str]:
    missing_l = told_missing_l(stretch)
    if missing_l is None:
        return [tag("strong", None, "What is missing is not litres alone."), " "]
    lacks = tag("strong", None, f"{need_words(missing_l, measures)} missing")
    return [lacks, " to end it with the reserve. "]


def _warning(warning: PlanWarning, measures: Measures) -> Markup:
    text = clipped_text(measures.sentence(warning.text))
    words: list[str] = [tag("strong" if warning.grave else "bdi", None, text)]
    if warning.stretch is not None:
        link = {"href": f"#stretch-{warning.stretch}"}
        words += [" ", tag("a", link, f"Stretch {warning.stretch}")]
    return tag("li", {"class": "grave" if warning.grave else "told"}, *words)
