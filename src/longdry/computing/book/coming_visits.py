"""Visits that cannot have been: they are dated after today."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Sequence

from longdry.model.water.book import BroughtSource
from longdry.plain_text import listed


def without_future_visits(
    sources: Sequence[BroughtSource], latest: dt.date
) -> tuple[tuple[BroughtSource, ...], tuple[str, ...]]:
    """Leave out the visits dated after ``latest``, and say so in one sentence.

    >>> without_future_visits([], dt.date(2027, 5, 3))
    ((), ())
    """
    kept = tuple(_up_to(one, latest) for one in sources)
    names = [
        f"{before.source.name} ({max(visit.on for visit in before.source.visits).isoformat()})"
        for before, after in zip(sources, kept, strict=True)
        if after is not before
    ]
    if not names:
        return kept, ()
    return kept, (
        f"Visits that are still to come were left out, check their dates: {listed(names)}.",
    )


def _up_to(one: BroughtSource, latest: dt.date) -> BroughtSource:
    visits = tuple(visit for visit in one.source.visits if visit.on <= latest)
    if len(visits) == len(one.source.visits):
        return one
    return dataclasses.replace(one, source=dataclasses.replace(one.source, visits=visits))
