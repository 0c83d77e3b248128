"""The folium map: its element and its script, with ids that do not change from run to run."""

from __future__ import annotations

from dataclasses import dataclass
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
    """Build the map with folium and take its element and its script, as its templates write them.

    A page of folium's own is not built: it compiles each piece of script as one more template.
    """
    import folium.elements  # noqa: PLC0415 - half a second: only where a page is made

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
    parts: list[Any] = [canvas]
    for number, element in enumerate((canvas, *groups.values()), 1):
        element._id = str(number)  # noqa: SLF001 - folium takes its ids from the system's dice
    for group in groups.values():
        shown = folium.elements.ElementAddToElement(group.get_name(), canvas.get_name())
        parts += [group, shown]
    named_groups = ", ".join(f"{name}: {group.get_name()}" for name, group in groups.items())
    call = f"\nlongdryMap({canvas.get_name()}, {{{named_groups}}});"
    scripts = [*(_written("script", part) for part in parts), call]
    return MapParts(_set_in(_written("html", canvas)), "".join(map(_set_in, scripts)))


def _written(macro: str, element: Any) -> str:  # noqa: ANN401 - folium is untyped
    """Return what a macro of its template writes of an element."""
    return str(getattr(element._template.module, macro)(element, {}))  # noqa: SLF001 - see above


def _set_in(text: str) -> str:
    return f"\n    {text}"
