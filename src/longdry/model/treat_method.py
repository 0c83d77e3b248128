"""The ways of making water safe, and the fuels to boil it with, by name."""

from __future__ import annotations

from enum import StrEnum


class TreatMethod(StrEnum):
    """The ways of treating water that the plan knows."""

    BOIL = "boil"
    CHLORINE_TABLETS = "chlorine tablets"
    IODINE_TABLETS = "iodine tablets"
    BLEACH = "bleach"
    FILTER = "filter"
    UV = "uv"


DOING = {
    TreatMethod.BOIL: "boiling",
    TreatMethod.CHLORINE_TABLETS: "treating with chlorine tablets",
    TreatMethod.IODINE_TABLETS: "treating with iodine tablets",
    TreatMethod.BLEACH: "treating with bleach",
    TreatMethod.FILTER: "filtering",
    TreatMethod.UV: "treating with UV light",
    None: "treating, by whatever method,",
}
"""What is done, to begin a sentence with; None: the method is not named."""


class Fuel(StrEnum):
    """Fuels whose heating value is known here."""

    PROPANE = "propane"
    BUTANE = "butane"
