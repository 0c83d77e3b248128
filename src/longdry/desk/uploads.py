"""Files that the browser hands over: taken piece by piece, read at once, kept whole or not."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request

from longdry import api
from longdry.desk.desk import Desk
from longdry.desk.folder import NO_FILE, version_of_file
from longdry.desk.refusals import CANNOT_BE, CONFLICT, FORBIDDEN, RefusedError
from longdry.doing.plan_file import PLAN_FILE
from longdry.doing.plan_outputs import SAVED_AS
from longdry.errors import Fault, InputError
from longdry.reading.backdrop.lines import read_backdrop_lines
from longdry.reading.backdrop.tiles import is_tile_archive, opened_archive
from longdry.reading.book.proposing import placeless_table
from longdry.reading.gpx.waypoints import read_gpx_waypoints
from longdry.reading.road.tally_file import TALLY_ENDING, read_tally
from longdry.reading.route.route_file import route_names
from longdry.reading.water.layer import raw_layer
from longdry.showing.figures.figure import Json
from longdry.storage import locked, new_file_beside, put_in_place

_TOO_LARGE, _TOO_SLOW, _BROKEN_OFF = 413, 408, 400


@dataclass(frozen=True, slots=True)
class UploadLimits:
    """How large a file may be, and how slow."""

    most_bytes: int = 200_000_000
    patience_s: float = 20.0
    """For the next piece of a file."""
    longest_s: float = 600.0


USUAL_LIMITS = UploadLimits()


async def take_upload(desk: Desk, request: Request, limits: UploadLimits = USUAL_LIMITS) -> Json:
    """Take one file into the folder.

    Raises
    ------
    RefusedError
        Name, size or pace are not as they may be, or the name is taken.
    InputError
        It cannot be read as what it is said to be.
    """
    name = str(request.path_params["name"])
    said = request.query_params.get("as", "")
    if said not in _READ_AS:
        raise RefusedError(CANNOT_BE, name, "nobody said what it is", "load the page again")
    place = await run_in_threadpool(_place_for, desk, name, request.query_params.get("version"))
    length = request.headers.get("content-length", "")
    if length.isdigit() and int(length) > limits.most_bytes:
        raise _too_large(name, limits)
    with new_file_beside(place) as (file, path):
        await _fill(file, request, name, limits)
        file.flush()
        return await run_in_threadpool(
            _keep, desk, path, name, said, request.query_params.get("version")
        )


def _place_for(desk: Desk, name: str, version: str | None) -> Path:
    place = desk.folder.place(name)
    if "/" in name or name.casefold() in (PLAN_FILE, *SAVED_AS.values()):
        what = "is a name that the desk itself writes to, or lies deeper in the folder"
        raise RefusedError(FORBIDDEN, name, what, "give the file another name")
    if place.exists() and version is None:
        what = "there is a file of this name"
        raise RefusedError(CONFLICT, name, what, "take it in place of that one, or rename it")
    desk.check_version(name, version)
    return place


def _too_large(name: str, limits: UploadLimits) -> RefusedError:
    what = f"is larger than {limits.most_bytes / 1_000_000:g} MB"
    return RefusedError(_TOO_LARGE, name, what, "cut it to what lies near the route")


async def _fill(file: IO[bytes], request: Request, name: str, limits: UploadLimits) -> None:
    pieces = aiter(request.stream())
    taken = 0
    try:
        async with asyncio.timeout(limits.longest_s):
            while True:
                try:
                    piece = await asyncio.wait_for(anext(pieces), limits.patience_s)
                except StopAsyncIteration:
                    return
                taken += len(piece)
                if taken > limits.most_bytes:
                    raise _too_large(name, limits)
                await run_in_threadpool(file.write, piece)
    except TimeoutError:
        raise RefusedError(_TOO_SLOW, name, "came too slowly", "try again") from None
    except ClientDisconnect:
        raise RefusedError(_BROKEN_OFF, name, "broke off", "send it again") from None


def _keep(desk: Desk, path: Path, name: str, said: str, version: str | None) -> Json:
    """Read the file as what it is said to be, and put it in its place."""
    try:
        _READ_AS[said](path)
    except InputError as refused:
        faults = [
            Fault(*(part.replace(str(path), name) for part in (one.where, one.what, one.mend)))
            for one in refused.faults
        ]
        raise type(refused)(name, faults) from refused
    place = desk.folder.place(name)
    desk.pin_choice()
    with desk.changing, locked(place), desk.undo.keeping() as keep:
        desk.check_version(name, NO_FILE if version is None else version)
        keep(name, version_of_file(path))
        put_in_place(path, place)
    return desk.folder_json()


def _read_backdrop(path: Path) -> None:
    if is_tile_archive(path):
        with opened_archive(path) as archive:
            archive.facts()
    else:
        read_backdrop_lines(path)


def _read_tally(path: Path) -> None:
    if path.suffix.lower() == ".gpx":
        read_gpx_waypoints(path)
        return
    if not path.name.endswith(TALLY_ENDING):
        what = f"is no tally, whose name ends with {TALLY_ENDING}, nor a recorded GPX"
        raise InputError.single(path.name, "", what, "rename the file")
    read_tally(path)


def _read_water(path: Path) -> None:
    if placeless_table(path) is None:  # else its columns of the place are named when it is brought
        raw_layer(path)


def _read_route(path: Path) -> None:
    if len(route_names(path)) <= 1:  # which of several is travelled is asked later
        api.read_route(path)


def _read_trip(path: Path) -> None:
    api.read_trip(path)


_READ_AS: Mapping[str, Callable[[Path], None]] = {
    "route": _read_route,
    "water": _read_water,
    "trip": _read_trip,
    "tally": _read_tally,
    "backdrop": _read_backdrop,
}
