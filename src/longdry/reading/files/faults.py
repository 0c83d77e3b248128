"""Faults gathered while a file is read: the first ones kept, the rest only counted."""

from __future__ import annotations

from collections.abc import Sequence

from longdry.errors import MOST_FAULTS_TOLD, Fault, InputError


class FaultList:
    """A list of faults that stays small however many a file holds."""

    def __init__(self) -> None:
        self._told: list[Fault] = []
        self._untold = 0

    @property
    def found(self) -> bool:
        """Whether there is any."""
        return bool(self._told)

    @property
    def full(self) -> bool:
        """Whether a further fault would only be counted."""
        return len(self._told) >= MOST_FAULTS_TOLD

    def add(self, faults: Sequence[Fault]) -> None:
        """Keep the faults, or count them once there are ten."""
        room = MOST_FAULTS_TOLD - len(self._told)
        self._told.extend(faults[:room])
        self._untold += len(faults[room:])

    def raise_any(self, origin: str, error: type[InputError]) -> None:
        """Raise one error for all of them; nothing happens where there are none."""
        if self._told:
            raise error(origin, [*self._told, *([self._told[-1]] * self._untold)])
