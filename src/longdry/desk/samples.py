"""The invented sample trips, for a folder that is still empty."""

from __future__ import annotations

import tomllib
from importlib import resources
from importlib.resources.abc import Traversable

from longdry.showing.figures.figure import Json

_ENDINGS = (".gpx", ".geojson", ".csv", ".toml")


def samples_json() -> list[Json]:
    """Return the name of each sample, and a sentence about it."""
    return [{"name": one.name, "words": _words(one)} for one in _samples()]


def sample_files(name: str) -> dict[str, bytes]:
    """Return the files of a sample by their names; none where there is no such sample."""
    for sample in _samples():
        if sample.name == name:
            files = sorted(sample.iterdir(), key=lambda one: one.name)
            return {one.name: one.read_bytes() for one in files if one.name.endswith(_ENDINGS)}
    return {}


def _samples() -> list[Traversable]:
    home = resources.files("longdry.desk").joinpath("samples")
    if not home.is_dir():
        return []
    return sorted((one for one in home.iterdir() if one.is_dir()), key=lambda one: one.name)


def _words(sample: Traversable) -> str:
    trip = tomllib.loads(sample.joinpath("trip.toml").read_text("utf-8"))
    return f"{trip.get('name', sample.name)}; invented: not for navigation."
