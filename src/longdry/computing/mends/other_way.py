"""Mend: travel the route the other way round."""

from __future__ import annotations

from collections.abc import Sequence

from longdry.computing.fills.filling import with_best_verdicts
from longdry.computing.mends.trials import Draft, MendSearch, PlannedAgain, kept
from longdry.computing.route.mirrored import mirrored_route, mirrored_trip
from longdry.computing.stretches.outlook import Outset, dates_on, look_ahead
from longdry.computing.water.passes import CountingRule, passes_of
from longdry.errors import TripFileError
from longdry.model.plan.mends import Mend, MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import Approach, WaterPass


def by_other_way(mending: MendSearch, stretches: Sequence[DryStretch]) -> list[Mend]:
    """Return for each stretch the route the other way round, if that betters it."""
    if not stretches:
        return []
    try:
        again = planned_other_way(mending)
    except TripFileError:
        return []
    length_km = mending.ahead.outset.measured.length_km
    found: list[Mend] = []
    for stretch in stretches:
        after = again.verdict_between(length_km - stretch.end.km, length_km - stretch.begin.km)
        found += kept(mending, stretch, _draft(again), again, after)
    return found


def planned_other_way(mending: MendSearch) -> PlannedAgain:
    """Plan the mirrored trip on the mirrored route.

    Raises
    ------
    TripFileError
        Where a camp at the water has no water that counts on the new dates.
    """
    outset = mending.ahead.outset
    measured = mirrored_route(outset.measured)
    trip = mirrored_trip(outset.trip, measured.length_km)
    counting = CountingRule(mending.counting.count_on, dates_on(measured, trip))
    passes = _mirrored_passes(outset.passes, trip, measured.length_km, counting)
    ahead = look_ahead(Outset(measured, trip, passes))
    return PlannedAgain(with_best_verdicts(ahead.stretches(), ahead.going))


def _mirrored_passes(
    passes: Sequence[WaterPass], trip: Trip, length_km: float, counting: CountingRule
) -> tuple[WaterPass, ...]:
    """Return the passes counted from the other end, judged for the dates on which they come."""
    turned = [
        Approach(index, 0, 0.0, length_km - p.km, p.offset_km, p.lat_deg, p.lon_deg)
        for index, p in enumerate(passes)
    ][::-1]
    return passes_of(turned, [water.source for water in passes], trip, counting)


def _draft(again: PlannedAgain) -> Draft:
    return Draft(
        MendKind.OTHER_WAY,
        "Travel the route the other way round; the worst verdict of the whole trip is then"
        f' "{again.worst.value}".',
        MendFigures(),
        "Plan it with --reverse and read that plan whole: its start, its camps and its dates at"
        " the sources are others.",
    )
