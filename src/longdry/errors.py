"""What can go wrong, and whose part it is to mend it.

::

    LongdryError
    ├── InputError            something that the user gave; exit code 2
    │   ├── RouteFileError
    │   ├── WaterLayerError
    │   ├── TripFileError
    │   ├── BookError
    │   ├── BackdropError
    │   ├── TallyError
    │   └── UsageError        the words on the command line
    ├── WorkerError           a process or cluster that plans were sent to is lost; exit code 2
    └── StorageError          a file could not be written; the old one stands; exit code 2
"""

from __future__ import annotations

from collections.abc import Sequence

MOST_FAULTS_TOLD = 10


class Fault:
    """One thing wrong in one place.

    Written out by hand: a named tuple needs `typing`, a tenth of the time that ``--help`` takes.
    """

    __slots__ = ("mend", "what", "where")

    def __init__(self, where: str, what: str, mend: str) -> None:
        self.where = where
        """Place inside the file: 'line 12', 'feature 3 (id "b7")', '[pace] speed_kmh'; or empty."""
        self.what = what
        """What is wrong, with the value that was found."""
        self.mend = mend
        """What the user can do about it."""

    def __str__(self) -> str:
        """One sentence without its full stop."""
        place = f"{self.where}: " if self.where else ""
        return f"{place}{self.what}; {self.mend}"


class LongdryError(Exception):
    """Base of everything that longdry raises on purpose."""


class InputError(LongdryError):
    """Something that the user gave cannot be used.

    Parameters
    ----------
    origin
        The file (or option) at fault.
    faults
        All that is wrong with it; ten at the most are told, the rest are counted.
    """

    def __init__(self, origin: str, faults: Sequence[Fault]) -> None:
        self.origin = origin
        self.faults = tuple(faults)
        super().__init__(self._text())

    @classmethod
    def single(cls, origin: str, where: str, what: str, mend: str) -> InputError:
        """Make the error for one fault."""
        return cls(origin, [Fault(where, what, mend)])

    def _text(self) -> str:
        notes = [str(fault) for fault in self.faults[:MOST_FAULTS_TOLD]]
        left = len(self.faults) - len(notes)
        if left:
            notes.append(f"and {left} more")
        if len(notes) == 1:
            separator = ", " if self.faults[0].where else ": "
            return f"{self.origin}{separator}{notes[0]}."
        return f"{self.origin}:\n" + "\n".join(f"  {line}." for line in notes)


class RouteFileError(InputError):
    """The route cannot be read or cannot be travelled."""


class WaterLayerError(InputError):
    """A layer of water sources cannot be used."""


class TripFileError(InputError):
    """The trip file holds something that cannot be."""


class BookError(InputError):
    """The water book cannot be used or would lose something."""


class BackdropError(InputError):
    """What was to be drawn below the route cannot be used."""


class TallyError(InputError):
    """The tally cannot be used."""


class UsageError(InputError):
    """The command line asks for something that cannot be."""


class WorkerError(LongdryError):
    """A process or a cluster that plans were sent to is lost; nothing was written."""


class StorageError(LongdryError):
    """A file could not be written; what was there before still stands."""
