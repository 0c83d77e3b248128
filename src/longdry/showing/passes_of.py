"""The passes of each source, found once."""

from __future__ import annotations

from longdry.model.plan import Plan
from longdry.model.water_pass import WaterPass


def passes_by_source(plan: Plan) -> dict[str, list[WaterPass]]:
    """Passes by the id of their source, by km; a source that is not passed is not in it."""
    found: dict[str, list[WaterPass]] = {}
    for passed in plan.passes:
        found.setdefault(passed.source.id, []).append(passed)
    return found
