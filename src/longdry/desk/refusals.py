"""What the desk refuses, and the sentences that it answers with."""

from __future__ import annotations

import re
from collections.abc import Sequence

from longdry.errors import MOST_FAULTS_TOLD, Fault, InputError, LongdryError, TripFileError
from longdry.showing.figures.figure import Json

FORBIDDEN, NOT_FOUND, CONFLICT, CANNOT_BE = 403, 404, 409, 422


class RefusedError(LongdryError):
    """A wish that is not granted; nothing was written."""

    def __init__(self, status: int, where: str, what: str, mend: str) -> None:
        self.status = status
        self.fault = Fault(where, what, mend)
        super().__init__(f"{self.fault}.")


class TripFaultsError(LongdryError):
    """Values of a trip file that cannot be; nothing was written."""

    def __init__(self, name: str, faults: Sequence[Fault]) -> None:
        self.faults = [trip_fault_json(name, fault) for fault in faults]
        super().__init__(first_words(self.faults))


def answer_to(error: LongdryError) -> tuple[int, Json]:
    """Return status and body for an error: each fault with its place, and in one sentence."""
    status = error.status if isinstance(error, RefusedError) else CANNOT_BE
    return status, {"faults": told_faults(error)}


def told_faults(error: LongdryError) -> list[Json]:
    """Return all that an error tells, ten faults at the most."""
    if isinstance(error, RefusedError):
        return [fault_json("", error.fault)]
    if isinstance(error, TripFaultsError):
        return error.faults
    if isinstance(error, InputError):
        tell = trip_fault_json if isinstance(error, TripFileError) else fault_json
        return [tell(error.origin, fault) for fault in error.faults[:MOST_FAULTS_TOLD]]
    return [{"origin": "", "where": "", "what": str(error), "mend": "", "sentence": str(error)}]


def fault_json(origin: str, fault: Fault) -> Json:
    """Return one fault; ``sentence`` is what the command line would say."""
    between = "" if not origin else ", " if fault.where else ": "
    return {
        "origin": origin,
        "where": fault.where,
        "what": fault.what,
        "mend": fault.mend,
        "sentence": f"{origin}{between}{fault}.",
    }


_PLACE = re.compile(
    r"(?:\[\[(?P<many>\w+)\]\] (?P<number>\d+)(?:, (?P<item>[^ ]+))?"
    r"|\[(?P<one>\w+)\](?: (?P<key>[^ (]+))?|(?P<top>[\w-]+))(?: \(line \d+\))?"
)


def trip_fault_json(origin: str, fault: Fault) -> Json:
    """Return a fault of a trip file with its section, number and key.

    >>> told = trip_fault_json("trip.toml", Fault("[[use]] 2, litres (line 9)", "is 0", "mend it"))
    >>> told["section"], told["number"], told["key"]
    ('use', 2, 'litres')
    """
    told = fault_json(origin, fault)
    found = _PLACE.fullmatch(fault.where)
    if found is None:
        return {**told, "section": None, "number": None, "key": None}
    section = found["many"] or found["one"] or ""
    number = int(found["number"]) if found["number"] else None
    key = found["item"] or found["key"] or found["top"]
    return {**told, "section": section, "number": number, "key": key}


def first_words(faults: Sequence[Json]) -> str:
    """Return the first sentence; empty where there is none."""
    return str(faults[0]["sentence"]) if faults else ""
