"""The plan as it goes, with what it has on board: what every what-if starts from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from longdry.computing.pace.profile import PaceProfile
from longdry.computing.stretches.stretches import (
    StretchContext,
    judged,
    stretches_with,
)
from longdry.computing.stretches.verdicts import worst_verdict
from longdry.model.arrays import frozen_floats
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.words import Verdict


@dataclass(frozen=True, slots=True, eq=False)
class SuppliedPlan:
    """Ends, clock and party, and the litres on board.

    Raises
    ------
    ValueError
        Where litres or verdicts are not one for each stretch.
    """

    going: StretchContext
    """The heat in it should not let days of rest off: who is in need moves on them too."""
    ends: tuple[StretchEnd, ...]
    """The start, the counted passes and the end, in travel order."""
    on_board_l: tuple[float, ...]
    """On leaving the beginning of each stretch; ``len(ends) - 1`` of them."""
    planned: tuple[Verdict, ...] = ()
    """Of each stretch by the fill plan, which knows grades and limits; empty: by litres alone.
    No stretch is judged better than that."""
    back: PaceProfile | None = None
    """Moving hours along the route for a party that goes back over it, cumulative from km 0 as
    those onward; None: as onward. On slopes they differ."""
    _as_loaded: dict[int, DryStretch] = field(default_factory=dict, init=False, repr=False)
    """Stretches by index, as judged before: each part of what goes wrong asks for them again."""
    _ends_by_source: dict[str, list[int]] = field(default_factory=dict, init=False, repr=False)
    """Indices of the ends at each source, once they were asked for."""

    def __post_init__(self) -> None:
        count = len(self.ends) - 1
        if len(self.on_board_l) != count:
            raise ValueError(f"{len(self.on_board_l)} amounts on board for {count} stretches")
        if len(self.planned) not in (0, count):
            raise ValueError(f"{len(self.planned)} verdicts for {count} stretches")

    def ends_at(self, source_ids: Iterable[str]) -> list[int]:
        """Return the indices of all ends at some sources, in travel order."""
        if not self._ends_by_source:
            for index, end in enumerate(self.ends):
                if end.water is not None:
                    self._ends_by_source.setdefault(end.water.source.id, []).append(index)
        return sorted(i for one in source_ids for i in self._ends_by_source.get(one, ()))

    def stretch(self, index: int, on_board_l: float | None = None) -> DryStretch:
        """Judge the stretch from end ``index`` to the next.

        Parameters
        ----------
        on_board_l
            On leaving its beginning; None: as the plan has it.
        """
        if on_board_l is not None:
            return self._judged(index, on_board_l)
        if index not in self._as_loaded:
            self._as_loaded[index] = self._judged(index, self.on_board_l[index])
        return self._as_loaded[index]

    def _judged(self, index: int, on_board_l: float) -> DryStretch:
        begin, end = self.ends[index], self.ends[index + 1]
        by_litres = judged(index + 1, begin, end, self.going, on_board_l=on_board_l)
        return self._no_better_than_planned(index, by_litres)

    def _no_better_than_planned(self, index: int, by_litres: DryStretch) -> DryStretch:
        if not self.planned:
            return by_litres
        verdict = worst_verdict([by_litres.verdict, self.planned[index]])
        return by_litres if verdict is by_litres.verdict else replace(by_litres, verdict=verdict)

    def stretches(self) -> tuple[DryStretch, ...]:
        """Judge all of them, in travel order."""
        if len(self._as_loaded) < len(self.on_board_l):
            by_litres = stretches_with(self.ends, self.going, self.on_board_l)
            for index, stretch in enumerate(by_litres):
                self._as_loaded.setdefault(index, self._no_better_than_planned(index, stretch))
        return tuple(self.stretch(index) for index in range(len(self.on_board_l)))


def loaded_as_planned(stretches: Sequence[DryStretch], going: StretchContext) -> SuppliedPlan:
    """Return the plan with what its stretches have on board and their verdicts.

    Parameters
    ----------
    stretches
        As filled, at least one; one that no fill plan has seen counts as left with all it can.
    """
    ends = (stretches[0].begin, *(stretch.end for stretch in stretches))
    return SuppliedPlan(
        going,
        ends,
        tuple(s.available_l if s.on_board_l is None else s.on_board_l for s in stretches),
        tuple(stretch.verdict for stretch in stretches),
    )


def profile_back(of_reversed: PaceProfile) -> PaceProfile:
    """Return the hours back by km of the route as travelled, from those of the route reversed.

    Parameters
    ----------
    of_reversed
        Moving hours of the same route from its end to its start.
    """
    return PaceProfile(
        frozen_floats(of_reversed.km[-1] - of_reversed.km[::-1]),
        frozen_floats(of_reversed.moving_h[-1] - of_reversed.moving_h[::-1]),
    )
