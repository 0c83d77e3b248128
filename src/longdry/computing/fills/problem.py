"""The question of what to fill, made from the stretches and the containers of a trip.

What is packed too heavy for a vehicle at the start is left behind here, so that no verdict counts
on it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import replace

from longdry.computing.fills.loads import load_kg
from longdry.computing.stretches.late_clock import late_spans
from longdry.computing.stretches.stretches import StretchContext
from longdry.computing.treating.treating import treatable_l
from longdry.computing.water.opening import has_hours, is_open_at
from longdry.model.plan.fills import FillProblem, GradeNeed, Leg, Stop, Vessel
from longdry.model.plan.stretch import DryStretch, Need, Span, StretchEnd
from longdry.model.trip.party import Container, Vehicle
from longdry.model.trip.treatment import Treatment
from longdry.model.trip.trip import Trip
from longdry.model.water.source import WaterSource
from longdry.model.words import FillTo, Grade
from longdry.units import KG_PER_L_WATER

_GRADES = (Grade.POTABLE, Grade.TREAT, Grade.NOT_FOR_DRINKING)


def fill_problem(
    stretches: Sequence[DryStretch],
    going: StretchContext,
    *,
    ways_before: bool = True,
    payload: bool = True,
) -> FillProblem:
    """Ask what to fill at the start and at every counted pass.

    Water that is not for drinking is left out: no use is planned to live on it.

    Parameters
    ----------
    ways_before
        Whether to heed that the ways to water before a stretch bring the party there later.
    payload
        Whether to heed the payload left; what is too heavy at the start is left behind.
    """
    ends = [stretches[0].begin, *(stretch.end for stretch in stretches)]
    late = ways_before and any(end.water and has_hours(end.water.source) for end in ends)
    spans = late_spans(stretches, going) if late else ()
    hours = _arrival_hours([stretch.span for stretch in stretches], spans, going)
    shared_sources = {source for source, times in Counter(_limited_ids(ends)).items() if times > 1}
    carriers = going.trip.vehicles if payload else ()
    return FillProblem(
        stops=tuple(
            _stop(end, at, shared_sources, going.trip) for end, at in zip(ends, hours, strict=True)
        ),
        legs=tuple(_leg(stretch, going, ways_before=ways_before) for stretch in stretches),
        vessels=within_payload(vessels_at_start(going.trip), carriers),
        carriers=carriers,
    )


def vessels_at_start(trip: Trip) -> tuple[Vessel, ...]:
    """Return every single container with what it holds at the start, too heavy or not."""
    return tuple(vessel for box in trip.containers for vessel in _vessels(box, trip))


def _limited_ids(ends: Sequence[StretchEnd]) -> list[str]:
    return [e.water.source.id for e in ends if e.water and e.water.source.limit_l is not None]


def _arrival_hours(
    spans: Sequence[Span], late: Sequence[Span], going: StretchContext
) -> list[tuple[float, ...]]:
    """Give the hours at which each stop may be reached: by the base clock, and with the ways."""
    depart = going.clock.depart.hour
    base = [(depart + span.end_h,) for span in spans]
    if not late:
        return [(depart,), *base]
    both = [(*at, depart + span.end_h) for at, span in zip(base, late, strict=True)]
    return [(depart,), *both]


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
        sum([use.litres for use in need.by_use if use.grade is grade]) * on_top for grade in _GRADES
    )
    return GradeNeed(potable_l=potable, treat_l=treat, any_l=lowest)


def _stop(
    end: StretchEnd, hours: Sequence[float], shared_sources: Collection[str], trip: Trip
) -> Stop:
    if end.water is None:
        has_water = end.km == 0.0 and start_has_water(trip)
        return Stop(
            km=end.km,
            name=None,
            grade=Grade.POTABLE if has_water else None,
            limit_l=trip.policy.start_on_board_l,
        )
    source = end.water.source
    return Stop(
        km=end.km,
        name=source.id,
        grade=source.trusted_grade,
        limit_l=source.limit_l,
        treat_l=None if trip.party.can_treat else 0.0,
        flow_l_per_min=source.flow_l_per_min,
        minutes=_minutes(source, trip),
        cost_per_l=source.cost_per_l or 0.0,
        is_open=all(is_open_at(source, hour) for hour in hours),
        stock=source.id if source.id in shared_sources else None,
    )


def _minutes(source: WaterSource, trip: Trip) -> float | None:
    """Give the minutes for a fill; none stated: as many as it takes, but no flow gives nothing."""
    stated = trip.pace.fill_minutes
    return stated if stated > 0.0 or source.flow_l_per_min == 0.0 else None


def _leg(stretch: DryStretch, going: StretchContext, *, ways_before: bool) -> Leg:
    late = stretch.late if ways_before else None
    needs = late.needs if late else stretch.needs
    full, lean, bare = (by_grade(ration.need) for ration in needs)
    trip = going.trip
    days = min(stretch.days, late.span.days) if late else stretch.days
    whole_l = _treatable_l(trip, days)
    return Leg(
        km=stretch.length_km,
        days=stretch.days,
        full=full,
        lean=lean,
        bare=bare,
        reserve=by_grade(late.reserve if late else going.asking.reserve(stretch.span)),
        treat_l=None if trip.party.can_treat else 0.0,
        reserve_treat_l=_treatable_l(trip, trip.policy.reserve_days),
        treat_with_stop_l=whole_l if trip.party.can_treat else None,
    )


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
            grade=box.grade,
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
