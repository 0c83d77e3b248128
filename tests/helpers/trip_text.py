"""Small trip files for tests, made from the table of keys."""

from __future__ import annotations

import datetime as dt
import json
import re

from longdry.model.trip_file.key import Kind, TripKey, TripSection
from longdry.model.trip_file.keys import SECTIONS, section_called
from longdry.model.words import Travel

EVERY_KEY = [(section, key) for section in SECTIONS for key in section.keys]


def ids(pairs):
    return [f"{section.name}.{key.name}".lstrip(".") for section, key in pairs]


def companions(section: TripSection, key: TripKey) -> dict[str, object]:
    """Return sample values of the other keys without which a table cannot stand."""
    needed = {other.name for other in section.keys if other.required}
    if section.name == "heat":
        needed.add("shade_max_c")
    if not needed & set(section.any_of) and key.name not in section.any_of:
        needed |= set(section.any_of[:1])
    groups = [group for group in section.one_of if key.name in group]
    for group in groups or section.one_of[:1]:
        needed |= set(group)
    return {other.name: other.sample for other in section.keys if other.name in needed - {key.name}}


def as_toml(value: object) -> str:
    """Write a value as TOML does (JSON's text, numbers and lists are TOML)."""
    if isinstance(value, dt.date | dt.time):
        return value.isoformat()
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def sample_toml(key: TripKey) -> str:
    """Write the key's sample as it stands in a file."""
    return str(key.sample) if key.kind in {Kind.MOMENT, Kind.DAY} else as_toml(key.sample)


def filled_in(text: str, travel: Travel) -> str:
    """Write the usual value, else the key's sample, into each blank of a new trip file."""
    section, lines = section_called(""), []
    for line in text.split("\n"):
        if heading := re.match(r"\[+(\w+)\]+", line):
            section = section_called(heading[1])
        if blank := re.match(r'(\w+) = "___"', line):
            key = section.key(blank[1])
            usual = key.default_for(travel)
            value = sample_toml(key) if usual is None else as_toml(usual)
            lines.append(f"{key.name} = {value}")
        else:
            lines.append(line)
    return "\n".join(lines)


def text_with(section: TripSection, key: TripKey, value_toml: str) -> str:
    """Write the smallest file that holds one key with a value, the key on the last line."""
    lines = [section.heading] if section.heading else []
    lines += [f"{name} = {sample_toml(section.key(name))}" for name in companions(section, key)]
    return "\n".join([*lines, f"{key.name} = {value_toml}"])
