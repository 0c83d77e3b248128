"""The folium map: its element and its script, with ids that do not change from run to run."""

from __future__ import annotations

from dataclasses import dataclass
from types import ModuleType
from typing import Any

from longdry.showing.map.line import Track

GROUPS = ("route", "tags", "water", "ways", "uncounted", "camps", "turns", "waits", "marks", "grid")
"""Layers of the map that can be switched; the route itself always shows."""
CLOSEST_ZOOM = 17


@dataclass(frozen=True, slots=True)
class MapParts:
    """What a page needs of the map."""

    html: str
    """The element that holds it."""
    script: str
    """The script that builds it; ``longdryMap`` must stand before it."""


def map_parts(track: Track) -> MapParts:
    """Build the map with folium and take the element and the script out of its figure."""
    import folium.template  # noqa: PLC0415 - half a second: only where a page is made

    canvas = folium.Map(
        location=[float(track.lat_deg[0]), float(track.lon_deg[0])],
        tiles=None,
        zoom_control="bottomleft",
        attribution_control=False,
        fade_animation=False,
        world_copy_jump=False,
        zoom_snap=0.25,
    )
    canvas.options["max_zoom"] = CLOSEST_ZOOM  # folium keeps its own argument for tiles
    groups = {name: folium.FeatureGroup(name=name, control=False) for name in GROUPS}
    for number, element in enumerate((canvas, *groups.values()), 1):
        element._id = str(number)  # noqa: SLF001 - folium takes its ids from the system's dice
    for group in groups.values():
        group.add_to(canvas)
    _behaviour(folium, canvas, groups).add_to(canvas)
    figure: Any = canvas.get_root()
    canvas.render()  # type: ignore[no-untyped-call]  # puts its parts into the figure
    return MapParts(figure.html.render(), figure.script.render())


def _behaviour(folium: ModuleType, canvas: Any, groups: dict[str, Any]) -> Any:  # noqa: ANN401 - folium is untyped
    call = folium.MacroElement()
    call._template = folium.template.Template(  # noqa: SLF001 - branca's own way of giving a template
        "{% macro script(this, kwargs) %}\nlongdryMap({{ this.call }});\n{% endmacro %}"
    )
    named_groups = ", ".join(f"{name}: {group.get_name()}" for name, group in groups.items())
    call.call = f"{canvas.get_name()}, {{{named_groups}}}"
    return call
