"""The text of a new trip file: every key explained, ready to be changed and read."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator

from longdry.model.trip_file.examples import EXAMPLES, ExampleTable
from longdry.model.trip_file.key import Kind, TripKey, TripSection, Value
from longdry.model.trip_file.keys import SECTIONS
from longdry.model.words import Travel

_WIDTH = 96
_BARE = frozenset({Kind.MOMENT, Kind.DAY})
"""What stands in the file without quotes."""
_HEAD = """\
Trip file of longdry, for travel by {travel}.
The party and all figures are invented: not for navigation. Put your own in their place.
Every key may be left out; its default is then listed among the assumptions of the plan.
A line that begins with # and a space explains; one that begins with # alone is a key that is
not in use: take the # away to use it.
How much people and animals drink depends on heat, work and health: ask the land manager and the
local authorities what they advise for the season, and a doctor where health is in question."""


def new_trip_text(travel: Travel) -> str:
    """Return a commented trip file for a way of travel.

    Parameters
    ----------
    travel
        How the party moves; the example figures follow it.

    Examples
    --------
    >>> print(new_trip_text(Travel.FOOT).splitlines()[0])
    # Trip file of longdry, for travel by foot.
    """
    blocks = [_commented(_HEAD.format(travel=travel))]
    blocks += ["\n\n".join(_tables(section, travel)) for section in SECTIONS]
    return "\n\n".join(blocks) + "\n"


def _tables(section: TripSection, travel: Travel) -> Iterator[str]:
    examples = EXAMPLES[travel].get(section.name, ())
    yield "\n".join(_explained(section, examples[0] if examples else None, travel))
    for example in examples[1:]:
        yield "\n".join([section.heading, *_settings(section, example)])


def _explained(section: TripSection, example: ExampleTable | None, travel: Travel) -> Iterator[str]:
    """Yield one table with its help, each key with its own; without an example all of it unused."""
    yield _commented(section.help)
    if section.heading:
        yield ("#" if example is None else "") + section.heading
    for key in section.keys:
        yield _commented(_help(key, travel))
        if example is not None and key.name in example:
            yield f"{key.name} = {_as_toml(key, example[key.name])}"
        else:
            yield f"#{key.name} = {_as_toml(key, key.sample)}"


def _settings(section: TripSection, example: ExampleTable) -> Iterator[str]:
    for name, value in example.items():
        yield f"{name} = {_as_toml(section.key(name), value)}"


def _help(key: TripKey, travel: Travel) -> str:
    if key.words:
        form = "One of " + ", ".join(_as_toml(key, str(word)) for word in key.words)
    elif key.range is not None:
        form = f"A {key.kind}, {key.range} {key.unit}".rstrip()
    else:
        form = f"A {key.kind}" if key.kind in _BARE else key.kind.capitalize()
    return f"{key.help} {form}{_absent(key, travel)}."


def _absent(key: TripKey, travel: Travel) -> str:
    """Word what a plan does without the key."""
    if key.required:
        return "; needed"
    default = key.default_for(travel)
    if default is not None:
        return f"; without it {_as_toml(key, default)}"
    return f"; without it {key.if_absent}" if key.if_absent else ""


def _as_toml(key: TripKey, value: Value) -> str:
    if key.kind in _BARE:
        return str(value)
    return json.dumps(value, ensure_ascii=False)


def _commented(text: str) -> str:
    lines = (piece for line in text.split("\n") for piece in _wrapped(line))
    return "\n".join(f"# {line}" for line in lines)


def _wrapped(line: str) -> list[str]:
    return textwrap.wrap(line, _WIDTH, break_on_hyphens=False, break_long_words=False)
