"""What the party must read before it leaves, the gravest first.

Of the whole plan, of its stretches, and of its days: heat beyond all drinking, arrivals in the
dark.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence

from longdry.computing.clock.camps import SAID_AT_WATER_KM, within_km
from longdry.computing.clock.clock import Camp
from longdry.computing.fills.filling import Filling, causes
from longdry.computing.fills.settled import SettledTrip
from longdry.computing.heat.by_day import DayOfHeat
from longdry.computing.needs.rates import is_drinking
from longdry.computing.route.chainage import STRAIGHT_LEG_KM
from longdry.computing.route.jumps import warnings_of_jumps
from longdry.computing.stretches.journey import Journey
from longdry.computing.water.certainty import warnings_about_sources
from longdry.model.plan.days import TravelDay
from longdry.model.plan.heat_day import HeatRemark, RemarkKind
from longdry.model.plan.plan import PlanWarning
from longdry.model.plan.stretch import DryStretch, worst_first
from longdry.model.route import MeasuredRoute
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterLayer
from longdry.model.words import Accrual, Grade, Ration, Verdict
from longdry.plain_text import listed
from longdry.units import rounded_down, rounded_up, told_step

TOLD_BRIDGE_KM = 1.0
SURVIVAL_L = 2.5
"""Sphere, simplified table of basic survival water needs (2004, 2011): 2.5 to 3 L a day."""
TOLD_COST_KM = 0.1


def warnings_of(settled: SettledTrip, layer: WaterLayer) -> tuple[PlanWarning, ...]:
    """Gather every warning of a plan."""
    stretches, journey, filling = settled.stretches, settled.journey, settled.filling
    measured, always_l = journey.prepared.measured, journey.demand.always_l
    return gravest_first(
        [
            *(PlanWarning(remark, grave=True) for remark in measured.route.grave_remarks),
            *_no_containers(journey.trip),
            *_no_water(settled),
            *warnings_about_sources(settled.passes),
            *(w for stretch in worst_first(stretches) for w in _not_clear(stretch, always_l)),
            *(w for stretch in stretches for w in _past_own_limit(stretch, journey.trip)),
            *_held_back(stretches, filling),
            *_ways_that_cost_more(stretches),
            *_uses(journey.trip),
            *_about_the_line(measured),
            *warnings_of_jumps(measured, settled.passes),
            *_about_the_clock(journey),
            *_dry_camps(journey.clock.camps, settled.passes),
            *_ungraded(layer),
            *(PlanWarning(remark) for remark in measured.route.remarks),
            *(PlanWarning(remark) for remark in layer.remarks),
        ]
    )


def gravest_first(warnings: Iterable[PlanWarning]) -> tuple[PlanWarning, ...]:
    """Put those that life may hang on first, the others behind them in their order."""
    return tuple(sorted(warnings, key=lambda warning: not warning.grave))


def named_stretch(stretch: DryStretch) -> str:
    """Name a stretch by its ends."""
    return (
        f"{stretch.begin.label} (km {stretch.begin.km:.1f})"
        f" to {stretch.end.label} (km {stretch.end.km:.1f})"
    )


def _no_containers(trip: Trip) -> list[PlanWarning]:
    if trip.containers:
        return []
    text = (
        "The trip names no containers: what must be carried is told,"
        " but no stretch can be called clear."
    )
    return [PlanWarning(text, grave=True)]


def _no_water(settled: SettledTrip) -> list[PlanWarning]:
    if any(one.counted for one in settled.passes):
        return []
    text = (
        "No source along this route counts as water to drink:"
        f" all water must be carried from {'here' if settled.trip.here else 'the start'}."
    )
    return [PlanWarning(text, grave=True)]


def _not_clear(stretch: DryStretch, always_l: float) -> list[PlanWarning]:
    if stretch.verdict in {Verdict.CLEAR, Verdict.NO_CONTAINERS}:
        return []
    text = (
        f"Stretch {stretch.number}, {named_stretch(stretch)}, is {_in_words(stretch)}:"
        f" {rounded_up(stretch.length_km, 0.1):.1f} km and {rounded_up(stretch.days, 0.1):.1f} days"
        f" without water to drink, {what_it_lacks(stretch, _up_l(stretch.missing_l))}."
        f" {_still_does(stretch, always_l)}"
    )
    grave = stretch.verdict is not Verdict.INTO_RESERVE
    return [PlanWarning(text, stretch=stretch.number, grave=grave, of_verdict=True)]


def what_it_lacks(stretch: DryStretch, litres: str) -> str:
    """Tell what a stretch that is not clear lacks: never that nothing is missing."""
    if stretch.missing_l <= 0.0:
        return "no litres missing of its own: other stretches hold it back"
    return f"{litres} L missing for need and reserve"


def _up_l(litres: float) -> str:
    """Write litres that are needed: up by 0.1 below 10, else by 1, as everywhere for people."""
    return f"{rounded_up(litres, told_step(litres)):.1f}".removesuffix(".0")


def _in_words(stretch: DryStretch) -> str:
    return {
        Verdict.TOO_LONG: "too long",
        Verdict.SHORT_RATION: "passable only on a short ration",
        Verdict.INTO_RESERVE: "passable only by drinking into the reserve",
    }[stretch.verdict]


def _still_does(stretch: DryStretch, always_l: float) -> str:
    if stretch.held_back:
        return "See what holds it back."
    if stretch.ration_that_does is None:
        bare_l = stretch.needs[-1].need.total_l + always_l
        return f"Even the bare ration lacks {_up_l(bare_l - stretch.available_l)} L."
    return f"It would do on the {stretch.ration_that_does} ration, with no reserve promised."


def _past_own_limit(stretch: DryStretch, trip: Trip) -> list[PlanWarning]:
    """Tell all limits that a stretch is beyond in one warning."""
    ok_km, ok_days = trip.policy.longest_ok_km, trip.policy.longest_ok_days
    found, limits = [], []
    if ok_km is not None and stretch.length_km > ok_km:
        found.append(f"{rounded_up(stretch.length_km, 0.1):.1f} km")
        limits.append(f"{ok_km:g} km")
    if ok_days is not None and stretch.days > ok_days:
        found.append(f"{rounded_up(stretch.days, 0.1):.1f} days")
        limits.append(f"{ok_days:g} {'day' if ok_days == 1.0 else 'days'}")
    if not limits:
        return []
    are = "is" if found[0].endswith("km") and len(found) == 1 else "are"
    text = (
        f"Stretch {stretch.number}, {named_stretch(stretch)}: {' and '.join(found)} {are} beyond"
        f" the party's own {'limits' if len(limits) > 1 else 'limit'} of {' and '.join(limits)}."
    )
    return [PlanWarning(text, stretch=stretch.number, grave=True)]


def _held_back(stretches: Sequence[DryStretch], filling: Filling | None) -> list[PlanWarning]:
    """Tell where the containers would hold enough and yet cannot be filled or carried so."""
    if filling is None:
        return []

    notes = []
    held = [leg for leg, stretch in enumerate(stretches) if stretch.held_back]
    for leg, limits in zip(held, causes(filling, held), strict=True):
        stretch = stretches[leg]
        why = " and ".join(limits) or "several limits together"
        text = (
            f"Stretch {stretch.number}, {named_stretch(stretch)}: the containers would hold"
            f" what it asks for, but they cannot be filled so. What holds it back: {why}."
        )
        notes.append(PlanWarning(text, stretch=stretch.number, grave=True))
    return notes


def _ways_that_cost_more(stretches: Sequence[DryStretch]) -> list[PlanWarning]:
    """Find sources whose way off the route makes both neighbours no shorter than passing by."""
    notes = []
    for before, after in itertools.pairwise(stretches):
        water, way_km = before.end.water, before.end.way_km
        if water is None or way_km == 0.0:
            continue
        passing_by_km = before.length_km + after.length_km - 2.0 * way_km
        longer_km = max(before.length_km, after.length_km)
        if passing_by_km + TOLD_COST_KM <= longer_km:
            text = (
                f"The way to {water.source.name} (km {water.km:.1f}, {way_km:.1f} km off the"
                f" route each way) costs more than it saves: passing by leaves"
                f" {passing_by_km:.1f} km without water, calling there {longer_km:.1f} km."
            )
            notes.append(PlanWarning(text, stretch=before.number))
    return notes


def _uses(trip: Trip) -> list[PlanWarning]:
    """Warn where the bare ration does not keep people alive."""
    bare_l = _potable_l_per_person_day(trip)
    if bare_l >= SURVIVAL_L:
        return []
    text = (
        f"The bare ration gives each person {rounded_down(bare_l, 0.1):.1f} L of drinking water a"
        f" day; survival asks for at least {SURVIVAL_L:g} L in drink and food (Sphere, 2011), and"
        " heat and work for much more."
    )
    return [PlanWarning(text, grave=True)]


def _potable_l_per_person_day(trip: Trip) -> float:
    per_person = {Accrual.PERSON_DAY: 1.0, Accrual.PARTY_DAY: 1.0 / trip.party.people}
    return sum(
        use.litres * per_person.get(use.per, 0.0)
        for use in trip.uses
        if use.grade is Grade.POTABLE and (use.kept_on(Ration.BARE) or is_drinking(use.name))
    )


def _about_the_line(measured: MeasuredRoute) -> list[PlanWarning]:
    notes = [
        PlanWarning(
            f"The route breaks off at km {bridge.km:.1f} and goes on"
            f" {bridge.length_km:.1f} km farther: the gap is bridged by a straight line."
        )
        for bridge in measured.bridges
        if bridge.length_km > TOLD_BRIDGE_KM
    ]
    if measured.straight_km > 0.0:
        share = 100.0 * measured.straight_km / float(measured.leg_km.sum())
        notes.append(
            PlanWarning(
                f"{rounded_up(share):.0f} % of the route is drawn in straight legs longer than"
                f" {STRAIGHT_LEG_KM:g} km: the way on the ground is longer. {_winding(measured)}"
            )
        )
    return notes


def _winding(measured: MeasuredRoute) -> str:
    if measured.winding_factor == 1.0:
        return "Set winding_factor in [pace], or draw the route along the track."
    return (
        f"They are lengthened {measured.winding_factor:g} times, as the trip says; the route is"
        f" {measured.length_km:.1f} km long with that."
    )


def _about_the_clock(journey: Journey) -> list[PlanWarning]:
    notes = []
    itinerary, trip = journey.itinerary, journey.trip
    if itinerary.leaves.hour >= journey.clock.rules.ends(itinerary.leaves):
        notes.append(
            PlanWarning("The departure is after dark: the party first moves on the next morning.")
        )
    notes += _waits_for_the_start_hour(trip)
    beyond = [s for s in trip.pace.sections if s.to_km > journey.prepared.length_km]
    if beyond:
        notes.append(
            PlanWarning(
                f"The section from km {beyond[0].from_km:g} to km {beyond[0].to_km:g} runs past"
                f" the end of the route at km {journey.prepared.length_km:.1f}."
            )
        )
    waits = [
        (end, stay)
        for end, stay in zip(journey.ends[1:], itinerary.stays, strict=False)
        if stay.wait_h
    ]
    for end, stay in waits:
        notes.append(
            PlanWarning(
                f"{end.label} (km {end.km:.1f}) is closed on arrival: the plan waits"
                f" {rounded_up(stay.wait_h, 0.1):.1f} h for it to open."
            )
        )
    return notes


def _waits_for_the_start_hour(trip: Trip) -> list[PlanWarning]:
    """Tell that an early departure waits for an hour that the trip does not name itself."""
    hour = trip.pace.start_hour
    leaves = trip.depart
    if leaves is None or trip.here or not trip.is_default("pace.start_hour"):
        return []
    if leaves.hour + leaves.minute / 60.0 >= hour:
        return []
    return [
        PlanWarning(
            f"The trip leaves at {leaves:%H:%M}, and nobody moves before {hour:02.0f}:00, on the"
            " first day or any other: write start_hour under [pace] where you begin earlier."
        )
    ]


def _dry_camps(camps: Sequence[Camp], passes: Sequence[WaterPass]) -> list[PlanWarning]:
    """Tell of camps pinned where water is, or is said to be, that does not count."""
    notes = []
    for camp in (one for one in camps if one.at_water is not False):
        near = [one for one in passes if abs(one.km - camp.km) <= within_km(camp)]
        here = "; ".join(f"{one.source.name}: {one.why_not}" for one in near)
        why = f" ({here})" if here else ""
        said = (
            f"is said to be at water, but no water that counts is within {SAID_AT_WATER_KM:g} km"
            if camp.at_water
            else "is at water that does not count"
        )
        if camp.at_water or (near and not any(one.counted for one in near)):
            notes.append(
                PlanWarning(
                    f"The camp pinned at km {camp.km:.1f} {said}{why}: it is taken as dry, and its"
                    " water is carried.",
                    grave=bool(camp.at_water),
                )
            )
    return notes


def _ungraded(layer: WaterLayer) -> list[PlanWarning]:
    """Name the ungraded sources that come from no file: a reader names those of its file."""
    names = [s.name for s in layer.sources if s.grade is None and not s.layer]
    if not names:
        return []
    return [PlanWarning(f"Without a grade, so counted as not for drinking: {listed(names)}.")]


MOST_NAMED = 5
"""Of what a grave sentence is about."""
MOST_DAYS_NAMED = 8


def warnings_of_days(
    days: Sequence[TravelDay], heat: Sequence[DayOfHeat]
) -> tuple[PlanWarning, ...]:
    """Return one warning for each kind of trouble, with the days that it is about."""
    return (*_of_heat(heat), *_measured_too_low(days), *_after_dark(days))


def named_days(numbers: Sequence[int]) -> str:
    """Name days by number, runs as such.

    >>> named_days([2]), named_days([1, 2, 3, 5])
    ('Day 2', 'Days 1 to 3, 5')
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    words = [f"{run[0]} to {run[-1]}" if len(run) > 1 else str(run[0]) for run in runs]
    head = "Days" if len(numbers) > 1 else "Day"
    return f"{head} {listed(words, MOST_DAYS_NAMED)}"


def _of_heat(heat: Sequence[DayOfHeat]) -> list[PlanWarning]:
    """Tell each kind of remark once, in the words of the day that asks for most."""
    found: dict[RemarkKind, list[tuple[int, float, HeatRemark]]] = {}
    for number, day in enumerate(heat, 1):
        for remark in day.remarks:
            found.setdefault(remark.kind, []).append((number, day.asks_l, remark))
    notes = []
    for remarks in found.values():
        numbers = list(dict.fromkeys(number for number, _, _ in remarks))
        _, _, worst = max(remarks, key=lambda entry: entry[1])
        notes.append(PlanWarning(f"{named_days(numbers)}: {worst.text}", grave=worst.grave))
    return notes


def _measured_too_low(days: Sequence[TravelDay]) -> list[PlanWarning]:
    low = [day for day in days if day.heat_asks_l is not None and day.heat_asks_l > day.measured_l]
    if not low:
        return []
    worst = max(low, key=lambda day: (day.heat_asks_l or 0.0) - day.measured_l)
    text = (
        f"{named_days([day.number for day in low])}: the party's own rate for drinking is lower"
        f" than the heat asks for, on day {worst.number} {worst.measured_l:.1f} L against"
        f" {rounded_up(worst.heat_asks_l or 0.0, 0.1):.1f} L for all people together."
        " The plan counts the larger."
    )
    return [PlanWarning(text)]


def _after_dark(days: Sequence[TravelDay]) -> list[PlanWarning]:
    late = [day for day in days if day.arrives_after_dark]
    if not late:
        return []
    first = late[0]
    at = f" at {first.arrives:%H:%M}" if first.arrives else ""
    is_early = first.arrives and first.sunrise and first.arrives < first.sunrise
    until = "halts before it is light" if is_early else "moves until it is dark"
    sun, word = (first.sunrise, "sunrise") if is_early else (first.sunset, "sunset")
    told = f", {word} {sun:%H:%M}" if sun else ""
    text = (
        f"{named_days([day.number for day in late])}: the party {until} (day {first.number}: km"
        f" {first.to_km:.1f}{at}{told}). A camp or a source is hard to find then."
    )
    return [PlanWarning(text)]
