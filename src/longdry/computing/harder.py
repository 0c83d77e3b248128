"""Which of two is worse for the party."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from longdry.model.dry_stretch import DryStretch
from longdry.model.what_if import WhatIf
from longdry.model.words import VERDICTS_WORST_FIRST, Verdict


def worst_verdict(verdicts: Iterable[Verdict]) -> Verdict:
    """Return the worst of some, at least one.

    >>> worst_verdict([Verdict.CLEAR, Verdict.TOO_LONG]).value
    'too long'
    """
    return min(verdicts, key=VERDICTS_WORST_FIRST.index)


def harder_first(stretch: DryStretch) -> tuple[int, float, float]:
    """Order stretches by verdict, then by what is missing on the bare ration, then to spare."""
    bare_spare_l = stretch.available_l - stretch.needs[-1].need.total_l
    spare_l = stretch.available_l - stretch.need.total_l - stretch.reserve_l
    return (VERDICTS_WORST_FIRST.index(stretch.verdict), min(bare_spare_l, 0.0), spare_l)


def worst_of(what_ifs: Sequence[WhatIf]) -> WhatIf | None:
    """Return what leads to the worst: neither way to water, then the worst verdict.

    Of what two neighbouring sources do together nothing is said: only single failures count.

    >>> worst_of([]) is None
    True
    """
    single = [one for one in what_ifs if len(one.sources) <= 1]
    return min(single, key=_worst_first, default=None)


def _worst_first(one: WhatIf) -> tuple[bool, int, tuple[int, float, float]]:
    return (
        not one.leaves_neither,
        VERDICTS_WORST_FIRST.index(one.verdict),
        harder_first(one.worst),
    )
