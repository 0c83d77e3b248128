"""Plans made by hand for the tests of what is shown. Invented: not for navigation."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pyproj

from longdry.computing.clock.clock import Call, Clock, Itinerary
from longdry.computing.clock.day_rules import DayRules
from longdry.computing.stretches.journey import travel_days
from longdry.computing.water.certainty import judge_source
from longdry.model.assumption import Assumption
from longdry.model.pace import PaceProfile
from longdry.model.plan.headline import Headline, HeadlineLevel, MostToCarry
from longdry.model.plan.plan import Longest, Plan, PlanWarning
from longdry.model.plan.stops import PlannedStop, WithoutWater
from longdry.model.plan.stretch import (
    DryStretch,
    Need,
    RationNeed,
    RunsDry,
    StretchEnd,
    UseNeed,
)
from longdry.model.plan.travel import TravelTime
from longdry.model.route import MeasuredRoute, Route
from longdry.model.trip.party import Container, Party, Use
from longdry.model.trip.trip import Pace, Policy, Trip
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import (
    Accrual,
    Certainty,
    ContainerGrade,
    FillTo,
    Grade,
    Ration,
    Travel,
    Verdict,
)

HOSTILE_NAMES = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "{{7*7}}{% raw %}",
    "</script><svg onload=alert(1)>",
    "back`tick ${1} ${alert(1)}",
    "بئر الرمل الشرقي",
    "\u202eevil\u202c override",
    "line\nbreak\u2028and\x00nul",
    "W" * 10_000,
)
_GEOD = pyproj.Geod(ellps="WGS84")
_KMH, _HOURS = 25.0, 7.0


@dataclass(frozen=True, slots=True)
class Names:
    """Every name that comes from a file."""

    route: str = "Saltpan crossing"
    trip: str = "Three saltpans, invented"
    wells: tuple[str, ...] = (
        "Redgum Tank",
        "Kestrel Bore",
        "Lower Soak",
        "Windmill 9",
        "Brackish Dam",
    )
    other: str = "hand pump, bring a bucket"


def measured_route(
    *, points: int = 600, name: str = "Saltpan crossing", lon0: float = 129.4, wobble: float = 0.12
) -> MeasuredRoute:
    """Make a winding line of about 900 km."""
    t = np.linspace(0.0, 1.0, points)
    lat = -24.8 + 1.9 * t + 0.9 * np.sin(5.0 * t) + wobble * np.sin(47.0 * t)
    lon = lon0 + 6.3 * t + wobble * np.cos(39.0 * t)
    lon = (lon + 180.0) % 360.0 - 180.0
    leg_km = np.array(_GEOD.inv(lon[:-1], lat[:-1], lon[1:], lat[1:])[2]) / 1000.0
    route = Route(name, "saltpan.gpx", lat, lon, np.full(points, np.nan), np.array([0]))
    chainage = np.concatenate([[0.0], np.cumsum(leg_km)])
    return MeasuredRoute(route, leg_km, chainage, (), 0.0, 1.0)


def trip(names: Names) -> Trip:
    """Make a vehicle party of two."""
    drinking = Use("drinking", 8.0, Grade.POTABLE, Accrual.PARTY_DAY, Ration.BARE)
    shower = Use("shower", 5.0, Grade.NOT_FOR_DRINKING, Accrual.PARTY_NIGHT, Ration.FULL)
    can = Container("can", 8, 20.0, 23.0, ContainerGrade.POTABLE)
    return Trip(
        name=names.trip,
        origin="trip.toml",
        depart=dt.datetime(2027, 5, 3, 8),
        party=Party(2, can_treat=True),
        animals=(),
        uses=(drinking, shower),
        containers=(can,),
        vehicles=(),
        pace=Pace(Travel.VEHICLE, _KMH, _HOURS, 8.0, 15.0, 1.3, 1.0, fill_minutes=0.0),
        camps=(),
        policy=Policy(20.0, 3.0, Ration.LEAN, FillTo.RATED, 5.0),
    )


def _pass(measured: MeasuredRoute, km: float, source: WaterSource, why_not: str = "") -> WaterPass:
    lat = float(np.interp(km, measured.chainage_km, measured.route.lat_deg))
    near = np.unwrap(measured.route.lon_deg, period=360.0)
    lon = (float(np.interp(km, measured.chainage_km, near)) + 180.0) % 360.0 - 180.0
    offset = _GEOD.inv(lon, lat, source.lon_deg, source.lat_deg)[2] / 1000.0
    return WaterPass(
        source,
        km,
        offset,
        offset * 1.3,
        lat,
        lon,
        counted=not why_not,
        judgement=judge_source(source, None),
        why_not=why_not,
    )


def _source(
    measured: MeasuredRoute, km: float, number: int, names: Names, *, north: float = 0.03
) -> WaterSource:
    lat = float(np.interp(km, measured.chainage_km, measured.route.lat_deg)) + north
    near = np.unwrap(measured.route.lon_deg, period=360.0)
    lon = (float(np.interp(km, measured.chainage_km, near)) + 180.0) % 360.0 - 180.0
    grade = (Grade.POTABLE, Grade.TREAT, Grade.TREAT, Grade.POTABLE, Grade.NOT_FOR_DRINKING)
    certainty = (Certainty.CERTAIN, Certainty.LIKELY, Certainty.DOUBTFUL, None, None)
    return WaterSource(
        id=f"w{number}",
        name=names.wells[number % len(names.wells)],
        lat_deg=lat,
        lon_deg=lon,
        grade=grade[number % 5],
        kind="bore",
        access=names.other,
        certainty=certainty[number % 5],
        note=names.other if number == 1 else "",
        layer="wells.geojson",
    )


def _need(litres: float) -> Need:
    uses = (
        UseNeed("drinking", litres * 0.6, Grade.POTABLE),
        UseNeed("shower", litres * 0.35, Grade.NOT_FOR_DRINKING),
    )
    return Need(uses, litres * 0.05)


def _itinerary(measured: MeasuredRoute, knots: Sequence[StretchEnd]) -> Itinerary:
    """Follow the clock from the start over every knot to the end."""
    length_km = measured.length_km
    clock = Clock(
        rules=DayRules(start_hour=8.0, hours_per_day=_HOURS),
        profile=PaceProfile(np.array([0.0, length_km]), np.array([0.0, length_km / _KMH])),
        off_route_kmh=_KMH,
        depart_h=8.0,
    )
    return clock.follow([Call(end.km, end.way_km) for end in knots[1:-1]])


def _stretch(
    number: int, begin: StretchEnd, end: StretchEnd, travel: TravelTime, verdict: Verdict
) -> DryStretch:
    full = 17.0 * travel.days
    board = {
        Verdict.CLEAR: full + 40.0,
        Verdict.INTO_RESERVE: full + 9.0,
        Verdict.SHORT_RATION: full * 0.8,
        Verdict.TOO_LONG: full * 0.4,
        Verdict.NO_CONTAINERS: 0.0,
    }[verdict]
    does = {Verdict.SHORT_RATION: Ration.LEAN, Verdict.TOO_LONG: None}.get(verdict, Ration.FULL)
    needs = tuple(
        RationNeed(ration, _need(full * share))
        for ration, share in zip(
            (Ration.FULL, Ration.LEAN, Ration.BARE), (1, 0.75, 0.45), strict=True
        )
    )
    stretch = DryStretch(number, begin, end, travel, 8.0, needs, 36.0, board, board, verdict, does)
    if verdict is not Verdict.TOO_LONG:
        return stretch
    hour = travel.begin_h + (travel.end_h - travel.begin_h) * 0.4 / 0.45
    return replace(stretch, runs_dry=RunsDry(travel.km_at(hour), hour))


def make_plan(
    verdicts: tuple[Verdict, ...],
    *,
    names: Names | None = None,
    measured: MeasuredRoute | None = None,
    warnings: tuple[PlanWarning, ...] = (),
) -> Plan:
    """Make a plan of as many stretches as verdicts, with some water that does not count."""
    names = names or Names()
    measured = measured or measured_route(name=names.route)
    length = measured.length_km
    shares = np.cumsum(np.resize([1.0, 2.6, 0.8, 1.7, 1.2], len(verdicts)))
    ends_km = shares / shares[-1] * length
    sources = [_source(measured, km, number, names) for number, km in enumerate(ends_km[:-1])]
    passes = [_pass(measured, km, s) for km, s in zip(ends_km[:-1], sources, strict=True)]
    dry = _source(measured, length * 0.3, 4, names, north=-0.1)
    dry = replace(dry, id="dry", grade=None, retired="seen dry twice")
    far = replace(_source(measured, length * 0.6, 3, names, north=1.4), id="far")
    passes.append(_pass(measured, length * 0.3, dry, f"grade not given; {names.other}"))
    knots = [StretchEnd(0.0)]
    knots += [StretchEnd(passed.km, passed) for passed in passes[:-1]]
    knots.append(StretchEnd(length))
    itinerary = _itinerary(measured, knots)
    stretches = tuple(
        _stretch(number + 1, knots[number], knots[number + 1], itinerary.travels[number], verdict)
        for number, verdict in enumerate(verdicts)
    )
    gap = max(stretches, key=lambda s: s.end.km - s.begin.km)
    by_days = max(stretches, key=lambda s: s.days).number
    order = list(Verdict)
    worst = max(stretches, key=lambda s: (order.index(s.verdict), s.short_l)).number
    most = max(stretches, key=lambda s: s.wanted_l)
    return Plan(
        measured=measured,
        trip=trip(names),
        sources=(*sources, dry, far),
        passes=tuple(sorted(passes, key=lambda passed: passed.km)),
        stretches=stretches,
        stops=tuple(
            PlannedStop((end.water,), end.km, stay.arrives.hour, 0.0, 0.0, 0.0, stay.leaves.hour, 0)
            for end, stay in zip(knots[1:-1], itinerary.stays, strict=True)
        ),
        headline=Headline(
            HeadlineLevel.LASTS if set(verdicts) == {Verdict.CLEAR} else HeadlineLevel.NOT_SAFE,
            ("Invented for tests.",),
        ),
        most_to_carry=MostToCarry(most.wanted_l, most.begin.km, most.begin.water),
        days=travel_days(itinerary, dt.date(2027, 5, 3)),
        longest_without_water=WithoutWater(gap.begin.km, gap.end.km, gap.days),
        longest=Longest(max(stretches, key=lambda s: s.length_km).number, by_days, worst),
        warnings=warnings,
        assumptions=_ASSUMPTIONS,
    )


_ASSUMPTIONS = (
    Assumption("speed", "25 km/h", "no speed in the trip; common practice, no source",
               "pace.speed_kmh"),
    Assumption("detour factor", "1.3", "common practice, no source", "pace.detour_factor"),
    Assumption("start", "all containers full", "nothing else said", "policy.start_on_board_l"),
)  # fmt: skip
GAP_WARNING = PlanWarning(
    "Kestrel Bore is passed only if the track past it is open.", 2, grave=True
)


def gap_plan(names: Names | None = None) -> Plan:
    """Make a plan with every verdict that containers allow; stretch 2 is too long."""
    verdicts = (
        Verdict.CLEAR,
        Verdict.TOO_LONG,
        Verdict.INTO_RESERVE,
        Verdict.SHORT_RATION,
        Verdict.CLEAR,
    )
    told = PlanWarning("Route points were joined by straight legs over 12 km.")
    return make_plan(verdicts, names=names, warnings=(GAP_WARNING, told))


def clear_plan() -> Plan:
    """Make a plan without a gap."""
    return make_plan((Verdict.CLEAR,) * 4)


def bare_plan() -> Plan:
    """Make a plan of one stretch, without containers, sources, days or assumptions."""
    plan = make_plan((Verdict.NO_CONTAINERS,))
    return replace(plan, sources=(), passes=(), days=(), assumptions=())


def antimeridian_plan() -> Plan:
    """Make a plan whose route crosses 180 degrees."""
    return make_plan(
        (Verdict.CLEAR, Verdict.TOO_LONG, Verdict.CLEAR), measured=measured_route(lon0=177.0)
    )


def large_plan(points: int = 20_000, passes: int = 200) -> Plan:
    """Make a plan of a long track that wanders, so that simplifying cannot drop most of it."""
    base = measured_route(points=points)
    rng = np.random.default_rng(7)
    lat = base.route.lat_deg + rng.normal(0.0, 0.0004, points)
    route = replace(base.route, lat_deg=lat)
    lon = route.lon_deg
    leg_km = np.array(_GEOD.inv(lon[:-1], lat[:-1], lon[1:], lat[1:])[2]) / 1000.0
    chainage = np.concatenate([[0.0], np.cumsum(leg_km)])
    measured = MeasuredRoute(route, leg_km, chainage, (), 0.0, 1.0)
    verdicts = tuple(
        Verdict.TOO_LONG if number % 9 == 4 else Verdict.CLEAR for number in range(passes)
    )
    return make_plan(verdicts, measured=measured)
