"""What the trip and the layer say of containers and sources reaches the fill plan."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from make import container, pace, policy, source_at, straight_route, trip, use
from without_mends import plan_without_mends

from longdry.computing.fills.problem import start_load_kg, within_payload
from longdry.model.plan.fills import Vessel
from longdry.model.trip.party import Vehicle
from longdry.model.trip.treatment import Treatment, TreatMethod
from longdry.model.trip.trip import PinnedCamp
from longdry.model.words import Accrual, ContainerGrade, Grade, Ration, Verdict

CALL_AT_250 = policy(call_at=("s250",))


def _plan(*sources, vehicles=(), treatment=None, **changes):
    made = dataclasses.replace(trip(**changes), vehicles=tuple(vehicles), treatment=treatment)
    return plan_without_mends(straight_route(600.0), list(sources), made)


def _can(rated_l=20.0, count=1, **changes):
    return dataclasses.replace(container(rated_l, count), **changes)


def _there_and_back(km: float):
    out = straight_route(km)
    back = (np.append(values, values[0]) for values in (out.lat_deg, out.lon_deg))
    lat, lon = back
    return dataclasses.replace(out, lat_deg=lat, lon_deg=lon, height_m=np.full(3, np.nan))


def test_two_passes_share_the_limit_of_a_source():
    """30 L in a cache that is passed on the way out and on the way back: 30 L in both together."""
    cache = dataclasses.replace(source_at(100.0), limit_l=30.0)
    tight = trip(containers=[container(20.0, 1)], uses=[use(litres=12.0)])

    plan = plan_without_mends(_there_and_back(450.0), [cache], tight)
    takes = [fill.take_l for fill in plan.fills.fills if fill.source]

    assert len(takes) == 2
    assert 0.0 < sum(takes) <= 30.0 + 1e-6


@pytest.mark.parametrize(
    ("usual", "minutes", "litres"), [(0.0, 9.0, 16.85), (5.0, 9.0, 16.85), (15.0, 15.0, 16.75)]
)
def test_a_stop_takes_as_long_as_the_flow_needs_and_is_never_cut_short(usual, minutes, litres):
    """Worked by hand: 17 L at 2 L a minute take 8.5, so 9 whole minutes, or the usual ones.

    16 L a day, of whose 16 waking hours 9 are left at 13:00 and 8 are used on the next day: 17 L
    less one for each hour that the party drinks at the source.
    """
    slow = dataclasses.replace(source_at(250.0), flow_l_per_min=2.0)
    plan = _plan(slow, containers=[_can()], uses=[use(litres=8.0)],
                 pace=pace(fill_minutes=usual), policy=CALL_AT_250)  # fmt: skip

    assert plan.stops[0].draw_min == minutes
    assert plan.fills.fills[1].leaving.total_l == pytest.approx(litres, abs=0.001)


def test_what_containers_hold_at_the_start_is_where_the_plan_begins():
    """Worked by hand: 12 of 20 L in each of two cans: 24 L on board, and no more at the start."""
    start = _plan(containers=[_can(20.0, 2, holds_l=12.0, holds_grade=Grade.POTABLE)]).fills.fills[
        0
    ]

    assert [level.litres for level in start.levels_arriving] == [12.0, 12.0]
    assert (start.take_l, start.leaving.total_l) == (0.0, 24.0)


def test_water_to_be_treated_at_the_start_is_no_drinking_water_of_who_cannot_treat():
    """30 L of creek water on board: nothing to drink for a party that cannot treat."""
    creek = _can(30.0, grade=ContainerGrade.ANY, holds_l=30.0, holds_grade=Grade.TREAT)

    assert _plan(containers=[creek]).stretches[0].verdict is Verdict.TOO_LONG
    assert _plan(containers=[creek], can_treat=True).stretches[0].verdict is Verdict.CLEAR


@pytest.mark.parametrize("kept", [Ration.BARE, Ration.LEAN])
@pytest.mark.parametrize(("has_l", "verdict"), [(5.5, Verdict.TOO_LONG), (6.5, Verdict.CLEAR)])
def test_what_a_stay_drinks_beyond_its_water_must_be_fit_to_drink(kept, has_l, verdict):
    """Worked by hand: 6 L to drink, however much creek water for the dust is carried beside them.

    Half a litre a waking hour: 2 L in the 4 h there, and 14 L in the 28 waking hours from noon to
    8:00 of the third day, of which the tank gives 10 L.
    """
    tank = dataclasses.replace(source_at(200.0), limit_l=10.0)
    can = _can(has_l, holds_l=has_l, holds_grade=Grade.POTABLE)
    drum = _can(40.0, grade=ContainerGrade.ANY, holds_l=40.0, holds_grade=Grade.TREAT)
    dust = use("dust", 6.0, per=Accrual.PARTY_100KM, kept=kept, grade=Grade.TREAT)
    plan = _plan(
        tank, containers=[can, drum], uses=[use(), dust],
        camps=[PinnedCamp(km=200.0, rest_days=1, at_water=True)],
    )  # fmt: skip

    assert plan.stretches[0].verdict is verdict
    assert plan.stretches[0].missing_l == pytest.approx(max(6.0 - has_l, 0.0), abs=0.002)


@pytest.mark.parametrize("cleanable", [False, True])
def test_a_container_that_may_be_cleaned_takes_potable_water_again(cleanable):
    """Only the cleaned one takes water of the tap after water that was not for drinking."""
    drum = _can(30.0, grade=ContainerGrade.ANY, holds_l=1.0,
                holds_grade=Grade.NOT_FOR_DRINKING, cleanable=cleanable)  # fmt: skip
    tap = policy(call_at=("s1",))
    at_tap = _plan(source_at(1.0), containers=[drum], policy=tap).fills.fills[1]

    assert (at_tap.cleaned == ("can",)) is cleanable
    assert (at_tap.leaving.potable_l > 0.0) is cleanable


def test_tare_and_water_are_held_against_the_payload_of_their_vehicle():
    """Worked by hand: 30 kg left bear two cans of 2 kg and 26 L; the other can is not its load."""
    cans = [_can(20.0, 2, tare_kg=2.0, vehicle="cart"), dataclasses.replace(_can(), name="bag")]
    plan = _plan(containers=cans, vehicles=[Vehicle("cart", 30.0)], uses=[use(litres=20.0)])
    leaving = {level.vessel: level.litres for level in plan.fills.fills[0].levels_leaving}

    assert leaving["can 1"] + leaving["can 2"] == pytest.approx(26.0)
    assert leaving["bag"] == pytest.approx(20.0)


def test_passing_the_payload_is_a_verdict():
    """The cans would hold the 34 L and more; 20 kg left carry 20 L: too long, told why."""
    cans = [_can(20.0, 3, vehicle="cart")]
    uses = [use(litres=17.0)]
    light = _plan(containers=cans, vehicles=[Vehicle("cart", 20.0)], uses=uses)
    strong = _plan(containers=cans, vehicles=[Vehicle("cart", 200.0)], uses=uses)

    assert (light.stretches[0].verdict, light.stretches[0].held_back) == (Verdict.TOO_LONG, True)
    assert any("What holds it back: the payload left." in w.text for w in light.warnings)
    assert strong.stretches[0].verdict is Verdict.CLEAR


def test_cans_that_are_full_at_the_start_do_not_pass_the_payload_unseen():
    """Full cans of 60 L on 20 kg: judged by the 20 L that may be carried, and told."""
    full = [_can(20.0, 3, vehicle="cart", holds_l=20.0, holds_grade=Grade.POTABLE)]
    plan = _plan(containers=full, vehicles=[Vehicle("cart", 20.0)], uses=[use(litres=17.0)])

    assert plan.stretches[0].verdict is Verdict.TOO_LONG
    assert any(w.grave and "40 kg too heavy" in w.text for w in plan.warnings)
    (load,) = plan.loads
    assert (load.load_kg, load.over_kg) == (60.0, 40.0)


def test_empty_cans_above_the_payload_are_told():
    """Worked by hand: three cans of 2 kg on 5 kg left are 1 kg too heavy without a drop in them."""
    cans = [_can(20.0, 3, vehicle="cart", tare_kg=2.0), dataclasses.replace(_can(), name="bag")]
    plan = _plan(containers=cans, vehicles=[Vehicle("cart", 5.0)])

    assert any(w.grave and "1 kg too heavy" in w.text for w in plan.warnings)
    assert plan.loads[0].over_kg == pytest.approx(1.0)


def test_what_is_too_heavy_at_the_start_is_left_behind_lower_water_first():
    """Worked by hand: 40 kg on 25: 15 L of the 20 L of lower water stay behind."""
    cans = (
        Vessel("can", 20.0, ContainerGrade.POTABLE, "cart", holds_l=20.0),
        Vessel("drum", 20.0, ContainerGrade.ANY, "cart", holds_l=20.0, holds_grade=Grade.TREAT),
    )
    cart = Vehicle("cart", 25.0)

    assert start_load_kg(cans, "cart") == 40.0
    assert [v.holds_l for v in within_payload(cans, (cart,))] == [20.0, 5.0]


def test_containers_that_no_vehicle_carries_are_told():
    """Where vehicles exist, a container without one counts against no payload."""
    plan = _plan(containers=[_can()], vehicles=[Vehicle("cart", 30.0)])

    assert any("no vehicle" in w.text and "can" in w.text for w in plan.warnings)


def test_treating_keeps_up_or_the_verdict_says_so():
    """Worked by hand: 14.375 L of the start's 20 L are left at the creek, 19.125 L are wanted.

    5 and then 17 of a day's 16 waking hours, at 18 L a day. Of the 4.75 L on top 4 L a day treat
    4.2 L in the 25 hours: too long; 5 L a day treat 5.2 L.
    """
    creek = source_at(250.0, grade=Grade.TREAT)
    small = [_can(10.0, 2, grade=ContainerGrade.ANY)]
    slow, fast = (
        _plan(
            creek,
            can_treat=True,
            containers=small,
            uses=[use(litres=9.0)],
            treatment=Treatment(TreatMethod.FILTER, litres_per_day=per_day),
            policy=CALL_AT_250,
        )
        for per_day in (4.0, 5.0)
    )

    assert slow.stretches[1].verdict is Verdict.TOO_LONG
    assert slow.stretches[1].missing_l == pytest.approx(4.75 - 4.0 * 25.0 / 24.0, abs=0.003)
    assert slow.stretches[1].runs_dry is not None
    assert any("what can be treated" in w.text for w in slow.warnings)
    assert fast.stretches[1].verdict is Verdict.CLEAR


@pytest.mark.parametrize(
    ("treatment", "told"),
    [(None, True), (Treatment(TreatMethod.FILTER), True),
     (Treatment(TreatMethod.FILTER, filter_l_per_min=1.0), False)],
)  # fmt: skip
def test_treating_of_which_nobody_says_how_long_it_takes_no_time_and_is_told(treatment, told):
    """At a creek, into cans kept for potable water."""
    creek = source_at(250.0, grade=Grade.TREAT)
    plan = _plan(creek, can_treat=True, treatment=treatment, policy=CALL_AT_250)

    assert plan.fills.fills[1].treated_l > 0.0
    assert (plan.stops[0].treat_min == 0.0) is told
    assert any(one.what == "time for treating at stops" for one in plan.assumptions) is told


def test_what_treating_leaves_is_told_beside_it():
    """CDC and EPA: no method removes salts; told only where something is treated."""
    creek = source_at(250.0, grade=Grade.TREAT)
    drum = [_can(10.0, 2, grade=ContainerGrade.ANY)]
    filtered = Treatment(TreatMethod.FILTER, filter_l_per_min=0.5)
    plan = _plan(creek, can_treat=True, containers=drum, uses=[use(litres=9.0)], treatment=filtered)

    assert any("Filtering leaves in the water: viruses" in w.text for w in plan.warnings)
    assert plan.treating.in_all.minutes == pytest.approx(plan.treating.in_all.litres / 0.5)
    assert plan.treating.in_all.litres == pytest.approx(plan.fills.treated_l)


def test_tablets_on_the_way_are_counted_by_the_day():
    """Worked by hand: 20.4 L in 25 h, 0.2 L of them from the start: two lots of 10.1 L.

    19.2 L a day: 6 L to the creek, in 5 of 16 waking hours, and 20.4 L in 17. 11 tablets each are
    22; treated all at once it would have been 21.
    """
    creek = source_at(250.0, grade=Grade.TREAT)
    cans = [_can(6.2, grade=ContainerGrade.POTABLE), _can(30.0, grade=ContainerGrade.ANY)]
    cans[1] = dataclasses.replace(cans[1], name="drum", holds_l=0.0, holds_grade=Grade.TREAT)
    cans[0] = dataclasses.replace(cans[0], holds_l=6.2, holds_grade=Grade.POTABLE)
    tablets = Treatment(TreatMethod.CHLORINE_TABLETS, litres_per_tablet=1.0, wait_minutes=30.0)
    plan = _plan(creek, can_treat=True, containers=cans, uses=[use(litres=9.6)], treatment=tablets)
    (_, last) = plan.treating.by_stop

    assert last.on_way.litres == pytest.approx(20.2, abs=0.01)
    assert last.on_way.tablets == 22
