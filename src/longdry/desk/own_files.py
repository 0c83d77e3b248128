"""What the desk's page is made of: its own files, those of the plan's page, and Leaflet's."""

from __future__ import annotations

import mimetypes
from importlib import resources

from longdry.desk.refusals import NOT_FOUND, RefusedError
from longdry.showing.page.page import (
    SCRIPTS,
    STYLES,
    leaflet_script,
    leaflet_style,
    own_asset,
)

PAGE = "desk.html"
_OF_THE_PAGE = frozenset({*SCRIPTS, *STYLES, "backdrop.js", "backdrop.css"})
_LEAFLET = {"leaflet.js": leaflet_script, "leaflet.css": leaflet_style}
_KINDS = {
    ".js": "text/javascript",
    ".css": "text/css",
    ".html": "text/html",
    ".svg": "image/svg+xml",
}


def own_file(name: str) -> tuple[str, str]:
    """Return text and media type of a file.

    Raises
    ------
    RefusedError
        There is none of this name.
    """
    kind = _KINDS.get(f".{name.rpartition('.')[2]}") or mimetypes.guess_type(name)[0]
    if name in _LEAFLET:
        return _LEAFLET[name](), str(kind)
    if name in _OF_THE_PAGE:
        return own_asset(name), str(kind)
    own = {one.name: one for one in resources.files("longdry.desk").joinpath("assets").iterdir()}
    if name not in own or kind is None:
        raise RefusedError(NOT_FOUND, "", "there is no such part of the page", "load it again")
    return own[name].read_text("utf-8"), kind
