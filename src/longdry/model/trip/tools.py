"""Tools that the access to a source asks for, and whether the party carries them."""

from __future__ import annotations

import re

from longdry.model.trip.party import Kit

_ROPE = re.compile(r"rope[^0-9]*(\d+(?:[.,]\d+)?)\s*m|(\d+(?:[.,]\d+)?)\s*m[^0-9a-z]*(?:of )?rope")
_PUMP_IN_PLACE = re.compile(
    r"\b(?:hand|foot|powered|electric|solar|wind|windmill)"
    r"(?: (?:operated|driven|powered|worked))? ?pump"
)
"""A pump that stands at the source; any other words leave the party to bring one."""


def tools_lacking(access: str | None, kit: Kit) -> tuple[str, ...]:
    """Return the tools that an access names and the party does not carry.

    >>> tools_lacking("rope of 9 m and a bucket", Kit(rope_m=6.0, other=("bucket",)))
    ('rope of 9 m',)
    >>> tools_lacking("hand pump", Kit()), tools_lacking(None, Kit())
    ((), ())
    """
    words = (access or "").casefold()
    lacking = []
    if "tap key" in words and not kit.tap_key:
        lacking.append("tap key")
    if (rope := _rope_m(words)) is not None and kit.rope_m < rope:
        lacking.append(f"rope of {rope:g} m" if rope >= 1.0 else "rope")
    if ("shovel" in words or words.strip() == "dig") and not kit.shovel:
        lacking.append("shovel")
    if needs_pump(access) and not kit.pump:
        lacking.append("pump")
    if "bucket" in words and not any("bucket" in one.casefold() for one in kit.other):
        lacking.append("bucket")
    return tuple(lacking)


def _rope_m(words: str) -> float | None:
    """Return the metres of rope that are named, a little where none are; None without rope."""
    if "rope" not in words:
        return None
    found = _ROPE.search(words)
    return float((found[1] or found[2]).replace(",", ".")) if found else 0.1


def needs_pump(access: str | None) -> bool:
    """Whether the way of getting at the water asks for a pump that the party brings.

    >>> needs_pump("12 V pump"), needs_pump("hand pump"), needs_pump("dip"), needs_pump(None)
    (True, False, False, False)
    """
    words = (access or "").casefold().replace("-", " ")
    if "pump" not in words:
        return False
    return "12v" in words.replace(" ", "") or not _PUMP_IN_PLACE.search(words)
