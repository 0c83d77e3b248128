"""Whether there will be water: a prior by kind and season, and what visits found.

Beta-Binomial (Gelman and others, *Bayesian Data Analysis*, 3rd ed. 2013, section 2.4): a prior
Beta(n m, n (1 - m)) for the chance of water, n = 2 visits' worth of the published rate m. A visit
that found water adds its weight to the first shape, one that found none to the second; the weight
halves with every half-life of the kind. The word rests on the lower end of what is credible.

A source whose certainty is set by hand counts as set, in the months that the layer names; where its
own visits speak against it, the plan warns.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from longdry.computing.water.priors import (
    PRIOR_VISITS,
    Prior,
    beta_quantile,
    holds_in_month,
    kind_prior,
    prior_of,
)
from longdry.model.plan.plan import PlanWarning
from longdry.model.water.notes import doubts_in, words_against
from longdry.model.water.passes import Judgement, WaterPass
from longdry.model.water.source import FOUND_WORST_LAST, WET, Found, Visit, WaterSource
from longdry.model.words import Certainty, known_kind
from longdry.plain_text import listed

BELOW_THE_BOUND = 0.2
"""The chance is below the lower bound with this probability. Assumption, no source."""
CERTAIN_FROM = 0.9
"""Least lower bound of a certain source. Assumption, no source."""
LIKELY_FROM = 1.0 / 3.0
"""Least lower bound of a likely source. Assumption, no source."""
FRESH_WEIGHT = 0.5
"""A visit within one half-life is fresh: a dry one then has the last word."""

MOST_NOTES = 10
_BY_HAND = "set by hand in the layer"
_SEEN_ONLY = ("creek", "soak", "pool")
"""Kinds that no months make likely: somebody must have found water there."""


@dataclass(frozen=True, slots=True)
class WeighedVisit:
    """A visit with what it is worth on the planned date."""

    visit: Visit
    weight: float
    """0 to 1."""

    @property
    def wet(self) -> bool:
        """Whether the party could have had water: low counts, unreachable does not."""
        return self.visit.found in WET


def visit_weight(age_days: float, half_life_days: float) -> float:
    """Return what a visit is worth after ``age_days``: half after each half-life.

    >>> visit_weight(0.0, 60.0), visit_weight(120.0, 60.0)
    (1.0, 0.25)
    """
    return float(0.5 ** (age_days / half_life_days))


def weighed_visits(source: WaterSource, on: dt.date | None) -> tuple[WeighedVisit, ...]:
    """Return the visits by date, the latest last, each with its weight on the date ``on``.

    Unknown is worse: without a date, visits that found water weigh nothing and those that found
    none weigh full. Water found in the months when a source holds says nothing of the others.
    Water found on one day counts once, however many wrote it down, and not at all where somebody
    found none that day. Water found after ``on`` says nothing of that day and is left out; a visit
    after it that found none weighs by the time between.
    """
    ordered = sorted(
        source.visits, key=lambda visit: (visit.on, FOUND_WORST_LAST.index(visit.found))
    )
    worst_of_day = {visit.on: visit for visit in ordered}
    notes = (
        visit
        for visit in ordered
        if visit.found not in WET
        or (visit is worst_of_day[visit.on] and (on is None or visit.on <= on))
    )
    return tuple(WeighedVisit(visit, _weight(source, visit, on)) for visit in notes)


def _weight(source: WaterSource, visit: Visit, on: dt.date | None) -> float:
    wet = visit.found in WET
    if on is None:
        return 0.0 if wet else 1.0
    other_season = source.months is not None and (
        holds_in_month(source, visit.on.month) and not holds_in_month(source, on.month)
    )
    if wet and other_season:
        return 0.0
    return visit_weight(abs((on - visit.on).days), kind_prior(source.kind).half_life_days)


def judge_source(source: WaterSource, on: dt.date | None) -> Judgement:
    """Say whether there will be water at ``source`` on the date ``on``.

    Parameters
    ----------
    source
        With its visits. What the user set by hand stands, in the months that the layer names.
    on
        The planned date of arrival; None where the trip names no departure, which is never
        better than a date.

    Examples
    --------
    >>> bare = WaterSource("1", "Fork", -25.0, 131.0)
    >>> judge_source(bare, None).certainty.value, judge_source(bare, None).on_word_alone
    ('likely', True)
    """
    if source.retired is not None:
        return Judgement(Certainty.DOUBTFUL, 0.0, 0.0, f"retired: {source.retired}")
    visits = weighed_visits(source, on)
    prior = prior_of(source, on.month if on else None)
    chance, lower_bound = chance_and_bound(prior, visits)
    word_alone = _on_word_alone(source, lower_bound)
    if source.certainty is not None:
        word, why = _set_by_hand(source, source.certainty, on)
        why = _joined_words(why, _last_visit_words(visits))
    elif word_alone:
        word, why = Certainty.LIKELY, _word_alone_words(visits)
    else:
        word, why = _certainty_and_why(source, prior, visits, lower_bound)
    why = _joined_words(why, _left_out_words(source, on))
    word, why = _of_a_cache(source, word, why)
    why = _joined_words(why, _strange_kind(source))
    by_hand = source.certainty is not None
    is_sure = word is Certainty.CERTAIN and (not by_hand or _is_known(lower_bound, visits))
    return Judgement(
        word,
        chance,
        lower_bound,
        why,
        by_hand=by_hand,
        is_sure=is_sure,
        on_word_alone=word_alone,
    )


def _set_by_hand(source: WaterSource, word: Certainty, on: dt.date | None) -> tuple[Certainty, str]:
    """Return the user's own word, which holds in the months that the layer itself names."""
    by_hand = f'for "{source.certainty_why}"' if source.certainty_why else _BY_HAND
    if source.months is None or holds_in_month(source, on.month if on else None):
        return word, by_hand
    when = "outside the months when it holds" if on else "which names months, and there is no date"
    return Certainty.DOUBTFUL, f"{by_hand}, {when}"


def _is_known(lower_bound: float, visits: Sequence[WeighedVisit]) -> bool:
    """Whether more than a word says that there is water: the visits, or the last one, if fresh."""
    last = visits[-1] if visits else None
    was_wet_lately = last is not None and last.wet and last.weight >= FRESH_WEIGHT
    return lower_bound >= CERTAIN_FROM or was_wet_lately


def chance_and_bound(prior: Prior, visits: tuple[WeighedVisit, ...]) -> tuple[float, float]:
    """Return the mean chance of water and its lower credible bound, both 0 to 1."""
    wet = prior.chance * PRIOR_VISITS + sum(one.weight for one in visits if one.wet)
    dry = (1.0 - prior.chance) * PRIOR_VISITS + sum(one.weight for one in visits if not one.wet)
    return wet / (wet + dry), beta_quantile(BELOW_THE_BOUND, wet, dry)


def certainty_for(lower_bound: float) -> Certainty:
    """Return the word for a lower bound.

    >>> certainty_for(0.92).value, certainty_for(0.5).value, certainty_for(0.1).value
    ('certain', 'likely', 'doubtful')
    """
    if lower_bound >= CERTAIN_FROM:
        return Certainty.CERTAIN
    return Certainty.LIKELY if lower_bound >= LIKELY_FROM else Certainty.DOUBTFUL


def _on_word_alone(source: WaterSource, lower_bound: float) -> bool:
    """Whether only the user's word makes it likely: a flowing visit never makes it worse."""
    tells_kind = bool((source.kind or "").strip())
    if not source.own or tells_kind or source.months or source.certainty:
        return False
    always_flowed = all(visit.found is Found.FLOWING for visit in source.visits)
    return always_flowed and certainty_for(lower_bound) is Certainty.DOUBTFUL


def _of_a_cache(source: WaterSource, word: Certainty, why: str) -> tuple[Certainty, str]:
    """What was laid may have been taken, or fouled: nobody can be certain of it."""
    if known_kind(source.kind or "") != "cache" or word is not Certainty.CERTAIN:
        return word, why
    return Certainty.LIKELY, _joined_words(why, "a cache is likely at best")


def _strange_kind(source: WaterSource) -> str:
    kind = (source.kind or "").strip()
    return f'the kind "{kind}" is not known' if kind and known_kind(kind) is None else ""


def _word_alone_words(visits: tuple[WeighedVisit, ...]) -> str:
    if not visits:
        return "on the word of your own layer alone; no kind, no visit"
    return (
        f"on the word of your own layer; {_last_visit_words(visits)}, too long before to say much"
    )


def _left_out_words(source: WaterSource, on: dt.date | None) -> str:
    wet = [visit for visit in source.visits if visit.found in WET]
    if on is None:
        return "no date of the trip, so visits that found water say nothing" if wet else ""
    later = [visit for visit in wet if visit.on > on]
    if not later:
        return ""
    latest = max(visit.on for visit in later).isoformat()
    return f"visits dated after {on} left out, the latest of {latest}"


def _certainty_and_why(
    source: WaterSource, prior: Prior, visits: tuple[WeighedVisit, ...], lower_bound: float
) -> tuple[Certainty, str]:
    if not visits:
        return _without_visit(source, prior, lower_bound)
    last = visits[-1]
    if not last.wet and last.weight >= FRESH_WEIGHT:
        return Certainty.DOUBTFUL, f"{_last_visit_words(visits)}: no water to count on"
    word = certainty_for(lower_bound)
    if not source.own and max(one.weight for one in visits) < FRESH_WEIGHT:
        word = Certainty.DOUBTFUL
        return word, _joined_words(
            "from somebody else's data, no fresh visit", _last_visit_words(visits)
        )
    if not source.own and word is Certainty.CERTAIN:
        notes = "by somebody else's visits alone, so likely at best"
        return Certainty.LIKELY, _joined_words(_last_visit_words(visits), notes)
    return word, _joined_words(_last_visit_words(visits), prior.why)


def _without_visit(source: WaterSource, prior: Prior, lower_bound: float) -> tuple[Certainty, str]:
    if not source.own:
        return Certainty.DOUBTFUL, "from somebody else's data, and no visit is known"
    if source.months and known_kind(source.kind or "") in _SEEN_ONLY:
        return Certainty.DOUBTFUL, f"no visit known; months alone make no {source.kind} likely"
    return certainty_for(lower_bound), f"no visit known; {prior.why}"


def _last_visit_words(visits: tuple[WeighedVisit, ...]) -> str:
    if not visits:
        return ""
    last = visits[-1].visit
    count = f", of {len(visits)} visits" if len(visits) > 1 else ""
    caution = ": little is left" if last.found is Found.LOW else ""
    return f"last visit {last.on.isoformat()} found it {last.found.value}{caution}{count}"


def _joined_words(*parts: str) -> str:
    return "; ".join(part for part in parts if part)


def warnings_about_sources(passes: Sequence[WaterPass]) -> list[PlanWarning]:
    """Warn of counted sources that their own visits speak against, each once.

    >>> warnings_about_sources([])
    []
    """
    counted = {water.source.id: water for water in passes if water.counted}
    return [
        *_salt_not_read(counted.values()),
        *_dry_by_visit(counted.values()),
        *_notes_against(counted.values()),
        *_notes_to_read(counted.values()),
    ]


def _salt_not_read(counted: Iterable[WaterPass]) -> list[PlanWarning]:
    """Warn gravely of counted sources whose salt stands in a column that was not read."""
    unread = [
        one.source
        for one in counted
        if one.source.unread_salt and one.source.solids_mg_per_l is None
    ]
    if not unread:
        return []
    columns = ", ".join(dict.fromkeys(f'"{source.unread_salt}"' for source in unread))
    names = listed([source.name for source in unread], MOST_NOTES)
    has = "source that counts has" if len(unread) == 1 else "sources that count have"
    text = (
        f"{len(unread)} {has} a number for salt that was not read, so the water may be too salty to"
        f" drink: {names}. In milligrams per litre, read the column {columns} as tds_mg_per_l"
        " ([fields] of a --fields file); else turn it into mg/L first."
    )
    return [PlanWarning(text, grave=True)]


def _notes_against(counted: Iterable[WaterPass]) -> list[PlanWarning]:
    """Warn gravely of a source whose note says that its water is worse than its grade."""
    found = []
    for water in counted:
        source = water.source
        if said := words_against(source.grade, source.note):
            found.append(f'{source.name} ({source.trusted_grade}) "{"; ".join(said)}"')
    if not found:
        return []
    notes = "A note speaks" if len(found) == 1 else f"{len(found)} notes speak"
    text = (
        f"{notes} against the grade that the plan reckons with: settle which is true before"
        f" anybody drinks there. {listed(found, MOST_NOTES)}."
    )
    return [PlanWarning(text, grave=True)]


def _notes_to_read(counted: Iterable[WaterPass]) -> list[PlanWarning]:
    """Quote, once, the notes of counted sources that speak of drought, locks or bad water."""
    asking = [(water.source.name, _doubts_of(water.source)) for water in counted]
    quoted = [f'{name} "{"; ".join(doubts)}"' for name, doubts in asking if doubts]
    if not quoted:
        return []
    count = "One note speaks" if len(quoted) == 1 else f"{len(quoted)} notes speak"
    them = "it" if len(quoted) == 1 else "them"
    text = (
        f"{count} of drought, locks, money or bad water, and the plan reckons with none of it:"
        f" read {them} and ask. {listed(quoted, MOST_NOTES)}."
    )
    return [PlanWarning(text)]


def _doubts_of(source: WaterSource) -> tuple[str, ...]:
    """Return what a note asks beyond what speaks against the grade, which is told before."""
    against = words_against(source.grade, source.note)
    return tuple(doubt for doubt in doubts_in(source.note) if doubt not in against)


def _dry_by_visit(counted: Iterable[WaterPass]) -> list[PlanWarning]:
    notes = []
    for water in counted:
        visits = weighed_visits(water.source, water.on)
        if water.judgement.by_hand and visits and not visits[-1].wet:
            last = visits[-1].visit
            text = (
                f"{water.source.name} counts because its certainty is set by hand to"
                f" {water.judgement.certainty.value}, yet the last visit, on {last.on.isoformat()},"
                f" found it {last.found.value}."
            )
            notes.append(PlanWarning(text, grave=True))
    return notes
