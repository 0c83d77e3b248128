"""Nights at water that gives less than the party uses there."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.computing.fills.problem import potable_first
from longdry.computing.fills.settled import SettledTrip
from longdry.computing.fills.stays import stay_shares
from longdry.model.plan.stretch import StretchEnd
from longdry.model.words import Ration, Verdict
from longdry.units import UNSEEN_L, rounded_down, rounded_up


@dataclass(frozen=True, slots=True)
class ThinStay:
    """Nights at water that gives less than the party uses there."""

    end: StretchEnd
    used_l: float
    carried_l: float
    """What the party uses there of the water that it carries."""
    is_covered: bool
    """Whether it is carried there, beyond the need of the way and the reserve."""

    @property
    def words(self) -> str:
        """Return it in two sentences."""
        lacks = f"{rounded_up(self.carried_l, 0.1):.1f} L"
        rest = (
            f"The other {lacks} come out of what is carried there"
            if self.is_covered
            else f"The other {lacks} are missing for need and reserve: camp elsewhere, carry more"
        )
        return (
            f"The stay at {self.end.label} (km {self.end.km:.1f}) uses"
            f" {rounded_up(self.used_l, 0.1):.1f} L, and the water there gives"
            f" {rounded_down(self.used_l - self.carried_l, 0.1):.1f} L of it. {rest}."
        )


def thin_stays(settled: SettledTrip) -> list[ThinStay]:
    """Return the nights at water whose limit or flow does not give what they use, worst first."""
    if settled.filling is None:
        return []
    demand = settled.journey.demand
    shares = stay_shares(settled.stretches, demand, potable_first)
    found = [
        ThinStay(
            share.stay.end,
            share.stay.used_l(demand),
            share.carried_l[Ration.FULL],
            before.verdict is Verdict.CLEAR,
        )
        for share, before in zip(shares, settled.stretches[:-1], strict=True)
        if share.carried_l[Ration.FULL] > UNSEEN_L
    ]
    return sorted(found, key=lambda one: (one.is_covered, -one.carried_l))
