"""What water goes on where the trip file names no use."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.party import DRINKING, Use
from longdry.model.words import Accrual, Grade, Ration


@dataclass(frozen=True, slots=True)
class UsualUse:
    """A use that is assumed, and why."""

    use: Use
    why: str


USUAL_USES = (
    UsualUse(
        Use(DRINKING, 6.0, Grade.POTABLE, Accrual.PERSON_DAY, Ration.BARE),
        "no [[use]] in the trip file; the South Australia parks authority asks for at least "
        "6 L per person and day in remote areas; heat and work can ask for much more",
    ),
    UsualUse(
        Use("cooking", 3.0, Grade.POTABLE, Accrual.PERSON_DAY, Ration.LEAN),
        "no [[use]] in the trip file; least for basic cooking in the Sphere handbook (2004, 2011)",
    ),
    UsualUse(
        Use("washing", 2.0, Grade.NOT_FOR_DRINKING, Accrual.PERSON_DAY, Ration.FULL),
        "no [[use]] in the trip file; least for basic hygiene in the Sphere handbook (2004, 2011)",
    ),
)
