"""CSV that a spreadsheet opens without running anything in it.

Format: RFC 4180 (commas, CRLF), UTF-8 with a byte order mark, without which spreadsheets take
names for another encoding. A text whose first character would begin a formula gets an apostrophe
before it, as OWASP, 'CSV Injection', advises (from memory); a number stays a number.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from longdry.plain_text import printable

Cell = str | float | int | bool | None
_BEGINS_A_FORMULA = ("=", "+", "-", "@", "＝", "＋", "－", "＠")
_BYTE_ORDER_MARK = "\ufeff"


def safe_csv(heads: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    r"""Return the table as CSV text.

    >>> safe_csv(["name", "km"], [["=cmd()", -1.5], [None, 2]])
    "\ufeffname,km\r\n'=cmd(),-1.5\r\n,2\r\n"
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(heads)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return _BYTE_ORDER_MARK + out.getvalue()


def _cell(value: Cell) -> str | float | int | None:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return without_formula(value) if isinstance(value, str) else value


def without_formula(text: str) -> str:
    r"""Return text on one line that no spreadsheet takes for a formula.

    >>> without_formula("=1+1"), without_formula("\t@x"), without_formula("Old Well")
    ("'=1+1", "'@x", 'Old Well')
    """
    shown = printable(text)
    return f"'{shown}" if shown.startswith(_BEGINS_A_FORMULA) else shown
