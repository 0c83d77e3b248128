"""The rest of a trip: from where the party is, with what it has."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from longdry.computing.calls.groups import NAMED_WITHIN_KM
from longdry.computing.road.litres_left import containers_with
from longdry.computing.road.rates import pace_times, true_rates, true_speeds, use_times
from longdry.computing.route.approaches import find_approaches
from longdry.computing.stretches.prepared import PreparedTrip, prepare
from longdry.errors import UsageError
from longdry.like_names import nearest_name
from longdry.model.assumption import Assumption
from longdry.model.route import MeasuredRoute
from longdry.model.trip.here import Here, OnTheWay
from longdry.model.trip.named_pass import NamedPass, named_pass
from longdry.model.trip.tally import TallyEntry
from longdry.model.trip.trip import Trip
from longdry.model.trip.what_if import Change, LostContainer
from longdry.model.water.source import WET, WaterLayer, WaterSource
from longdry.model.words import Accrual
from longdry.plain_text import listed, one_line
from longdry.units import HOURS_PER_DAY, rounded_up

MOST_DAYS = 1000
"""A later time is a slip of the pen: no party is on its way for so long."""


def rest_of_trip(
    prepared: PreparedTrip, sources: Sequence[WaterSource], said: OnTheWay
) -> PreparedTrip:
    """Return the trip from where the party is, with what it has and at its true rates.

    Parameters
    ----------
    prepared
        The whole trip.
    sources
        All that are known.

    Raises
    ------
    UsageError
        Where the place, the time or the litres cannot be.
    """
    measured, trip = prepared.measured, prepared.trip
    km = _km_of(measured, trip, sources, said)
    hour = _hour_of(prepared, said.at)
    rested = _at_true_rates(prepared, said)
    here = Here(
        km,
        hour,
        said.moved_h,
        said.source,
        tuple(entry.source for entry in said.tally if entry.source and entry.took_l),
        *_names_along(measured, trip, sources, km),
    )
    left = replace(
        rested.trip,
        name=f"{trip.name or measured.route.name}, from km {km:.1f}".removeprefix(", "),
        here=here,
        containers=containers_with(trip, said.left),
        what_ifs=_renamed(trip),
        defaults=(
            *rested.trip.defaults,
            *_assumed(prepared, said, km),
            *_drawn_assumed(sources, said),
        ),
    )
    return prepare(measured, left, known=rested)


def as_the_tally_found(layer: WaterLayer, tally: Sequence[TallyEntry]) -> WaterLayer:
    """Return the water as the party found it on the way.

    What it last found dry, or could not reach, counts no more; what it took is off the litres that
    a source gives in all. A source found so that no layer has is told.

    Examples
    --------
    >>> as_the_tally_found(WaterLayer(()), ()).sources
    ()
    """
    sources = tuple(_less_drawn(_as_found(one, tally), tally) for one in layer.sources)
    lost = dict.fromkeys(
        f'"{one_line(entry.source)}"'
        for entry in tally
        if _found_none(entry) and not any(_is_meant(entry.source, one) for one in layer.sources)
    )
    if not lost:
        return replace(layer, sources=sources)
    what = "The tally says that these gave no water, and no water layer has them by this name"
    remark = f"{what}, so the plan may still count on them: {listed([*lost])}."
    return replace(layer, sources=sources, remarks=(*layer.remarks, remark))


def _as_found(source: WaterSource, tally: Sequence[TallyEntry]) -> WaterSource:
    told = [
        entry
        for entry in tally
        if (entry.found or entry.took_l) and _is_meant(entry.source, source)
    ]
    last = max(told, key=lambda entry: entry.at, default=None)
    if last is None or not _found_none(last):
        return source
    return replace(source, retired=f"you found it {last.found} on {last.at:%Y-%m-%d}")


def _found_none(entry: TallyEntry) -> bool:
    return bool(entry.source and entry.found) and entry.found not in WET and not entry.took_l


def _less_drawn(source: WaterSource, tally: Sequence[TallyEntry]) -> WaterSource:
    if source.limit_l is None:
        return source
    drawn_l = sum(
        entry.took_l for entry in tally if entry.took_l and _is_meant(entry.source, source)
    )
    return replace(source, limit_l=max(source.limit_l - drawn_l, 0.0)) if drawn_l else source


def _km_of(
    measured: MeasuredRoute, trip: Trip, sources: Sequence[WaterSource], said: OnTheWay
) -> float:
    if said.source is not None:
        return _km_of_water(measured, trip, sources, said.source)
    if said.km is None:
        raise UsageError.single("--from-km", "", "no place is given", "give a km, or --from SOURCE")
    if not 0.0 <= said.km < measured.length_km:
        what = f"km {said.km:g} is not on the route, which is {measured.length_km:.1f} km long"
        raise UsageError.single("--from-km", "", what, "give a km before its end")
    return said.km


def _names_along(
    measured: MeasuredRoute, trip: Trip, sources: Sequence[WaterSource], km: float
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return what the trip calls at or passes by: that it has been at, or is; and that is ahead."""
    names = (*trip.policy.call_at, *trip.policy.pass_by)
    kms = {name: _kms_meant(measured, trip, sources, named_pass(name)) for name in names}
    known = [name for name in names if kms[name]]
    is_behind = {name: min(kms[name]) <= km + NAMED_WITHIN_KM for name in known}
    return (
        tuple(name for name in known if is_behind[name]),
        tuple(name for name in known if not is_behind[name]),
    )


def _kms_meant(
    measured: MeasuredRoute, trip: Trip, sources: Sequence[WaterSource], named: NamedPass
) -> list[float]:
    """Return the km of the passes that a name means."""
    kms = _kms_of(measured, trip, sources, named)
    return [km for km in kms if named.km is None or abs(km - named.km) <= NAMED_WITHIN_KM]


def _kms_of(
    measured: MeasuredRoute, trip: Trip, sources: Sequence[WaterSource], named: NamedPass
) -> list[float]:
    """Return the km of all passes of the source that a name means."""
    meant = [one for one in sources if _is_meant(named.source, one)]
    return sorted(
        one.km
        for one in find_approaches(
            measured,
            np.array([source.lat_deg for source in meant]),
            np.array([source.lon_deg for source in meant]),
            max_detour_km=trip.policy.max_detour_km,
        )
    )


def _is_meant(name: str, source: WaterSource) -> bool:
    return name.strip().casefold() in (source.id.strip().casefold(), source.name.strip().casefold())


def _km_of_water(
    measured: MeasuredRoute, trip: Trip, sources: Sequence[WaterSource], named: NamedPass
) -> float:
    kms = _kms_of(measured, trip, sources, named)
    near = _kms_meant(measured, trip, sources, named)
    if len(near) == 1:
        return near[0]
    told = ", ".join(f"{named.source}@{km:.1f}" for km in kms) or _nearest_source(named, sources)
    what = f'"{named.source}" is passed more than once' if near else f'"{named.source}" is no pass'
    raise UsageError.single("--from", "", what, f"name {told}")


def _nearest_source(named: NamedPass, sources: Sequence[WaterSource]) -> str:
    close = nearest_name(named.source, (one.name for one in sources))
    near = f' (the nearest name is "{close}")' if close else ""
    return f"a source that the route passes{near}, or a km with --from-km"


def _hour_of(prepared: PreparedTrip, at: dt.datetime | float) -> float:
    departs_h = prepared.clock.departs_h
    if isinstance(at, dt.datetime):
        departs_on = prepared.departs_on
        if departs_on is None:
            mend = "name depart in the trip file, or write the day of the trip: --at 'day 4 14:00'"
            raise UsageError.single("--at", "", "the trip names no departure", mend)
        midnight = dt.datetime.combine(departs_on, dt.time())
        hour = (at.replace(tzinfo=None) - midnight).total_seconds() / 3600.0
    else:
        hour = at
    earliest_h = min(departs_h, prepared.clock.depart_h)
    if hour < earliest_h - 1e-9:
        raise UsageError.single(
            "--at", "", "the time is before the departure", "give the day and hour of now"
        )
    if hour > MOST_DAYS * HOURS_PER_DAY:
        what = f"the time is more than {MOST_DAYS} days after the departure"
        raise UsageError.single("--at", "", what, "give the day and hour of now")
    return hour


def _at_true_rates(prepared: PreparedTrip, said: OnTheWay) -> PreparedTrip:
    """Return the trip at the rates of the tally where they are harder, or are trusted."""
    least = 0.0 if said.trusts_tally else 1.0
    trip = prepared.trip
    used = use_times(true_rates(said.tally, trip))
    gone = _pace_times(prepared, said)
    if used is not None and (used > least) and used != 1.0:
        trip = _using(trip, used)
    if gone is None or gone <= least or gone == 1.0:
        return prepared if trip is prepared.trip else prepared.with_trip(trip)
    return prepared.with_trip(trip).with_hours(gone)


def _using(trip: Trip, times: float) -> Trip:
    uses = tuple(
        use if use.per is Accrual.ALWAYS else replace(use, litres=use.litres * times)
        for use in trip.uses
    )
    animals = tuple(replace(one, litres_per_day=one.litres_per_day * times) for one in trip.animals)
    return replace(trip, uses=uses, animals=animals)


def _renamed(trip: Trip) -> tuple[Change, ...]:
    """Return the what-ifs with one container of several called by its own name."""
    first = {
        box.name.strip().casefold(): f"{box.name} 1" for box in trip.containers if box.count > 1
    }
    return tuple(
        LostContainer(first.get(one.name.strip().casefold(), one.name))
        if isinstance(one, LostContainer)
        else one
        for one in trip.what_ifs
    )


def _assumed(prepared: PreparedTrip, said: OnTheWay, km: float) -> list[Assumption]:
    litres = sum(one.litres for one in said.left)
    found = [
        Assumption(
            "carried",
            f"{litres:g} L at km {km:.1f}",
            "said with --left or read from the tally; nothing else is counted as carried",
        )
    ]
    if any(one.grade is None for one in said.left) and prepared.trip.party.can_treat:
        found.append(
            Assumption(
                "what is left",
                "must be treated, where its container takes such water",
                "no grade was said: write --left '61 potable' or --left 'NAME=20 potable'",
            )
        )
    if said.source is not None:
        found.append(
            Assumption(
                "water at the beginning",
                f"drawn at {said.source.source} before going on",
                "--from SOURCE: the time is when the party goes on",
            )
        )
    return [*found, *_rates_assumed(prepared, said)]


def _drawn_assumed(sources: Sequence[WaterSource], said: OnTheWay) -> list[Assumption]:
    is_limited = any(source.limit_l is not None for source in sources)
    if not is_limited or any(entry.took_l for entry in said.tally):
        return []
    return [
        Assumption(
            "water drawn behind",
            "nothing was taken off the litres that limited sources give in all",
            "no tally says what was taken: write it down with --took, and give --tally",
        )
    ]


def _rates_assumed(prepared: PreparedTrip, said: OnTheWay) -> list[Assumption]:
    trip = prepared.trip
    times = (
        ("use of water", use_times(true_rates(said.tally, trip))),
        ("moving hours for the same way", _pace_times(prepared, said)),
    )
    return [
        Assumption(
            what,
            f"{rounded_up(more, 0.01):.2f} x the planned",
            "by the tally; --trust-tally"
            if more < 1.0
            else "by the tally, which is above the plan",
        )
        for what, more in times
        if more is not None and more != 1.0 and (more > 1.0 or said.trusts_tally)
    ]


def _pace_times(prepared: PreparedTrip, said: OnTheWay) -> float | None:
    return pace_times(true_speeds(said.tally, prepared.trip.pace), prepared.pace.profile)
