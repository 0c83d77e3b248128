"""An online backdrop, checked before the page may ask for it."""

from __future__ import annotations

import re
from urllib.parse import urlsplit

from longdry.errors import Fault, UsageError
from longdry.model.backdrop import OnlineBackdrop
from longdry.reading.files.text import quoted

_PLACES = ("{z}", "{x}", "{y}")
_PLAIN = re.compile(r"https://[A-Za-z0-9.-]+(:[0-9]{1,5})?/[A-Za-z0-9./_~?&=%+:@!*-]*")
"""No character that could end an entry of a content security policy or open a string."""
_OPENSTREETMAP = re.compile(r"(^|\.)(tile\.openstreetmap\.org|tile\.osm\.org)$")
_OPENSTREETMAP_MEND = (
    "the tile usage policy of the OpenStreetMap Foundation bars pages that do not say where they "
    "come from, and a page opened from a file does not; name a provider whose terms allow it"
)


def online_backdrop(url: str | None, attribution: str | None) -> OnlineBackdrop | None:
    """Return the online backdrop that was asked for, None where none was.

    Raises
    ------
    UsageError
        Where one of the two is missing, the address cannot be used, or the provider bars it.
    """
    if url is None and attribution is None:
        return None
    faults = [*_url_faults(url), *_attribution_faults(attribution)]
    if faults or url is None or attribution is None:
        raise UsageError("--online-tiles", faults)
    parts = urlsplit(url)
    origin = f"{parts.scheme}://{parts.netloc}"
    notes = f"Online tiles: the page asks {origin} for them; off the network it shows none."
    return OnlineBackdrop(url, origin, attribution.strip(), (notes,))


def _url_faults(url: str | None) -> list[Fault]:
    if url is None:
        return [
            Fault("", "no address is given", "give --online-tiles https://HOST/{z}/{x}/{y}.png")
        ]
    bare = url
    for place in _PLACES:
        bare = bare.replace(place, "0", 1)
    if any(place not in url for place in _PLACES) or not _PLAIN.fullmatch(bare):
        return [
            Fault(
                "",
                f"{quoted(url)} is no address of tiles",
                "write https://HOST/ with {z}, {x} and {y} once each, and nothing else in braces",
            )
        ]
    if _OPENSTREETMAP.search(urlsplit(url).hostname or ""):
        return [Fault("", "OpenStreetMap's own tile server is not for this", _OPENSTREETMAP_MEND)]
    return []


def _attribution_faults(attribution: str | None) -> list[Fault]:
    if attribution and attribution.strip():
        return []
    return [
        Fault("", "no attribution is given", "add --online-attribution TEXT as the provider asks")
    ]
