"""Things that may go wrong, read from plain words: ``delay 2 days at km 410``."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from longdry.errors import Fault, InputError, TripFileError
from longdry.model.trip.what_if import (
    MOST_DELAY_DAYS,
    MOST_HOTTER_C,
    MOST_MORE_PEOPLE,
    MOST_SLOWER_PERCENT,
    Change,
    Delay,
    Drought,
    DrySource,
    Hotter,
    LostContainer,
    LostVehicle,
    MorePeople,
    SlowerPace,
    TreatingFails,
)
from longdry.reading.files.text import quoted

FORMS = (
    "delay 2 days at km 410",
    "delay 1 day",
    "pace 25 % slower",
    "5 C hotter",
    "lose container NAME",
    "lose vehicle NAME",
    "2 more people",
    "dry NAME",
    "treating fails",
    "drought",
)
"""One of each, with NAME for a name of the trip or the layer."""

_WHOLE = r"([0-9]{1,6})"
_NUMBER = r"([0-9]{1,7}(?:\.[0-9]{1,20})?)"
_NAME = r"(\S.*)"


def _delay(days: str, km: str | None) -> Change:
    return Delay(int(days), None if km is None else float(km))


_READERS: tuple[tuple[str, Callable[..., Change]], ...] = (
    (rf"delay {_WHOLE} days?(?: at km {_NUMBER})?", _delay),
    (rf"pace {_NUMBER} ?% slower", lambda share: SlowerPace(float(share))),
    (rf"{_NUMBER} ?°?c hotter", lambda by_c: Hotter(float(by_c))),
    (rf"{_WHOLE} more (?:people|person)", lambda count: MorePeople(int(count))),
    (rf"lose container {_NAME}", lambda name: LostContainer(_bare(name))),
    (rf"lose vehicle {_NAME}", lambda name: LostVehicle(_bare(name))),
    (r"treating fails", TreatingFails),
    (r"drought", Drought),
    (rf"dry {_NAME}", lambda name: DrySource(_bare(name))),
)
_LIMITS = (
    f"days are 1 to {MOST_DELAY_DAYS}, a slower pace 0 to {MOST_SLOWER_PERCENT:g} %, more heat 0 "
    f"to {MOST_HOTTER_C:g} C, more people 1 to {MOST_MORE_PEOPLE}"
)


def read_what_ifs(
    texts: Sequence[str], *, origin: str, error: type[InputError] = TripFileError
) -> tuple[Change, ...]:
    """Read what may go wrong, one text for each; case and extra blanks do not matter.

    Parameters
    ----------
    origin
        The file or the option that the texts come from.
    error
        What to raise: an error of the trip file, or of the words on the command line.

    Raises
    ------
    InputError
        With a fault for every text that has none of the forms, or a figure that cannot be.

    Examples
    --------
    >>> read_what_ifs(["pace 25 % slower", "delay 2 days at km 410"], origin="trip.toml")
    (SlowerPace(percent=25.0), Delay(days=2, km=410.0))
    >>> read_what_ifs([], origin="trip.toml")
    ()
    """
    faults: list[Fault] = []
    found = [_read(text, faults) for text in texts]
    if faults:
        raise error(origin, faults)
    return tuple(one for one in found if one is not None)


def _read(text: str, faults: list[Fault]) -> Change | None:
    words = " ".join(text.split())
    for pattern, reader in _READERS:
        match = re.fullmatch(pattern, words, re.IGNORECASE)
        if match:
            return _made(reader, match, words, faults)
    forms = ", ".join(f'"{form}"' for form in FORMS)
    faults.append(
        Fault("", f"{quoted(words)} is nothing that longdry can ask", f"write one of: {forms}")
    )
    return None


def _made(
    reader: Callable[..., Change], match: re.Match[str], words: str, faults: list[Fault]
) -> Change | None:
    try:
        return reader(*match.groups())
    except ValueError:
        faults.append(Fault("", f"{quoted(words)} is out of range", _LIMITS))
        return None


def _bare(name: str) -> str:
    """Return a name without the quotes around it."""
    quoted = len(name) > len('""') and name[0] == name[-1] == '"'
    return name[1:-1].strip() or name if quoted else name
