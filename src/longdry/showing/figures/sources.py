"""Figures of a source, as the layers have them."""

from __future__ import annotations

from longdry.model.water.source import WaterSource
from longdry.showing.figures.figure import Figure, ToldIn
from longdry.showing.words.markup import clipped_name

_JSON = ToldIn.DOCUMENT


def _months(source: WaterSource) -> list[int] | None:
    return sorted(source.months) if source.months is not None else None


SOURCE_FIGURES: tuple[Figure[WaterSource], ...] = (
    Figure("name", "", "as the layer has it", lambda s: s.name, shown=clipped_name),
    Figure("lat_deg", "°", "WGS 84", lambda s: s.lat_deg, _JSON),
    Figure("lon_deg", "°", "WGS 84", lambda s: s.lon_deg, _JSON),
    Figure(
        "grade",
        "",
        "`potable`, `treat-before-drinking` or `not-for-drinking`; null where the layer says "
        "nothing",
        lambda s: s.grade.value if s.grade else None,
    ),
    Figure("kind", "", "the layer's word", lambda s: s.kind),
    Figure("access", "", "how to get at the water", lambda s: s.access),
    Figure("flow_l_per_min", "L/min", "null where it is not known", lambda s: s.flow_l_per_min),
    Figure(
        "limit_l",
        "L",
        "what may be taken at all passes of a trip together; null: not limited",
        lambda s: s.limit_l,
    ),
    Figure("months", "", "1 to 12 in which it holds; null: not known", _months, _JSON),
    Figure("tds_mg_per_l", "mg/L", "dissolved solids; null: not known", lambda s: s.tds_mg_per_l),
    Figure("open_from_hour", "h", "of the day; null: not known", lambda s: s.open_from_hour),
    Figure("open_to_hour", "h", "of the day; null: not known", lambda s: s.open_to_hour),
    Figure(
        "cost_per_l",
        "money/L",
        "in the money of the layer; null: not known",
        lambda s: s.cost_per_l,
    ),
    Figure("note", "", "of the layer", lambda s: s.note),
    Figure("laid_by_us", "", "of a cache: that the party laid it", lambda s: s.laid_by_us, _JSON),
    Figure(
        "laid_on",
        "",
        "of a cache: the day on which the party laid it; null: not known",
        lambda s: s.laid_on.isoformat() if s.laid_on else None,
        _JSON,
    ),
    Figure("own", "", "false where nobody of the party has seen it", lambda s: s.own, _JSON),
    Figure("retired", "", "why it is no longer counted; null while it is", lambda s: s.retired),
)
