"""Small routes, sources and trips for tests."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np
from pyproj import Geod

from longdry.model.route import Route
from longdry.model.trip.party import Container, Party, Use
from longdry.model.trip.trip import Pace, PinnedCamp, Policy, Trip
from longdry.model.water.source import WaterSource
from longdry.model.words import (
    Accrual,
    ContainerGrade,
    FillHabit,
    FillTo,
    Grade,
    Ration,
    Travel,
)

GEOD = Geod(ellps="WGS84")
START_LAT, START_LON = -25.0, 130.0


def straight_route(length_km: float, points: int = 2, azimuth_deg: float = 90.0) -> Route:
    """Make a geodesic of ``length_km``, in legs of one length."""
    along_m = np.linspace(0.0, length_km * 1000.0, points)
    ones = np.ones(points)
    lon, lat, _ = GEOD.fwd(START_LON * ones, START_LAT * ones, azimuth_deg * ones, along_m)
    return Route(
        name="straight",
        origin="straight.gpx",
        lat_deg=lat,
        lon_deg=lon,
        height_m=np.full(points, np.nan),
        part_starts=np.array([0]),
    )


def source_at(
    km: float,
    *,
    offset_km: float = 0.0,
    grade: Grade | None = Grade.POTABLE,
    id: str | None = None,  # noqa: A002 - the field's name
    azimuth_deg: float = 90.0,
) -> WaterSource:
    """Make a source at a km of the straight route, off to its right."""
    lon, lat, back = GEOD.fwd(START_LON, START_LAT, azimuth_deg, km * 1000.0)
    lon, lat, _ = GEOD.fwd(lon, lat, back + 180.0 + 90.0, offset_km * 1000.0)
    name = id or f"s{km:g}"
    return WaterSource(id=name, name=name, lat_deg=lat, lon_deg=lon, grade=grade)


def use(
    name: str = "drinking",
    litres: float = 4.0,
    *,
    per: Accrual = Accrual.PERSON_DAY,
    kept: Ration = Ration.BARE,
    grade: Grade = Grade.POTABLE,
) -> Use:
    """Make a use."""
    return Use(name=name, litres=litres, grade=grade, per=per, kept=kept)


def container(rated_l: float = 20.0, count: int = 5, brimful_l: float | None = None) -> Container:
    """Make containers kept for potable water."""
    return Container(
        name="can",
        count=count,
        rated_l=rated_l,
        brimful_l=brimful_l or rated_l,
        grade=ContainerGrade.POTABLE,
    )


PACE = Pace(
    travel=Travel.VEHICLE,
    speed_kmh=50.0,
    hours_per_day=6.0,
    start_hour=8.0,
    off_route_kmh=10.0,
    detour_factor=1.3,
    winding_factor=1.0,
    fill_minutes=0.0,
)
POLICY = Policy(
    max_detour_km=5.0,
    reserve_days=0.0,
    reserve_ration=Ration.FULL,
    fill_to=FillTo.RATED,
    loss_percent=0.0,
    fill=FillHabit.LEAST,
)


def trip(
    *,
    people: int = 2,
    can_treat: bool = False,
    uses: Sequence[Use] = (use(),),
    containers: Sequence[Container] = (container(),),
    pace: Pace = PACE,
    policy: Policy = POLICY,
    camps: Sequence[PinnedCamp] = (),
) -> Trip:
    """Make a trip; 50 km/h, 6 hours a day from 8 o'clock: 300 km a day."""
    return Trip(
        name="test",
        origin="trip.toml",
        depart=None,
        party=Party(people=people, can_treat=can_treat),
        animals=(),
        uses=tuple(uses),
        containers=tuple(containers),
        vehicles=(),
        pace=pace,
        camps=tuple(camps),
        policy=policy,
    )


def policy(**changes: object) -> Policy:
    """Return the test policy with some fields changed."""
    return dataclasses.replace(POLICY, **changes)


def calling_at(*sources: WaterSource, **changes: object) -> Policy:
    """Return the test policy of a party that calls at these, whatever it needs."""
    return policy(call_at=tuple(source.id for source in sources), **changes)


def pace(**changes: object) -> Pace:
    """Return the test pace with some fields changed."""
    return dataclasses.replace(PACE, **changes)
