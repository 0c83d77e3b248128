"""From the raw features of one file to sources, all its faults gathered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from longdry.errors import Fault, WaterLayerError
from longdry.model.water.source import WET, WaterSource
from longdry.model.words import SOURCE_KINDS, Certainty, known_kind
from longdry.plain_text import has_controls, listed, one_line
from longdry.reading.files.faults import FaultList
from longdry.reading.files.text import MOST_SHOWN
from longdry.reading.water.raw import LeftOut, RawFeature, RawLayer
from longdry.reading.water.source import feature_words, id_in, source_from_properties
from longdry.reading.water.values import shown


@dataclass(frozen=True, slots=True)
class LayerSources:
    """The sources of one file, and the place of each in it."""

    sources: list[WaterSource]
    places: list[str]
    """In words, as many as sources."""
    remarks: list[str]
    """One sentence each, the file's name included."""
    features: list[RawFeature]
    """What each source was read from."""


def layer_sources(layer: RawLayer, path: Path, made_id_stem: str) -> LayerSources:
    """Return the sources of a file.

    Parameters
    ----------
    layer
        The features in WGS 84.
    path
        The file, for messages.
    made_id_stem
        What the ids of features without one begin with; no other file of the plan has it.

    Raises
    ------
    WaterLayerError
        With all that is wrong in any feature.
    """
    origin = str(path)
    faults = FaultList()
    sources: list[WaterSource] = []
    features: list[RawFeature] = []
    left: list[RawFeature] = []
    for number, feature in enumerate(layer.features, start=1):
        if feature.left_out:
            left.append(feature)
            continue
        source, wrong = _judged(feature, f"{made_id_stem}#{number}", origin)
        if source is None:
            faults.add(wrong)
        elif source.lat_deg == 0.0 == source.lon_deg:
            left.append(feature._replace(left_out=LeftOut.ZERO))
        else:
            sources.append(source)
            features.append(feature)
    if faults.found:
        faults.add(_ids_used_twice(layer.features))
    elif not features and any(one.left_out is LeftOut.SHAPE for one in left):
        faults.add([_no_points(left)])
    faults.raise_any(origin, WaterLayerError)
    remarks = [*layer.remarks, *_left_out(left), *_remarks(sources, features)]
    told = [f"{path.name}: {remark}." for remark in remarks]
    return LayerSources(sources, [feature.where for feature in features], told, features)


def _judged(
    feature: RawFeature, made_id: str, origin: str
) -> tuple[WaterSource | None, Sequence[Fault]]:
    source, faults = source_from_properties(
        feature.properties,
        lat_deg=feature.y,
        lon_deg=feature.x,
        where=feature.where,
        fallback_id=feature.feature_id or made_id,
        layer=origin,
    )
    if feature.wrong_place is None and not faults:
        return source, faults
    return None, _with_place_fault(feature, faults)


def _ids_used_twice(features: Sequence[RawFeature]) -> list[Fault]:
    """Look for them among all features, those at fault too, so that all is told at once."""
    faults = []
    places: dict[str, str] = {}
    for feature in features:
        identity = id_in(feature.properties) or feature.feature_id
        first = places.setdefault(identity, feature.where)
        if identity and first is not feature.where:
            faults.append(id_used_twice(feature.where, identity, first))
    return faults


def id_used_twice(where: str, identity: str, first: str) -> Fault:
    """Return the fault of a feature whose id another place had first."""
    what = f"has the id {shown(identity)}, as has {first}"
    return Fault(where, what, "give each source an id of its own")


def _with_place_fault(feature: RawFeature, faults: list[Fault]) -> list[Fault]:
    words = feature_words(feature.where, feature.properties, feature.feature_id)
    notes = [Fault(words, fault.what, fault.mend) for fault in faults]
    if feature.wrong_place:
        notes.insert(0, Fault(words, feature.wrong_place.what, feature.wrong_place.mend))
    return notes


def _no_points(left: Sequence[RawFeature]) -> Fault:
    """Return the fault of a layer of lines: whoever names it as water means another file."""
    words = ", ".join(_words(one) for one in left[:3])
    what = f"holds no point that could be a source, only shapes: {words}"
    return Fault("", what, "name the layer with the points")


def _words(feature: RawFeature) -> str:
    words = feature_words(feature.where, feature.properties, feature.feature_id)
    if feature.wrong_place is None or feature.left_out is not LeftOut.SHAPE:
        return words
    return f"{words}: {feature.wrong_place.what}"


def _left_out(features: Sequence[RawFeature]) -> list[str]:
    remarks = []
    for why in LeftOut:
        these = [one for one in features if one.left_out is why]
        if not these:
            continue
        row = listed([_words(one) for one in these])
        count = "one feature has" if len(these) == 1 else f"{len(these)} features have"
        were = "was" if len(these) == 1 else "were"
        remarks.append(f"{count} {why} and {were} left out: {row}")
    return remarks


def _remarks(sources: Sequence[WaterSource], features: Sequence[RawFeature]) -> list[str]:
    remarks = []
    if not sources:
        remarks.append("the layer holds no source")
    ungraded = [source.name for source in sources if source.grade is None]
    if ungraded:
        verb = "has no grade and counts" if len(ungraded) == 1 else "have no grade and count"
        remarks.append(f"{_counted(len(ungraded))} {verb} as not for drinking: {_row(ungraded)}")
    remarks += _strange_kinds(sources)
    cleaned = [
        source.name
        for source, feature in zip(sources, features, strict=True)
        if has_controls(str(feature.properties.get("name") or ""))
    ]
    if cleaned:
        what = "control characters were taken out of the names of"
        remarks.append(f"{what} {_counted(len(cleaned))}: {_row(cleaned)}")
    return remarks


def _strange_kinds(sources: Sequence[WaterSource]) -> Iterator[str]:
    """Tell of kinds that are not known, apart where a word or a visit judges the source instead."""
    strange = [one for one in sources if one.kind and known_kind(one.kind) is None]
    doubtful = [one for one in strange if _is_doubtful_by_kind(one)]
    others = [one for one in strange if not _is_doubtful_by_kind(one)]
    by_what = "; their certainty comes from the word or the visits in the layer alone"
    for these, so in ((doubtful, ", so that these sources are doubtful"), (others, by_what)):
        words = Counter(one.kind for one in these)
        if words:
            row = ", ".join(f"{shown(word)} ({count})" for word, count in words.most_common(10))
            yield f"kinds that are not known{so}: {row}; known are {', '.join(SOURCE_KINDS)}"


def _is_doubtful_by_kind(source: WaterSource) -> bool:
    """Whether neither a word nor a visit that found water may make it better than its kind."""
    if source.certainty is not None:
        return source.certainty is Certainty.DOUBTFUL
    return not any(visit.found in WET for visit in source.visits)


def _counted(count: int) -> str:
    return "one source" if count == 1 else f"{count} sources"


def _row(names: Sequence[str]) -> str:
    return listed([_short(name) for name in names])


def _short(name: str) -> str:
    line = one_line(name[: 4 * MOST_SHOWN])
    return line if len(line) <= MOST_SHOWN else f"{line[:MOST_SHOWN]}..."
