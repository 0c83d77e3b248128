"""The folium map: its element and its script, with ids that do not change from run to run."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

import numpy as np

from longdry.showing.map.drawn_line import Track
from longdry.showing.map.postponed import postponed

GROUPS = ("route", "tags", "water", "ways", "uncounted", "camps", "turns", "waits", "marks", "grid")
"""Layers of the map that can be switched; the route itself always shows."""
_RANDOM_ID = re.compile(r"\b([a-z_]+)_([0-9a-f]{32})\b")


@dataclass(frozen=True, slots=True)
class MapParts:
    """What a page needs of the map."""

    html: str
    """The element that holds it."""
    script: str
    """The script that builds it; ``longdryMap`` must stand before it."""


def map_parts(track: Track) -> MapParts:
    """Build the map with folium and take the element and the script out of its figure."""
    with postponed("pandas", "requests"):  # folium uses them for data that this page never hands it
        import folium  # noqa: PLC0415 - loaded when needed

    start: Any = np.array([track.lat_deg[0], track.lon_deg[0]])  # folium asks pandas what a list is
    canvas = folium.Map(
        location=start,
        tiles=None,
        zoom_control="bottomleft",
        attribution_control=False,
        fade_animation=False,
        world_copy_jump=False,
        max_zoom=17,
        zoom_snap=0.25,
    )
    groups = {name: folium.FeatureGroup(name=name, control=False) for name in GROUPS}
    for group in groups.values():
        group.add_to(canvas)
    _behaviour(canvas, groups).add_to(canvas)
    figure: Any = canvas.get_root()
    canvas.render()  # type: ignore[no-untyped-call]  # puts its parts into the figure
    return _numbered(MapParts(figure.html.render(), figure.script.render()))


def _behaviour(canvas: Any, groups: dict[str, Any]) -> Any:  # noqa: ANN401 - folium is untyped
    from branca.element import MacroElement  # noqa: PLC0415 - loaded when needed
    from folium.template import Template  # noqa: PLC0415 - loaded when needed

    call: Any = MacroElement()  # type: ignore[no-untyped-call]  # branca is untyped
    call._template = Template(  # noqa: SLF001 - branca's own way of giving a template
        "{% macro script(this, kwargs) %}\nlongdryMap({{ this.call }});\n{% endmacro %}"
    )
    named_groups = ", ".join(f"{name}: {group.get_name()}" for name, group in groups.items())
    call.call = f"{canvas.get_name()}, {{{named_groups}}}"
    return call


def _numbered(parts: MapParts) -> MapParts:
    numbers: dict[str, int] = {}

    def plain(found: re.Match[str]) -> str:
        number = numbers.setdefault(found.group(2), len(numbers) + 1)
        return f"{found.group(1)}_{number}"

    return MapParts(_RANDOM_ID.sub(plain, parts.html), _RANDOM_ID.sub(plain, parts.script))
