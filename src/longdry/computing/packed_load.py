"""What the containers weigh as they are packed, before the first stop, against the payload left."""

from __future__ import annotations

from dataclasses import replace

from longdry.computing.payload import load_kg
from longdry.model.fill import Vessel
from longdry.model.party import Vehicle
from longdry.model.words import Grade
from longdry.units import KG_PER_L_WATER


def packed_kg(vessels: tuple[Vessel, ...], carrier: str) -> float:
    """Give what a carrier bears at the start with what its containers hold then."""
    own = [v for v in vessels if v.carrier == carrier]
    return load_kg(sum(v.holds_l for v in own), sum(v.tare_kg for v in own))


def within_payload(
    vessels: tuple[Vessel, ...], carriers: tuple[Vehicle, ...]
) -> tuple[Vessel, ...]:
    """Return the containers with what is too heavy at the start left behind, lower water first.

    Examples
    --------
    Without carriers nothing is too heavy:

    >>> within_payload((), ())
    ()
    """
    lightened = list(vessels)
    for carrier in carriers:
        over_l = (packed_kg(vessels, carrier.name) - carrier.payload_left_kg) / KG_PER_L_WATER
        for index in _lower_first(vessels, carrier.name):
            off_l = min(max(over_l, 0.0), vessels[index].holds_l)
            lightened[index] = replace(vessels[index], holds_l=vessels[index].holds_l - off_l)
            over_l -= off_l
    return tuple(lightened)


def _lower_first(vessels: tuple[Vessel, ...], carrier: str) -> list[int]:
    own = [index for index, vessel in enumerate(vessels) if vessel.carrier == carrier]
    return sorted(own, key=lambda index: vessels[index].holds_grade is Grade.POTABLE)
