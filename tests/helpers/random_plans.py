"""Random trips with water and containers, for proofs over whole plans.

All of them are invented: not for navigation. The route is a straight line.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import random
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from make import pace, source_at, straight_route, trip, use

from longdry.computing.fills.settled import SettledTrip, Water
from longdry.computing.plan.rounds import settled_trip
from longdry.computing.route.approaches import find_approaches
from longdry.computing.route.chainage import measure_route
from longdry.computing.stretches.prepared import PreparedTrip, prepare
from longdry.model.plan.fills import USUAL_FILL_WAY, FillWay
from longdry.model.route import Route
from longdry.model.trip.party import Container
from longdry.model.trip.treatment import Treatment, TreatMethod
from longdry.model.trip.trip import PinnedCamp, Policy, Trip
from longdry.model.water.source import WaterSource
from longdry.model.words import (
    Accrual,
    Certainty,
    ContainerGrade,
    CountOn,
    FillTo,
    Grade,
    Ration,
    Travel,
)

DEPARTS = dt.datetime(2027, 5, 3, 8)


@dataclass(frozen=True)
class Going:
    """A way of travel: speeds, the km of a day, the litres that its containers hold."""

    speed_kmh: tuple[float, ...]
    off_route_kmh: tuple[float, ...]
    holds_l: tuple[float, ...]
    way_km: float
    per_person_l: tuple[float, ...]


GOING = {
    Travel.VEHICLE: Going((25.0, 40.0, 60.0), (10.0, 20.0), (10.0, 20.0, 20.0, 45.0), 4.5, (4, 6)),
    Travel.FOOT: Going((3.0, 4.0), (2.0, 3.0), (1.0, 2.0, 2.0, 4.0), 1.5, (3, 4, 5)),
    Travel.BICYCLE: Going((9.0, 13.0), (5.0, 8.0), (1.0, 2.0, 4.0, 10.0), 3.0, (4, 6)),
}


@dataclass(frozen=True)
class Case:
    """A route with its water and the trip along it."""

    route: Route
    sources: tuple[WaterSource, ...]
    trip: Trip

    def prepared(self) -> PreparedTrip:
        """Lay the pace along the line."""
        measured = measure_route(self.route, winding_factor=self.trip.pace.winding_factor)
        return prepare(measured, self.trip)

    def water_near(self, prepared: PreparedTrip) -> Water:
        """Find the passes."""
        approaches = find_approaches(
            prepared.measured,
            np.array([source.lat_deg for source in self.sources]),
            np.array([source.lon_deg for source in self.sources]),
            max_detour_km=prepared.trip.policy.max_detour_km,
        )
        return Water(tuple(approaches), self.sources, CountOn.LIKELY)

    def settled(self, fill: FillWay = USUAL_FILL_WAY) -> SettledTrip:
        """Settle calls, clock and fills, and nothing beyond."""
        prepared = self.prepared()
        return settled_trip(prepared, self.water_near(prepared), fill)

    def with_policy(self, **changes: object) -> Case:
        """Return the case with another policy."""
        policy = dataclasses.replace(self.trip.policy, **changes)
        return dataclasses.replace(self, trip=dataclasses.replace(self.trip, policy=policy))


@cache
def settled_plan(seed: int) -> SettledTrip:
    """Settle the case of a seed once, for all tests that look at it; none can change it."""
    return random_plan(seed).settled()


def random_plan(seed: int, *, most_sources: int = 8, most_days: float = 6.0) -> Case:
    """Make a case; the same seed makes the same one."""
    dice = random.Random(seed)
    travel = dice.choice(list(Travel))
    going = GOING[travel]
    its_pace = _pace(dice, travel, going)
    length_km = its_pace.speed_kmh * its_pace.hours_per_day * dice.uniform(0.6, most_days)
    sources = _sources(dice, going, length_km, dice.randint(1, most_sources))
    people = dice.randint(1, 4)
    its_trip = trip(
        people=people,
        can_treat=dice.random() < 0.8,
        uses=_uses(dice, going),
        containers=_containers(dice, going, people),
        pace=its_pace,
        policy=_policy(dice),
        camps=_camps(dice, length_km),
    )
    treatment = Treatment(TreatMethod.FILTER, dice.choice([None, 20.0, 60.0]), filter_l_per_min=1.0)
    its_trip = dataclasses.replace(
        its_trip,
        depart=DEPARTS if dice.random() < 0.5 else None,
        treatment=treatment if dice.random() < 0.7 else None,
    )
    return Case(straight_route(length_km, points=30), tuple(sources), its_trip)


def _pace(dice: random.Random, travel: Travel, going: Going):
    return pace(
        travel=travel,
        speed_kmh=dice.choice(going.speed_kmh),
        hours_per_day=dice.choice([4.0, 5.0, 6.0, 7.5]),
        start_hour=dice.choice([6.0, 7.0, 8.0]),
        off_route_kmh=dice.choice(going.off_route_kmh),
        break_h=dice.choice([None, None, (12.0, 14.0)]),
        fill_minutes=15.0,
    )


def _sources(dice: random.Random, going: Going, length_km: float, count: int) -> list[WaterSource]:
    kms = sorted(dice.uniform(0.02, 0.98) * length_km for _ in range(count))
    return [_source(dice, going, km, number) for number, km in enumerate(kms)]


def _source(dice: random.Random, going: Going, km: float, number: int) -> WaterSource:
    bare = source_at(
        km,
        offset_km=dice.choice([0.0, 0.0, dice.uniform(0.0, going.way_km)]),
        grade=dice.choice([Grade.POTABLE, Grade.POTABLE, Grade.TREAT]),
        id=f"w{number}",
    )
    return dataclasses.replace(
        bare,
        certainty=dice.choice([Certainty.CERTAIN, Certainty.LIKELY]),
        flow_l_per_min=dice.choice([None, None, 0.5, 2.0, 10.0]),
        limit_l=dice.choice([None, None, None, 5.0, 15.0, 60.0]),
        open_from_hour=7.0 if dice.random() < 0.1 else None,
        open_to_hour=18.0 if dice.random() < 0.1 else None,
    )


def _uses(dice: random.Random, going: Going):
    uses = [use("drinking", float(dice.choice(going.per_person_l)))]
    if dice.random() < 0.5:
        uses.append(use("cooking", 1.0, kept=Ration.LEAN))
    if dice.random() < 0.3:
        uses.append(use("wash", 1.0, per=Accrual.PERSON_NIGHT, kept=Ration.FULL, grade=Grade.TREAT))
    if dice.random() < 0.2:
        wanted = use("engine", 2.0, per=Accrual.PARTY_100KM, grade=Grade.NOT_FOR_DRINKING)
        uses.append(wanted)
    return uses


def _containers(dice: random.Random, going: Going, people: int) -> Sequence[Container]:
    return [
        Container(
            name=f"can {sort}",
            count=people * dice.randint(1, 3),
            rated_l=dice.choice(going.holds_l),
            brimful_l=0.0,
            grade=dice.choice([ContainerGrade.POTABLE, ContainerGrade.ANY]),
        )
        for sort in range(dice.randint(1, 2))
    ]


def _policy(dice: random.Random) -> Policy:
    return Policy(
        max_detour_km=5.0,
        reserve_days=dice.choice([0.0, 0.5, 1.0, 1.0]),
        reserve_ration=dice.choice([Ration.BARE, Ration.FULL]),
        fill_to=FillTo.RATED,
        loss_percent=dice.choice([0.0, 5.0]),
        days_after_end=dice.choice([0.0, 0.0, 1.0]),
    )


def _camps(dice: random.Random, length_km: float) -> list[PinnedCamp]:
    if dice.random() < 0.8:
        return []
    km = dice.uniform(0.1, 0.9) * length_km
    return [PinnedCamp(km=km, rest_days=dice.choice([0, 1]), at_water=dice.choice([None, True]))]
