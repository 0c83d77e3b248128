"""What argparse says of a wrong word, in our words."""

from __future__ import annotations

import argparse
import re

from longdry.like_names import nearest_name

_IN_OUR_WORDS = (
    (r"the following arguments are required: (?P<it>.*)", "{it} is missing"),
    (r"one of the arguments (?P<it>.*) is required", "one of {it} is missing"),
    (r"argument (?P<it>[^ ]+): expected (?:one|at least one) argument",
     "{it} is named without its value"),
    (r"argument (?P<it>[^ ]+): not allowed with argument (?P<other>.*)",
     "{it} does not go with {other}"),
    (r"argument (?P<it>[^ ]+): invalid choice: (?P<word>.*) \(choose from (?P<words>.*)\)",
     "{it}: {word} is none of {words}"),
    (r"unrecognized arguments: (?P<it>[^-].*)", "{it} is a word too many"),
    (r"unrecognized arguments: (?P<it>.*)", "{it} is not known here"),
    (r"argument (?P<it>[^ ]+): (?P<what>.*)", "{it}: {what}"),
)  # fmt: skip
"""What argparse says, which differs between versions of Python, and how it is said here."""


def in_our_words(message: str, parser: argparse.ArgumentParser) -> str:
    """Return a message of argparse as one clause that any version of Python comes to.

    An option that is not known is told with the one that looks most like it.

    Examples
    --------
    >>> parser = argparse.ArgumentParser()
    >>> _ = parser.add_argument("--water")
    >>> in_our_words("argument --fill: invalid choice: 'x' (choose from 'safe', 'least')", parser)
    "--fill: 'x' is none of safe, least"
    >>> in_our_words("unrecognized arguments: --watr a.csv", parser)
    '--watr a.csv is not known here; the nearest is --water'
    """
    for pattern, words in _IN_OUR_WORDS:
        if found := re.fullmatch(pattern, message, re.DOTALL):
            parts = found.groupdict()
            if "words" in parts:
                parts["words"] = parts["words"].replace("'", "")
            said = words.format(**parts)
            return f"{said}{_nearest(message, parser)}"
    return message


def _nearest(message: str, parser: argparse.ArgumentParser) -> str:
    _, is_unknown, words = message.partition("unrecognized arguments: ")
    word = words.partition(" ")[0].partition("=")[0]
    if not (is_unknown and word.startswith("--")):
        return ""
    close = nearest_name(word, options_of(parser))
    return f"; the nearest is {close}" if close else ""


def options_of(parser: argparse.ArgumentParser) -> dict[str, argparse.Action]:
    """Return what each option of a parser does, by its name."""
    actions = parser._actions  # noqa: SLF001 - argparse has no other list
    return {name: action for action in actions for name in action.option_strings}
