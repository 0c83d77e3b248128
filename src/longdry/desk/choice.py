"""What the plan is made of: ``plan.txt`` of the folder, or what lies there where it is missing."""

from __future__ import annotations

import argparse
import dataclasses
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NoReturn

from longdry.desk.folder import FileFacts, Folder
from longdry.desk.kinds import FileKind
from longdry.desk.refusals import CANNOT_BE, RefusedError
from longdry.doing.argument_words import in_our_words
from longdry.doing.plan_file import (
    PLAN_FILE,
    changed_plan_text,
    plain_word,
    read_plan_file,
    refuse_strange_words,
    words_from_folder,
    words_in,
)
from longdry.doing.plan_options import add_plan_arguments, inputs_of
from longdry.errors import InputError, LongdryError, UsageError
from longdry.model.words import Units
from longdry.reading.trip.trip_file import files_named_in_trip
from longdry.showing.figures.figure import Json

_LAYERS = (FileKind.BOOK, FileKind.WATER)


class _Parser(argparse.ArgumentParser):
    """The arguments of ``longdry plan``; a wrong one is an error, not the end of the process."""

    def error(self, message: str) -> NoReturn:
        raise UsageError.single(
            PLAN_FILE,
            "",
            in_our_words(message, self),
            "mend the line; longdry plan --help tells what there is",
        )


def plan_parser() -> argparse.ArgumentParser:
    """Return a parser that takes what ``longdry plan`` takes."""
    parser = _Parser(prog=PLAN_FILE, allow_abbrev=False, add_help=False)
    add_plan_arguments(parser)
    return parser


@dataclasses.dataclass(frozen=True, slots=True)
class Choice:
    """What the plan is made of."""

    options: argparse.Namespace | None
    """None where no route is chosen."""
    told: tuple[str, ...]
    """What was taken without having been chosen."""
    inputs: tuple[Path, ...]
    """All files that are read, ``plan.txt`` too where it is there."""
    words: tuple[str, ...]
    """The arguments."""


def choice_of(folder: Folder) -> Choice:
    """Return what the plan of the folder is made of.

    Raises
    ------
    UsageError
        ``plan.txt`` cannot be read.
    RefusedError
        It names a file outside the folder.
    """
    parser = plan_parser()
    plan_file = folder.place(PLAN_FILE)
    if plan_file.exists():
        words, told = words_in(read_plan_file(plan_file)), list[str]()
        if words:
            refuse_strange_words(words, Path(PLAN_FILE), parser)
    else:
        words, told = _found_there(folder, None)
    if not words:
        return Choice(None, tuple(told), (plan_file,), ())
    options = parser.parse_args(words_from_folder(words, folder.path, parser))
    for path in _named(options):  # before any of them is opened
        folder.place_of(path)
    named = tuple(folder.place_of(path) for path in _inputs(options))
    return Choice(options, tuple(told), (plan_file, *named), tuple(words))


def _inputs(options: argparse.Namespace) -> list[Path]:
    """Return all files that are read; a trip file that cannot be parsed names no further ones."""
    try:
        return inputs_of(options)
    except InputError:
        return _named(options)


def _named(options: argparse.Namespace) -> list[Path]:
    """Return the files that the arguments themselves name."""
    given = (options.route, *options.water, *options.fields, options.trip, options.tally)
    return [path for path in (*given, *options.backdrop) if path]


def _found_there(folder: Folder, route: str | None) -> tuple[list[str], list[str]]:
    """Take the one route, all water layers and the one trip file of a folder without plan.txt.

    Of several routes the one is taken that ``route`` names.
    """
    files = folder.files()
    trips = [one for one in files if one.what is FileKind.TRIP]
    beside = {name for one in trips for name in _named_by(folder, one)}
    routes = [one for one in files if one.what is FileKind.ROUTE and one.name not in beside]
    layers = [one for one in files if one.what in _LAYERS and one.name not in beside]
    if route is not None:
        routes = [one for one in files if one.name == route]
        layers = [one for one in layers if one.name != route]
    if len(routes) != 1:
        return [], []
    words = [plain_word(routes[0].name), *(f"--water={one.name}" for one in layers)]
    if len(trips) == 1:
        words.append(f"--trip={trips[0].name}")
    several = " There are several trip files: choose one." if len(trips) > 1 else ""
    names = ", ".join([routes[0].name, *(one.name for one in (*layers, *trips[:1]))])
    return words, [
        f"Nothing was chosen: this plan takes what lies in the folder: {names}.{several}"
    ]


def _named_by(folder: Folder, trip: FileFacts) -> list[str]:
    try:
        return [folder.name_of(path) for path in files_named_in_trip(folder.path / trip.name)]
    except (LongdryError, ValueError):
        return []


def choice_json(folder: Folder, choice: Choice) -> Json:
    """Return the choice as the page shows it."""
    options = choice.options
    if options is None:
        lists: Json = {name: [] for name in ("tracks", "water", "fields", "backdrop")}
        rest: Json = {"route": None, "reverse": False, "trip": None, "units": Units.METRIC}
        return {**lists, **rest, "told": list(choice.told)}
    return {
        "route": folder.name_of(options.route),
        "tracks": options.track or [],
        "reverse": options.reverse,
        "water": [folder.name_of(path) for path in options.water],
        "fields": [folder.name_of(path) for path in options.fields],
        "trip": folder.name_of(options.trip) if options.trip else None,
        "backdrop": [folder.name_of(path) for path in options.backdrop],
        "units": options.units,
        "told": list(choice.told),
    }


def new_plan_text(folder: Folder, choice: Choice, wish: Mapping[str, object]) -> str:
    """Return the text of ``plan.txt`` with what is wished in place of what it said.

    Parameters
    ----------
    wish
        ``route``, ``tracks``, ``reverse``, ``water``, ``fields``, ``trip``, ``backdrop``; what is
        not named stays.

    Raises
    ------
    RefusedError
        A name leads out of the folder, no route is named, or a value cannot be.
    """
    place = folder.place(PLAN_FILE)
    now = {**_to_begin_with(folder, choice, wish), **wish}
    route = _name(folder, now["route"])
    trip = [_name(folder, now["trip"])] if now["trip"] else []
    return changed_plan_text(
        read_plan_file(place) if place.exists() else "",
        plan_parser(),
        route=plain_word(route),
        options={
            "--track": _texts(now["tracks"]),
            "--reverse": now["reverse"] is True,
            "--water": [_name(folder, name) for name in _texts(now["water"])],
            "--fields": [_name(folder, name) for name in _texts(now["fields"])],
            "--trip": trip,
            "--backdrop": [_name(folder, name) for name in _texts(now["backdrop"])],
        },
    )


def _to_begin_with(folder: Folder, choice: Choice, wish: Mapping[str, object]) -> Json:
    """Return the choice as it is; where there is none, what lies there beside the wished route."""
    if choice.options is None:
        parser = plan_parser()
        words, _ = _found_there(folder, str(wish.get("route", "")))
        if words:
            options = parser.parse_args(words_from_folder(words, folder.path, parser))
            choice = dataclasses.replace(choice, options=options)
    return choice_json(folder, choice)


def _name(folder: Folder, name: object) -> str:
    if not isinstance(name, str) or not name:
        raise RefusedError(CANNOT_BE, "", "no route is chosen", "choose a file with a track")
    if not folder.place(name).exists():
        raise RefusedError(CANNOT_BE, f'"{name}"', "is no file here", "choose one of the folder")
    return name


def _texts(value: object) -> Sequence[str]:
    if not isinstance(value, list) or not all(_is_plain(item) for item in value):
        raise RefusedError(CANNOT_BE, "", "this is no list of names", "send a list of texts")
    return value


def _is_plain(item: object) -> bool:
    return isinstance(item, str) and item.isprintable() and bool(item.strip())
