"""What to do at one stop, line by line: the same on the page, on the sheet and in the terminal.

A stop has a fill for each of its waters; containers go by the names that the fill plan gives them,
and like ones are told together.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from longdry.model.plan.fills import Decant, Fill, Pour
from longdry.model.plan.plan import Plan
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.plan.treating import StopTreatment
from longdry.model.trip.party import Use
from longdry.model.words import FillTo, Grade
from longdry.showing.words.amounts import minutes_words, offset_words, on_board_words, poured_words
from longdry.showing.words.fills import does_something, left_lines, treat_words
from longdry.showing.words.measures import Measures
from longdry.showing.words.sources import GRADE_WORDS
from longdry.units import TOLERANCE_L, UNSEEN_L

_TREAT_FIRST = "treat before it goes in"
_TREATED = "treated"
_SHORT = {_TREAT_FIRST: "treat first"}
"""Where containers of one stop differ, behind each of them."""


class StopKind(StrEnum):
    """What a line is about."""

    FIRST = "first"
    """To be done before any water is taken."""
    TAKE = "take"
    INTO = "into"
    """One container, or several that are filled alike."""
    TREAT = "treat"
    MORE = "more"


class Named(str):
    """A name from a file within a line."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class StopLine:
    """One line, in parts; those that are names from a file are ``Named``."""

    kind: StopKind
    parts: tuple[str, ...]

    def words(self, write_name: Callable[[str], str] = str) -> str:
        """Join the parts to plain text."""
        return "".join(write_name(part) if isinstance(part, Named) else part for part in self.parts)


@dataclass(frozen=True, slots=True)
class StopFill:
    """What is done at one water of a stop."""

    index: int
    """Of the fill in the plan."""
    fill: Fill
    treating: StopTreatment | None
    """None where the party cannot treat."""


def fills_by_stretch(plan: Plan) -> list[tuple[StopFill, ...]]:
    """Return the fills at the beginning of each stretch, in the order in which they are done.

    A stop with several waters has a fill for each, a start without water of its own has one. Where
    the trip names no containers there are none.
    """
    if plan.fills is None:
        return [()] * len(plan.stretches)
    treated = plan.treating.by_stop if plan.treating else itertools.repeat(None)
    fills = map(StopFill, itertools.count(), plan.fills.fills, treated)
    return [
        tuple(itertools.islice(fills, max(1, len(stretch.begin.waters))))
        for stretch in plan.stretches
    ]


def shown_fills(plan: Plan) -> list[tuple[DryStretch, tuple[StopFill, ...]]]:
    """Return the start and every stop at which something is done, with the stretch that begins.

    Of a stop with several waters those stay out at which nothing is done; what the party leaves
    with is told after the last of the others.
    """
    shown = []
    for stretch, fills in zip(plan.stretches, fills_by_stretch(plan), strict=True):
        busy = tuple(one for one in fills if does_something(one.fill, one.treating))
        if not busy and stretch.begin.water is None:
            busy = fills[-1:]
        if busy:
            shown.append((stretch, busy))
    return shown


def stop_lines(
    fill: Fill, treating: StopTreatment | None, sizes_l: Mapping[str, float], measures: Measures
) -> list[StopLine]:
    """Return every line in the order in which things are done.

    Parameters
    ----------
    treating
        What is treated at this stop and on the way after it; None where nothing is known of it.
    sizes_l
        Of each single container to its mark, by the fill plan's names.
    measures
        The units to write figures in.
    """
    treated = treat_words(treating, measures)
    kept_l = fill.left_l - sum(_in_the_way_l(fill).values())
    more = [
        *([f"costs {fill.cost:,.2f}"] if fill.cost > 0.0 else []),
        *left_lines(kept_l, measures),
    ]
    return [
        *(StopLine(StopKind.FIRST, parts) for parts in _first(fill, sizes_l, measures)),
        *_taking(fill, sizes_l, measures),
        *([StopLine(StopKind.TREAT, (treated,))] if treated else []),
        *(StopLine(StopKind.MORE, (words,)) for words in more),
    ]


def _first(
    fill: Fill, sizes_l: Mapping[str, float], measures: Measures
) -> Iterator[tuple[str, ...]]:
    """Tell what is done before water is taken: a container is empty before it is cleaned."""
    yield from _drawn_off(fill, measures)
    before = [one for one in fill.decants if one.from_vessel in fill.cleaned]
    yield from _decants(before, sizes_l, measures)
    for vessel in fill.cleaned:
        yield "clean ", Named(vessel), " first"
    after = [one for one in fill.decants if one.from_vessel not in fill.cleaned]
    yield from _decants(after, sizes_l, measures)


def _drawn_off(fill: Fill, measures: Measures) -> Iterator[tuple[str, ...]]:
    """Tell what comes out of which container, to be treated or to make room for other water."""
    for vessel, litres in _treated_l(fill).items():
        yield f"draw {poured_words(litres, measures)} off ", Named(vessel), " and treat them"
    for vessel, litres in _in_the_way_l(fill).items():
        yield f"pour {poured_words(litres, measures)} out of ", Named(vessel)


def _treated_l(fill: Fill) -> dict[str, float]:
    """Return the litres of each container that are treated into another one.

    What goes treated into containers and does not come from the source comes from containers.
    """
    if fill.grade is Grade.POTABLE or fill.treated_l <= 0.0:
        return {}
    potable_l = sum(pour.litres for pour in fill.into if pour.grade is Grade.POTABLE)
    raw_l = sum(pour.litres for pour in fill.into if pour.grade is not Grade.POTABLE)
    rest_l = potable_l - max(0.0, fill.take_l - raw_l)
    found: dict[str, float] = {}
    for level in fill.drawn_off:
        litres = min(level.litres, rest_l) if level.grade is not Grade.POTABLE else 0.0
        if litres > TOLERANCE_L:
            found[level.vessel] = litres
            rest_l -= litres
    return found


def _in_the_way_l(fill: Fill) -> dict[str, float]:
    """Return the litres that must leave a container because other water goes into it.

    Water that is over and in nobody's way is told as such and needs no order.
    """
    refilled = {pour.vessel for pour in fill.into} | {one.into_vessel for one in fill.decants}
    treated = _treated_l(fill)
    rest = {one.vessel: one.litres - treated.get(one.vessel, 0.0) for one in fill.drawn_off}
    return {
        vessel: litres
        for vessel, litres in rest.items()
        if litres > TOLERANCE_L and vessel in refilled.union(fill.cleaned)
    }


def beside_words(end: StretchEnd, uses: Iterable[Use], measures: Measures) -> list[tuple[str, ...]]:
    """Tell the water of a stop that is not for drinking, and what it may be used for there."""
    names = [use.name for use in uses if use.grade is Grade.NOT_FOR_DRINKING]
    for_what: list[str] = []
    for name in names:
        for_what += [", ", Named(name)] if for_what else [Named(name)]
    return [
        (
            Named(water.source.name),
            f" ({offset_words(water.way_km, measures)}) is not for drinking: use it there for ",
            *for_what,
            ", and keep it out of the cans",
        )
        for water in end.beside
    ]


def leave_words(fill: Fill, sizes_l: Mapping[str, float], measures: Measures) -> tuple[str, str]:
    """Return the litres to leave with, and the part of them that is to be treated or nothing.

    They are rounded up, but not beyond what the containers hold: then all are full.
    """
    board = fill.leaving
    part = f"{poured_words(board.treat_l, measures)} of it to treat" if board.treat_l > 0.0 else ""
    if board.total_l >= sum(sizes_l.values()) - UNSEEN_L:
        return f"{on_board_words(board.total_l, measures)}, all full", part
    return poured_words(board.total_l, measures), part


def _decants(
    decants: Sequence[Decant], sizes_l: Mapping[str, float], measures: Measures
) -> list[tuple[str, ...]]:
    """Tell what is poured over in its order, pours into like containers together."""

    def like(decant: Decant) -> tuple[str, str, str]:
        base, _ = numbered(decant.into_vessel, sizes_l)
        stays = decant.from_vessel == decant.into_vessel
        into = decant.into_vessel if stays else base
        return decant.from_vessel, poured_words(decant.litres, measures), into

    notes: list[tuple[str, ...]] = []
    for (from_vessel, litres, into), group in itertools.groupby(decants, like):
        members = list(group)
        if from_vessel == members[0].into_vessel:
            counts = f" ({litres}) counts as {GRADE_WORDS[members[0].grade]} from here on"
            notes.append(("what is in ", Named(into), counts))
        else:
            numbers = [numbered(one.into_vessel, sizes_l)[1] for one in members]
            notes.append(_poured(from_vessel, litres, into, numbers))
    return notes


def _poured(from_vessel: str, litres: str, base: str, numbers: Sequence[str]) -> tuple[str, ...]:
    which = ranges(int(number) for number in numbers if number)
    each = " each" if len(numbers) > 1 else ""
    into = (Named(base), f" {which}" if which else "")
    return (f"pour {litres}{each} from ", Named(from_vessel), " into ", *into)


def _taking(fill: Fill, sizes_l: Mapping[str, float], measures: Measures) -> list[StopLine]:
    care = {pour.vessel: _care(pour, fill.grade) for pour in fill.into}
    if fill.take_l <= 0.0:
        treated = dict.fromkeys(care, _TREATED)
        return [
            StopLine(StopKind.TAKE, ("take nothing",)),
            *_into(fill, treated, sizes_l, measures),
        ]
    is_alike = len(set(care.values())) == 1
    of_all = next(iter(care.values()), "") if is_alike else ""
    time = f" ({minutes_words(fill.minutes)})" if fill.source is not None else ""
    head = f"take {poured_words(fill.take_l, measures)}{time}{', ' if of_all else ''}{of_all}"
    each = {} if is_alike else {name: _SHORT.get(words, words) for name, words in care.items()}
    into = _into(fill, each, sizes_l, measures)
    return [StopLine(StopKind.TAKE, (head,)), *into]


def _care(pour: Pour, grade: Grade | None) -> str:
    """Tell what must be done with the water: before it goes in, or before it is drunk."""
    if pour.grade is not Grade.POTABLE:
        return GRADE_WORDS[pour.grade]
    return _TREAT_FIRST if grade is Grade.TREAT else ""


def _into(
    fill: Fill, care: Mapping[str, str], sizes_l: Mapping[str, float], measures: Measures
) -> list[StopLine]:
    """Tell each container's litres and mark, like ones together."""
    after_l = {level.vessel: level.litres for level in fill.levels_leaving}
    alike: dict[tuple[str, str, str, str], list[str]] = {}
    for pour in fill.into:
        base, number = numbered(pour.vessel, sizes_l)
        mark = _mark(pour, after_l.get(pour.vessel), sizes_l.get(pour.vessel), measures)
        key = (base, *mark, care.get(pour.vessel, ""))
        alike.setdefault(key, []).append(number)
    return [_into_line(*key, numbers) for key, numbers in alike.items()]


def _mark(
    pour: Pour, after_l: float | None, size_l: float | None, measures: Measures
) -> tuple[str, str]:
    """Return the litres that go in, and the mark that they come to where it says more."""
    litres = poured_words(pour.litres, measures)
    if after_l is None:
        return litres, ""
    held = after_l > pour.litres + UNSEEN_L
    if size_l is not None and after_l >= size_l - UNSEEN_L:
        mark = ", full"
    else:
        mark = f", to {poured_words(after_l, measures)}" if held else ""
    return f"{litres} more" if held else litres, mark


def _into_line(base: str, litres: str, mark: str, care: str, numbers: Sequence[str]) -> StopLine:
    which = ranges(int(number) for number in numbers if number)
    each = " each" if len(numbers) > 1 else ""
    notes = f": {litres}{each}{mark}{f' ({care})' if care else ''}"
    return StopLine(StopKind.INTO, (Named(base), f" {which}" if which else "", notes))


_NUMBERED = re.compile(r"(?s)(.*) (\d+)")
_LONG_RUN = 3


def sizes_l(plan: Plan) -> dict[str, float]:
    """Size of each single container to the mark that it is filled to, by the fill plan's names."""
    brimful = plan.trip.policy.fill_to is FillTo.BRIMFUL
    sizes: dict[str, float] = {}
    for box in plan.trip.containers:
        size = box.brimful_l if brimful else box.rated_l
        for number in range(1, box.count + 1):
            sizes[f"{box.name} {number}" if box.count > 1 else box.name] = size
    return sizes


def numbered(vessel: str, known: Collection[str]) -> tuple[str, str]:
    """Take the number off a container of several; ``known`` are the names of all of them.

    >>> numbered("can 2", ["can 1", "can 2"]), numbered("Jerry 7", ["Jerry 7"])
    (('can', '2'), ('Jerry 7', ''))
    """
    found = _NUMBERED.fullmatch(vessel)
    return (found[1], found[2]) if found and f"{found[1]} 1" in known else (vessel, "")


def ranges(numbers: Iterable[int]) -> str:
    """Write numbers short.

    >>> ranges([1, 2, 3, 5, 7, 8]), ranges([4]), ranges([])
    ('1-3, 5, 7, 8', '4', '')
    """
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    notes = [
        f"{run[0]}-{run[-1]}" if len(run) >= _LONG_RUN else ", ".join(map(str, run)) for run in runs
    ]
    return ", ".join(notes)
