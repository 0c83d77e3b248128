"""The water book: the layer that longdry itself keeps, as it stands in its file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from longdry.model.water.passes import Judgement
from longdry.model.water.source import Visit, WaterSource


@dataclass(frozen=True, slots=True)
class BookFeature:
    """One feature and where its text stands in the book's text."""

    begin: int
    end: int
    source: WaterSource | None
    """None where the feature is no point: it is kept, and never touched."""
    brought_from: str = ""
    """The file that it was brought from; empty where it was marked by hand."""


@dataclass(frozen=True, slots=True)
class WaterBook:
    """The text of the file, with what it tells.

    Changes are made in the text, feature by feature, so that whatever longdry does not understand
    stays as it was.
    """

    origin: str
    """The file, for messages."""
    text: str
    features: tuple[BookFeature, ...]
    list_end: int
    """Where the bracket that ends the list of features stands in the text."""

    @property
    def sources(self) -> tuple[WaterSource, ...]:
        """The sources, in the order of the book."""
        return tuple(feature.source for feature in self.features if feature.source)

    @property
    def others(self) -> int:
        """How many features are no points."""
        return sum(1 for feature in self.features if feature.source is None)


@dataclass(frozen=True, slots=True)
class FeatureChange:
    """What becomes of one feature; everything that is not named stays."""

    number: int | None
    """Index of the feature in the book; None for a new one."""
    properties: tuple[tuple[str, object], ...] = ()
    """Names and JSON values to set; None takes the property out."""
    visits: tuple[Visit, ...] = ()
    """Visits to add behind those that are there."""
    replaced_visits: tuple[int, ...] = ()
    """Index of each visit that one of the new ones takes the place of."""
    lat_deg: float | None = None
    lon_deg: float | None = None
    """Place of a new feature, or a new place of one that is there; None: it stays."""


@dataclass(frozen=True, slots=True)
class BookChange:
    """What becomes of the book, and what the user is told about it."""

    features: tuple[FeatureChange, ...]
    """Empty where nothing changes."""
    notes: tuple[str, ...]
    """Whole sentences."""


@dataclass(frozen=True, slots=True)
class BroughtSource:
    """A source of another file, on its way into the book."""

    source: WaterSource
    made_id: bool = False
    """Whether the file gave it no id, so that its id means nothing outside the file."""
    foreign: Mapping[str, object] = field(default_factory=dict)
    """Properties of the other file that longdry does not know; they come along."""


@dataclass(frozen=True, slots=True)
class ListedSource:
    """One line of the list of sources: with its judgement and, where asked for, where it lies."""

    number: int
    """Index of its feature in the book."""
    source: WaterSource
    judgement: Judgement
    km: float | None = None
    """Km of the route's nearest approach; None where no route is asked for."""
    offset_km: float | None = None
    """Its distance from the route there."""
