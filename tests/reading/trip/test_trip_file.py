"""What a trip file may say, and what happens where it says nothing."""

from __future__ import annotations

import datetime as dt

import pytest
from trip_text import EVERY_KEY, ids, sample_toml, text_with

from longdry.model.trip.party import Animal, Container, Use, Vehicle
from longdry.model.trip.trip import PaceSection, PinnedCamp
from longdry.model.words import Accrual, ContainerGrade, FillTo, Grade, Ration, Travel
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


def test_usual_reserve_is_what_the_parks_authority_asks():
    """South Australia parks authority, remote-area travel: a reserve of 3 to 4 days."""
    policy = read_trip(None).policy

    assert 3.0 <= policy.reserve_days <= 4.0
    assert policy.reserve_ration is Ration.FULL


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
[[vehicle]]
name = "wagon"
payload_left_kg = 300
[pace]
travel = "vehicle"
speed_kmh = 25
hours_per_day = 7
start_hour = 7.5
off_route_kmh = 12
detour_factor = 1.5
winding_factor = 1.1
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
"""


def test_a_whole_file_comes_back_as_it_was_written():
    """Every key lands in its field; sections are put in the order of the route."""
    read = trip(WHOLE_FILE)

    assert read.name == "Dry Lakes loop"
    assert read.depart == dt.datetime(2027, 5, 3, 9, 30)  # noqa: DTZ001 - local time is meant
    assert (read.party.people, read.party.can_treat) == (3, True)
    assert read.animals == (Animal("camel", 2, 30.0, Grade.NOT_FOR_DRINKING),)
    assert read.uses == (Use("shower", 2.5, Grade.TREAT, Accrual.PARTY_NIGHT, Ration.FULL),)
    assert read.containers == (
        Container("tank", 2, 60.0, 62.5, ContainerGrade.ANY, 4.0, "wagon", 30.0, Grade.TREAT, True),
    )
    assert read.vehicles == (Vehicle("wagon", 300.0),)
    assert read.pace.sections == (PaceSection(10.0, 200.0, 20.0), PaceSection(200.0, 260.0, 12.0))
    assert (read.pace.speed_kmh, read.pace.hours_per_day, read.pace.start_hour) == (25, 7, 7.5)
    assert (read.pace.off_route_kmh, read.pace.detour_factor) == (12, 1.5)
    assert read.pace.winding_factor == 1.1
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


def test_a_date_alone_means_the_start_hour():
    """A departure without an hour begins when the day's moving begins."""
    read = trip("depart = 2027-05-03\n[pace]\nstart_hour = 7.5")

    assert read.depart == dt.datetime(2027, 5, 3, 7, 30)  # noqa: DTZ001 - local time is meant


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
    assert read.depart == dt.datetime(2027, 5, 3, 6, 0)  # noqa: DTZ001 - local time is meant


def test_names_lose_the_blanks_around_them():
    """A name is what stands between the blanks."""
    assert trip('name = "  Loop "').name == "Loop"


def test_a_byte_order_mark_is_no_fault(tmp_path):
    """Editors that put a mark before UTF-8 text do no harm."""
    path = tmp_path / "trip.toml"
    path.write_bytes(b"\xef\xbb\xbf[party]\r\npeople = 3\r\n")

    read = read_trip(path)

    assert (read.party.people, read.origin) == (3, str(path))
