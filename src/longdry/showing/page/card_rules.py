"""Style rules that give each cell its heading where a narrow screen sets rows as cards."""

from __future__ import annotations

import html
import re

_TABLE = re.compile(r'<table id="([\w-]+)"[^>]* class="stacks">.*?</thead>', re.DOTALL)
_HEAD = re.compile(r"<th [^>]*>([^<]*)</th>")


def card_rules(body: str) -> str:
    """Return a rule for each column of each stacked table of a page; empty where it has none.

    Written once for a column, not in each of its cells: a page of 200 stretches is smaller by a
    quarter of a megabyte.

    Examples
    --------
    >>> head = "<thead><tr><th scope='col'>Day</th><th scope='col'>On board</th></tr></thead>"
    >>> print(card_rules(f'<table id="days" role="table" class="stacks">{head}</table>'))
    @media screen and (max-width: 78rem) {
    #days tbody tr > :nth-child(1)::before { content: "Day "; }
    #days tbody tr > :nth-child(2)::before { content: "On board "; }
    }
    >>> card_rules("<p>no table</p>")
    ''
    """
    rules = [
        f'#{found[1]} tbody tr > :nth-child({place})::before {{ content: "{_in_css(head)} "; }}'
        for found in _TABLE.finditer(body)
        for place, head in enumerate(_HEAD.findall(found[0]), start=1)
    ]
    if not rules:
        return ""
    return "\n".join(["@media screen and (max-width: 78rem) {", *rules, "}"])


def _in_css(head: str) -> str:
    """Write a heading so that no character of it can end the string or the style."""
    return re.sub(r"[^\w ?,.:()°-]", lambda found: f"\\{ord(found[0]):x} ", html.unescape(head))
