"""Style sheets and scripts that go into the page: our own, and Leaflet's from its package."""

from __future__ import annotations

import base64
import hashlib
import re
from importlib import resources

LEAFLET_PACKAGE = "js_lib_leaflet"
_LEAFLET_FOLDER = "static/js_lib_leaflet"
_PICTURE = re.compile(r"url\((images/[\w.-]+\.png)\)")
_SOURCE_MAP = re.compile(r"//# sourceMappingURL=\S*\s*$")


def own_asset(name: str) -> str:
    """Return a text file of the folder ``assets``."""
    return resources.files("longdry.showing.page").joinpath("assets", name).read_text("utf-8")


def leaflet_script() -> str:
    """Return Leaflet's script without the name of its source map, which a browser would fetch."""
    return _SOURCE_MAP.sub("", _text("leaflet.js")).rstrip() + "\n"


def leaflet_style() -> str:
    """Return Leaflet's style sheet with its pictures inside."""
    text = _text("leaflet.css")
    return _PICTURE.sub(lambda found: f"url({_data_uri(found.group(1))})", text)


def leaflet_file(name: str) -> bytes:
    """Return a file of the Leaflet package as it was published."""
    return resources.files(LEAFLET_PACKAGE).joinpath(_LEAFLET_FOLDER, name).read_bytes()


def content_hash(text: str) -> str:
    """Hash of an inline script or style for a content security policy (W3C CSP Level 3)."""
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"


def _text(name: str) -> str:
    # A browser turns every line end into one LF before it takes the hash.
    return leaflet_file(name).decode("utf-8").replace("\r\n", "\n")


def _data_uri(picture: str) -> str:
    return f"data:image/png;base64,{base64.b64encode(leaflet_file(picture)).decode('ascii')}"
