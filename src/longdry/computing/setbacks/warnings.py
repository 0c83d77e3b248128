"""What the party must read about what goes wrong."""

from __future__ import annotations

from collections.abc import Iterable

from longdry.model.plan.plan import PlanWarning
from longdry.model.plan.setbacks import Setbacks, SitOut
from longdry.units import rounded_down, rounded_up


def warnings_of_setbacks(setbacks: Setbacks) -> list[PlanWarning]:
    """Warn of single sources that life hangs on, and of help that comes too late."""
    return [*_staked(setbacks), *_help_too_late(setbacks.sit_out)]


def _staked(setbacks: Setbacks) -> list[PlanWarning]:
    alone = [one for one in setbacks.dry if len(one.sources) == 1 and one.leaves_neither]
    names = _listed(one.sources[0].name for one in alone)
    if not names:
        return []
    text = (
        f"If one of these is dry, the water carried takes the party neither on nor back: {names}."
        " Never stake a life on one uncertain source: make sure of it, or carry more."
    )
    return [PlanWarning(text, grave=True)]


def _help_too_late(wait: SitOut) -> list[PlanWarning]:
    wanted = wait.wanted
    if wanted is None or wanted.enough:
        return []
    days = f"{rounded_up(wanted.days, 0.1):g}"
    why = (
        "there is no means of calling, and it is looked for only when it is overdue"
        if wait.by_due_back
        else "by the trip"
    )
    text = (
        f"At km {wanted.km:.1f} help may take {days} {'day' if days == '1' else 'days'} ({why}):"
        f" waiting for it asks for {rounded_up(wanted.asked_l, 0.1):.1f} L,"
        f" and {rounded_down(wanted.carried_l, 0.1):.1f} L are carried there."
    )
    return [PlanWarning(text, grave=True)]


def _listed(names: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(names))
