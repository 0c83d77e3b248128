"""What a source is in the properties of a feature, and which of its values differ."""

from __future__ import annotations

from longdry.model.water_source import WaterSource
from longdry.model.words import Grade

FILLABLE = (
    "name", "grade", "kind", "access", "flow_l_per_min", "limit_l", "months", "tds_mg_per_l",
    "open_from_hour", "open_to_hour", "cost_per_l", "note",
)  # fmt: skip
"""What another file may tell of a source that the book knows."""

_RANK = {Grade.POTABLE: 0, Grade.TREAT: 1, Grade.NOT_FOR_DRINKING: 2}


def is_worse(grade: Grade, than: Grade) -> bool:
    """Whether water of ``grade`` is to be trusted less.

    >>> is_worse(Grade.TREAT, Grade.POTABLE), is_worse(Grade.TREAT, Grade.TREAT)
    (True, False)
    """
    return _RANK[grade] > _RANK[than]


def json_value(value: object) -> object:
    """Return a value of the model as JSON holds it: words as text, months as a sorted list."""
    if isinstance(value, frozenset):
        return sorted(value)
    return str(value) if isinstance(value, str) else value


def properties_of(source: WaterSource) -> tuple[tuple[str, object], ...]:
    """Return all that is known of a source but its place and visits, in a fixed order.

    >>> properties_of(WaterSource("b1", "Old Bore", -25.0, 131.0, kind="bore"))
    (('id', 'b1'), ('name', 'Old Bore'), ('kind', 'bore'))
    """
    names = ("id", *FILLABLE[:-1], "certainty", "note", "retired")
    told = [(name, json_value(getattr(source, name))) for name in names]
    known = [(name, value) for name, value in told if value not in (None, "")]
    return (*known, *(() if source.own else (("own", False),)))
