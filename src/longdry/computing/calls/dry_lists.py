"""What becomes of a plan where one uncertain call of it turns out dry."""

from __future__ import annotations

from collections.abc import Sequence

from longdry.computing.calls.lists import Item, WorstFirst, item_of, worst_first_list
from longdry.computing.stretches.journey import Journey
from longdry.computing.stretches.verdicts import verdict_of_litres
from longdry.model.plan.stretch import DryStretch, StretchEnd


def dry_lists(journey: Journey, stretches: Sequence[DryStretch]) -> tuple[WorstFirst, ...]:
    """Return the lists of a plan with each uncertain call dry in turn, the worst first.

    Those in which every stretch is clear are left out, as missing ones count as clear.
    The party calls in vain, and goes on with what could be carried from the call before.
    """
    items = [item_of(one.verdict, one.missing_l) for one in stretches]
    found: list[WorstFirst] = []
    left_l = 0.0
    carried_l = 0.0
    for index, stretch in enumerate(stretches):
        if index and is_uncertain(stretch.begin):
            merged = item_if_dry(stretches[index - 1], stretch, carried_l)
            found.append(worst_first_list([*items[: index - 1], merged, *items[index + 1 :]]))
        carried_l = most_carried_l(journey, stretch.begin, left_l)
        left_l = max(carried_l - stretch.need.total_l, 0.0)
    return tuple(sorted((one for one in found if one), reverse=True))


def is_uncertain(stop: StretchEnd) -> bool:
    """Whether no water of a stop is sure."""
    return not any(one.judgement.is_sure for one in stop.waters)


def item_if_dry(before: DryStretch, after: DryStretch, carried_l: float) -> Item:
    """Return the stretches before and after a dry call as one.

    Parameters
    ----------
    carried_l
        On leaving the call before.
    """
    rations_l = [
        one.need.total_l + other.need.total_l
        for one, other in zip(before.needs, after.needs, strict=True)
    ]
    wanted_l = rations_l[0] + after.reserve_l
    verdict = verdict_of_litres(rations_l, after.reserve_l, carried_l)
    return item_of(verdict, max(wanted_l - carried_l, 0.0))


def most_carried_l(journey: Journey, begin: StretchEnd, left_l: float) -> float:
    """Return the most that can be carried on leaving an end, with what was left on arriving."""
    if begin.water is None:
        return journey.available_l(begin)
    limits = [one.source.limit_l for one in begin.waters]
    if None in limits:
        return journey.capacity_l
    return min(journey.capacity_l, left_l + sum(limit or 0.0 for limit in limits))
