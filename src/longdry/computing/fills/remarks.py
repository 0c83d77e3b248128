"""What the party must know of its fills: weights, what treating leaves, what was assumed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from longdry.computing.fills.filling import Filling
from longdry.computing.fills.loads import carrier_loads
from longdry.computing.fills.problem import start_load_kg, vessels_at_start
from longdry.computing.treating.treating import effort_of
from longdry.computing.water.opening import has_hours
from longdry.model.assumption import Assumption
from longdry.model.plan.fills import CarrierLoad
from longdry.model.plan.plan import PlanWarning
from longdry.model.plan.treating import TreatmentPlan
from longdry.model.trip.treatment import METHOD_WORDS, Treatment
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import Grade
from longdry.units import rounded_up

_LEAST_WARNED_KG = 0.05


def loads_of(filling: Filling, trip: Trip) -> tuple[CarrierLoad, ...]:
    """Give the heaviest load of each carrier, also that which it is packed with at the start."""
    at_start = vessels_at_start(trip)
    return tuple(
        _heavier(load, start_load_kg(at_start, load.carrier))
        for load in carrier_loads(filling.problem, filling.chosen)
    )


def _heavier(load: CarrierLoad, kg: float) -> CarrierLoad:
    if kg <= load.load_kg:
        return load
    over_kg = max(0.0, kg - load.payload_left_kg)
    return replace(load, load_kg=kg, stop=0, over_kg=over_kg)


def warnings_of_fills(
    filling: Filling, trip: Trip, treating: TreatmentPlan | None
) -> list[PlanWarning]:
    """Gather what the fills warn of."""
    return [
        *_too_heavy(loads_of(filling, trip)),
        *_not_carried(trip),
        *_left_in_the_water(treating),
    ]


def _too_heavy(loads: Iterable[CarrierLoad]) -> list[PlanWarning]:
    return [
        PlanWarning(
            f"{load.carrier} is packed {rounded_up(load.over_kg):.0f} kg too heavy:"
            f" {rounded_up(load.load_kg):.0f} kg of water and containers,"
            f" {load.payload_left_kg:g} kg of payload left. {_what_to_leave(load)}",
            grave=True,
        )
        for load in loads
        if load.over_kg > _LEAST_WARNED_KG
    ]


def _what_to_leave(load: CarrierLoad) -> str:
    if load.tare_kg > load.payload_left_kg:
        return "Its containers alone weigh more: leave some behind. The plan puts no water in them."
    return "The plan counts on what may be carried: leave the rest behind, or carry it otherwise."


def _not_carried(trip: Trip) -> list[PlanWarning]:
    names = [box.name for box in trip.containers if box.vehicle is None]
    if not trip.vehicles or not names:
        return []
    text = (
        f"Carried by no vehicle, so held against no payload: {', '.join(names)}."
        " Name the vehicle of each, so that weights are not told too light."
    )
    return [PlanWarning(text)]


def _left_in_the_water(treating: TreatmentPlan | None) -> list[PlanWarning]:
    if treating is None or treating.in_all.litres <= 0.0:
        return []
    doing = METHOD_WORDS[treating.method]
    left = "; ".join(treating.limits.not_removed)
    text = (
        f"{doing[0].upper()}{doing[1:]} leaves in the water: {left}"
        f" ({treating.limits.source}). Where local authorities say otherwise, they are right."
    )
    return [PlanWarning(text)]


def assumptions_of_fills(filling: Filling, passes: Sequence[WaterPass]) -> list[Assumption]:
    """Gather what the fills take for granted."""
    counted = [water.source for water in passes if water.counted]
    return [
        *_hours_unknown(counted),
        *_limits_shared(filling),
        *_not_proved(filling),
        *_treating_in_time(filling),
        *_no_time_for_treating(filling),
        *_litres_alone(filling),
        *_closed_or_nearly_empty(counted),
    ]


def _litres_alone(filling: Filling) -> list[Assumption]:
    problem = filling.problem
    lower = any(stop.grade is Grade.TREAT for stop in problem.stops)
    held = any(v.holds_l > 0.0 and v.holds_grade is not Grade.POTABLE for v in problem.vessels)
    if not (lower or held):
        return []
    value = "all water carried can be drunk, treated in time"
    why = (
        "what goes wrong, ways on and back, turn-back km, waiting and chance count litres alone;"
        " a party that cannot treat so fast has less"
    )
    return [Assumption("water to be treated, when something goes wrong", value, why)]


def _closed_or_nearly_empty(counted: Sequence[WaterSource]) -> list[Assumption]:
    if not any(
        has_hours(source) or source.limit_l is not None or source.flow_l_per_min is not None
        for source in counted
    ):
        return []
    value = "called at in vain, and the next water made for"
    why = (
        "a source that is closed when the party comes, or gives less than a litre a head, is no"
        " water to go on or back to; it does not wait there for the door to open"
    )
    return [Assumption("sources closed or nearly empty, when something goes wrong", value, why)]


def _hours_unknown(counted: Sequence[WaterSource]) -> list[Assumption]:
    unknown = {source.id for source in counted if not has_hours(source)}
    if not unknown:
        return []
    value = f"{len(unknown)} open at any hour"
    why = "the layer gives them no open_from_hour or open_to_hour"
    return [Assumption("sources without opening hours", value, why)]


def _limits_shared(filling: Filling) -> list[Assumption]:
    shared = {stop.stock for stop in filling.problem.stops if stop.stock is not None}
    if not shared:
        return []
    value = f"{len(shared)} give their limit once in all"
    why = "no more than limit_l is taken at all passes of one source together"
    return [Assumption("limited sources passed more than once", value, why)]


def _not_proved(filling: Filling) -> list[Assumption]:
    if filling.chosen.is_proved:
        return []
    value = "keeps every rule, but a better one may exist"
    why = "not every way of sharing containers, treating or a limited source could be tried"
    return [Assumption("fill plan", value, why)]


def _no_time_for_treating(filling: Filling) -> list[Assumption]:
    treated_l = sum(fill.treated_l for fill in filling.chosen.fills)
    treatment = filling.demand.trip.treatment or Treatment()
    if treated_l <= 0.0 or effort_of(treatment, treated_l).minutes is not None:
        return []
    value = "0 minutes"
    why = (
        "[treatment] does not say how, or how fast: each such stop takes longer than the plan says"
    )
    return [Assumption("time for treating at stops", value, why)]


def _treating_in_time(filling: Filling) -> list[Assumption]:
    has_lower = any(stop.grade is Grade.TREAT for stop in filling.problem.stops)
    known = any(leg.treat_with_stop_l is not None for leg in filling.problem.legs)
    if not (has_lower and known):
        return []
    value = "its litres a day, times the days of the stretch"
    why = "water treated at a stop and on the stretch after it together; none for the next stretch"
    return [Assumption("what can be treated", value, why)]
