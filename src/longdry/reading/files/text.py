"""Words from a user's file, made fit to stand inside a message."""

from __future__ import annotations

from longdry.plain_text import escaped

MOST_SHOWN = 60
TABLE_SEPARATORS = ",;\t"
"""What may stand between the cells of a table."""
COPY_AGAIN = "copy it again from where it came from"
"""How to mend a file that broke on its way."""


def quoted(text: str) -> str:
    r"""Return ``text`` in double quotes, cut to 60 characters, control characters escaped.

    >>> quoted("Old Well"), quoted(""), quoted("a\x1b[2J")
    ('"Old Well"', '""', '"a\\x1b[2J"')
    """
    cut = text[:MOST_SHOWN] + ("..." if len(text) > MOST_SHOWN else "")
    return f'"{escaped(cut)}"'.replace("\n", "\\n")
