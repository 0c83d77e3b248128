"""From stretches and the trip's containers to the question of what to fill."""

from __future__ import annotations

from collections.abc import Sequence

from longdry.computing.needs import reserve_need
from longdry.computing.stretches import Going
from longdry.model.dry_stretch import DryStretch, StretchEnd
from longdry.model.fill import FillProblem, GradeNeed, Leg, Stop, Vessel
from longdry.model.need import Need
from longdry.model.party import Container
from longdry.model.trip import Trip
from longdry.model.words import FillTo, Grade


def fill_problem(stretches: Sequence[DryStretch], going: Going) -> FillProblem:
    """Ask what to fill at the start and at every counted pass.

    Water that is not for drinking is left out: no use is planned to live on it.
    """
    ends = [stretches[0].begin, *(stretch.end for stretch in stretches)]
    return FillProblem(
        stops=tuple(_stop(end, going) for end in ends),
        legs=tuple(_leg(stretch, going) for stretch in stretches),
        vessels=tuple(v for box in going.trip.containers for v in _vessels(box, going.trip)),
        carriers=going.trip.vehicles,
    )


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
        sum(use.litres for use in need.by_use if use.grade is grade) * on_top for grade in Grade
    )
    return GradeNeed(potable_l=potable, treat_l=treat, any_l=lowest)


def _stop(end: StretchEnd, going: Going) -> Stop:
    if end.water is None:
        wet = end.km == 0.0 and start_has_water(going.trip)
        return Stop(
            km=end.km,
            name=None,
            grade=Grade.POTABLE if wet else None,
            limit_l=going.trip.policy.start_on_board_l,
        )
    source = end.water.source
    return Stop(
        km=end.km,
        name=source.id,
        grade=source.trusted_grade,
        limit_l=source.limit_l,
        treat_l=None if going.trip.party.can_treat else 0.0,
        flow_l_per_min=source.flow_l_per_min,
    )


def _leg(stretch: DryStretch, going: Going) -> Leg:
    needs = stretch.late.needs if stretch.late else stretch.needs
    full, lean, bare = (by_grade(ration.need) for ration in needs)
    reserve = by_grade(reserve_need(going.trip, stretch.span, going.heat))
    can_treat = going.trip.party.can_treat
    return Leg(
        km=stretch.length_km,
        days=stretch.days,
        full=full,
        lean=lean,
        bare=bare,
        reserve=reserve,
        treat_l=None if can_treat else 0.0,
        reserve_treat_l=None if can_treat else 0.0,
    )


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
