"""Jumps and stray points of a line: legs that no way on the ground explains.

A recorder that lost the sky, a point dragged by mistake, two days joined without the way between:
the line then goes straight where nobody knows the way, and its length means nothing there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from longdry.errors import Fault
from longdry.model.arrays import FloatArray, IntArray
from longdry.model.plan.plan import PlanWarning
from longdry.model.route import MeasuredRoute, Route
from longdry.model.water.passes import WaterPass
from longdry.units import rounded_up

LEAST_JUMP_KM = 2.0
"""No shorter leg is a jump, however close the points lie around it."""
TIMES_ITS_NEIGHBOURS = 20.0
"""So many times the median of the ten legs around it. Assumption, no source."""
_ON_EACH_SIDE = 5
_LEAST_NEIGHBOURS = 4
LONGEST_TIMED_JUMP_KM = 20.0
"""A wider one in a recording is another journey, as a break between parts is."""
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


def jump_legs(leg_km: FloatArray, part_starts: IntArray) -> IntArray:
    """Return, ascending, the legs that are jumps: shape (m,).

    A leg of over 2 km and at least 20 times the median of the ten around it (fewer at the ends of
    the line); the bridge of a break between parts is none.

    Parameters
    ----------
    leg_km
        Shape (n - 1,).
    part_starts
        Index of the first point of each unbroken part.

    Examples
    --------
    >>> legs = np.array([0.1, 0.1, 0.1, 5.0, 0.1, 0.1])
    >>> jump_legs(legs, np.array([0])).tolist(), jump_legs(np.full(6, 5.0), np.array([0])).tolist()
    ([3], [])
    >>> jump_legs(np.array([]), np.array([0])).tolist()
    []
    """
    far = np.flatnonzero(leg_km > LEAST_JUMP_KM)
    far = np.setdiff1d(far, part_starts - 1)
    steps = np.concatenate([np.arange(-_ON_EACH_SIDE, 0), np.arange(1, _ON_EACH_SIDE + 1)])
    jumps = [leg for leg in far.tolist() if _is_jump(leg_km, leg, steps)]
    return np.array(jumps, dtype=np.int64)


def _is_jump(leg_km: FloatArray, leg: int, steps: IntArray) -> bool:
    around = leg + steps
    around = around[(around >= 0) & (around < leg_km.size)]
    if around.size < _LEAST_NEIGHBOURS:
        return False
    return bool(leg_km[leg] >= TIMES_ITS_NEIGHBOURS * float(np.median(leg_km[around])))


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
    mend = "cut the recording there and name both parts with --track, or draw the missing part"
    return Fault(f"km {jump.km:.1f}", what, mend)


def warnings_of_jumps(
    measured: MeasuredRoute, passes: Sequence[WaterPass] = ()
) -> tuple[PlanWarning, ...]:
    """Warn gravely of each jump and stray point, and of the water that is reckoned along one."""
    jumps = jumps_of(measured.route, measured.leg_km, measured.chainage_km)
    notes = [PlanWarning(_in_words(jump, passes), grave=True) for jump in jumps[:_MOST_TOLD]]
    left = len(jumps) - _MOST_TOLD
    if left > 0:
        notes.append(PlanWarning(f"The line has {left} more jumps like these.", grave=True))
    return tuple(notes)


def _in_words(jump: Jump, passes: Sequence[WaterPass]) -> str:
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
