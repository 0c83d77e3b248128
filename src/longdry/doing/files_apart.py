"""No file that is read is written over, and no two outputs are one file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from longdry.errors import UsageError
from longdry.reading.trip.trip_file import files_named_in_trip

_BESIDE_A_SHAPEFILE = (".shx", ".dbf", ".prj", ".cpg")


def keep_apart(inputs: Sequence[Path], outputs: Sequence[Path]) -> None:
    """Refuse an output that is also read, or named twice.

    Parameters
    ----------
    inputs
        All files that are read: see `read_along`.

    Raises
    ------
    UsageError
        Naming both.
    """
    for number, output in enumerate(outputs):
        clash = [other for other in (*inputs, *outputs[:number]) if _same_file(output, other)]
        if clash:
            raise UsageError.single(
                str(output),
                "",
                f"this file is also named as {clash[0]}",
                "give every output a file of its own",
            )


def read_along(given: Sequence[Path], trips: Iterable[Path]) -> Iterator[Path]:
    """Yield the files that nobody named but that are read: of trips, of a Shapefile.

    Parameters
    ----------
    given
        Files that are named to be read.
    trips
        Trip files among them: what they name is read too.

    Raises
    ------
    TripFileError
        A trip file cannot be read or is no TOML.
    """
    for path in given:
        yield from read_beside(path)
    for trip in trips:
        yield from files_named_in_trip(trip)


def read_beside(path: Path) -> list[Path]:
    """Return the files that are read together with a layer, as they are beside a Shapefile."""
    if path.suffix.lower() != ".shp":
        return []
    return [path.with_suffix(ending) for ending in _BESIDE_A_SHAPEFILE]


def _same_file(one: Path, other: Path) -> bool:
    try:
        return one.resolve() == other.resolve() or (
            one.exists() and other.exists() and one.samefile(other)
        )
    except (OSError, RuntimeError, ValueError):  # a circle of links, a name too long: told later
        return False
