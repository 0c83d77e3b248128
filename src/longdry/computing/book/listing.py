"""The sources of a water book, judged, filtered and sorted."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from longdry.computing.route.approaches import find_approaches
from longdry.computing.water.certainty import judge_source
from longdry.model.route import MeasuredRoute
from longdry.model.water.book import ListedSource, WaterBook
from longdry.model.words import Certainty, Grade


@dataclass(frozen=True, slots=True)
class SourceFilter:
    """Which sources are wanted; an empty set wants all."""

    grades: Collection[Grade] = field(default_factory=tuple)
    """An unknown grade counts as not for drinking."""
    kinds: Collection[str] = field(default_factory=tuple)
    certainties: Collection[Certainty] = field(default_factory=tuple)

    def wants(self, one: ListedSource) -> bool:
        """Whether one line passes."""
        kind = (one.source.kind or "").casefold()
        return (
            (not self.grades or one.source.trusted_grade in self.grades)
            and (not self.kinds or kind in {word.casefold() for word in self.kinds})
            and (not self.certainties or one.judgement.certainty in self.certainties)
        )


def listed_sources(book: WaterBook, on: dt.date, wanted: SourceFilter) -> tuple[ListedSource, ...]:
    """Return the wanted sources in the order of the book, judged for the date ``on``."""
    judged = (
        ListedSource(number, feature.source, judge_source(feature.source, on))
        for number, feature in enumerate(book.features)
        if feature.source
    )
    return tuple(one for one in judged if wanted.wants(one))


def sources_near_route(
    sources: Sequence[ListedSource], measured: MeasuredRoute, *, within_km: float
) -> tuple[ListedSource, ...]:
    """Return the sources within ``within_km`` of the route, by the km of the nearest approach."""
    lat_deg = np.array([one.source.lat_deg for one in sources], dtype=np.float64)
    lon_deg = np.array([one.source.lon_deg for one in sources], dtype=np.float64)
    nearest: dict[int, ListedSource] = {}
    for approach in find_approaches(measured, lat_deg, lon_deg, max_detour_km=within_km):
        known = nearest.get(approach.place)
        if known is None or approach.offset_km < (known.offset_km or 0.0):
            nearest[approach.place] = replace(
                sources[approach.place], km=approach.km, offset_km=approach.offset_km
            )
    return tuple(sorted(nearest.values(), key=lambda one: one.km or 0.0))
