"""The backdrop in the page: its data, its words and its switch, and whom the page may ask."""

from __future__ import annotations

import base64
from collections.abc import Sequence

from longdry.model.backdrop import (
    Backdrop,
    BackdropShape,
    DrawnBackdrop,
    OnlineBackdrop,
    RasterBackdrop,
    ShapeKind,
)
from longdry.showing.figures.figure import Json
from longdry.showing.map.data import json_block
from longdry.showing.map.line import MAP_DECIMALS
from longdry.showing.words.markup import Markup, clipped_name, clipped_text, tag

STYLES = ("backdrop.css",)
SCRIPTS = ("backdrop.js",)
"""They go into pages with a backdrop only."""
_LEFT_OUT = "The pictures of the backdrop are not drawn on this still map."


def backdrop_block(backdrops: Sequence[Backdrop]) -> Markup:
    """Return the element that holds the data; nothing where there is no backdrop."""
    if not backdrops:
        return Markup("")
    return Markup(
        '<script type="application/json" id="backdrop-data">'
        f"{json_block({'layers': backdrop_layers(backdrops)})}</script>"
    )


def backdrop_layers(backdrops: Sequence[Backdrop]) -> list[Json]:
    """Return what the script draws, the lowest first."""
    return [_layer(backdrop) for backdrop in backdrops]


def backdrop_notes(backdrops: Sequence[Backdrop]) -> Markup:
    """Return the switch and, in words, where the backdrop comes from."""
    if not backdrops:
        return Markup("")
    box = Markup('<input type="checkbox" checked id="backdrop-switch">')
    switch = tag("label", {"class": "needs-script"}, box, " Backdrop")
    words = [words for backdrop in backdrops for words in _words(backdrop)]
    notes = [tag("p", None, each) for each in words]
    if not all(isinstance(each, DrawnBackdrop) for each in backdrops):
        notes.append(tag("p", {"class": "still-only"}, _LEFT_OUT))
    return tag("div", {"class": "backdrop-notes"}, switch, *notes)


def allowed_origins(backdrops: Sequence[Backdrop]) -> list[str]:
    """Return whom the page may ask for pictures: nobody but those the user named."""
    found = {b.origin for b in backdrops if isinstance(b, OnlineBackdrop)}
    return sorted(found)


def network_words(backdrops: Sequence[Backdrop]) -> str:
    """Say whether the page asks the network for anything."""
    origins = allowed_origins(backdrops)
    if not origins:
        return "This page needs no network."
    return (
        f"This page asks {' and '.join(origins)} for pictures below the route, because its maker "
        "wanted it so; without a network they are missing and all else is there."
    )


def _layer(backdrop: Backdrop) -> Json:
    if isinstance(backdrop, RasterBackdrop):
        return _tiles(backdrop)
    if isinstance(backdrop, DrawnBackdrop):
        return _shapes(backdrop)
    return {"kind": "online", "url": backdrop.url}


def _tiles(backdrop: RasterBackdrop) -> Json:
    places = {
        f"{key.zoom}/{key.column}/{key.row}": number
        for number, picture in enumerate(backdrop.pictures)
        for key in picture.keys
    }
    least, greatest = backdrop.zooms
    pictures = [
        f"data:{picture.media_type};base64,{base64.b64encode(picture.data).decode('ascii')}"
        for picture in backdrop.pictures
    ]
    return {
        "kind": "tiles",
        "least": least,
        "greatest": greatest,
        "places": dict(sorted(places.items())),
        "pictures": pictures,
    }


def _shapes(backdrop: DrawnBackdrop) -> Json:
    return {"kind": "shapes", "shapes": [_shape(shape) for shape in backdrop.shapes]}


def _shape(shape: BackdropShape) -> Json:
    places = [
        [round(lat, MAP_DECIMALS), round(lon, MAP_DECIMALS)]
        for lat, lon in zip(shape.lat_deg.tolist(), shape.lon_deg.tolist(), strict=True)
    ]
    name = clipped_name(shape.name) if shape.name.strip() else ""
    if shape.kind is ShapeKind.POINT:
        return {"point": places[0], "name": name}
    return {shape.kind.value: places, "name": name}


def _words(backdrop: Backdrop) -> list[str]:
    if isinstance(backdrop, DrawnBackdrop):
        return []
    said = clipped_text(backdrop.attribution)
    return [f"Backdrop: {said or 'its file names no author'}"]


def backdrop_sentences(backdrops: Sequence[Backdrop]) -> list[str]:
    """Return what the terminal is told of the backdrops, whole sentences."""
    return [clipped_text(note) for backdrop in backdrops for note in backdrop.notes]
