"""What treating takes, in words."""

from __future__ import annotations

from longdry.model.treatment import TreatEffort
from longdry.showing.wording import counted, hours
from longdry.units import rounded_up

_MOST_IN_MINUTES = 120.0


def effort_words(effort: TreatEffort) -> str:
    """Return what treating takes, each figure rounded up; empty where nothing is known of it.

    >>> effort_words(TreatEffort(5.0, 12.2, tablets=5))
    '13 min, 5 tablets'
    >>> effort_words(TreatEffort(65.0, 484.2))
    '8 h 5 min'
    >>> effort_words(TreatEffort(5.0, None))
    ''
    """
    boil = effort.boil_minutes
    parts = (
        _time(effort.minutes),
        _count(effort.fuel_g, "g of fuel"),
        _things(effort.tablets, "tablet"),
        _things(effort.drops, "drop"),
        "" if boil is None else f"rolling boil of {boil:g} min",
    )
    return ", ".join(part for part in parts if part)


def _time(minutes: float | None) -> str:
    if minutes is None or minutes <= _MOST_IN_MINUTES:
        return _count(minutes, "min")
    return hours(minutes / 60.0)


def _things(value: float | None, one: str) -> str:
    return "" if value is None else counted(int(rounded_up(value)), one)


def _count(value: float | None, unit: str) -> str:
    return "" if value is None else f"{rounded_up(value):,.0f} {unit}"
