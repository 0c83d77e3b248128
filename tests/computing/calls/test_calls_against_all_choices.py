"""The calls of a plan against every other choice of calls, each of them planned whole.

What becomes of a choice with a call dry is worked out here a second time: by a whole journey that
calls at the water which the choice passes by. The plan's own lists must be the same.
"""

from __future__ import annotations

import contextlib
import dataclasses
import itertools
import math

from how_many import PART_OF_SLOW, proof
from random_plans import random_plan, settled_plan

from longdry.computing.calls.dry_lists import dry_lists
from longdry.computing.calls.groups import stretch_ends
from longdry.computing.calls.lists import list_of, worst_first_list
from longdry.computing.calls.preferences import unkept, wishes_of
from longdry.computing.calls.trouble import trouble_of
from longdry.computing.needs.needs import day_l
from longdry.computing.stretches.journey import journey_of
from longdry.computing.stretches.verdicts import severity
from longdry.errors import InputError
from longdry.model.words import Verdict

MORE_TROUBLE = 1.05
"""The plan may be a twentieth more trouble than the best."""
LITRE = 1.0
"""Nobody calls for less, nor, with water dry, for less than a tenth of what is missing."""
CLEAR = severity(Verdict.CLEAR)
"""Of a stretch that a list leaves out."""
HAIR_H = 1e-9
HAIR_L = 1e-6
TENTH = 0.1
"""No call is for less than this part of the party's day, or of what is missing."""


@proof(300, PART_OF_SLOW)
def test_no_choice_of_calls_is_better(cases):
    """Of trips with up to eight passes no better list is missed, nor one with a call dry.

    Among the choices with these lists the one that keeps most of the wishes counts, and of those
    the one with least trouble. Calls at which nothing is taken are no choice.
    """
    found = {seed: _missed(random_plan(seed), settled_plan(seed)) for seed in cases}

    assert {seed: told for seed, told in found.items() if told} == {}


def _missed(case, own):
    """Plan every choice; tell in what the plan's own is worse than the best."""
    if not _are_alike(dry_lists(own.journey, own.stretches, own.passes), _with_each_dry(own)):
        return "figures with a call dry"
    prepared = own.journey.prepared
    everywhere = journey_of(prepared, stretch_ends(own.passes, prepared.length_km, prepared.trip))
    wishes = wishes_of(everywhere)
    worths = [
        _worth(settled, everywhere)
        for settled in _every_choice(case, everywhere)
        if min(_idle_l(settled, everywhere, wishes), default=1.0) > 0.0
    ]
    return _worse_than_the_best(_worth(own, everywhere), worths)


def _worse_than_the_best(own, worths):
    """Tell what of a plan some other betters: a list by what matters, wishes, or trouble."""
    near = _near_the_best([own, *worths], lambda one: [one[0]])
    if own not in near:
        return "list"
    near = _near_the_best(near, lambda one: one[1], TENTH)
    if own not in near:
        return "list if dry"
    fewest = min(one[2] for one in near)
    if own[2] > fewest:
        return "wishes"
    least_h = min(one[3] for one in near if one[2] == fewest)
    return "trouble" if own[3] > MORE_TROUBLE * least_h + HAIR_H else None


def _near_the_best(worths, lists_of, part=0.0):
    """Keep those that are no worse than the best, in whole litres, then all, by what matters."""
    best = min((lists_of(one) for one in worths), key=_whole_litres_first)
    return [one for one in worths if _is_near(lists_of(one), best, part)]


def _whole_litres_first(lists):
    whole = [[(bad, math.ceil(litres - 0.05)) for bad, litres in rows] for rows in lists]
    return whole, lists


def _is_near(lists, best, part):
    most = max([len(lists), len(best)])
    rows = max([len(row) for row in (*lists, *best)], default=0)
    for number, row in itertools.product(range(most), range(rows)):
        bad, missing_l = _cell(lists, number, row)
        best_bad, least_l = _cell(best, number, row)
        if bad != best_bad:
            return bad < best_bad
        if abs(missing_l - least_l) >= max(LITRE, part * max(missing_l, least_l)):
            return missing_l < least_l
    return True


def _cell(lists, number, row):
    rows = lists[number] if number < len(lists) else ()
    return rows[row] if row < len(rows) else (CLEAR, 0.0)


def _are_alike(lists, others):
    def rounded(rows):
        return [(bad, round(litres, 6)) for bad, litres in rows]

    return list(map(rounded, lists)) == list(map(rounded, others))


def _every_choice(case, everywhere):
    names = [f"{end.water.source.id}@{end.water.km:.3f}" for end in everywhere.ends[1:-1]]
    for called in itertools.product((True, False), repeat=len(names)):
        told = {
            "call_at": tuple(itertools.compress(names, called)),
            "pass_by": tuple(itertools.compress(names, (not one for one in called))),
        }
        with contextlib.suppress(InputError):  # closed when the party comes, by this choice
            yield case.with_policy(**told).settled()


def _worth(settled, everywhere):
    stretches, journey = settled.stretches, settled.journey
    return (
        list_of(stretches),
        _with_each_dry(settled),
        _wishes_not_kept(settled, everywhere),
        trouble_of(journey, stretches),
    )


def _with_each_dry(settled):
    """List the stretches with each uncertain call dry once, the worst first; clear ones left out.

    Beyond the dry call one water that the choice passes by may be filled at.
    """
    items = [(severity(one.verdict), one.missing_l) for one in settled.stretches]
    carried_l = _filled_up_l(settled)
    found = []
    for dry, end in enumerate(settled.journey.ends[1:-1], 1):
        if any(water.judgement.is_sure for water in end.waters):
            continue
        ways = _ways_past(settled, dry, carried_l[dry - 1])
        best = min(worst_first_list(way) for way in ways)
        found.append(worst_first_list([*items[: dry - 1], *best, *items[dry + 1 :]]))
    return tuple(sorted((one for one in found if one), reverse=True))


def _filled_up_l(settled):
    """Fill at each end to what containers, and the limits of its waters, let be carried."""
    journey, carried_l, left_l = settled.journey, [], 0.0
    for stretch in settled.stretches:
        gives_l = sum(water.source.limit_l or math.inf for water in stretch.begin.waters)
        has_l = min(journey.capacity_l, left_l + gives_l)
        carried_l.append(has_l if stretch.begin.water else journey.available_l(stretch.begin))
        left_l = max(carried_l[-1] - stretch.need.total_l, 0.0)
    return carried_l


def _ways_past(settled, dry, carried_l):
    """Yield the items of the way past a dry call straight on, then over each water passed by."""
    journey = settled.journey
    straight = _two_as_one(settled.stretches[dry - 1], settled.stretches[dry], carried_l, journey)
    yield [straight]
    if straight[0] == CLEAR:
        return
    dry_ids = {water.source.id for water in journey.ends[dry].waters}
    for end in stretch_ends(settled.passes, journey.prepared.length_km, journey.trip)[1:-1]:
        is_between = journey.ends[dry].km < end.km < journey.ends[dry + 1].km
        if is_between and not dry_ids & {water.source.id for water in end.waters}:
            yield from _way_over(settled, dry, end, carried_l)


def _way_over(settled, dry, end, carried_l):
    """Yield the items of a whole journey that calls at one water more, if it is open then.

    Up to the dry call it goes as planned. Beyond, as on every way off the plan, nobody knows what
    else the party does on those days: who is on the move for less of them drinks no less an hour.
    """
    journey, before = settled.journey, settled.stretches[dry - 1]
    ends, minutes = list(journey.ends), list(journey.stop_minutes)
    ends.insert(dry + 1, end)
    minutes.insert(dry + 1, journey.trip.pace.fill_minutes)
    longer = journey_of(journey.prepared, ends, minutes)
    if longer.itinerary.stays[dry].wait_h or longer.itinerary.stays[dry].is_closed:
        return
    own_hours = dataclasses.replace(journey.demand.hours, moving_h=None)
    off_plan = dataclasses.replace(journey.demand, hours=own_hours)
    there, after = dataclasses.replace(longer, demand=off_plan).stretches()[dry : dry + 2]
    left_l = max(0.0, carried_l - before.need.total_l - there.need.total_l)
    gives_l = sum(water.source.limit_l or math.inf for water in end.waters)
    filled_l = min(journey.capacity_l, left_l + gives_l)
    wants_l = [one.need.total_l for one in after.needs]
    yield [
        _two_as_one(before, there, carried_l, journey),
        _judged(wants_l, after.reserve_l, filled_l, journey),
    ]


def _two_as_one(before, after, carried_l, journey):
    both = zip(before.needs, after.needs, strict=True)
    wants_l = [one.need.total_l + other.need.total_l for one, other in both]
    return _judged(wants_l, after.reserve_l, carried_l, journey)


def _judged(wants_l, reserve_l, carried_l, journey):
    """Judge litres by the full, lean and bare ration, the reserve last."""
    full_l, least_l, never_l = wants_l[0], min(wants_l), journey.demand.always_l
    asked_l = {
        Verdict.CLEAR: full_l + reserve_l,
        Verdict.INTO_RESERVE: full_l + never_l,
        Verdict.SHORT_RATION: least_l + never_l,
        Verdict.TOO_LONG: 0.0,
    }
    verdict = next(one for one, litres in asked_l.items() if litres <= carried_l + HAIR_L)
    return (severity(verdict), max(0.0, full_l + reserve_l - carried_l))


def _wishes_not_kept(settled, everywhere):
    """Count those of a careful person, and calls for less than a tenth of the party's day."""
    kms = {end.km for end in settled.journey.ends[1:-1]}
    called = {index for index, end in enumerate(everywhere.ends[1:-1]) if end.km in kms}
    wishes = wishes_of(everywhere)
    return unkept(everywhere, wishes, called, settled.journey, settled.stretches) + len(
        _idle_l(settled, everywhere, wishes)
    )


def _idle_l(settled, everywhere, wishes):
    """Return the litres of the small calls at which nobody wishes to be, by day or night."""
    wished_km = {everywhere.ends[index + 1].km for index in wishes.must_call}
    least_l = TENTH * day_l(settled.journey.demand)
    stays, last = settled.journey.itinerary.stays, settled.filling.last_of_stop
    takes = [fill.take_l for fill in settled.filling.chosen.fills]
    taken = [sum(takes[before + 1 : here + 1]) for before, here in itertools.pairwise(last)]
    return [
        litres
        for end, stay, litres in zip(settled.journey.ends[1:-1], stays, taken, strict=True)
        if litres < least_l and not stay.nights and end.km not in wished_km
    ]
