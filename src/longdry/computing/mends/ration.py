"""Mend: live on a shorter ration from the start on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from longdry.computing.mends.trials import MendSearch, Proposal
from longdry.computing.needs.rates import is_drinking
from longdry.model.plan.mends import MendFigures, MendKind, Saving
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.trip import Trip
from longdry.model.words import Accrual, Ration
from longdry.units import rounded_down

_CAUTION = (
    "All must hold to the ration, the reserve included; nobody saves on drinking. Ask for medical"
    " advice where somebody needs more."
)


def by_ration(search: MendSearch, stretch: DryStretch) -> Iterator[Proposal]:
    """Yield the lean ration, then the bare one, where they save anything."""
    for ration in (Ration.LEAN, Ration.BARE):
        trip = on_ration(search.trip, ration)
        if trip is None:
            continue
        prepared = search.with_trip(trip)
        promise = search.guess(stretch, prepared)
        if promise is None:
            continue
        saved = savings(search.trip, stretch, ration)
        listed = ", ".join(f"{one.use} ({rounded_down(one.litres, 0.1):.1f} L)" for one in saved)
        yield Proposal(
            MendKind.RATION,
            f"Live on the {ration.value} ration {since_when(search.trip)}; on this stretch that"
            f" gives up {listed}.",
            _CAUTION,
            prepared,
            search.water,
            promise,
            MendFigures(litres=sum(one.litres for one in saved), saved=saved),
            key=(MendKind.RATION, ration),
        )


def since_when(trip: Trip) -> str:
    """Return from when on a party can live otherwise."""
    return "from here on" if trip.here else "from the start on"


def on_ration(trip: Trip, ration: Ration) -> Trip | None:
    """Return the trip with only the uses of a ration, and drinking; None where that saves nothing.

    Drinking, and water that is always carried, are kept whatever the trip says of them.
    """
    uses = tuple(
        use
        for use in trip.uses
        if use.kept_on(ration) or is_drinking(use.name) or use.per is Accrual.ALWAYS
    )
    return replace(trip, uses=uses) if 0 < len(uses) < len(trip.uses) else None


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
