"""Check what a trip file may say of heat, people, breaks and ground, and the files it names."""

from __future__ import annotations

import json
import re

import pytest
from project_places import DOCS

from longdry.errors import TripFileError
from longdry.model.trip.heat import Effort
from longdry.model.words import Travel
from longdry.reading.trip.trip_file import read_trip, trip_from_text


def trip(text):
    return trip_from_text(text, origin="trip.toml")


def faults(read):
    with pytest.raises(TripFileError) as caught:
        read()
    return str(caught.value)


def brought(tmp_path, text, **files):
    for name, content in files.items():
        (tmp_path / name.replace("__", ".")).write_text(content, "utf-8")
    (tmp_path / "trip.toml").write_text(text, "utf-8")
    return read_trip(tmp_path / "trip.toml")


def test_no_heat_is_no_heat():
    """Without [heat] nothing of it is assumed."""
    read = trip("")

    assert read.heat is None
    assert not any(a.key.startswith("heat") for a in read.defaults)


def test_keys_that_others_rely_on():
    """shade_max_c, humidity_percent and acclimatised are read; every other default is told."""
    read = trip("[heat]\nshade_max_c = 41\nhumidity_percent = 15\nacclimatised = true")
    expected = read.heat.outlook.on(None, 0.0, 10.0)
    told = {a.key for a in read.defaults if a.key.startswith("heat.")}

    assert (expected.shade_max_c, expected.humidity_percent) == (41.0, 15.0)
    assert expected.acclimatised
    assert told >= {"heat.day_range_c", "heat.body_mass_kg", "heat.moving_met", "heat.wind_m_s"}
    assert not told & {"heat.shade_max_c", "heat.humidity_percent", "heat.acclimatised"}


@pytest.mark.parametrize("travel", Travel)
def test_effort_follows_the_way_of_travel(travel):
    """Without an effort of its own a party moves at the usual one, a vehicle out of the sun."""
    read = trip(f'[pace]\ntravel = "{travel}"\n[heat]\nshade_max_c = 41')

    assert read.heat.usual.effort == Effort.usual(travel)
    assert read.heat.moving_in_sun == (travel is not Travel.VEHICLE)


def test_months_sections_and_people_take_from_heat_what_they_leave_out():
    """A month without humidity has that of [heat]; a person without effort too."""
    read = trip(
        "[party]\npeople = 3\n"
        "[heat]\nhumidity_percent = 33\nmoving_met = 4\nbody_mass_kg = 80\n"
        "[[heat_month]]\nmonth = 1\nshade_max_c = 44\n"
        "[[heat_section]]\nfrom_km = 10\nto_km = 20\nshade_max_c = 47\nhumidity_percent = 9\n"
        '[[person]]\nname = "Ro"\nbody_mass_kg = 60'
    )
    january = read.heat.outlook.on(1, 50.0, 60.0)
    (person, others) = read.heat.people(3)

    assert (january.shade_max_c, january.humidity_percent) == (44.0, 33.0)
    assert read.heat.outlook.on(1, 12.0, 15.0).humidity_percent == 9.0
    assert (person.body_mass_kg, person.effort.moving_met) == (60.0, 4.0)
    assert (others.count, others.body_mass_kg) == (2, 80.0)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[heat]\nhumidity_percent = 20", "[heat] shade_max_c (line 1): is missing"),
        ("[heat]\nshade_max_c = 104", "shade_max_c (line 2): 104 is out of range"),
        ("[heat]\nshade_max_c = 40\nshade_excess_c = 30", "30 K in shade is more than 25 K"),
        ("[heat]\nshade_max_c = 40\nworking_h = 20", "make 26 h a day"),
        ("[heat]\nshade_max_c = 40\nmoving_by_night = true", "begin at 8 o'clock"),
        ("[heat]\nshade_max = 40", "the nearest key is shade_max_c"),
        ("[[heat_month]]\nmonth = 1\nshade_max_c = 4\n" * 2, "already the month of"),
        (
            "[[heat_section]]\nfrom_km = 9\nto_km = 9\nshade_max_c = 40",
            "9 km is not beyond from_km",
        ),
        (
            '[heat]\nshade_max_c = 40\n[[person]]\nname = "a"\ncount = 3',
            "3 people are listed, but the party has 2",
        ),
        ("[pace]\nbreak_from_hour = 17", "the break would end at 16 o'clock"),
        (
            "[pace]\nhours_per_day = 10\nbreak_from_hour = 11\nbreak_to_hour = 18",
            "around the break end after midnight",
        ),
        ("[[section]]\nfrom_km = 1\nto_km = 2", "is missing, and so is surface"),
        ('[[section]]\nfrom_km = 1\nto_km = 2\nsurface = "sant"', '"sand" is the nearest'),
    ],
)
def test_what_cannot_stand_is_one_sentence(text, words):
    """Each fault tells its place, what is wrong, and how to mend it."""
    assert words in faults(lambda: trip(text))


def test_half_a_break_takes_the_usual_other_end_and_tells_it():
    """A break from 10 on goes to 16 o'clock, and the plan says so."""
    read = trip("[pace]\nbreak_from_hour = 10")

    assert read.pace.break_h == (10.0, 16.0)
    assert "pace.break_to_hour" in {a.key for a in read.defaults}
    assert trip("").pace.break_h is None


def test_a_surface_slows_the_speed_and_a_speed_beats_it():
    """Sand takes a walker to 0.6 of 4 km/h; a speed that is given holds."""
    sand = "[[section]]\nfrom_km = 1\nto_km = 2\nsurface = 'sand'"

    assert trip(sand).pace.sections[0].speed_kmh == pytest.approx(2.4)
    assert trip(f"{sand}\nspeed_kmh = 3.5").pace.sections[0].speed_kmh == 3.5


def test_people_without_heat_are_told_to_have_no_part():
    """A list of persons without heat changes nothing, and the plan says so."""
    assert any(a.key == "person" for a in trip('[[person]]\nname = "a"').defaults)


def test_a_table_of_heat_is_found_beside_the_trip_file(tmp_path):
    """Rows of months and of sections are read, empty cells are as in [heat]."""
    table = (
        "month;from_km;to_km;shade_max_c;humidity_percent\n# invented\n12;;;43.5;\n;10;30;46;12\n"
    )
    outlook = brought(
        tmp_path, '[heat]\nhumidity_percent = 22\ntable = "heat.csv"', heat__csv=table
    ).heat.outlook

    assert outlook.on(12, 100.0, 110.0).shade_max_c == 43.5
    assert outlook.on(12, 100.0, 110.0).humidity_percent == 22.0
    assert outlook.on(12, 15.0, 20.0).shade_max_c == 46.0


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("", "is empty"),
        ("month,shade_max_c\n", "holds no row of figures"),
        ("month,shade_max\n1,40\n", 'no column called "shade_max"; the nearest is shade_max_c'),
        ("shade_max_c\n40\n", "no column tells where or when"),
        ("month,shade_max_c,shade_max_c\n1,40,41\n", "stands twice"),
        ("month,shade_max_c\n1,40\n1,41\n", "line 3: month 1 stands already in line 2"),
        ("month,shade_max_c\n13,40\n", "line 2, month: 13 is out of range"),
        ("month,shade_max_c\n1.5,40\n", "is not a whole number"),
        ("month,shade_max_c\n1,nan\n", "nan is out of range"),
        ("month,shade_max_c\n1,4_0\n", 'line 2, shade_max_c: "4_0" is text, not a number'),
        ("month,shade_max_c\n1,\n", "shade_max_c is missing"),
        ("month,shade_max_c\n1,40,9\n", "3 cells stand under 2 columns"),
        ("month,from_km,to_km,shade_max_c\n1,2,3,40\n", "stand together"),
        ("from_km,to_km,shade_max_c\n5,5,40\n", "to_km 5 is not beyond from_km 5"),
        ('month,shade_max_c\n1,"40\n', "is no table"),
    ],
)
def test_a_table_that_cannot_be_is_named_with_its_line(tmp_path, table, words):
    """A fault of the table names the table's file, the line, and how to mend it."""
    told = faults(lambda: brought(tmp_path, '[heat]\ntable = "heat.csv"', heat__csv=table))

    assert "heat.csv" in told
    assert words in told


def test_a_table_that_is_not_there_is_told(tmp_path):
    """A name without a file is one sentence."""
    told = faults(lambda: brought(tmp_path, '[heat]\ntable = "gone.csv"'))

    assert "gone.csv: there is no such file" in told


def feature(kind="Polygon", **properties):
    ring = [[130.0, -25.0], [130.5, -25.0], [130.5, -24.5], [130.0, -25.0]]
    coordinates = {"Polygon": [ring], "LineString": ring[:3], "Point": ring[0]}[kind]
    geometry = {"type": kind, "coordinates": coordinates}
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def layer(*features):
    return json.dumps({"type": "FeatureCollection", "features": features})


def with_ground(tmp_path, content, name="ground.geojson"):
    (tmp_path / name).write_text(content, "utf-8")
    return brought(tmp_path, f'[pace]\nground = "{name}"').pace.ground


def test_a_ground_layer_is_found_beside_the_trip_file(tmp_path):
    """Areas and lines are read; a speed beats a surface."""
    content = layer(feature(surface="sand"), feature("LineString", surface="mud", speed_kmh=7))
    area, line = with_ground(tmp_path, content)

    assert (area.surface, area.speed_kmh) == ("sand", None)
    assert (line.surface, line.speed_kmh) == ("", 7.0)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("[1]", "is no layer that is read here"),
        ("{", "is broken, or no such layer; GDAL says"),
        (layer(), "holds no area and no line"),
        (layer(feature("Point", surface="sand")), "feature 1: it is a Point"),
        (layer(feature(surface="sant")), "the nearest is sand"),
        (layer(feature(note="x")), "it tells neither surface nor speed_kmh"),
        (layer(feature(speed_kmh=0)), "speed_kmh 0 is no speed"),
        (layer(feature(speed_kmh="fast")), "is no speed"),
    ],
)
def test_a_ground_layer_that_cannot_be_is_told(tmp_path, content, words):
    """A fault of the layer names its file and feature, and how to mend it."""
    told = faults(lambda: with_ground(tmp_path, content))

    assert "ground.geojson" in told
    assert words in told


HOW_TO = DOCS / "how-to" / "heat-and-pace.md"
EXAMPLES = re.findall(r"```toml\n(.*?)```", HOW_TO.read_text("utf-8"), re.DOTALL)
TABLES = re.findall(r"```text\n(.*?)```", HOW_TO.read_text("utf-8"), re.DOTALL)


@pytest.mark.parametrize("example", EXAMPLES)
def test_examples_of_the_page_can_be_read(example):
    """What the page tells people to write is read clean."""
    assert trip(example).origin == "trip.toml"


def test_the_table_of_the_page_can_be_read(tmp_path):
    """The page's table of heat is read clean, all three rows."""
    (table,) = TABLES
    outlook = brought(tmp_path, '[heat]\ntable = "heat.csv"', heat__csv=table).heat.outlook

    assert (len(outlook.months), len(outlook.sections)) == (2, 1)
    assert outlook.on(12, 0.0, 10.0).humidity_percent == 20.0
