"""Plans with their mends, and each mend carried out in what a user writes and planned afresh."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from dataclasses import dataclass
from functools import partial

import numpy as np

from longdry.computing.fills.settled import SettledTrip, Water
from longdry.computing.mends.search import mends_of
from longdry.computing.plan.rounds import settled_trip
from longdry.computing.route.approaches import find_approaches
from longdry.computing.route.chainage import measure_route, place_at_km
from longdry.computing.route.mirrored import mirrored_trip
from longdry.computing.stretches.prepared import prepare
from longdry.model.plan.fills import USUAL_FILL_WAY
from longdry.model.plan.mends import MendKind
from longdry.model.trip.trip import PinnedCamp
from longdry.model.water.source import WaterSource
from longdry.model.words import VERDICTS_WORST_FIRST, Certainty, CountOn, Grade, Ration


@dataclass(frozen=True)
class Case:
    """What a user writes."""

    route: object
    sources: tuple
    trip: object
    count_on: CountOn = CountOn.LIKELY

    def with_trip(self, **changes) -> Case:
        """Change keys of the trip."""
        return dataclasses.replace(self, trip=dataclasses.replace(self.trip, **changes))

    def with_policy(self, **changes) -> Case:
        """Change keys of ``[policy]``."""
        return self.with_trip(policy=dataclasses.replace(self.trip.policy, **changes))

    def with_pace(self, **changes) -> Case:
        """Change keys of ``[pace]``."""
        return self.with_trip(pace=dataclasses.replace(self.trip.pace, **changes))


@dataclass(frozen=True)
class Mended:
    """A plan, its mends, and how many whole plans it took to find them."""

    case: Case
    settled: SettledTrip
    found: tuple
    not_searched: tuple
    trials: int

    def of(self, kind, stretch=None):
        """Give the mends of a kind."""
        return [one for one in self.found if one.what is kind and stretch in (None, one.stretch)]


def planned(case: Case) -> tuple[SettledTrip, Water]:
    """Plan a case from nothing."""
    trip = case.trip
    prepared = prepare(measure_route(case.route, winding_factor=trip.pace.winding_factor), trip)
    approaches = find_approaches(
        prepared.measured,
        np.array([source.lat_deg for source in case.sources]),
        np.array([source.lon_deg for source in case.sources]),
        max_detour_km=trip.policy.max_detour_km,
    )
    water = Water(approaches, case.sources, case.count_on)
    return settled_trip(prepared, water, USUAL_FILL_WAY), water


def mended(*sources, route, trip, count_on=CountOn.LIKELY) -> Mended:
    """Plan a trip and search for its mends, counting the trial plans."""
    return mended_case(Case(route, tuple(sources), trip, count_on))


def mended_case(case: Case) -> Mended:
    """Plan a case and search for its mends, counting the trial plans."""
    settled, water = planned(case)
    trials = []

    def plan_again(prepared, water):
        trials.append(prepared)
        return partial(settled_trip, fill=USUAL_FILL_WAY)(prepared, water)

    mends = mends_of(settled, water, plan_again)
    return Mended(case, settled, mends.found, mends.not_searched, len(trials))


def rank(verdict) -> int:
    """Rank a verdict: the larger, the better."""
    return VERDICTS_WORST_FIRST.index(verdict)


def worst(settled):
    """Give the worst verdict of a plan."""
    return min((one.verdict for one in settled.stretches), key=rank)


def worst_between(settled, from_km, to_km):
    """Give the worst verdict on a part of the route, but for slivers of less than a stop."""
    return min((one.verdict for one in _inside(settled, from_km, to_km)), key=rank)


def missing_between(settled, from_km, to_km):
    """Give the litres missing on the worst stretch of a part of the route."""
    worst_verdict = worst_between(settled, from_km, to_km)
    return max(
        one.missing_l for one in _inside(settled, from_km, to_km) if one.verdict is worst_verdict
    )


def _inside(settled, from_km, to_km):
    return [
        one
        for one in settled.stretches
        if min(one.end.km, to_km) - max(one.begin.km, from_km) > 0.3
    ]


def carried_out(mend, case: Case, settled: SettledTrip) -> Case:
    """Carry out a mend in route, sources and trip, by its words and figures alone."""
    return _DONE[mend.what](mend, case, settled)


def _camped(mend, case, _):
    at_water = PinnedCamp(km=mend.figures.at_km, at_water=True)
    camps = case.trip.camps
    if "go on the next morning" in mend.change:
        return case.with_trip(camps=(*camps, at_water))
    km = float(re.search(r"at km ([\d.]+)[.:]", mend.change)[1])
    index = min(range(len(camps)), key=lambda number: abs(camps[number].km - km))
    camp = camps[index]
    rest_there = dataclasses.replace(at_water, rest_days=camp.rest_days)
    others = [*camps[:index], *camps[index + 1 :]]
    if "one night only" in mend.change:
        others.append(dataclasses.replace(camp, rest_days=0))
    return case.with_trip(camps=(*others, rest_there))


def _waited(mend, case, _):
    hours = float(re.search(r"longest_wait_h = ([\d.]+)\.", mend.change)[1])
    return case.with_policy(longest_wait_h=hours)


def _rationed(mend, case, _):
    ration = Ration(re.search(r"Live on the (\w+) ration", mend.change)[1])
    uses = tuple(one for one in case.trip.uses if one.kept_on(ration))
    return case.with_trip(uses=uses)


def _one_more(mend, case, _):
    name = re.search(r'Take one more "([^"]+)"', mend.change)[1]
    box = next(one for one in case.trip.containers if one.name == name)
    more = dataclasses.replace(box, name="one more", count=1)
    return case.with_trip(containers=(*case.trip.containers, more))


def _confirmed(mend, case, _):
    name = re.search(r"Find out about (\S+) \(km", mend.change)[1]
    known = {}
    if grade := re.search(r"that its water is ([\w-]+):", mend.change):
        known["grade"] = Grade(grade[1])
    if "that there is water in it" in mend.change:
        known |= {"certainty": Certainty.CERTAIN, "months": None}
    sources = tuple(
        dataclasses.replace(one, **known) if one.name == name else one for one in case.sources
    )
    treats = case.trip.party.can_treat or "(can_treat)" in mend.change
    party = dataclasses.replace(case.trip.party, can_treat=treats)
    return dataclasses.replace(case, sources=sources).with_trip(party=party)


def _gone_out(mend, case, settled):
    """Look farther off the route, and leave out what else is found there."""
    name = re.search(r"for (\S+), [\d.]+ km off it", mend.change)[1]
    near = {one.source.name for one in settled.passes} | {name}
    sources = tuple(one for one in case.sources if one.name in near)
    return dataclasses.replace(case, sources=sources).with_policy(max_detour_km=50.0)


def _laid(mend, case, _settled):
    measured = measure_route(case.route, winding_factor=case.trip.pace.winding_factor)
    lat_deg, lon_deg, _ = place_at_km(measured, mend.figures.at_km)
    cache = WaterSource(
        "our cache",
        "our cache",
        lat_deg,
        lon_deg,
        Grade.POTABLE,
        "cache",
        limit_l=mend.figures.litres,
        certainty=Certainty.LIKELY,
        laid_by_us=True,
        laid_on=dt.date(2020, 1, 1),
    )
    return dataclasses.replace(case, sources=(*case.sources, cache))


def _left_later(mend, case, _):
    day = dt.date.fromisoformat(re.search(r"Leave on ([\d-]+),", mend.change)[1])
    return case.with_trip(depart=dt.datetime.combine(day, case.trip.depart.time()))


def _turned(_mend, case, settled):
    length_km = settled.journey.prepared.length_km
    trip = mirrored_trip(case.trip, length_km)
    return dataclasses.replace(case, route=case.route.reversed(), trip=trip)


def _longer(mend, case, _):
    hours = float(re.search(r"Move ([\d.]+) hours a day", mend.change)[1])
    return case.with_pace(hours_per_day=hours)


def _faster(mend, case, _):
    percent = float(re.search(r"Travel (\d+) % faster", mend.change)[1])
    return case.with_pace(speed_kmh=case.trip.pace.speed_kmh * (1.0 + percent / 100.0))


_DONE = {
    MendKind.CAMP: _camped,
    MendKind.DOOR: _waited,
    MendKind.RATION: _rationed,
    MendKind.CONTAINERS: _one_more,
    MendKind.CONFIRMED: _confirmed,
    MendKind.DETOUR: _gone_out,
    MendKind.CACHE: _laid,
    MendKind.MONTH: _left_later,
    MendKind.OTHER_WAY: _turned,
    MendKind.HOURS: _longer,
    MendKind.PACE: _faster,
}
