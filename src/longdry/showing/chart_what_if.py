"""The what-if line of the profile: what is on board when the worst single failure comes."""

from __future__ import annotations

from longdry.model.plan import Plan
from longdry.model.what_if import WhatIf
from longdry.model.words import Verdict
from longdry.showing.chart_scale import Scale, line, polyline
from longdry.showing.markup import Markup, joined, name_tag
from longdry.showing.measures import Measures
from longdry.showing.setback_words import failure_words
from longdry.showing.wording import needed_l, on_board_l, place_km

_CROSS_PX = 6.0


def drawn_failure(plan: Plan) -> WhatIf | None:
    """Return the failure that the line is drawn for; None where there is nothing to draw."""
    failure = plan.setbacks.worst if plan.setbacks else None
    if failure is None or failure.verdict is Verdict.NO_CONTAINERS:
        return None
    return failure


def what_if_line(failure: WhatIf | None, scale: Scale) -> Markup:
    """Draw what is on board along the stretch that is worst then, down to nothing at the least."""
    if failure is None:
        return Markup()
    begin_km, end_km = failure.worst.begin.km, failure.worst.end.km
    leaves_l, left_l = failure.worst.available_l, _left_l(failure)
    if left_l < 0.0:
        end_km = begin_km + (end_km - begin_km) * leaves_l / (leaves_l - left_l)
    ends = [
        (scale.x(begin_km), scale.y(leaves_l)),
        (scale.x(end_km), scale.y(max(left_l, 0.0))),
    ]
    drawn = [polyline(ends, css) for css in ("what-if-back", "what-if-line")]
    return joined([*drawn, *(_cross(*ends[1]) if left_l < 0.0 else [])])


def what_if_key(failure: WhatIf, measures: Measures) -> Markup:
    """Tell what the line stands for."""
    head = joined(
        ["line of dashes and dots: on board if ", name_tag(failure_words(failure, measures))]
    )
    if _left_l(failure) < 0.0:
        return joined([head, ", with a cross where the water runs out, on the full ration"])
    return joined([head, ", on the full ration"])


def what_if_words(failure: WhatIf | None, measures: Measures) -> str:
    """Tell the line to those who do not see it."""
    if failure is None:
        return ""
    worst, left_l = failure.worst, _left_l(failure)
    left = (
        f"{needed_l(-left_l, measures)} missing"
        if left_l < 0.0
        else f"{on_board_l(left_l, measures)} left"
    )
    return (
        f" If {failure_words(failure, measures)}: {on_board_l(worst.available_l, measures)} at "
        f"{place_km(worst.begin.km, measures)}, {left} at {place_km(worst.end.km, measures)}."
    )


def _left_l(failure: WhatIf) -> float:
    return failure.worst.available_l - failure.worst.need.total_l


def _cross(x: float, y: float) -> list[Markup]:
    near = _CROSS_PX
    return [
        line(x - near, y - near, x + near, y + near, "what-if-end"),
        line(x - near, y + near, x + near, y - near, "what-if-end"),
    ]
