"""The plan as it goes, with what it has on board: what every what-if starts from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from longdry.computing.pace_profile import PaceProfile
from longdry.computing.stretches import Going, dry_stretches, judged
from longdry.model.dry_stretch import DryStretch, StretchEnd


@dataclass(frozen=True, slots=True, eq=False)
class LoadedPlan:
    """Ends, clock and party, and the litres on board.

    Raises
    ------
    ValueError
        Where the litres are not one for each stretch.
    """

    going: Going
    ends: tuple[StretchEnd, ...]
    """The start, the counted passes and the end, in travel order."""
    on_board_l: tuple[float, ...]
    """On leaving the beginning of each stretch; ``len(ends) - 1`` of them."""
    back: PaceProfile | None = None
    """Moving hours along the route for a party that goes back over it, cumulative from km 0 as
    those onward; None: as onward. On slopes they differ."""

    def __post_init__(self) -> None:
        if len(self.on_board_l) != len(self.ends) - 1:
            raise ValueError(
                f"{len(self.on_board_l)} amounts on board for {len(self.ends) - 1} stretches"
            )

    def stretch(self, index: int) -> DryStretch:
        """Judge the stretch from end ``index`` to the next with what is on board there."""
        return judged(
            index + 1,
            self.ends[index],
            self.ends[index + 1],
            self.going,
            on_board_l=self.on_board_l[index],
        )

    def stretches(self) -> tuple[DryStretch, ...]:
        """Judge all of them, in travel order."""
        return tuple(self.stretch(index) for index in range(len(self.on_board_l)))


def loaded_full(ends: Sequence[StretchEnd], going: Going) -> LoadedPlan:
    """Return the plan of a party that fills everything wherever there is water.

    What the trip says of the start holds there. For as long as no fill plan says better.
    """
    full = tuple(stretch.available_l for stretch in dry_stretches(ends, going))
    return LoadedPlan(going, tuple(ends), full)
