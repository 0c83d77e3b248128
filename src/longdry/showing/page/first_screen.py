"""The first screen: may the party start, why, where is it worst, how much to carry, what mends."""

from __future__ import annotations

from collections.abc import Iterator

from longdry.model.plan.headline import HeadlineLevel
from longdry.model.plan.mends import Mend
from longdry.model.plan.plan import Plan, PlanWarning
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import Verdict
from longdry.showing.page.notes import formula_sign
from longdry.showing.page.parts import fold
from longdry.showing.signs.signs import verdict_class
from longdry.showing.words.amounts import (
    HELD_BACK,
    count_words,
    days_taken_words,
    need_words,
    on_board_words,
)
from longdry.showing.words.departure import beginning_words
from longdry.showing.words.headline import (
    NOT_BY_DAY,
    easiest_mend,
    graver_warnings,
    headline_words,
    mend_head,
    no_mend_words,
    reasons,
    trips_of_100,
)
from longdry.showing.words.markup import (
    Attributes,
    Markup,
    clipped_name,
    clipped_text,
    joined,
    name_tag,
    sentence_tag,
    tag,
)
from longdry.showing.words.measures import Measures
from longdry.showing.words.stretches import dry_words, end_words, three_amounts, told_missing_l

_BAR = 1000.0
_MOST_MISSING = 2


def answer_section(plan: Plan, measures: Measures) -> Markup:
    """Answer in words and in one bar."""
    worst = plan.stretches[plan.longest.worst - 1]
    why, *_ = reasons(plan, measures)
    return tag(
        "section",
        {"id": "answer", "class": f"answer level-{plan.headline.level}",
         "aria-labelledby": "answer-heading"},
        tag("h2", {"id": "answer-heading", "class": "say"}, headline_words(plan)),
        tag("p", {"class": "why"}, sentence_tag(why), *_but_heed(plan)),
        *_heat(plan, why, measures),
        _worst(worst, measures),
        tag("ul", {"class": "facts"}, *_facts(plan, measures)),
        *_mend(plan, measures),
    )  # fmt: skip


def _but_heed(plan: Plan) -> list[str]:
    """Temper the good word where life may hang on a warning."""
    count = len(graver_warnings(plan))
    if plan.headline.level is not HeadlineLevel.LASTS or not count:
        return []
    link = tag("a", {"href": "#warnings"}, count_words(count, "grave warning"))
    return [" But first read ", link, " below: what it says can undo this."]


def _heat(plan: Plan, why: str, measures: Measures) -> list[Markup]:
    """Tell what nobody may do in heat beyond the limits, beside whatever reason is graver."""
    if NOT_BY_DAY in why:
        return []
    of_heat = (one for one in reasons(plan, measures) if NOT_BY_DAY in one)
    told = next(of_heat, "").partition(NOT_BY_DAY)
    return [tag("p", {"class": "heat"}, f"{told[0]}{told[1]}.")] if told[1] else []


def _worst(worst: DryStretch, measures: Measures) -> Markup:
    """Draw the worst stretch: what is carried, what it needs, and the reserve behind that."""
    head = "Worst stretch" if worst.verdict is not Verdict.CLEAR else "Tightest stretch"
    title = tag(
        "p",
        {"class": "gap-title"},
        f"{head}: ",
        tag("a", {"href": f"#stretch-{worst.number}"}, name_tag(end_words(worst.begin)), " to ",
            name_tag(end_words(worst.end))),
        f", {measures.mark(worst.begin.km)} to {measures.mark_figure(worst.end.km)}",
    )  # fmt: skip
    carried_l = worst.available_l if worst.on_board_l is None else worst.on_board_l
    has = Verdict.NO_CONTAINERS is not worst.verdict
    carries, need, reserve = three_amounts(worst, measures)
    carried = f"You carry {carries}" if has else "No containers named"
    return tag(
        "div",
        {"class": f"gap verdict-{verdict_class(worst.verdict)}"},
        title,
        tag("p", {"class": "ends"}, tag("b", None, carried),
            tag("span", None, f"it takes {need} and {reserve} of reserve")),
        _bar(carried_l if has else 0.0, worst),
        tag("p", {"class": "ends"}, *_outcome(worst, measures)),
    )  # fmt: skip


def _bar(carried_l: float, worst: DryStretch) -> Markup:
    need_l, all_l = worst.need.total_l, max(worst.wanted_l, carried_l, 1e-6)
    have, need = carried_l / all_l * _BAR, need_l / all_l * _BAR
    end = worst.wanted_l / all_l * _BAR
    box: Attributes = {"class": "bar", "viewBox": f"0 0 {_BAR:g} 30", "aria-hidden": "true",
                       "preserveAspectRatio": "none"}  # fmt: skip
    return tag(
        "svg",
        box,
        tag("path", {"class": "bar-room", "d": f"M0 4h{end:.1f}v22H0Z"}),
        tag("path", {"class": "bar-reserve", "d": f"M{need:.1f} 4H{end:.1f}v22H{need:.1f}Z"}),
        tag("path", {"class": "bar-have", "d": f"M0 4h{have:.1f}v22H0Z"}),
        tag("path", {"class": "bar-need", "d": f"M{need:.1f} 0v30"}),
        tag("path", {"class": "bar-end", "d": f"M{end:.1f} 4v22"}),
    )


def _outcome(worst: DryStretch, measures: Measures) -> Iterator[Markup]:
    missing_l = told_missing_l(worst)
    if worst.verdict is Verdict.NO_CONTAINERS:
        yield tag("b", None, "whether it can be carried is not known")
    elif worst.verdict is not Verdict.CLEAR:
        lacks = HELD_BACK if missing_l is None else f"{need_words(missing_l, measures)} missing"
        yield tag("b", {"class": "lacks"}, f"{str(worst.verdict).capitalize()}: {lacks}")
        yield tag("span", None, dry_words(worst, measures))
    else:
        spare = on_board_words(max(worst.spare_l or 0.0, 0.0), measures)
        yield tag("b", {"class": "lacks"}, f"Clear: {spare} to spare")


def _facts(plan: Plan, measures: Measures) -> Iterator[Markup]:
    most, dry = plan.most_to_carry, plan.longest_without_water
    where: list[str] = [name_tag(most.water.source.name)] if most.water else [beginning_words(plan)]
    yield _fact(
        need_words(most.litres, measures),
        joined(["the most to carry, from ", *where, f", {measures.mark(most.km)}"]),
        "Most to carry",
    )
    yield _fact(
        measures.way(dry.length_km),
        f"the longest without water, {days_taken_words(dry.days)}, from"
        f" {measures.mark(dry.from_km)}",
        "Longest without water",
    )
    chance = plan.setbacks.chance if plan.setbacks else None
    if chance:
        both = [(chance.short, "may run short"), (chance.turn_back, "may have to turn back")]
        (larger, more), (smaller, other) = sorted(both, key=lambda one: -one[0])
        rest = f"{trips_of_100(smaller).removesuffix(' trips')} {other}"
        figure = trips_of_100(larger).removesuffix(" trips")
        yield _fact(figure, f"such trips {more}; {rest}", "Chance")


def _fact(figure: str, about: str, formula: str) -> Markup:
    return tag("li", None, tag("b", None, figure), tag("span", None, about, formula_sign(formula)))


def _mend(plan: Plan, measures: Measures) -> list[Markup]:
    """Tell the easiest mend of the worst stretch, else what else is missing."""
    mend, head_words = easiest_mend(plan), mend_head(plan)
    if mend is None and head_words:
        others = [tag("a", {"href": "#mends"}, "What would mend it")] if plan.mends else []
        return [
            tag(
                "p",
                {"class": "do"},
                tag("b", None, sentence_tag(_without_the_stretch(head_words, plan))),
                *others,
            )
        ]
    if mend is None:
        return _missing(plan, measures)
    first, _, rest = clipped_text(measures.sentence(mend.change)).partition(". ")
    head = tag("b", None, sentence_tag(_without_the_stretch(head_words, plan)))
    summary = tag(
        "summary", None, head, sentence_tag(f"{first.rstrip('.')}. "),
        tag("span", {"class": "opens"}, "What must be sure first"),
    )  # fmt: skip
    more = len(plan.mends) - 1
    link = tag("p", None, tag("a", {"href": "#mends"}, f"{more} more")) if more else Markup()
    caution = sentence_tag(clipped_text(measures.sentence(mend.caution)))
    below = [tag("p", None, sentence_tag(rest))] if rest else []
    return [tag("details", {"class": "do"}, summary, *below, tag("p", None, caution), link)]


def _without_the_stretch(head_words: str, plan: Plan) -> str:
    """Leave out the stretch, which the bar above names already."""
    worst = plan.stretches[plan.longest.worst - 1]
    between = " to ".join(clipped_name(end_words(end)) for end in (worst.begin, worst.end))
    words = head_words.removeprefix(f"Stretch {worst.number}, {between}: ")
    return f"{words[:1].upper()}{words[1:]}"


def _missing(plan: Plan, measures: Measures) -> list[Markup]:
    """Tell what must be settled though no stretch can be mended."""
    told = _told_first(plan, measures)
    if not told:
        return []
    return [
        tag(
            "div",
            {"class": "do"},
            tag("b", None, "To settle first"),
            tag("ul", {"class": "warned"}, *(tag("li", None, sentence_tag(t)) for t in told)),
            *([tag("p", None, in_vain)] if (in_vain := no_mend_words(plan)) else []),
        )
    ]


def _told_first(plan: Plan, measures: Measures) -> list[str]:
    """Return what the first screen tells in place of a mend: other reasons, then warnings."""
    if plan.headline.level is HeadlineLevel.LASTS or mend_head(plan):
        return []
    others = [one for one in reasons(plan, measures)[1:] if NOT_BY_DAY not in one]
    grave = [clipped_text(measures.sentence(one.text)) for one in graver_warnings(plan)]
    return list(dict.fromkeys([*others[:1], *grave, *others[1:]]))[:_MOST_MISSING]


def mend_words(mend: Mend, measures: Measures) -> list[Markup]:
    """Tell what to do, and what must be sure first: never one without the other."""
    change, caution = (
        sentence_tag(clipped_text(measures.sentence(text))) for text in (mend.change, mend.caution)
    )
    return [change, Markup(" "), tag("small", None, caution)]


def before_section(plan: Plan, measures: Measures) -> Markup:
    """Tell all that must be read before leaving, the grave in sight, the rest folded."""
    told = _told_first(plan, measures)
    grave = [
        _warning(one, measures)
        for one in graver_warnings(plan)
        if clipped_text(measures.sentence(one.text)) not in told
    ]
    lesser = [_warning(w, measures) for w in plan.warnings if not w.grave and not w.of_verdict]
    because = [
        tag("li", None, sentence_tag(why)) for why in reasons(plan, measures)[1:] if why not in told
    ]
    reason_words = f"The headline rests on {count_words(len(because), 'more reason')}"
    parts = [
        *([_listed(grave)] if grave else []),
        *([fold("reasons", reason_words, "", _listed(because))] if because else []),
        *([fold("told", count_words(len(lesser), "lesser warning"), "", _listed(lesser))]
          if lesser else []),
    ]  # fmt: skip
    if not parts:
        return Markup()
    return tag(
        "section",
        {"id": "warnings", "aria-labelledby": "warnings-heading"},
        tag(
            "h2", {"id": "warnings-heading"}, f"Before you {'go on' if plan.trip.here else 'leave'}"
        ),
        *parts,
    )


def _listed(items: list[Markup]) -> Markup:
    return tag("ul", {"class": "warned"}, *items)


def _warning(warning: PlanWarning, measures: Measures) -> Markup:
    text = clipped_text(
        measures.sentence(warning.text.removeprefix(f"Stretch {warning.stretch}, "))
    )
    words: list[str] = [sentence_tag(text)]
    if warning.stretch is not None:
        words += [" ", tag("a", {"href": f"#stretch-{warning.stretch}"}, "Show it")]
    return tag("li", {"class": "grave"} if warning.grave else None, *words)
