"""Random trips with stretches that are not clear: invented, not for navigation."""

from __future__ import annotations

import dataclasses
import datetime as dt
import random

from make import container, pace, policy, source_at, straight_route, trip, use
from mending import Case

from longdry.model.trip.party import Vehicle
from longdry.model.trip.trip import PinnedCamp
from longdry.model.words import Accrual, Certainty, CountOn, Grade, Ration, Travel

WAYS = {
    Travel.VEHICLE: {"km": (200, 900), "kmh": (20, 60), "off_kmh": 12.0},
    Travel.FOOT: {"km": (40, 140), "kmh": (2.5, 4.5), "off_kmh": 3.0},
    Travel.BICYCLE: {"km": (100, 350), "kmh": (8, 16), "off_kmh": 6.0},
}


def bad_trip(seed: int) -> Case:
    """Draw a trip; most have containers that are too small somewhere."""
    rng = random.Random(seed)
    travel = rng.choice(list(WAYS))
    length_km = float(rng.randint(*WAYS[travel]["km"]))
    sources = tuple(_source(rng, number, length_km) for number in range(rng.randint(0, 7)))
    count_on = rng.choice([CountOn.LIKELY, CountOn.LIKELY, CountOn.CERTAIN, CountOn.ANY])
    route = straight_route(length_km, points=7)
    return Case(route, sources, _trip(rng, travel, length_km, len(sources)), count_on)


def _source(rng: random.Random, number: int, length_km: float):
    km = length_km * rng.uniform(0.05, 0.95)
    grades = [Grade.POTABLE, Grade.POTABLE, Grade.TREAT, Grade.NOT_FOR_DRINKING, None]
    made = source_at(
        km,
        offset_km=rng.choice([0.0, 0.0, 1.0, 3.0, 8.0, 14.0]),
        grade=rng.choice(grades),
        id=f"s{number}",
    )
    opens = rng.choice([6.0, 9.0, 15.0])
    hours = (opens, opens + rng.choice([3.0, 8.0])) if rng.random() < 0.25 else (None, None)
    certainty = rng.choice([Certainty.CERTAIN, Certainty.CERTAIN, Certainty.DOUBTFUL, None])
    kind = rng.choice(["creek", "bore", "tap", "pool", None])
    months = rng.choice([None, frozenset({5, 6, 7}), frozenset({11, 12, 1, 2})])
    return dataclasses.replace(
        made,
        certainty=certainty,
        kind=kind,
        months=months if certainty is not Certainty.CERTAIN else None,
        open_from_hour=hours[0],
        open_to_hour=hours[1],
        flow_l_per_min=rng.choice([None, None, 2.0]),
        limit_l=rng.choice([None, None, None, 15.0, 60.0]),
    )


def _trip(rng: random.Random, travel: Travel, length_km: float, sources: int):
    people = rng.randint(1, 4)
    kmh, hours_per_day = rng.uniform(*WAYS[travel]["kmh"]), rng.choice([4.0, 6.0, 8.0, 9.5])
    days = length_km / kmh / hours_per_day
    size_l = float(rng.choice([2, 5, 10, 20]))
    apart_days = 2.0 * days / (sources + 1)
    count = max(1, round(people * 7.0 * (apart_days + 0.7) * rng.uniform(0.6, 1.6) / size_l))
    payload_kg = rng.choice([None, size_l * count, size_l * (count + 2)])
    can = dataclasses.replace(container(size_l, count), vehicle="load" if payload_kg else None)
    made = trip(
        people=people,
        can_treat=rng.random() < 0.5,
        uses=(
            use("drinking", rng.choice([4.0, 6.0])),
            use("cooking", 2.0, per=Accrual.PARTY_DAY, kept=Ration.LEAN),
            use("washing", rng.choice([1.0, 6.0]), per=Accrual.PARTY_DAY, kept=Ration.FULL),
        ),
        containers=(can,),
        pace=pace(
            travel=travel,
            speed_kmh=kmh,
            off_route_kmh=WAYS[travel]["off_kmh"],
            hours_per_day=hours_per_day,
            fill_minutes=rng.choice([0.0, 15.0]),
        ),
        policy=policy(
            reserve_days=rng.choice([0.0, 0.5, 1.0, 2.0]),
            loss_percent=rng.choice([0.0, 5.0]),
            start_on_board_l=rng.choice([None, None, size_l]),
        ),
        camps=_camps(rng, length_km),
    )
    depart = dt.datetime(2027, rng.randint(1, 12), rng.randint(1, 28), rng.randint(5, 10))
    return dataclasses.replace(
        made,
        depart=rng.choice([None, depart, depart]),
        vehicles=(Vehicle("load", payload_kg),) if payload_kg else (),
    )


def _camps(rng: random.Random, length_km: float) -> tuple[PinnedCamp, ...]:
    if rng.random() < 0.5:
        return ()
    km = round(length_km * rng.uniform(0.1, 0.9), 1)
    return (PinnedCamp(km=km, rest_days=rng.randint(0, 2)),)
