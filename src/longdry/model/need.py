"""Litres that a stretch asks for."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.words import Grade


@dataclass(frozen=True, slots=True)
class UseNeed:
    """Litres of one use over a stretch."""

    use: str
    litres: float
    grade: Grade
    """The lowest grade that the use takes."""


@dataclass(frozen=True, slots=True)
class Need:
    """Litres for a stretch on one ration."""

    by_use: tuple[UseNeed, ...]
    losses_l: float
    """Spill and evaporation on top of the uses, in the proportion of their grades."""

    @property
    def total_l(self) -> float:
        """Uses and losses together."""
        return sum(use.litres for use in self.by_use) + self.losses_l

    @property
    def potable_l(self) -> float:
        """What must be potable (or treated) water, losses in proportion."""
        uses_l = sum(use.litres for use in self.by_use)
        if uses_l == 0.0:
            return self.losses_l
        potable = sum(use.litres for use in self.by_use if use.grade is Grade.POTABLE)
        return potable * (1.0 + self.losses_l / uses_l)

    @property
    def any_l(self) -> float:
        """What may be water of a lower grade, losses in proportion."""
        return self.total_l - self.potable_l
