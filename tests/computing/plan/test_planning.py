"""The whole computation on small routes, checked by hand and by its properties."""

from __future__ import annotations

import dataclasses
import datetime as dt
import itertools

import numpy as np
import pytest
from how_many import PART_OF_SLOW, drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from make import POLICY, container, pace, policy, source_at, straight_route, trip, use
from without_mends import plan_without_mends

from longdry.computing.plan.planning import plan_along, plan_trip, water_along
from longdry.errors import TripFileError
from longdry.model.assumption import Assumption
from longdry.model.trip.party import Vehicle
from longdry.model.trip.trip import PaceSection, PinnedCamp
from longdry.model.trip.what_if import Inquiry
from longdry.model.words import Accrual, Grade, Ration, Verdict
from longdry.reading.trip.trip_file import trip_from_text
from longdry.showing.exports.plan_json import plan_json
from longdry.showing.words.headline import mend_head
from longdry.showing.words.mends import lines_without

ROUTE = straight_route(600.0, points=7)


def plan(*sources, route=ROUTE, reverse=False, **changes):
    return plan_without_mends(route, list(sources), trip(**changes), reverse=reverse)


def called(*sources, policy=POLICY, **changes):
    """Plan a trip that calls at all of its sources, needed or not."""
    calls = dataclasses.replace(policy, call_at=tuple(source.id for source in sources))
    return plan(*sources, policy=calls, **changes)


def test_one_well_makes_two_stretches():
    """A well at km 250 splits 600 km in 250 and 350 km."""
    made = called(source_at(250.0))

    assert [s.length_km for s in made.stretches] == pytest.approx([250.0, 350.0])
    assert (made.longest.by_km, made.longest.by_days) == (2, 2)
    assert made.measured.length_km == pytest.approx(600.0)


@pytest.mark.parametrize("reverse", [False, True])
def test_a_line_measured_once_gives_the_same_plan_without_its_mends(reverse):
    """Only the mends are missing, and the words claim nothing of them."""
    wells = [source_at(150.0), source_at(500.0)]
    asked = trip(containers=(container(rated_l=5.0),), uses=(use("drinking", 4.0),))
    whole = plan_trip(ROUTE, wells, asked, reverse=reverse)
    again = plan_along(
        water_along(ROUTE, wells, asked, reverse=reverse), asked, inquiry=Inquiry(mends=False)
    )

    assert whole.mends
    assert (again.mends, mend_head(again), lines_without(again)) == ((), "", [])
    same = dataclasses.replace(
        again,
        mends=whole.mends,
        mends_not_searched=whole.mends_not_searched,
        are_mends_searched=True,
        measured=whole.measured,
    )
    assert plan_json(same) == plan_json(whole)


def test_a_line_measured_for_another_detour_is_refused():
    """Water farther off would be missed in silence."""
    along = water_along(ROUTE, [source_at(250.0)], trip())
    wider = trip(policy=policy(max_detour_km=9.0))

    with pytest.raises(ValueError, match="another winding factor or detour"):
        plan_along(along, wider)


def test_ways_off_the_route_count_out_and_back():
    """A well 2 km off, detour factor 1.3: 2.6 km more on both stretches."""
    made = called(source_at(250.0, offset_km=2.0))

    assert [s.length_km for s in made.stretches] == pytest.approx([252.6, 352.6], abs=0.02)
    assert made.passes[0].way_km == pytest.approx(2.6, abs=1e-6)


def test_days_and_needs_of_the_stretches():
    """From km 250 (13:00): 1 h, a night, 6 h to 14:00: 25 h, 1 night.

    People are awake from 6:00 to 22:00 and drink in these 16 hours: 13:00 to 22:00 and 6:00 to
    14:00 are 17 of them; 2 people x 4 L x 17/16.
    """
    made = called(source_at(250.0))
    last = made.stretches[1]

    assert (last.days, last.nights) == (pytest.approx(25.0 / 24.0), 1)
    assert last.need.total_l == pytest.approx(2 * 4.0 * 17.0 / 16.0)


@pytest.mark.parametrize(
    ("grade", "can_treat", "counted"),
    [
        (Grade.POTABLE, False, True),
        (Grade.TREAT, True, True),
        (Grade.TREAT, False, False),
        (Grade.NOT_FOR_DRINKING, True, False),
        (None, True, False),
    ],
)
def test_which_grades_end_a_stretch(grade, can_treat, counted):
    """Water to be treated ends a stretch only for a party that can; unknown water never does."""
    drunk_up = [container(10.0, 1)]
    made = plan(source_at(250.0, grade=grade), can_treat=can_treat, containers=drunk_up)

    assert len(made.stretches) == (2 if counted else 1)
    assert made.passes[0].counted is counted
    assert bool(made.passes[0].why_not) is not counted


def test_retired_source_is_drawn_and_not_counted():
    """A retired source stays in the list of passes with its reason."""
    made = plan(dataclasses.replace(source_at(250.0), retired="casing fell in"))

    assert made.passes[0].why_not == "retired: casing fell in"
    assert len(made.stretches) == 1


def test_ungraded_sources_are_named_in_a_warning():
    """The party reads which sources it must find out about."""
    made = plan(source_at(250.0, grade=None, id="Mystery"))

    assert any("Mystery" in w.text and "not for drinking" in w.text for w in made.warnings)


def test_the_gravest_warning_comes_first_and_names_the_gap():
    """One 20 L can for 20 people: too long, with the litres missing."""
    made = plan(source_at(100.0), people=20, containers=[container(20.0, 1)])
    first = made.warnings[0]

    assert first.grave
    assert "too long" in first.text
    assert "s100" in first.text
    assert made.stretches[made.longest.worst - 1].verdict is Verdict.TOO_LONG


def test_of_stretches_alike_the_one_that_asks_for_most_is_the_worst():
    """Least fills leave each stretch less than a millilitre to spare: that names no worst one."""
    wells = [source_at(km) for km in (60.0, 150.0, 290.0)]
    made = called(*wells)
    asked_l = [stretch.wanted_l for stretch in made.stretches]

    assert all(0.0 <= stretch.spare_l < 0.002 for stretch in made.stretches)
    assert asked_l[made.longest.worst - 1] == max(asked_l)


def test_without_containers_the_verdict_says_so():
    """No containers: never clear, and a warning of its own."""
    made = plan(source_at(250.0), containers=[])

    assert {s.verdict for s in made.stretches} == {Verdict.NO_CONTAINERS}
    assert "no containers" in made.warnings[0].text
    assert made.stretches[0].capacity_l == 0.0


@pytest.mark.parametrize(
    ("limits", "told"),
    [
        (
            {"longest_ok_km": 300.0, "longest_ok_days": 1.0},
            "350.0 km and 1.1 days are beyond the party's own limits of 300 km and 1 day.",
        ),
        ({"longest_ok_km": 300.0}, "350.0 km is beyond the party's own limit of 300 km."),
        ({"longest_ok_days": 0.5}, "1.1 days are beyond the party's own limit of 0.5 days."),
    ],
    ids=["both", "km", "days"],
)
def test_own_limits_are_one_warning_a_stretch_whatever_the_litres_say(limits, told):
    """350 km and 1.1 days are beyond what the party accepts, though clear in litres: told once."""
    made = called(source_at(250.0), policy=policy(**limits))
    warned = [w for w in made.warnings if "own limit" in w.text]

    assert {s.verdict for s in made.stretches} == {Verdict.CLEAR}
    assert [w.stretch for w in warned] == [2]
    assert warned[0].text.endswith(f"(km 600.0): {told}")


def test_reserve_turns_clear_into_reserve():
    """Need 17/16 x 8 = 8.5 L, reserve 3 days x 8 L: 32.5 L; 20 L hold the need alone."""
    held = [container(20.0, 1)]
    made = called(source_at(250.0), policy=policy(reserve_days=3.0), containers=held)

    assert made.stretches[1].verdict is Verdict.INTO_RESERVE
    assert made.stretches[1].short_l == pytest.approx(8.5 + 24.0 - 20.0)


def test_short_ration_names_the_ration():
    """Showers of 30 L each night do not fit in 20 L; without them it does."""
    uses = [use(), use("shower", 30.0, per=Accrual.PARTY_NIGHT, kept=Ration.FULL)]
    made = called(source_at(250.0), uses=uses, containers=[container(20.0, 1)])

    assert made.stretches[1].verdict is Verdict.SHORT_RATION
    assert made.stretches[1].ration_that_does is Ration.LEAN


def test_start_that_is_not_full():
    """5 L on board at the start hold the first stretch down, not the second."""
    made = plan(source_at(250.0), policy=policy(start_on_board_l=0.5))

    assert made.stretches[0].available_l == 0.5
    assert made.stretches[0].verdict is Verdict.TOO_LONG
    assert made.stretches[1].verdict is Verdict.CLEAR


def test_days_after_the_end_lengthen_the_need_of_the_last_stretch():
    """Two days beyond the end: 2 x 8 L on top of the last stretch alone."""
    plain = called(source_at(250.0))
    longer = called(source_at(250.0), policy=policy(days_after_end=2.0))

    assert longer.stretches[0].need.total_l == plain.stretches[0].need.total_l
    assert longer.stretches[1].need.total_l == pytest.approx(plain.stretches[1].need.total_l + 16.0)


def test_small_limit_of_a_source_holds_a_stretch_back():
    """8 people, 32 L a day: 5/16 of it to the tank, 10 L, 17/16 after it, 34 L.

    35 L less 10 L and the tank's 5 L are 30 L: 4 L are missing.
    """
    tank = dataclasses.replace(source_at(250.0), limit_l=5.0)
    made = called(tank, people=8, containers=[container(35.0, 1)])
    last = made.stretches[1]

    assert last.verdict is Verdict.TOO_LONG
    assert last.held_back
    assert last.capacity_l >= last.need.total_l
    assert last.missing_l == pytest.approx(4.0, abs=0.01)
    assert any("holds it back: what the sources give" in w.text for w in made.warnings)


def test_water_carried_past_a_small_tank_helps():
    """With 100 L of containers the start's water makes up for the tank's 5 L."""
    made = plan(dataclasses.replace(source_at(250.0), limit_l=5.0), people=8)

    assert {s.verdict for s in made.stretches} == {Verdict.CLEAR}


def test_payload_holds_a_stretch_back():
    """100 L of cans in a truck with 20 kg of payload left hold 20 L, not 83 L."""
    boxes = [dataclasses.replace(container(), vehicle="truck")]
    loaded = dataclasses.replace(
        trip(people=20, containers=boxes), vehicles=(Vehicle("truck", 20.0),)
    )
    made = plan_trip(ROUTE, [source_at(250.0)], loaded)

    assert made.stretches[1].verdict is Verdict.TOO_LONG
    assert any("the payload left" in w.text for w in made.warnings)


def test_a_way_that_costs_more_than_it_saves_is_told():
    """A well 4.9 km off at km 2: passing by leaves 600 km, calling there 604 km."""
    made = called(source_at(2.0, offset_km=4.9))

    assert max(s.length_km for s in made.stretches) > 600.0
    assert any("costs more than it saves" in w.text for w in made.warnings)


def test_straight_legs_are_told_and_lengthened():
    """100 km legs are straight; a winding factor of 1.2 makes 720 km of 600."""
    assert any("100 % of the route is drawn in straight legs" in w.text for w in plan().warnings)
    assert plan(pace=pace(winding_factor=1.2)).measured.length_km == pytest.approx(720.0)


def test_departure_after_hours_is_told():
    """Departure at 20:00; on 3 May at 25 degrees south it is dark before 19:00."""
    late = dataclasses.replace(trip(), depart=dt.datetime(2027, 5, 3, 20, 0))
    made = plan_trip(ROUTE, [], late)

    assert any("departure is after dark" in w.text for w in made.warnings)
    assert made.days[0].date == dt.date(2027, 5, 3)
    assert made.days[0].moving_h == 0.0


def test_an_early_departure_that_waits_is_told():
    """07:00 in the file, and the assumed start hour is 8; who names an hour is not told."""
    texts = ("depart = 2027-05-03T07:00\n", "depart = 2027-05-03T07:00\n[pace]\nstart_hour = 7.5\n")
    trips = [trip_from_text(text, origin="trip.toml") for text in texts]
    told = [[w.text for w in plan_trip(ROUTE, [], one).warnings] for one in trips]

    assert [any("and nobody moves before 08:00" in text for text in one) for one in told] == [
        True,
        False,
    ]


def test_no_water_at_all():
    """A route without sources is one stretch, and the party is told."""
    made = plan()

    assert len(made.stretches) == 1
    assert any("No source along this route" in w.text for w in made.warnings)


def test_camp_beyond_the_route_is_one_sentence():
    """A camp at km 900 of a route of 600 km is refused with its place and mend."""
    with pytest.raises(TripFileError, match=r"trip.toml, \[\[camp\]\] 1: km 900 is not on"):
        plan(camps=[PinnedCamp(km=900.0)])


def test_camp_by_coordinates_lands_on_its_km():
    """A camp pinned at the place of km 250 is a camp at km 250."""
    there = source_at(250.0)
    made = plan(camps=[PinnedCamp(lat_deg=there.lat_deg, lon_deg=there.lon_deg)])

    assert made.days[0].to_km == pytest.approx(250.0, abs=0.001)


def test_a_camp_said_to_be_at_water_that_does_not_count_is_dry_and_told():
    """The well is 50 km away: the night at km 300 is carried, and a grave warning says so."""
    made = called(source_at(250.0), camps=[PinnedCamp(km=300.0, at_water=True)])
    (told,) = [w for w in made.warnings if "said to be at water" in w.text]

    assert told.grave
    assert "km 300.0" in told.text
    assert (made.stretches[0].nights, made.stretches[1].nights) == (0, 1)


def test_rest_days_at_the_water_are_not_carried():
    """Three rest days at the well ask for nothing carried; beside it they do.

    At the well, km 250 at 13:00, the party stays four nights and leaves at 8:00: 6 h to 14:00 of
    moving and, a night later, the last hour to 9:00: 25 h. Where the camp does not draw on the
    well the stretch begins at 13:00 on the first day: 4 days less 5 h more.
    """
    there = [PinnedCamp(km=250.0, rest_days=3, at_water=said) for said in (True, None, False)]
    at_water, unsaid, beside = (called(source_at(250.0), camps=[camp]) for camp in there)

    assert at_water.stretches[1].days == pytest.approx(25.0 / 24.0)
    assert unsaid.stretches[1].days == pytest.approx(25.0 / 24.0)
    assert beside.stretches[1].days == pytest.approx((25.0 + 4 * 24.0 - 5.0) / 24.0)


def test_defaults_that_took_part_are_assumptions():
    """The off-route speed plays no part where no way leaves the route."""
    defaults = (
        Assumption("speed", "4 km/h", "why", "pace.speed_kmh"),
        Assumption("off-route speed", "3 km/h", "why", "pace.off_route_kmh"),
    )
    made = plan_trip(ROUTE, [], dataclasses.replace(trip(), defaults=defaults))
    keys = {a.key for a in made.assumptions}

    assert "pace.speed_kmh" in keys
    assert "pace.off_route_kmh" not in keys


wells = st.lists(
    st.tuples(st.integers(2, 598), st.floats(0.0, 4.5)), max_size=8, unique_by=lambda t: t[0]
)
"""None of them the start's own."""


@drawn_proof(320, PART_OF_SLOW)
@given(wells)
def test_stretches_tile_the_route(places):
    """Each stretch begins where the one before ends; first at 0, last at the end."""
    made = called(*(source_at(km, offset_km=off) for km, off in places))
    stretches = made.stretches

    assert stretches[0].begin.km == 0.0
    assert stretches[-1].end.km == made.measured.length_km
    assert all(a.end == b.begin for a, b in itertools.pairwise(stretches))
    on_route = sum(s.length_km - s.begin.way_km - s.end.way_km for s in stretches)
    assert on_route == pytest.approx(made.measured.length_km)


@drawn_proof(320, PART_OF_SLOW)
@given(wells)
def test_reversing_the_route_mirrors_the_stretches(places):
    """The lengths come out in the opposite order."""
    sources = [source_at(km, offset_km=off) for km, off in places]
    there = called(*sources)
    back = called(*sources, reverse=True)

    assert [s.length_km for s in back.stretches] == pytest.approx(
        [s.length_km for s in reversed(there.stretches)], abs=1e-5
    )


@drawn_proof(320, PART_OF_SLOW)
@given(wells, st.floats(1.0, 599.0))
def test_one_more_well_on_the_line_never_lengthens_the_way_without_water(places, new_km):
    """In km along the route between sources that count, called at or not."""
    sources = [source_at(km, offset_km=off) for km, off in places]
    before = plan(*sources)
    after = plan(*sources, source_at(new_km, id="new"))

    hair_km = 2e-3
    assert after.longest_without_water.length_km <= (
        before.longest_without_water.length_km + hair_km
    )


def test_sections_turn_with_the_route():
    """A slow section at the beginning is a slow section at the end the other way round."""
    slow = pace(sections=(PaceSection(0.0, 100.0, 25.0),))
    back = plan(pace=slow, reverse=True)

    assert back.trip.pace.sections[0].from_km == pytest.approx(500.0)
    assert np.isclose(sum(d.moving_h for d in back.days), 14.0)
