"""What speaks against a source that the plan drinks from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from longdry.computing.certainty import weighed_visits
from longdry.model.dry_stretch import DryStretch
from longdry.model.plan import PlanWarning
from longdry.model.water_pass import WaterPass


def warnings_about_sources(stretches: Sequence[DryStretch]) -> list[PlanWarning]:
    """Warn of counted sources that their own visits speak against, each once.

    >>> warnings_about_sources([])
    []
    """
    counted = {one.end.water.source.id: one.end.water for one in stretches if one.end.water}
    return _dry_by_visit(counted.values())


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
