"""What ``longdry plan`` can draw below the route, and from which files."""

from __future__ import annotations

import argparse

from longdry import api
from longdry.doing.common_options import file_path
from longdry.errors import UsageError
from longdry.model.backdrop import BYTES_PER_MB, MOST_BACKDROP_MB, Backdrop, OnlineBackdrop
from longdry.model.plan.plan import Plan
from longdry.reading.backdrop.online import online_backdrop

_LARGEST_MB = 200.0


def add_backdrop_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options for what is drawn below the route."""
    parser.add_argument(
        "--backdrop",
        metavar="FILE",
        type=file_path,
        action="append",
        default=[],
        help="draw this below the route: tiles (MBTiles, PMTiles) or a layer of lines, areas and "
        "names; may be given several times, the lowest first",
    )
    parser.add_argument(
        "--backdrop-mb",
        metavar="MB",
        type=_megabytes,
        default=MOST_BACKDROP_MB,
        help=f"what all backdrops may add to the page (default: {MOST_BACKDROP_MB:g})",
    )
    parser.add_argument(
        "--online-tiles",
        metavar="URL",
        help="let the page ask this address for tiles: https://HOST/{z}/{x}/{y}.png",
    )
    parser.add_argument(
        "--online-attribution", metavar="TEXT", help="whom to name for the online tiles"
    )


def _megabytes(text: str) -> float:
    try:
        size = float(text)
    except ValueError:
        size = 0.0
    if not 0.0 < size <= _LARGEST_MB:
        raise argparse.ArgumentTypeError(f"'{text}' is no size from 0 to {_LARGEST_MB:g} MB")
    return size


def online_backdrops(options: argparse.Namespace) -> tuple[Backdrop, ...]:
    """Return the online backdrop, if one is asked for, before anything else is read.

    Raises
    ------
    UsageError
        Where it cannot be, or no page is written that could show a backdrop.
    """
    online = _online_backdrop(options.online_tiles, options.online_attribution)
    if (online or options.backdrop) and not options.out:
        option = "--backdrop" if options.backdrop else "--online-tiles"
        raise UsageError.single(
            option, "", "a backdrop is drawn in the page, and none is written", "add --out FILE"
        )
    return (online,) if online else ()


def online_backdrops_of(options: argparse.Namespace) -> tuple[Backdrop, ...]:
    """Return the online backdrop, if one is asked for, whatever is written.

    Raises
    ------
    UsageError
        Where it cannot be.
    """
    online = _online_backdrop(options.online_tiles, options.online_attribution)
    return (online,) if online else ()


def _online_backdrop(url: str | None, attribution: str | None) -> OnlineBackdrop | None:
    if url is None and attribution is None:
        return None

    return online_backdrop(url, attribution)


def chosen_backdrops(options: argparse.Namespace, plan: Plan) -> tuple[Backdrop, ...]:
    """Read what is wanted of the user's files, all together within ``--backdrop-mb``.

    Raises
    ------
    BackdropError
        Where a file cannot be read, has nothing near the route, or finds no room.
    """
    found: list[Backdrop] = []
    room_mb: float = options.backdrop_mb
    for path in options.backdrop:
        found.append(api.read_backdrop(path, plan, most_mb=room_mb))
        room_mb -= found[-1].page_bytes / BYTES_PER_MB
    return tuple(found)
