"""With the safe habit any one uncertain source may be dry: a walk that knows only rates and hours.

The party finds a source dry on arriving there with what the plan says is left. It goes on to the
next water that counts, or back to the last call, through the moving hours of each day, on the bare
ration: its litres a day over the 16 waking hours from two hours before the start hour; half of the
parties go on foot and drink a litre an hour on the move, as far as the day's litres go, the rest in
the other waking hours (docs/why/stretches.md), by the hours of that way alone. A tenth of the way's
litres, and at least a litre a head, must be left over. With less than a day's reserve no
day is made longer. Sources within 0.3 km are one stop: what the others of it give is taken first.
"""

from __future__ import annotations

import dataclasses
import itertools
import random

from how_many import PART_OF_SLOW, proof
from make import container, pace, policy, source_at, straight_route, trip, use
from without_mends import plan_without_mends

from longdry.model.plan.fills import FillWay
from longdry.model.words import Certainty, FillHabit, IfDry, Ration, Travel

RAIN_FED = {"creek", "pool", "dam"}
SURE_KINDS = {"tap", "bore"}
START_HOUR, WAKING_H = 8.0, 16.0
LITRES_A_HEAD, COOKING_L = 4.0, 2.0
ONE_STOP_KM = 0.3


def _random_trip(seed):
    """Invented: up to six sources along a straight route, and cans that may or may not do."""
    dice = random.Random(seed)
    length_km = dice.uniform(250.0, 1500.0)
    at_km = sorted(dice.uniform(10.0, length_km - 10.0) for _ in range(dice.randint(1, 6)))
    sources = [
        dataclasses.replace(
            source_at(round(km, 1), id=f"water{number}"),
            kind=dice.choice(("tap", "bore", "tank", "creek", "pool", "dam")),
            certainty=dice.choice((Certainty.CERTAIN, Certainty.LIKELY, Certainty.LIKELY)),
        )
        for number, km in enumerate(at_km)
    ]
    made = trip(
        people=dice.randint(1, 4),
        uses=[use(litres=LITRES_A_HEAD), use("cooking", COOKING_L, kept=Ration.LEAN)],
        containers=[container(dice.choice((5.0, 10.0, 20.0)), dice.randint(1, 6))],
        pace=pace(speed_kmh=dice.uniform(20.0, 60.0), hours_per_day=dice.choice((4.0, 6.0, 7.0))),
        policy=policy(
            reserve_days=dice.choice((0.0, 0.5)),
            if_dry=dice.choice((IfDry.ON, IfDry.ON_OR_BACK, IfDry.ON_OR_BACK)),
        ),
    )
    sources += _beside(dice, at_km)
    travel = dice.choice((Travel.VEHICLE, Travel.FOOT))
    made = dataclasses.replace(made, pace=dataclasses.replace(made.pace, travel=travel))
    return straight_route(length_km, points=20), sources, made


def _beside(dice, at_km):
    """Put water that may give little beside one source in three that stands alone."""
    alone = [km for km in at_km if all(km == other or abs(km - other) > 1.0 for other in at_km)]
    if not alone or dice.random() > 1.0 / 3.0:
        return []
    made = source_at(round(dice.choice(alone), 1) + 0.1, id="beside")
    limit_l = dice.choice((None, dice.uniform(1.0, 15.0), dice.uniform(1.0, 15.0)))
    kind = dice.choice(("tap", "tank", "pool"))
    return [dataclasses.replace(made, kind=kind, certainty=Certainty.LIKELY, limit_l=limit_l)]


def _awake_h(begin_h, end_h):
    """Give the waking hours between two hours, day by day."""
    wakes = START_HOUR - 2.0
    days = range(int(begin_h // 24) - 1, int(end_h // 24) + 1)
    return sum(
        max(0.0, min(end_h, 24.0 * day + wakes + WAKING_H) - max(begin_h, 24.0 * day + wakes))
        for day in days
    )


def _lived_l(begin_h, end_h):
    """Give the litres a head of a stay at water, where nobody moves.

    It drinks in the waking hours; other uses a day go with elapsed days (docs/why/stretches.md).
    """
    return LITRES_A_HEAD * _awake_h(begin_h, end_h) / WAKING_H + COOKING_L * (end_h - begin_h) / 24


def _arrives_h(now_h, moving_h, hours_per_day):
    """Drive on through the moving hours of each day; give the hour of arriving."""
    while True:
        left_h = max(0.0, START_HOUR + hours_per_day - now_h % 24.0)
        if moving_h <= left_h + 1e-9:
            return now_h + moving_h
        moving_h -= left_h
        now_h = 24.0 * (now_h // 24.0 + 1.0) + START_HOUR


def _does(left_l, now_h, way_km, made):
    """Whether what is left does for a way, with its margin."""
    end_h = _arrives_h(now_h, way_km / made.pace.speed_kmh, made.pace.hours_per_day)
    people = made.party.people
    days = range(int(now_h // 24), int(end_h // 24) + 1)
    way_l = people * sum(
        _drunk_l(max(now_h, 24.0 * d), min(end_h, 24.0 * d + 24.0), made) for d in days
    )
    return left_l + 0.002 >= way_l + max(0.1 * way_l, 1.0 * people)


def _drunk_l(begin_h, end_h, made):
    """Give the litres a head of a way between two hours of a day, in which it moves all it can."""
    day_l, awake_h = LITRES_A_HEAD, _awake_h(begin_h, end_h)
    starts_h = 24.0 * (begin_h // 24.0) + START_HOUR
    moved_h = min(end_h, starts_h + made.pace.hours_per_day) - max(begin_h, starts_h)
    if made.pace.travel is Travel.VEHICLE or moved_h <= 0.0:
        return day_l * awake_h / WAKING_H
    on_the_move_l = min(moved_h, day_l)
    others_l = (day_l - on_the_move_l) * (awake_h - moved_h) / (WAKING_H - moved_h)
    return max(on_the_move_l + others_l, day_l * awake_h / WAKING_H)


def _one_stop(plan, km):
    """Give the waters of the stop at a km: each near the one before it and the first."""
    stops = [[]]
    for one in sorted(_wet(plan), key=lambda one: one.km):
        stop = stops[-1]
        if stop and (one.km - stop[-1].km >= ONE_STOP_KM or one.km - stop[0].km > ONE_STOP_KM):
            stops.append([])
        stops[-1].append(one)
    return next(stop for stop in stops if stop[0].km <= km <= stop[-1].km)


def _trusts(dry, other):
    """Whether who found one dry trusts another: rain-fed water dry, a tap or a bore alone."""
    return dry.source.kind not in RAIN_FED or other.source.kind in SURE_KINDS


def _goes_on_to_km(plan, found, made):
    """Give the km of the stop of the next water beyond this one that gives a litre a head."""
    here = _one_stop(plan, found.km)
    ahead = (
        _one_stop(plan, one.km)[0].km
        for one in _wet(plan)
        if one.km > found.km
        and one not in here
        and _trusts(found, one)
        and (one.source.limit_l is None or one.source.limit_l >= made.party.people)
    )
    return min(ahead, default=plan.stretches[-1].end.km)


def _goes_back_to_km(plan, found):
    """Give the km of the last water that the party has seen; the start is such."""
    here = _one_stop(plan, found.km)
    known = (one.km for one in _wet(plan) if one.km < found.km and one.call and one not in here)
    return max(known, default=0.0)


def _wet(plan):
    return [one for one in plan.passes if one.counted]


def _found_dry(plan, made):
    """Give each source at a stop, and whether its loss leaves a way to water.

    Where other water of the stop gives all that the plan takes there, the plan goes on as it is.
    Else what it gives is taken along, as far as the cans hold it, and the way begins there. Nobody
    visited any: no word alone makes one sure.
    """
    cans_l = sum(box.count * box.rated_l for box in made.containers)
    for stretch, after in itertools.pairwise(plan.stretches):
        now_h = START_HOUR + stretch.arrive_h
        stop = _one_stop(plan, stretch.end.water.km)
        for dry in stop:
            others = [one for one in stop if one is not dry and _trusts(dry, one)]
            limits_l = [one.source.limit_l for one in others]
            lived_l = made.party.people * _lived_l(now_h, START_HOUR + after.leave_h)
            drawn_l = after.on_board_l - stretch.left_l + lived_l
            if others and (None in limits_l or sum(limits_l) >= drawn_l):
                yield dry.source.name, True, True
                continue
            left_l = min(cans_l, stretch.left_l + sum(limits_l))
            here_km = stop[0].km
            on = _does(left_l, now_h, _goes_on_to_km(plan, dry, made) - here_km, made)
            back = _does(left_l, now_h, here_km - _goes_back_to_km(plan, dry), made)
            yield dry.source.name, on, back


@proof(300)
def test_any_one_uncertain_source_may_be_dry_or_the_headline_names_it(cases):
    """Of 300 random trips: on or back is reached from each source, or else it is named."""
    ways = names = 0
    for seed in cases:
        route, sources, made = _random_trip(seed)
        plan = plan_without_mends(route, sources, made, fill=FillWay(FillHabit.SAFE))
        because = " ".join(plan.headline.because)
        for name, on, back in _found_dry(plan, made):
            ways += on or back
            names += not (on or back)
            is_stranding = f"If {name} is dry, there is no way to water" in because
            holds = on if made.policy.if_dry is IfDry.ON else on or back
            assert (on or back) is not is_stranding, (seed, name)
            assert holds or f"If {name} is dry" in because, (seed, name)
    assert ways > 0
    assert names > 0


@proof(300, PART_OF_SLOW)
def test_safe_fills_reach_water_from_more_dry_sources_than_the_least(cases):
    """What the safe habit carries on top is for that: never fewer ways, and more on the whole."""
    ways = {FillHabit.SAFE: 0, FillHabit.LEAST: 0}
    for seed in cases:
        route, sources, made = _random_trip(seed)
        calls = policy_with_all_calls(made, sources)
        for habit in ways:
            plan = plan_without_mends(route, sources, calls, fill=FillWay(habit))
            ways[habit] += sum(on or back for _, on, back in _found_dry(plan, made))
    assert ways[FillHabit.SAFE] > ways[FillHabit.LEAST]


def policy_with_all_calls(made, sources):
    """Call at every source, so that both habits go through the same stops."""
    named = tuple(source.id for source in sources)
    return dataclasses.replace(made, policy=dataclasses.replace(made.policy, call_at=named))


def test_the_walk_knows_the_hours_of_a_vehicle():
    """By hand: 7 h from 13:00, 6 a day, are 1 h and 6 h from 8:00 on: 9 and 8 waking hours."""
    assert trip().pace.travel is Travel.VEHICLE
    assert _arrives_h(13.0, 7.0, 6.0) == 38.0
    assert _awake_h(13.0, 38.0) == 17.0


def test_the_walk_knows_what_a_stay_uses():
    """By hand: 16:00 to 8:00 are 8 of 16 waking hours at 4 L, and 16 of 24 hours at 2 L."""
    assert _lived_l(16.0, 32.0) == 2.0 + 4.0 / 3.0


def test_the_walk_knows_what_walkers_drink():
    """By hand: 3 h of 6 from 11:00 to 22:00 are 3 L, and 8 of 13 other hours at 1 L: 3 + 8/13 L.

    All 6 h from 8:00 to 14:00 take the day's 4 L; the evening from 14:00 on 8 of 16 waking hours.
    """
    on_foot = trip(pace=pace(travel=Travel.FOOT))

    assert _drunk_l(11.0, 22.0, on_foot) == 3.0 + 8.0 / 13.0
    assert _drunk_l(8.0, 14.0, on_foot) == 4.0
    assert _drunk_l(14.0, 24.0, on_foot) == 2.0
