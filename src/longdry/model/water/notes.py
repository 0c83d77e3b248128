"""Notes read as questions: what people write beside a source that may mean no water.

Nothing is computed from prose, and nothing in it makes a source better: the words are only quoted,
so that somebody reads them before the party leaves. The list of words is ours: assumption, no
source.
"""

from __future__ import annotations

import re

from longdry.model.words import Grade

_DOUBT = re.compile(
    r"""
    \b(?:
        dry | dries | dried | drought\w* | empty | emptied | nothing\ left | no\ water
      | seasonal\w* | after\ (?:the\ )?rain\w* | only\ (?:in|after|when) | not\ always | sometimes
      | unreliable | intermittent\w* | fails | failed | silted | broken | vandal\w* | out\ of\ order
      | not\ working | does\ not\ work | gone | removed | collapsed | closed | capped | disused
      | ask | asking | permission | permit\w* | phone | ring | call\ (?:first|ahead)
      | private | no\ (?:access|entry|public) | locked | lock | padlock\w* | key | keys | gate
      | not\ (?:for\ )?(?:drink\w*|potable|safe|fit|recommended) | non-?potable | undrinkable
      | do\ not\ drink | don't\ drink | unsafe | untreated | stock\ only | salty | saline | brackish
      | bitter | foul | contaminat\w* | polluted | poison\w* | arsenic | fluoride | nitrate\w*
      | uranium | algae | dead\ \w+ | carcass\w* | boil
      | fee | fees | pay | paid | costs? | charge\w* | coins? | donation\w*
    )\b
    | [$€£]\s?\d | \d\s?(?:€|\$|c/l)
    """,
    re.IGNORECASE | re.VERBOSE,
)
_NOT = r"(?<!\bnot\ )(?<!\bno\ )(?<!\bnever\ )(?<!\bnon-)"
_UNTREATABLE = rf"""
    {_NOT}\b(?:
        salty | saline | brackish | poison\w* | toxic | arsenic | fluoride | nitrate\w* | uranium
      | chemical\w* | diesel | petrol
    )\b
"""
_AGAINST = {
    Grade.POTABLE: re.compile(
        rf"""{_UNTREATABLE} | \b(?:
            not\ (?:for\ |fit\ for\ |safe\ to\ )?(?:drink\w*|potable|safe|fit)
          | non-?potable | undrinkable | (?:do\ not|don't|never)\ drink
          | (?:treat|boil|filter)\ (?:first|before|it|the|water) | must\ be\ (?:boiled|treated)
        )\b
        | {_NOT}\b(?:unsafe | untreated | contaminat\w* | polluted | foul | stock\ only)\b
        """,
        re.IGNORECASE | re.VERBOSE,
    ),
    Grade.TREAT: re.compile(_UNTREATABLE, re.IGNORECASE | re.VERBOSE),
}
"""What a note may say against a grade: of water to treat, what no treating takes out."""
_ENDS = re.compile(r"[.;!?\n\r|]+\s*")
_LONGEST = 90


def doubts_in(note: str) -> tuple[str, ...]:
    """Return the parts of a note that speak of drought, locks, money or bad water, in its words.

    Examples
    --------
    >>> doubts_in("Good camp. Dry in May; ask at homestead.")
    ('Dry in May', 'ask at homestead')
    >>> doubts_in("shade and a table"), doubts_in("")
    ((), ())
    """
    return _parts_with(_DOUBT, note)


def words_against(grade: Grade | None, note: str) -> tuple[str, ...]:
    """Return the parts of a note that speak against the grade that its source is given.

    >>> words_against(Grade.POTABLE, "Tap by the hall. Not drinkable!")
    ('Not drinkable',)
    >>> words_against(Grade.TREAT, "not drinkable"), words_against(Grade.TREAT, "very salty")
    ((), ('very salty',))
    """
    against = _AGAINST.get(grade) if grade else None
    return _parts_with(against, note) if against else ()


def _parts_with(words: re.Pattern[str], note: str) -> tuple[str, ...]:
    parts = (part.strip() for part in _ENDS.split(note))
    found = [part for part in parts if words.search(part)]
    return tuple(
        part if len(part) <= _LONGEST else f"{part[: _LONGEST - 1].rstrip()}…"
        for part in dict.fromkeys(found)
    )
