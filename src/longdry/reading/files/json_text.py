"""JSON read strictly, its faults told in one set of words.

Grammar: RFC 8259. What it leaves open is refused: a name that is told twice in one object, of
which a program may take either; NaN and Infinity, which are no JSON; nesting beyond all use.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager

from longdry.errors import InputError


class NotStrictError(ValueError):
    """The text can be read in more than one way, or holds what JSON has not."""


def strict_decoder(*, takes_nan: bool = False) -> json.JSONDecoder:
    """Return a decoder that raises `NotStrictError` where JSON could be read two ways.

    With ``takes_nan`` NaN and Infinity become numbers, for whoever refuses them by himself and
    can say in which feature they stand.
    """
    constant = float if takes_nan else _refused_constant
    return json.JSONDecoder(object_pairs_hook=_object, parse_constant=constant)


def strict_json(text: str, *, takes_nan: bool = False) -> object:
    """Return the value of a JSON text.

    Parameters
    ----------
    takes_nan
        See `strict_decoder`.

    Raises
    ------
    ValueError
        A `json.JSONDecodeError` with line and column; a `NotStrictError`; or another, for a number
        of thousands of digits.
    RecursionError
        For text that is nested too deeply.

    Examples
    --------
    >>> strict_json("[1, null]")
    [1, None]
    """
    return strict_decoder(takes_nan=takes_nan).decode(text)


@contextmanager
def json_faults(origin: str, error: type[InputError], mend: str) -> Iterator[None]:
    """Turn what goes wrong while JSON is read into ``error``: where, what, and the mend given."""
    try:
        yield
    except json.JSONDecodeError as cause:
        where = f"line {cause.lineno}, column {cause.colno}"
        said = cause.msg.removesuffix(" starting at")
        raise error.single(origin, where, f"is no JSON from here on ({said})", mend) from cause
    except NotStrictError as cause:
        raise error.single(origin, "", f"is no JSON that can be trusted: {cause}", mend) from cause
    except RecursionError:
        raise error.single(origin, "", "is nested too deeply", mend) from None
    except ValueError as cause:
        raise error.single(origin, "", "holds a number of thousands of digits", mend) from cause


def _object(pairs: list[tuple[str, object]]) -> dict[str, object]:
    members = dict(pairs)
    if len(members) != len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise NotStrictError(f'the member "{twice}" is told twice')
    return members


def _refused_constant(word: str) -> float:
    raise NotStrictError(f"{word} is no number in JSON")
