"""The question of what to fill, made from the stretches and the containers of a trip.

What is packed too heavy for a vehicle at the start is left behind here, so that no verdict counts
on it.
"""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from longdry.computing.fills.drawing import slower_flow_l_per_min
from longdry.computing.fills.loads import load_kg
from longdry.computing.fills.stays import StayShare, stay_shares
from longdry.computing.needs.needs import WaterDemand
from longdry.computing.treating.treating import treatable_l
from longdry.model.plan.fills import FillProblem, GradeNeed, Leg, Stop, Vessel
from longdry.model.plan.stretch import DryStretch, Need, StretchEnd
from longdry.model.trip.party import Container, Vehicle
from longdry.model.trip.treatment import Treatment
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import ContainerGrade, FillTo, Grade, Ration, is_rock_hole, known_kind
from longdry.units import KG_PER_L_WATER

_CLEANEST_FIRST = (Grade.POTABLE, Grade.TREAT, Grade.NOT_FOR_DRINKING)


def fill_problem(
    stretches: Sequence[DryStretch], demand: WaterDemand, *, payload: bool = True
) -> FillProblem:
    """Ask what to fill at the start and at every call.

    A stop with several waters is several stops of the question, with nothing needed between them:
    the potable ones first, so that raw water comes last. Water that is not for drinking is left
    out: no use is planned to live on it.

    Parameters
    ----------
    payload
        Whether to heed the payload left; what is too heavy at the start is left behind.
    """
    trip = demand.trip
    ends = [stretches[0].begin, *(stretch.end for stretch in stretches)]
    times = Counter(_limited_ids(ends))
    shares = stay_shares(stretches, demand, potable_first)
    lived_on = sum((Counter(share.used_l) for share in shares), Counter[str]())
    stops: list[Stop] = []
    legs: list[Leg] = []
    for end, stretch, stay, stay_after in itertools.zip_longest(
        ends, stretches, [None, *shares], shares
    ):
        at_end = _stops(end, times, trip) if stretch else [_no_water(end)]
        stops += _without_spare([_within(stop, stay, lived_on) for stop in at_end])
        legs += [NOTHING_BETWEEN] * (len(at_end) - 1)
        if stretch:
            legs.append(_leg(stretch, demand, stay_after))
    carriers = trip.vehicles if payload else ()
    return FillProblem(
        stops=tuple(stops),
        legs=tuple(legs),
        vessels=within_payload(vessels_at_start(trip), carriers),
        carriers=carriers,
    )


def vessels_at_start(trip: Trip) -> tuple[Vessel, ...]:
    """Return every single container with what it holds at the start, too heavy or not."""
    return tuple(vessel for box in trip.containers for vessel in _vessels(box, trip))


def _limited_ids(ends: Sequence[StretchEnd]) -> list[str]:
    waters = [water for end in ends for water in end.waters]
    return [water.source.id for water in waters if water.source.limit_l is not None]


def start_has_water(trip: Trip) -> bool:
    """Whether the party can fill at the start: unless its containers hold what they hold."""
    return all(box.holds_l is None for box in trip.containers)


def by_grade(need: Need) -> GradeNeed:
    """Sort a need by the lowest grade that its uses take, losses in proportion."""
    uses_l = sum(use.litres for use in need.by_use)
    if uses_l == 0.0:
        return GradeNeed(potable_l=need.losses_l)
    on_top = 1.0 + need.losses_l / uses_l
    potable, treat, lowest = (
        sum([use.litres for use in need.by_use if use.grade is grade]) * on_top
        for grade in _CLEANEST_FIRST
    )
    return GradeNeed(potable_l=potable, treat_l=treat, any_l=lowest)


def potable_first(end: StretchEnd) -> list[WaterPass]:
    """Return the waters of a stop, those that must be treated last.

    Of these the one that gives most comes last: only there is anything treated.
    """
    return sorted(end.waters, key=_by_grade_and_limit)


def _by_grade_and_limit(water: WaterPass) -> tuple[bool, float]:
    source = water.source
    limit_l = math.inf if source.limit_l is None else source.limit_l
    return source.trusted_grade is not Grade.POTABLE, limit_l


def _stops(end: StretchEnd, times: Mapping[str, int], trip: Trip) -> list[Stop]:
    is_start = end.water is None
    if is_start and (not end.waters or not start_has_water(trip)):
        wet = start_has_water(trip)
        grade = Grade.POTABLE if wet else None
        return [Stop(end.km, None, grade=grade, limit_l=trip.policy.start_on_board_l)]
    waters = potable_first(end)
    return [_stop(end.km, water, times, trip, treats_here=water is waters[-1]) for water in waters]


def _without_spare(stops: Sequence[Stop]) -> list[Stop]:
    """Leave out water beside such as gives more of its kind without limit, no slower and no dearer.

    It follows that and gives nothing: between them nothing is poured away to be drawn again.
    """
    raw = [one for one in stops if one.water and one.grade is not Grade.POTABLE]
    return [*_main_first([one for one in stops if one not in raw]), *_main_first(raw)]


def _main_first(stops: Sequence[Stop]) -> list[Stop]:
    """Put water without limit before the others, which then give nothing; what is treated too."""
    whole = [one for one in stops if one.limit_l is None]
    if len(stops) <= 1 or not whole:
        return list(stops)
    main = max(whole, key=_ease)
    cost, flow = main.cost_per_l, _flow_l_per_min(main)
    if any(one.cost_per_l < cost or _flow_l_per_min(one) > flow for one in stops):
        return list(stops)
    spare = (replace(one, limit_l=0.0, treat_l=0.0) for one in stops if one is not main)
    return [replace(main, treat_l=stops[-1].treat_l), *spare]


def _ease(stop: Stop) -> tuple[float, float]:
    return -stop.cost_per_l, _flow_l_per_min(stop)


def _flow_l_per_min(stop: Stop) -> float:
    return math.inf if stop.flow_l_per_min is None else stop.flow_l_per_min


def _no_water(end: StretchEnd) -> Stop:
    return Stop(end.km, None)


def _stop(
    km: float, water: WaterPass, times: Mapping[str, int], trip: Trip, *, treats_here: bool
) -> Stop:
    source = water.source
    passed = times.get(source.id, 1)
    return Stop(
        km=km,
        name=source.id,
        grade=source.trusted_grade,
        limit_l=source.limit_l,
        treat_l=None if trip.party.can_treat and treats_here else 0.0,
        flow_l_per_min=slower_flow_l_per_min(source, trip),
        cost_per_l=source.cost_per_l or 0.0,
        stock=source.id if passed > 1 else None,
        top_up_l=_top_up_l(source, passed),
        water=water,
    )


def _top_up_l(source: WaterSource, passed: int) -> float | None:
    """Return what who fills all may take beyond the need: half of a small water, in all passes.

    Where nobody knows how much a soak or a rockhole holds, nothing: it may be little.
    """
    kind = known_kind(source.kind or "")
    is_small = kind == "soak" or is_rock_hole(source.kind or "")
    if not is_small and not (kind == "tank" and source.limit_l is not None):
        return None
    return (source.limit_l or 0.0) / 2.0 / passed


_NOTHING = GradeNeed()
NOTHING_BETWEEN = Leg(0.0, 0.0, _NOTHING, _NOTHING, _NOTHING, _NOTHING, 0.0, None, None)
"""Between two waters of one stop."""


def _within(stop: Stop, stay: StayShare | None, lived_on: Mapping[str, float]) -> Stop:
    """Return a stop that gives no more than the stays leave."""
    limits = [stop.limit_l] if stop.water is None else _limits_l(stop.water.source, stay, lived_on)
    return replace(stop, limit_l=min((one for one in limits if one is not None), default=None))


def _limits_l(
    source: WaterSource, stay: StayShare | None, lived_on: Mapping[str, float]
) -> list[float | None]:
    in_all_l = None
    if source.limit_l is not None:
        in_all_l = max(source.limit_l - lived_on.get(source.id, 0.0), 0.0)
    return [in_all_l, stay.left_l.get(source.id) if stay else None]


def _leg(stretch: DryStretch, demand: WaterDemand, stay: StayShare | None) -> Leg:
    """Return what a stretch asks for, and what a stay at its end takes of the water carried."""
    full, lean, bare = (
        _and_stay(by_grade(one.need), stay, one.ration, demand) for one in stretch.needs
    )
    trip = demand.trip
    return Leg(
        km=stretch.length_km,
        days=stretch.days,
        full=full,
        lean=lean,
        bare=bare,
        reserve=by_grade(demand.reserve(stretch.travel)),
        treat_l=None if trip.party.can_treat else 0.0,
        reserve_treat_l=_treatable_l(trip, trip.policy.reserve_days),
        treat_with_stop_l=_treatable_l(trip, stretch.days) if trip.party.can_treat else None,
    )


def _and_stay(
    need: GradeNeed, stay: StayShare | None, ration: Ration, demand: WaterDemand
) -> GradeNeed:
    """Return a need with what a stay takes of the water carried.

    What the waters of the stay give is drunk first, so what is carried serves the lower uses first.
    """
    taken_l = stay.carried_l[ration] if stay else 0.0
    if stay is None or taken_l <= 0.0:
        return need
    of_stay = by_grade(demand.need_on(ration, stay.stay.travel))
    given_l = max(of_stay.total_l - taken_l, 0.0)
    potable_l = max(of_stay.potable_l - given_l, 0.0)
    treat_l = max(of_stay.potable_l + of_stay.treat_l - given_l, 0.0) - potable_l
    any_l = max(taken_l - potable_l - treat_l, 0.0)
    return GradeNeed(need.potable_l + potable_l, need.treat_l + treat_l, need.any_l + any_l)


def _treatable_l(trip: Trip, days: float) -> float | None:
    if not trip.party.can_treat:
        return 0.0
    return treatable_l(trip.treatment or Treatment(), days)


def _vessels(box: Container, trip: Trip) -> list[Vessel]:
    brimful = trip.policy.fill_to is FillTo.BRIMFUL
    return [
        Vessel(
            name=f"{box.name} {number}" if box.count > 1 else box.name,
            size_l=box.brimful_l if brimful else box.rated_l,
            grade=ContainerGrade.POTABLE if box.drinking_only else box.grade,
            carrier=box.vehicle,
            tare_kg=box.tare_kg,
            cleanable=box.cleanable,
            holds_l=box.holds_l or 0.0,
            holds_grade=box.holds_grade or Grade.POTABLE,
        )
        for number in range(1, box.count + 1)
    ]


def start_load_kg(vessels: tuple[Vessel, ...], carrier: str) -> float:
    """Give what a carrier bears at the start with what its containers hold then."""
    own = [v for v in vessels if v.carrier == carrier]
    return load_kg(sum(v.holds_l for v in own), sum(v.tare_kg for v in own))


def within_payload(
    vessels: tuple[Vessel, ...], carriers: tuple[Vehicle, ...]
) -> tuple[Vessel, ...]:
    """Return the containers with what is too heavy at the start left behind, lower water first.

    Examples
    --------
    Without carriers nothing is too heavy:

    >>> within_payload((), ())
    ()
    """
    lightened = list(vessels)
    for carrier in carriers:
        over_l = (start_load_kg(vessels, carrier.name) - carrier.payload_left_kg) / KG_PER_L_WATER
        for index in _lower_first(vessels, carrier.name):
            off_l = min(max(over_l, 0.0), vessels[index].holds_l)
            lightened[index] = replace(vessels[index], holds_l=vessels[index].holds_l - off_l)
            over_l -= off_l
    return tuple(lightened)


def _lower_first(vessels: tuple[Vessel, ...], carrier: str) -> list[int]:
    own = [index for index, vessel in enumerate(vessels) if vessel.carrier == carrier]
    return sorted(own, key=lambda index: vessels[index].holds_grade is Grade.POTABLE)
