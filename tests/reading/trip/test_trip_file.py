"""What a trip file may say, and what happens where it says nothing."""

from __future__ import annotations

import datetime as dt

import pytest
from trip_text import EVERY_KEY, ids, sample_toml, text_with

from longdry.model.trip.party import Animal, Container, Kit, Pump, Use, Vehicle
from longdry.model.trip.trip import Contact, PaceSection, PinnedCamp
from longdry.model.trip.what_if import Drought, LostVehicle, TreatingFails
from longdry.model.words import (
    Accrual,
    ContainerGrade,
    FillHabit,
    FillTo,
    Grade,
    IfDry,
    Ration,
    Travel,
)
from longdry.reading.trip.tables import with_seconds
from longdry.reading.trip.trip_file import read_trip, trip_from_text


def trip(text):
    return trip_from_text(text, origin="trip.toml")


def default_keys(read):
    return [assumption.key for assumption in read.defaults]


# Sphere, Humanitarian Charter and Minimum Standards (2004, repeated 2011), simplified table of
# basic survival water needs, least litres per person and day.
SPHERE_LEAST_L = {"drinking": 2.5, "washing": 2.0, "cooking": 3.0}
SPHERE_LEAST_TOTAL_L = 7.5


@pytest.mark.parametrize("name", SPHERE_LEAST_L)
def test_usual_uses_are_no_less_than_sphere_row_by_row(name):
    """Each assumed use is at least the Sphere handbook's least for that row."""
    (use,) = [use for use in read_trip(None).uses if use.name == name]

    assert use.per is Accrual.PERSON_DAY
    assert use.litres >= SPHERE_LEAST_L[name]


def test_usual_uses_are_no_less_than_sphere_in_total():
    """All assumed uses together are at least the Sphere handbook's 7.5 L."""
    assert sum(use.litres for use in read_trip(None).uses) >= SPHERE_LEAST_TOTAL_L


def test_usual_drinking_is_no_less_than_the_parks_authority_asks():
    """South Australia parks authority, remote-area travel: at least 6 L per person and day."""
    drinking = read_trip(None).uses[0]

    assert (drinking.name, drinking.kept, drinking.grade) == (
        "drinking",
        Ration.BARE,
        Grade.POTABLE,
    )
    assert drinking.litres >= 6.0


def test_usual_reserve_of_a_vehicle_is_what_the_parks_authority_asks():
    """South Australia parks authority, remote-area travel: a reserve of 3 to 4 days."""
    policy = trip('[pace]\ntravel = "vehicle"').policy

    assert 3.0 <= policy.reserve_days <= 4.0
    assert policy.reserve_ration is Ration.BARE


@pytest.mark.parametrize("travel", ["foot", "bicycle"])
def test_usual_reserve_of_who_carries_the_water_is_one_bare_day(travel):
    """Common practice, no source: more than a day can seldom be carried."""
    policy = trip(f'[pace]\ntravel = "{travel}"').policy

    assert (policy.reserve_days, policy.reserve_ration) == (1.0, Ration.BARE)


def test_no_file_and_an_empty_file_are_one_trip():
    """A trip file that says nothing is the trip without a file."""
    assert trip_from_text("", origin="") == read_trip(None)


def test_what_is_not_known_is_taken_as_worse():
    """Without a word: on foot, nothing treated, rated mark, no containers."""
    read = read_trip(None)

    assert read.pace.travel is Travel.FOOT
    assert not read.party.can_treat
    assert read.policy.fill_to is FillTo.RATED
    assert read.containers == ()


def test_a_container_of_unknown_grade_is_not_kept_for_potable_water():
    """A container that says nothing of its grade may have held other water."""
    (can,) = trip("[[container]]\nrated_l = 20").containers

    assert can == Container("container 1", 1, 20.0, 20.0, ContainerGrade.ANY)


def test_a_use_of_unknown_ration_is_never_given_up():
    """A use that says no more than name and litres is potable, per person-day, kept bare."""
    (use,) = trip('[[use]]\nname = "tea"\nlitres = 2').uses

    assert use == Use("tea", 2.0, Grade.POTABLE, Accrual.PERSON_DAY, Ration.BARE)


@pytest.mark.parametrize(
    ("grade", "held"), [("potable", Grade.POTABLE), ("any", Grade.NOT_FOR_DRINKING)]
)
def test_water_of_unknown_grade_in_a_container_follows_what_it_is_kept_for(grade, held):
    """Only a container kept for potable water is trusted to hold it at the start."""
    (can,) = trip(f'[[container]]\nrated_l = 20\nholds_l = 5\ngrade = "{grade}"').containers

    assert can.holds_grade is held


@pytest.mark.parametrize(("travel", "speed_kmh"), [("vehicle", 30), ("bicycle", 10), ("foot", 4)])
def test_speed_follows_the_way_of_travel(travel, speed_kmh):
    """Common practice, no source: 30 km/h by vehicle, 10 by bicycle, 4 on foot."""
    assert trip(f'[pace]\ntravel = "{travel}"').pace.speed_kmh == speed_kmh


@pytest.mark.parametrize(("speed_kmh", "off_kmh"), [(2.0, 2.0), (4.0, 3.0)])
def test_off_the_route_nobody_is_assumed_faster_than_on_it(speed_kmh, off_kmh):
    """The default speed off the route is capped by the speed on it."""
    assert trip(f"[pace]\nspeed_kmh = {speed_kmh}").pace.off_route_kmh == off_kmh


def test_every_default_is_told_with_value_and_reason():
    """Each default names its key, its value and why; no key is told twice."""
    read = read_trip(None)
    keys = [key for key in default_keys(read) if key != "use"]

    assert len(keys) == len(set(keys))
    assert all(a.what and a.value and a.why for a in read.defaults)
    assert {"pace.speed_kmh", "party.people", "policy.reserve_days", "depart"} <= set(keys)
    assert default_keys(read).count("use") == 3


@pytest.mark.parametrize(("section", "key"), EVERY_KEY, ids=ids(EVERY_KEY))
def test_a_key_that_is_written_is_no_default(section, key):
    """What the user wrote is not listed as assumed, and every sample of the table can be read."""
    read = trip(text_with(section, key, sample_toml(key)))

    assert f"{section.name}.{key.name}".lstrip(".") not in default_keys(read)


def test_one_default_of_many_containers_is_told_once():
    """Containers that share a default share the line that tells it."""
    read = trip('[[container]]\nname="a"\nrated_l=5\n[[container]]\nname="b"\nrated_l=9')
    (told,) = [a for a in read.defaults if a.key == "container.grade"]

    assert told.what == "water it is kept for ('a', 'b')"


def test_brimful_is_told_only_where_it_counts():
    """Filled to the rated mark, nobody needs to hear what the brim was taken as."""
    can = "[[container]]\nrated_l = 20\n"

    assert "container.brimful_l" not in default_keys(trip(can))
    assert "container.brimful_l" in default_keys(trip(can + '[policy]\nfill_to = "brimful"'))


def test_empty_weight_is_told_where_a_vehicle_carries():
    """The weight of empty containers is assumed only where weights are asked for."""
    can = "[[container]]\nrated_l = 20\n"
    wagon = '[[vehicle]]\nname = "wagon"\npayload_left_kg = 200'

    assert "container.tare_kg" not in default_keys(trip(can))
    assert "container.tare_kg" in default_keys(trip(can + wagon))


WHOLE_FILE = """
name = "Dry Lakes loop"  # invented
depart = 2027-05-03T09:30:00
[party]
people = 3
can_treat = true
[[animal]]
name = "camel"
count = 2
litres_per_day = 30
grade = "not-for-drinking"
[[use]]
name = "shower"
litres = 2.5
grade = "treat-before-drinking"
per = "party-night"
kept = "full"
[[container]]
name = "tank"
count = 2
rated_l = 60
brimful_l = 62.5
grade = "any"
tare_kg = 4
vehicle = "wagon"
holds_l = 30
holds_grade = "treat-before-drinking"
cleanable = true
[[use]]
name = "engine"
litres = 10
grade = "not-for-drinking"
per = "always"
[[vehicle]]
name = "wagon"
payload_left_kg = 300
people = 3
[[pump]]
name = "12 V pump"
l_per_min = 7.5
amp = 6
[kit]
tap_key = true
rope_m = 9
shovel = true
other = ["bucket", "funnel"]
[pace]
travel = "vehicle"
speed_kmh = 25
hours_per_day = 7
start_hour = 7.5
off_route_kmh = 12
detour_factor = 1.5
winding_factor = 1.1
fill_minutes = 20
longer_day_h = 0
shorter_day_h = 0.75
drink_l_per_moving_h = 1.2
after_dark = true
[[section]]
from_km = 200
to_km = 260
speed_kmh = 12
[[section]]
from_km = 10
to_km = 200
speed_kmh = 20
[[camp]]
km = 180
rest_days = 1
at_water = true
[[camp]]
waypoint = "Gidgee camp"
[[camp]]
lat = -27.5
lon = 138.25
[policy]
max_detour_km = 8
reserve_days = 4
reserve_ration = "lean"
fill_to = "brimful"
loss_percent = 10
longest_ok_km = 400
longest_ok_days = 5
days_after_end = 1
longest_wait_h = 3
turn_back_margin = 0.25
fill = "least"
if_dry = "on"
call_at = ["Old Bore", " Gum Well@182 "]
pass_by = ["Salt Tank"]
emergency_km = 40
[contact]
call = "satellite telephone"
check_in_days = 1.5
due_back = 2027-05-17
search_days = 4
on_overdue = "the police"
[[what_if]]
change = "lose vehicle wagon"
[[what_if]]
change = "treating fails"
[[what_if]]
change = "drought"
"""


def test_a_whole_file_comes_back_as_it_was_written():
    """Every key lands in its field; sections are put in the order of the route."""
    read = trip(WHOLE_FILE)

    assert read.name == "Dry Lakes loop"
    assert read.depart == dt.datetime(2027, 5, 3, 9, 30)
    assert (read.party.people, read.party.can_treat) == (3, True)
    assert read.animals == (Animal("camel", 2, 30.0, Grade.NOT_FOR_DRINKING),)
    assert read.uses == (
        Use("shower", 2.5, Grade.TREAT, Accrual.PARTY_NIGHT, Ration.FULL),
        Use("engine", 10.0, Grade.NOT_FOR_DRINKING, Accrual.ALWAYS, Ration.BARE),
    )
    assert read.containers == (
        Container("tank", 2, 60.0, 62.5, ContainerGrade.ANY, 4.0, "wagon", 30.0, Grade.TREAT, True),
    )
    assert read.vehicles == (Vehicle("wagon", 300.0, 3),)
    assert read.pumps == (Pump("12 V pump", 7.5, 6.0),)
    assert read.kit == Kit(True, 9.0, True, True, ("bucket", "funnel"))
    assert read.pace.sections == (PaceSection(10.0, 200.0, 20.0), PaceSection(200.0, 260.0, 12.0))
    assert (read.pace.speed_kmh, read.pace.hours_per_day, read.pace.start_hour) == (25, 7, 7.5)
    assert (read.pace.off_route_kmh, read.pace.detour_factor) == (12, 1.5)
    assert read.pace.winding_factor == 1.1
    assert (read.pace.fill_minutes, read.pace.longer_day_h, read.pace.shorter_day_h) == (
        20,
        0,
        0.75,
    )
    assert (read.pace.drink_l_per_moving_h, read.pace.after_dark) == (1.2, True)
    assert read.camps == (
        PinnedCamp(rest_days=1, km=180.0, at_water=True),
        PinnedCamp(waypoint="Gidgee camp"),
        PinnedCamp(lat_deg=-27.5, lon_deg=138.25),
    )
    assert (read.policy.max_detour_km, read.policy.reserve_days) == (8, 4)
    assert (read.policy.reserve_ration, read.policy.fill_to) == (Ration.LEAN, FillTo.BRIMFUL)
    assert (read.policy.loss_percent, read.policy.days_after_end) == (10, 1)
    assert (read.policy.longest_ok_km, read.policy.longest_ok_days) == (400, 5)
    assert read.policy.start_on_board_l is None
    assert (read.policy.longest_wait_h, read.policy.turn_back_margin) == (3, 0.25)
    assert (read.policy.fill, read.policy.if_dry) == (FillHabit.LEAST, IfDry.ON)
    assert (read.policy.call_at, read.policy.pass_by) == (
        ("Old Bore", "Gum Well@182"),
        ("Salt Tank",),
    )
    assert read.policy.emergency_km == 40
    assert read.contact == Contact(
        "satellite telephone", 1.5, dt.date(2027, 5, 17), 4.0, "the police"
    )
    assert read.what_ifs == (LostVehicle("wagon"), TreatingFails(), Drought())


def test_a_date_alone_means_the_start_hour():
    """A departure without an hour begins when the day's moving begins."""
    read = trip("depart = 2027-05-03\n[pace]\nstart_hour = 7.5")

    assert read.depart == dt.datetime(2027, 5, 3, 7, 30)


@pytest.mark.parametrize(
    "written",
    ["2027-05-07T10:30", "2027-05-07T10:30:00", '"2027-05-07T10:30"', '"2027-05-07 10:30:00"',
     "2027-05-07 10:30  # from town", "2027-05-07t10:30\r"],
)  # fmt: skip
def test_a_departure_is_taken_with_and_without_seconds_and_quotes(written):
    """TOML 1.0 asks for seconds and for no quotes; people leave out the one and add the other."""
    read = trip(f'name = "Loop"\ndepart = {written}\n[party]\npeople = 3')

    assert read.depart == dt.datetime(2027, 5, 7, 10, 30)
    assert read.party.people == 3


@pytest.mark.parametrize("written", ["2027-05-07", '"2027-05-07"'])
def test_a_date_alone_is_taken_in_quotes_too(written):
    """A quoted date means the start hour as a bare one does."""
    assert trip(f"depart = {written}").depart == dt.datetime(2027, 5, 7, 8, 0)


def test_text_that_looks_like_a_departure_stays_as_it_is():
    """Only the key is mended, never what a text of several lines holds."""
    text = "a\ndepart = 2027-05-07T10:30\nb"

    assert with_seconds(f'name = """\n{text}"""') == f'name = """\n{text}"""'


def test_what_is_not_said_about_a_camp_at_water_is_neither_yes_nor_no():
    """A camp that says nothing of water is told as an assumption, one that does is not."""
    camps = [trip(f"[[camp]]\nkm = 5\n{said}") for said in ("", "at_water = false")]

    assert [read.camps[0].at_water for read in camps] == [None, False]
    assert ["camp.at_water" in default_keys(read) for read in camps] == [True, False]


@pytest.mark.parametrize(
    ("travel", "habit"),
    [("vehicle", FillHabit.TOP_UP), ("foot", FillHabit.SAFE), ("bicycle", FillHabit.SAFE)],
)
def test_who_does_not_carry_the_water_tops_up_who_does_fills_safely(travel, habit):
    """Common practice, no source: the usual way of filling follows the way of travel."""
    read = trip(f'[pace]\ntravel = "{travel}"')

    assert read.policy.fill is habit
    assert (read.policy.if_dry, read.policy.emergency_km) == (IfDry.ON_OR_BACK, 25.0)
    assert {"policy.fill", "policy.if_dry", "policy.emergency_km"} <= set(default_keys(read))


def test_hours_around_a_day_have_the_usual_limits():
    """Common practice, no source, but for the hourly litre: Parks Australia, at least 1 L."""
    pace, policy = read_trip(None).pace, read_trip(None).policy

    assert (pace.fill_minutes, pace.longer_day_h, pace.shorter_day_h) == (15.0, 1.0, 0.5)
    assert pace.drink_l_per_moving_h >= 1.0
    assert not pace.after_dark
    assert (policy.longest_wait_h, policy.turn_back_margin, policy.loss_percent) == (2.0, 0.1, 5.0)


def test_drinking_by_the_hour_is_told_only_to_who_moves_by_muscle():
    """By vehicle the day's litres are drunk evenly, so the rate takes no part."""
    told = {
        travel: "pace.drink_l_per_moving_h" in default_keys(trip(f'[pace]\ntravel = "{travel}"'))
        for travel in Travel
    }

    assert told == {Travel.VEHICLE: False, Travel.FOOT: True, Travel.BICYCLE: True}


def test_a_tool_that_is_not_listed_is_not_carried():
    """Nobody is assumed to have a key, a rope, a shovel or a pump."""
    assert read_trip(None).kit == Kit(tap_key=False, rope_m=0.0, shovel=False, pump=False, other=())


def test_who_lists_a_pump_carries_one():
    """A [[pump]] needs no second word in [kit]; one driven by hand draws no current."""
    read = trip('[[pump]]\nname = "hand pump"\nl_per_min = 8')

    assert read.pumps == (Pump("hand pump", 8.0, None),)
    assert read.kit.pump


def test_a_container_for_drinking_water_counts_as_kept_for_potable_water():
    """Whoever keeps a container for drinking need not say its grade, and none is assumed."""
    read = trip("[[container]]\nrated_l = 20\ndrinking_only = true\nholds_l = 5")
    (can,) = read.containers

    assert (can.drinking_only, can.grade) == (True, ContainerGrade.POTABLE)
    assert can.holds_grade is Grade.POTABLE
    assert "container.grade" not in default_keys(read)


def test_no_means_of_calling_for_help_is_told():
    """What is not said counts as not there, and is told; check-ins only where help is looked at."""
    silent = trip("")
    calling = trip('[contact]\ncall = "satellite telephone"')

    assert (silent.contact, calling.contact.call) == (Contact(), "satellite telephone")
    assert "contact.call" in default_keys(silent)
    assert "contact.check_in_days" not in default_keys(silent)
    assert "contact.check_in_days" in default_keys(calling)


def test_litres_on_board_at_the_start_are_kept():
    """A start that is not full is what the file says."""
    read = trip("[[container]]\nrated_l = 20\n[policy]\nstart_on_board_l = 12")

    assert read.policy.start_on_board_l == 12.0


def test_water_at_the_start_is_assumed_to_be_had_not_to_be_on_board():
    """Containers may arrive empty, and a plan may leave with few litres: neither is denied."""
    read = trip("[[container]]\nrated_l = 20")
    (told,) = [one for one in read.defaults if one.key == "policy.start_on_board_l"]

    assert told.what == "water at the start"
    assert told.value == "enough drinking water to fill all containers before leaving"
    assert "fills" in told.why


def test_start_hour_says_that_an_earlier_departure_waits_for_it():
    """A departure at 06:00 beside an assumed 8 h after midnight: nobody moves before 8."""
    read = trip("depart = 2027-05-03T06:00:00")
    (told,) = [one for one in read.defaults if one.key == "pace.start_hour"]

    assert (told.what, told.value) == (
        "hour before which nobody moves, on any day",
        "8 h after midnight",
    )
    assert read.depart == dt.datetime(2027, 5, 3, 6, 0)


def test_names_lose_the_blanks_around_them():
    """A name is what stands between the blanks."""
    assert trip('name = "  Loop "').name == "Loop"


def test_a_byte_order_mark_is_no_fault(tmp_path):
    """Editors that put a mark before UTF-8 text do no harm."""
    path = tmp_path / "trip.toml"
    path.write_bytes(b"\xef\xbb\xbf[party]\r\npeople = 3\r\n")

    read = read_trip(path)

    assert (read.party.people, read.origin) == (3, str(path))
