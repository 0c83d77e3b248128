"""Where water can be had, and what is known of it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from enum import StrEnum

from longdry.model.words import Certainty, Grade


class Found(StrEnum):
    """What somebody saw at a source."""

    FLOWING = "flowing"
    LOW = "low"
    DRY = "dry"
    UNREACHABLE = "unreachable"


SAME_PLACE_M = 150.0
"""Within this two lists may mean one place, where the names are like or the id is the same."""
UNACCEPTABLE_MG_PER_L = 1200.0
"""Dissolved solids above which water is unacceptable to drink (WHO/SDE/WSH/03.04/16)."""
WET = (Found.FLOWING, Found.LOW)
"""The party could have had water; not where nobody could come to it."""
FOUND_WORST_LAST = (Found.FLOWING, Found.LOW, Found.UNREACHABLE, Found.DRY)
"""Of several on one day the last of these stands."""


@dataclass(frozen=True, slots=True)
class Visit:
    """What somebody found at a source on a date."""

    on: dt.date
    found: Found
    litres: float | None = None
    grade: Grade | None = None
    tds_mg_per_l: float | None = None
    note: str = ""
    brought_from: str = field(default="", compare=False)
    """The file that told it; empty: one of the party."""


@dataclass(frozen=True, slots=True)
class WaterSource:
    """A place where water can be had; only its place and name are always known."""

    id: str
    """Unique over all layers of a plan."""
    name: str
    lat_deg: float
    lon_deg: float
    grade: Grade | None = None
    """None where the layer says nothing: it counts as not for drinking."""
    kind: str | None = None
    """A word of ``SOURCE_KINDS`` or the layer's own."""
    access: str | None = None
    """How to get at the water: tap key, dip, pump, dig, bucket ..."""
    flow_l_per_min: float | None = None
    limit_l: float | None = None
    """What may be taken, at all passes of a trip together."""
    certainty: Certainty | None = None
    """Set by hand; None: to be worked out."""
    certainty_why: str = ""
    """What the certainty was set for, such as the column and word of another's file."""
    months: frozenset[int] | None = None
    """Months 1 to 12 in which it holds; None: not known."""
    tds_mg_per_l: float | None = None
    open_from_hour: float | None = None
    """Hour of the day, 0 to 24; None: not known, or from midnight where the other is known."""
    open_to_hour: float | None = None
    """Hour of the day; before ``open_from_hour`` where it is open past midnight."""
    cost_per_l: float | None = None
    """In the user's own money; None: not known."""
    note: str = ""
    visits: tuple[Visit, ...] = ()
    laid_by_us: bool = False
    """Whether the party itself laid it, a cache: without that nobody knows that it is there."""
    laid_on: dt.date | None = None
    """The day on which the party laid it."""
    retired: str | None = None
    """Why it is no longer counted; None while it is."""
    own: bool = True
    """False where it came from somebody else's data and nobody of the party has seen it."""
    layer: str = ""
    """The file that it came from."""
    unread_salt: str = ""
    """A column that by its name tells the salt and holds a number, but was not read."""

    @property
    def trusted_grade(self) -> Grade:
        """The grade to plan with: unknown is worst."""
        return self.grade or Grade.NOT_FOR_DRINKING

    @property
    def solids_mg_per_l(self) -> float | None:
        """Dissolved solids: the layer's word or a visit's, whichever is more; None: not known."""
        measured = [visit.tds_mg_per_l for visit in self.visits]
        known = [value for value in (self.tds_mg_per_l, *measured) if value is not None]
        return max(known, default=None)

    @property
    def is_too_salty(self) -> bool:
        """Whether more is dissolved in it than people accept to drink, whatever its grade says."""
        return (self.solids_mg_per_l or 0.0) > UNACCEPTABLE_MG_PER_L


@dataclass(frozen=True, slots=True)
class WaterLayer:
    """The sources of one or more files, with what the reader has to tell about them."""

    sources: tuple[WaterSource, ...]
    remarks: tuple[str, ...] = ()
    """Warnings, one sentence each."""
    origins: tuple[str, ...] = ()
    """The files."""
