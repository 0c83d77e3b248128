"""Mend: live on a shorter ration from the start on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from longdry.computing.mends.trials import Draft, MendSearch, PlannedAgain, is_better, kept
from longdry.computing.needs.rates import is_drinking
from longdry.model.plan.mends import Mend, MendFigures, MendKind, Saving
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.trip import Trip
from longdry.model.words import Ration
from longdry.units import rounded_down

_CAUTION = (
    "All must hold to the ration, the reserve included; nobody gives up what the heat makes them"
    " drink. Ask for medical advice where somebody needs more."
)


def by_ration(mending: MendSearch, stretches: Sequence[DryStretch]) -> list[Mend]:
    """Return the fullest ration that betters each stretch, and a shorter one that does more."""
    tried = [
        (ration, mending.again(trip=trip))
        for ration in (Ration.LEAN, Ration.BARE)
        if (trip := on_ration(mending.trip, ration))
    ]
    return [mend for stretch in stretches for mend in _of_stretch(mending, stretch, tried)]


def on_ration(trip: Trip, ration: Ration) -> Trip | None:
    """Return the trip with only the uses of a ration, and drinking; None where that saves nothing.

    Drinking is kept whatever the trip says of it.
    """
    uses = tuple(use for use in trip.uses if use.kept_on(ration) or is_drinking(use.name))
    return replace(trip, uses=uses) if 0 < len(uses) < len(trip.uses) else None


def _of_stretch(
    mending: MendSearch, stretch: DryStretch, tried: Sequence[tuple[Ration, PlannedAgain]]
) -> list[Mend]:
    found: list[Mend] = []
    best = stretch.verdict
    for ration, again in tried:
        if is_better(again.verdict_on(stretch), best):
            found += kept(mending, stretch, _draft(mending.trip, stretch, ration), again)
            best = again.verdict_on(stretch)
    return found


def _draft(trip: Trip, stretch: DryStretch, ration: Ration) -> Draft:
    saved = savings(trip, stretch, ration)
    notes = ", ".join(f"{one.use} ({rounded_down(one.litres, 0.1):.1f} L)" for one in saved)
    return Draft(
        MendKind.RATION,
        f"Live on the {ration.value} ration from the start on; on this stretch that gives up"
        f" {notes}.",
        MendFigures(litres=sum(one.litres for one in saved), saved=saved),
        _CAUTION,
    )


def savings(trip: Trip, stretch: DryStretch, ration: Ration) -> tuple[Saving, ...]:
    """Return what each use that a ration gives up takes on the stretch, losses included."""
    on_top = 1.0 + trip.policy.loss_percent / 100.0
    left = {one.ration: one.need for one in stretch.needs}[ration]
    saved: dict[str, float] = {use.use: 0.0 for use in stretch.need.by_use}
    for use in stretch.need.by_use:
        saved[use.use] += use.litres * on_top
    for use in left.by_use:
        saved[use.use] = saved.get(use.use, 0.0) - use.litres * on_top
    return tuple(Saving(name, litres) for name, litres in saved.items() if litres > 0.0)
