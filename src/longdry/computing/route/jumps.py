"""Jumps and stray points of a line: legs that no way on the ground explains.

A recorder that lost the sky, a point dragged by mistake, two days joined without the way between:
the line then goes straight where nobody knows the way, and its length means nothing there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from longdry.errors import Fault
from longdry.geodesy import LONGEST_TIMED_JUMP_KM, jump_legs
from longdry.model.arrays import FloatArray
from longdry.model.plan.plan import PlanWarning
from longdry.model.route import MeasuredRoute, Route
from longdry.model.water.passes import WaterPass
from longdry.units import rounded_up

_MOST_TOLD = 10


@dataclass(frozen=True, slots=True)
class Jump:
    """One leg of the line, or both legs of a stray point."""

    km: float
    """Where it begins."""
    length_km: float
    """Of both legs together at a stray point."""
    stray: bool = False
    """Whether the line comes back at once: one point lies aside."""

    @property
    def to_km(self) -> float:
        """Where it ends."""
        return self.km + self.length_km


def jumps_of(route: Route, leg_km: FloatArray, chainage_km: FloatArray) -> tuple[Jump, ...]:
    """Return the jumps of a line in its order; two legs that meet in a stray point as one."""
    legs = jump_legs(leg_km, route.part_starts).tolist()
    jumps: list[Jump] = []
    at = 0
    while at < len(legs):
        leg = legs[at]
        stray = at + 1 < len(legs) and legs[at + 1] == leg + 1
        last = leg + 1 if stray else leg
        length_km = float(chainage_km[last + 1] - chainage_km[leg])
        jumps.append(Jump(float(chainage_km[leg]), length_km, stray))
        at += 2 if stray else 1
    return tuple(jumps)


def faults_of_jumps(route: Route, jumps: Sequence[Jump]) -> list[Fault]:
    """Return a fault for each jump that is too wide for a recording; none where it has no times."""
    if not route.timed:
        return []
    return [_fault_of(jump) for jump in jumps if jump.length_km > LONGEST_TIMED_JUMP_KM]


def _fault_of(jump: Jump) -> Fault:
    if jump.stray:
        what = f"one point of the recording lies aside, {jump.length_km / 2.0:.1f} km off its way"
        return Fault(f"km {jump.km:.1f}", what, "take the stray point out")
    what = (
        f"the recording jumps {jump.length_km:.1f} km between two points, more than the"
        f" {LONGEST_TIMED_JUMP_KM:.0f} km that are bridged"
    )
    mend = "draw the missing part, or make it two routes and plan each by itself"
    return Fault(f"km {jump.km:.1f}", what, mend)


def warnings_of_jumps(
    measured: MeasuredRoute, passes: Sequence[WaterPass] = ()
) -> tuple[PlanWarning, ...]:
    """Warn gravely of each jump and stray point, and of the water that is reckoned along one."""
    jumps = jumps_of(measured.route, measured.leg_km, measured.chainage_km)
    notes = [PlanWarning(jump_words(jump, passes), grave=True) for jump in jumps[:_MOST_TOLD]]
    left = len(jumps) - _MOST_TOLD
    if left > 0:
        notes.append(PlanWarning(f"The line has {left} more jumps like these.", grave=True))
    return tuple(notes)


def jump_words(jump: Jump, passes: Sequence[WaterPass] = ()) -> str:
    """Say where a jump or stray point is, and which water is reckoned along it."""
    length = f"{rounded_up(jump.length_km, 0.1):.1f} km"
    if jump.stray:
        text = (
            f"At km {jump.km:.1f} one point lies far aside: a stray point, which makes the route"
            f" {length} longer. Take it out of the line."
        )
    else:
        text = (
            f"At km {jump.km:.1f} the line jumps {length} between two points, where its other"
            " points lie close: nobody knows the way there. Draw it, or look for a part that is"
            " missing."
        )
    names = dict.fromkeys(
        f"{water.source.name} (km {water.km:.1f})"
        for water in passes
        if jump.km < water.km < jump.to_km
    )
    return f"{text} Water reckoned on that leg: {', '.join(names)}." if names else text
