"""How a user names a source, or one of its passes: SOURCE or SOURCE@KM."""

from __future__ import annotations

import re
from dataclasses import dataclass

_AT_KM = re.compile(r"(?P<source>.*\S)\s*@\s*(?P<km>[0-9]{1,7}(?:\.[0-9]{1,20})?)", re.ASCII)


@dataclass(frozen=True, slots=True)
class NamedPass:
    """A source, by name or id, and the km of the pass that is meant; without a km, every pass."""

    source: str
    km: float | None = None

    def meets(self, other: NamedPass) -> bool:
        """Whether one pass can be meant by both; case does not matter.

        >>> NamedPass("Old Bore").meets(NamedPass("old bore", 12.0))
        True
        >>> NamedPass("Old Bore", 40.0).meets(NamedPass("Old Bore", 12.0))
        False
        """
        same_km = self.km is None or other.km is None or self.km == other.km
        return same_km and self.source.casefold() == other.source.casefold()


def named_pass(text: str) -> NamedPass:
    """Read a source or one of its passes; an @ without a km behind it belongs to the name.

    >>> named_pass("Gum Well@182.5"), named_pass("Well @ home")
    (NamedPass(source='Gum Well', km=182.5), NamedPass(source='Well @ home', km=None))
    """
    match = _AT_KM.fullmatch(text.strip())
    if match is None:
        return NamedPass(text.strip())
    return NamedPass(match["source"], float(match["km"]))
