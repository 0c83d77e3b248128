"""All that is read through GDAL: the one module that knows pyogrio.

GDAL's own words, warnings and log lines stay here; who asks turns a `GdalError` into ours.
"""

from __future__ import annotations

import io
import logging
import os
import warnings
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from types import ModuleType
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

NAME_FIELDS = ("name", "title", "label")
"""Columns in which a layer names its features, the first that it has."""
_REASONS = (RuntimeError, ValueError, OverflowError, MemoryError)
"""What pyogrio raises where GDAL cannot read a file."""

GdalSource = str | os.PathLike[str] | io.BytesIO


class GdalError(Exception):
    """GDAL cannot read a file; the text is what it says."""

    @property
    def unknown_format(self) -> bool:
        """Whether it is no kind of file that GDAL knows."""
        return "not recognized as being" in str(self)


def said_by_gdal(problem: Exception, path: str | os.PathLike[str]) -> str:
    """Return what GDAL says of a file, with its name alone in place of its whole path."""
    whole = os.path.abspath(path)  # noqa: PTH100 - links are left alone
    said = str(problem).replace(f"{os.path.dirname(whole)}{os.sep}", "")  # noqa: PTH120 - the same
    return said.rpartition("; ")[0] or said


@dataclass(frozen=True, slots=True)
class LayerKind:
    """A layer as the file lists it."""

    number: int
    """In the file; two layers may have one name."""
    name: str
    geometry: str
    """'Point', 'MultiPolygon', 'Unknown' ..."""


@dataclass(frozen=True, slots=True, eq=False)
class GdalLayer:
    """One layer as GDAL hands it over."""

    name: str
    crs: str | None
    """The reference system that it declares."""
    fields: tuple[str, ...]
    columns: tuple[Any, ...]
    """An array for each field."""
    wkb: Any
    """An array of well-known binary, None where a feature has no geometry."""

    def shapes(self, *, broken_as_none: bool) -> NDArray[np.object_]:
        """Return an array of shapely geometries; None where a feature has none.

        Raises
        ------
        ShapelyError
            Where one is broken or of a kind that shapely does not know, unless that is None too.
        """
        with np.errstate(all="ignore"):
            found: NDArray[np.object_] = shapely.from_wkb(
                self.wkb, on_invalid="ignore" if broken_as_none else "raise"
            )
        return found

    @property
    def rows(self) -> Iterator[dict[str, object]]:
        """The fields of each feature in turn."""
        values = [column.tolist() for column in self.columns]
        if not values:
            return iter([{} for _ in self.wkb])
        return (dict(zip(self.fields, row, strict=True)) for row in zip(*values, strict=True))


def _all(kinds: Sequence[LayerKind]) -> Sequence[LayerKind]:
    return kinds


def read_gdal(
    source: GdalSource,
    *,
    choose: Callable[[Sequence[LayerKind]], Sequence[LayerKind]] = _all,
    flat: bool = True,
) -> list[GdalLayer]:
    """Return the layers that have places, in the order of the file.

    Parameters
    ----------
    source
        A path, or the bytes of a file.
    choose
        Which of them are read.
    flat
        Whether heights are left out.

    Raises
    ------
    GdalError
        Where the file cannot be read.
    """
    import pyogrio  # noqa: PLC0415 - loaded when needed

    with _quiet():
        pyogrio.set_gdal_config_options({"GML_DOWNLOAD_SCHEMA": "NO"})
        listed = [
            LayerKind(number, str(name), kind)
            for number, (name, kind) in enumerate(pyogrio.list_layers(source))
            if kind
        ]
        read = [(one, _read(pyogrio.raw, source, one.number, flat=flat)) for one in choose(listed)]
    return [GdalLayer(one.name, *found) for one, found in read if found is not None]


def _read(
    pyogrio_raw: ModuleType, source: GdalSource, number: int, *, flat: bool
) -> tuple[str | None, tuple[str, ...], tuple[Any, ...], Any] | None:
    meta, _, geometry, columns = pyogrio_raw.read(source, layer=number, force_2d=flat)
    if geometry is None:
        return None
    return meta["crs"], tuple(map(str, meta["fields"])), tuple(columns), geometry


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep GDAL's warnings and log lines from the user, and tell its errors as one."""
    log = logging.getLogger("pyogrio")
    level = log.level
    log.setLevel(logging.CRITICAL + 1)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    except _REASONS as cause:
        raise GdalError(str(cause)) from cause
    finally:
        log.setLevel(level)
