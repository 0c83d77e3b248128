"""The verdicts of the best fill plan, without the plan itself: for asking often."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from longdry.computing.fill_keeping_up import best_verdicts, has_anything_in_common
from longdry.computing.fill_problem import fill_problem
from longdry.computing.fill_terms import terms_of
from longdry.computing.fill_verdicts import (
    CLEAR,
    INTO_RESERVE,
    SHORT_BARE,
    SHORT_LEAN,
    TOO_LONG,
    best_steps,
)
from longdry.computing.harder import worst_verdict
from longdry.computing.stretches import Going
from longdry.model.dry_stretch import DryStretch
from longdry.model.fill import FillProblem
from longdry.model.words import Verdict

_VERDICTS = {
    CLEAR: Verdict.CLEAR,
    INTO_RESERVE: Verdict.INTO_RESERVE,
    SHORT_LEAN: Verdict.SHORT_RATION,
    SHORT_BARE: Verdict.SHORT_RATION,
    TOO_LONG: Verdict.TOO_LONG,
}


def with_best_verdicts(stretches: Sequence[DryStretch], going: Going) -> tuple[DryStretch, ...]:
    """Give each stretch the verdict that it has in a plan of the same trip.

    What is on board and what is lacking stay unsaid: only the verdict counts here.
    """
    if not going.trip.containers:
        return tuple(stretches)
    best = _best(fill_problem(stretches, going))
    return tuple(
        replace(stretch, verdict=worst_verdict([stretch.verdict, verdict]))
        for stretch, verdict in zip(stretches, best, strict=True)
    )


def _best(problem: FillProblem) -> list[Verdict]:
    if has_anything_in_common(problem):
        return list(best_verdicts(problem))
    return [_VERDICTS[step.fate.severity] for step in best_steps(terms_of(problem)).steps]
