"""Mends of many random trips, each carried out in what the user writes and planned afresh."""

from __future__ import annotations

import pytest
from bad_trips import bad_trip
from how_many import is_whole, proof, seeds
from mending import (
    carried_out,
    mended_case,
    missing_between,
    planned,
    rank,
    worst,
    worst_between,
)

from longdry.computing.mends.containers import full_kg
from longdry.model.plan.mends import MendKind
from longdry.model.plan.stretch import worst_first
from longdry.model.words import Travel, Verdict

TRIPS = 200
STOP_KM = 0.3
SHORT = rank(Verdict.SHORT_RATION)


@proof(TRIPS)
@pytest.mark.parametrize("seed", seeds(TRIPS))
def test_every_mend_does_what_it_says(seed):
    """A plan made afresh with the mend has its verdicts and costs; 20 trial plans at the most."""
    case = bad_trip(seed)
    made = mended_case(case)

    assert made.trials <= 20
    assert_nobody_goes_short_unwarned(made)
    for mend in made.found:
        stretch = made.settled.stretches[mend.stretch - 1]
        assert mend.verdict_before is stretch.verdict
        if mend.what is MendKind.DO_NOT_GO:
            assert_nothing_helps(mend, made)
            continue
        assert_better(mend)
        assert rank(mend.trip_after) >= rank(worst(made.settled))
        assert_as_told(mend, made)
        assert_can_be_carried(mend, case)


def assert_nobody_goes_short_unwarned(made):
    """Hold that of the five worst each that stays short is told not to be gone."""
    told = {one.stretch for one in made.found if one.what is MendKind.DO_NOT_GO}
    enough = {one.stretch for one in made.found if rank(one.verdict_after) > SHORT}
    short = [
        one.number for one in worst_first(made.settled.stretches)[:5] if rank(one.verdict) <= SHORT
    ]
    assert set(short) <= told | enough


def assert_better(mend):
    """Hold that the verdict is better, or a tenth of the litres missing is there."""
    if mend.verdict_after is mend.verdict_before:
        saved_l = mend.missing_before_l - mend.missing_after_l
        assert saved_l >= 0.1 * mend.missing_before_l - 1.0
        assert saved_l > 0.0
    else:
        assert rank(mend.verdict_after) > rank(mend.verdict_before)


def assert_nothing_helps(mend, made):
    """Hold that nobody is told to stay where a mend makes the water last."""
    assert mend.verdict_before in {Verdict.SHORT_RATION, Verdict.TOO_LONG}
    assert ("Not every change" in mend.change) is (mend.stretch in made.not_searched)
    others = [one for one in made.found if one.stretch == mend.stretch and one is not mend]
    assert all(rank(one.verdict_after) <= rank(Verdict.SHORT_RATION) for one in others)


def assert_as_told(mend, made):
    """Hold the mend against a plan of its own."""
    again, _ = planned(carried_out(mend, made.case, made.settled))
    stretch = made.settled.stretches[mend.stretch - 1]
    from_km, to_km = stretch.begin.km, stretch.end.km
    if mend.what is MendKind.OTHER_WAY:
        length_km = made.settled.journey.prepared.length_km
        from_km, to_km = length_km - to_km, length_km - from_km
    assert worst(again) is mend.trip_after
    if to_km - from_km > STOP_KM:
        assert worst_between(again, from_km, to_km) is mend.verdict_after
        assert missing_between(again, from_km, to_km) == pytest.approx(
            mend.missing_after_l, abs=0.01
        )
    more = {
        "extra_km": length_of(again) - length_of(made.settled),
        "extra_days": days_of(again) - days_of(made.settled),
        "extra_l": need_of(again) - need_of(made.settled),
    }
    for name, value in more.items():
        told = getattr(mend.figures, name)
        if mend.what is MendKind.CACHE:
            assert told > max(value, 0.0)
        else:
            assert told == pytest.approx(value, abs=1e-3)


def assert_can_be_carried(mend, case):
    """Hold that no container is added beyond the payload, and none where a walker states none."""
    if mend.what is not MendKind.CONTAINERS:
        return
    payload_kg = {one.name: one.payload_left_kg for one in case.trip.vehicles}
    (box,) = case.trip.containers
    if box.vehicle is None:
        assert case.trip.pace.travel is Travel.VEHICLE
    else:
        assert (box.count + 1) * full_kg(case.trip, box) <= payload_kg[box.vehicle]


def length_of(settled):
    """Sum the way."""
    return sum(one.length_km for one in settled.stretches)


def days_of(settled):
    """Give the time from leaving to arriving in units of 24 h."""
    itinerary = settled.journey.itinerary
    return (itinerary.arrives.hour - itinerary.leaves.hour) / 24.0


def need_of(settled):
    """Sum the needs on the full ration."""
    return sum(one.need.total_l for one in settled.stretches)


@proof(TRIPS)
def test_the_trips_know_every_kind():
    """The trips of the proof above come to mends of all kinds of a stretch, and say something."""
    kinds = {mend.what for seed in seeds(TRIPS) for mend in mended_case(bad_trip(seed)).found}

    of_stretches = set(MendKind) - {MendKind.FILL}
    assert kinds == of_stretches if is_whole() else len(kinds) >= 5
