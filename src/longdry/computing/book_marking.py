"""A new source in the water book, unless it may be one that is there already."""

from __future__ import annotations

import dataclasses

from longdry.computing.book_changes import called
from longdry.computing.book_properties import properties_of
from longdry.computing.like_names import id_from_name
from longdry.computing.near_places import NearPlaces
from longdry.errors import BookError
from longdry.model.water_book import BookChange, FeatureChange, WaterBook
from longdry.model.water_source import WaterSource

NEAR_M = 150.0
"""Within this a source may be one that is there already."""


def marked(book: WaterBook, source: WaterSource, *, anyway: bool = False) -> BookChange:
    """Add a new source; its id is made from its name where it has none.

    Raises
    ------
    BookError
        A source lies within 150 m and ``anyway`` is not set, or the id is taken.
    """
    _refuse_near(book, source, anyway=anyway)
    taken = {known.id for known in book.sources}
    if source.id in taken:
        raise BookError.single(
            book.origin, "", f'the id "{source.id}" is taken', "give the source another"
        )
    identity = source.id or id_from_name(source.name, taken)
    new = dataclasses.replace(source, id=identity)
    told = f'Marked: {called(new)} at {new.lat_deg:.6f}, {new.lon_deg:.6f}, id "{new.id}".'
    return BookChange((added_feature(new),), (told, *_ungraded(new)))


def added_feature(source: WaterSource, extra: tuple[tuple[str, object], ...] = ()) -> FeatureChange:
    """Return the change that adds a source, with further properties behind its own."""
    return FeatureChange(
        None,
        (*properties_of(source), *extra),
        source.visits,
        lat_deg=source.lat_deg,
        lon_deg=source.lon_deg,
    )


def _refuse_near(book: WaterBook, source: WaterSource, *, anyway: bool) -> None:
    known = book.sources
    index = NearPlaces([one.lat_deg for one in known], [one.lon_deg for one in known])
    near = index.within(source.lat_deg, source.lon_deg, metres=NEAR_M)
    if near and not anyway:
        other = known[near[0].index]
        raise BookError.single(
            book.origin,
            "",
            f'{called(other)} (id "{other.id}") is {near[0].distance_m:.0f} m from there',
            f'write down a visit to it (longdry visit ... "{other.id}" --on DATE --found ...),'
            " or add --anyway where this is another source",
        )


def _ungraded(source: WaterSource) -> tuple[str, ...]:
    if source.grade is not None:
        return ()
    return ("Without a grade it counts as not for drinking.",)
