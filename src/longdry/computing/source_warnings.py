"""What speaks against a source that the plan drinks from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from longdry.computing.certainty import weighed_visits
from longdry.model.dry_stretch import DryStretch
from longdry.model.plan import PlanWarning
from longdry.model.water_pass import WaterPass

MOST_SOLIDS_MG_PER_L = 1200.0
"""Above this people find water unacceptable to drink (WHO/SDE/WSH/03.04/16, 'Total dissolved solids
in drinking-water')."""


def warnings_about_sources(stretches: Sequence[DryStretch]) -> list[PlanWarning]:
    """Warn of counted sources that visits or dissolved solids speak against, each once.

    >>> warnings_about_sources([])
    []
    """
    counted = {one.end.water.source.id: one.end.water for one in stretches if one.end.water}
    return [*_dry_by_visit(counted.values()), *_salty(counted.values())]


def _dry_by_visit(counted: Iterable[WaterPass]) -> list[PlanWarning]:
    told = []
    for water in counted:
        visits = weighed_visits(water.source, water.on)
        if water.judgement.by_hand and visits and not visits[-1].wet:
            last = visits[-1].visit
            text = (
                f"{water.source.name} counts because its certainty is set by hand to"
                f" {water.judgement.certainty.value}, yet the last visit, on {last.on.isoformat()},"
                f" found it {last.found.value}."
            )
            told.append(PlanWarning(text, grave=True))
    return told


def _salty(counted: Iterable[WaterPass]) -> list[PlanWarning]:
    return [
        PlanWarning(
            f"{water.source.name} counts as water to drink with"
            f" {water.source.tds_mg_per_l:g} mg/L of dissolved solids: above"
            f" {MOST_SOLIDS_MG_PER_L:g} mg/L is unacceptable (WHO), and boiling, chlorine, UV and"
            " filters leave salt in it."
        )
        for water in counted
        if (water.source.tds_mg_per_l or 0.0) > MOST_SOLIDS_MG_PER_L
    ]
