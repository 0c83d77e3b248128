"""Which sources rain alone fills, and which of the others a party may count on when one fails.

Where one source that rain fills is dry, the others may be dry too: only a tap, a bore, or a tank
that somebody found with water within a year is then taken for water to go on to.
"""

from __future__ import annotations

import datetime as dt

from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WET, WaterSource
from longdry.model.words import SOURCE_KINDS, known_kind

RAIN_FED = frozenset({"creek", "pool", "soak", "dam"})
_SURE = frozenset({"tap", "bore"})
_SURE_ONCE_SEEN = "tank"
SEEN_WITHIN_DAYS = 365


def is_rain_fed(water: WaterPass) -> bool:
    """Whether rain alone fills a source; so is one of unknown kind that is not sure."""
    kind = usual_kind(water.source)
    if kind in RAIN_FED:
        return True
    return kind not in SOURCE_KINDS and not water.judgement.is_sure


def is_sure(source: WaterSource, on: dt.date | None) -> bool:
    """Whether a source may be gone on to when one that rain fills is dry.

    Parameters
    ----------
    on
        The day; None, where the trip has no dates, is never within a year of a visit.
    """
    kind = usual_kind(source)
    return kind in _SURE or (kind == _SURE_ONCE_SEEN and _was_wet_within_a_year(source, on))


def usual_kind(source: WaterSource) -> str:
    """Return the kind as it is compared: ours where a usual word means it, else as it is written.

    >>> usual_kind(WaterSource("r", "R", 0.0, 0.0, kind="Rock hole"))
    'pool'
    """
    plain = (source.kind or "").strip().casefold()
    return known_kind(plain) or plain


def _was_wet_within_a_year(source: WaterSource, on: dt.date | None) -> bool:
    before = [visit for visit in source.visits if on is not None and visit.on <= on]
    if on is None or not before:
        return False
    latest = max(before, key=lambda visit: visit.on)
    same_day = [visit for visit in before if visit.on == latest.on]
    was_wet = all(visit.found in WET for visit in same_day)
    return was_wet and (on - latest.on).days <= SEEN_WITHIN_DAYS
