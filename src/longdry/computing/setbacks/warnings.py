"""What the party must read about what goes wrong."""

from __future__ import annotations

from collections.abc import Iterable

from longdry.model.plan.plan import PlanWarning
from longdry.model.plan.setbacks import Setbacks, SitOut, Survival
from longdry.units import rounded_down


def warnings_of_setbacks(setbacks: Setbacks | None, survival: Survival | None) -> list[PlanWarning]:
    """Warn of single sources that life hangs on, and of help that comes too late."""
    if setbacks is None:
        return []
    return [
        *_staked(setbacks),
        *_not_survived(survival),
        *_help_too_late(setbacks.sit_out),
    ]


def _staked(setbacks: Setbacks) -> list[PlanWarning]:
    alone = [one for one in setbacks.dry if len(one.sources) == 1 and one.leaves_neither]
    names = _listed(one.sources[0].name for one in alone)
    if not names:
        return []
    text = (
        f"If one of these is dry, the water on board takes the party neither on nor back: {names}."
        " Never stake a life on one uncertain source: make sure of it, or carry more."
    )
    return [PlanWarning(text, grave=True)]


def _not_survived(survival: Survival | None) -> list[PlanWarning]:
    if survival is None or not survival.breaks:
        return []
    names = _listed(source.name for source in survival.breaks)
    text = f"No filling of these containers can survive that this source is dry: {names}."
    return [PlanWarning(text, grave=True)]


def _help_too_late(wait: SitOut) -> list[PlanWarning]:
    if wait.help_days is None or wait.lasts_until_help:
        return []
    text = (
        f"At km {wait.at_km:.1f} the water on board lasts {_days_down(wait.least_days)} days of"
        f" waiting, and help needs {wait.help_days:g} {'day' if wait.help_days == 1.0 else 'days'}."
    )
    return [PlanWarning(text, grave=True)]


def _days_down(days: float) -> str:
    return f"{rounded_down(days, 0.1):.1f}"


def _listed(names: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(names))
