"""What is carried, drawn as the containers that hold it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from longdry.model.plan.fills import VesselLevel
from longdry.model.words import Grade
from longdry.showing.words.markup import Attributes, Markup, tag

_MOST = 5
_TALL = 20.0
_SMALL = 0.5
"""Against the largest: what holds no more is drawn smaller."""


def cans_svg(levels: Iterable[VesselLevel], sizes_l: Mapping[str, float]) -> Markup:
    """Draw the containers, filled as far as they are; water to be treated is hatched.

    The words beside it say the same, so that it is hidden from those who listen.
    """
    shown = [one for one in levels if sizes_l.get(one.vessel, 0.0) > 0.0]
    if not shown:
        return Markup()
    largest = max(sizes_l.values())
    outline, water, raw = "", "", ""
    x = 1.0
    for one in shown[:_MOST]:
        size = sizes_l[one.vessel]
        scale = 1.0 if size > _SMALL * largest else 0.72
        wide, tall = 10.0 * scale, 15.0 * scale
        top = _TALL - 1.5 - tall
        outline += (
            f"M{x:.1f} {top + 2:.1f}l2 -2h{wide - 5:.1f}v-2h2v2l1 2v{tall - 2:.1f}h{-wide:.1f}Z"
        )
        high = (tall - 2.0) * min(one.litres / size, 1.0)
        if high > 0.0:
            box = f"M{x + 1:.1f} {_TALL - 2.5:.1f}h{wide - 2:.1f}v{-high:.1f}h{2 - wide:.1f}Z"
            if one.grade is Grade.POTABLE:
                water += box
            else:
                raw += box
        x += wide + 3.0
    given: Attributes = {
        "class": "cans", "viewBox": f"0 0 {x:.1f} {_TALL:g}", "width": f"{x:.1f}",
        "height": f"{_TALL:g}", "aria-hidden": "true",
    }  # fmt: skip
    drawn = [(water, "can-water"), (raw, "can-raw"), (outline, "can")]
    paths = [tag("path", {"class": css, "d": d}) for d, css in drawn if d]
    more = f"+{len(shown) - _MOST}" if len(shown) > _MOST else ""
    return Markup(tag("svg", given, *paths) + (tag("small", None, more) if more else ""))
