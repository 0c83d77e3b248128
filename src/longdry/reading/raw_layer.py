"""What every reader of a water layer hands on: features as the file holds them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from longdry.errors import Fault


class RawFeature(NamedTuple):
    """One feature before its properties are judged."""

    where: str
    """Its place in the file: 'feature 3', 'line 12'."""
    x: object
    """Longitude, or easting in the layer's own reference system."""
    y: object
    """Latitude, or northing."""
    properties: Mapping[str, object]
    feature_id: str = ""
    """An id that the format itself knows, beside the properties."""
    wrong_place: Fault | None = None
    """Why the geometry is no place; ``x`` and ``y`` mean nothing then."""


@dataclass(frozen=True, slots=True)
class RawLayer:
    """The features of one file, in its order."""

    features: list[RawFeature]
    remarks: tuple[str, ...] = ()
    """What the reader has to tell, one sentence each, without the file's name."""


def placeless(
    where: str, properties: Mapping[str, object], what: str, mend: str, feature_id: str = ""
) -> RawFeature:
    """Return a feature whose geometry is no place."""
    return RawFeature(where, 0.0, 0.0, properties, feature_id, Fault("", what, mend))
