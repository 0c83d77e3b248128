"""The one way from properties to a source."""

from __future__ import annotations

import datetime as dt
import json
import math

import pytest

from longdry.model.water.source import Found, Visit
from longdry.model.words import Certainty, Grade
from longdry.reading.water.layer import read_water
from longdry.reading.water.source import source_from_properties


def read(properties, lat=-25.0, lon=130.0):
    return source_from_properties(
        properties,
        lat_deg=lat,
        lon_deg=lon,
        where="feature 3",
        fallback_id="w#3",
        layer="w.geojson",
    )


def the_fault(properties, **place):
    source, faults = read(properties, **place)
    assert source is None
    (fault,) = faults
    return fault


@pytest.mark.parametrize(
    ("column", "value", "salt", "unread"),
    [
        ("TDS_mg/L", "1500", 1500.0, ""),
        ("tds_mg_l", "> 1500", None, "tds_mg_l"),
        ("tds", 1500, None, "tds"),
        ("EC_uS/cm", "2300", None, "EC_uS/cm"),
        ("Salinity", "2300", None, "Salinity"),
        ("salinity", "low", None, ""),
        ("section", "12", None, ""),
        ("saltbush", "12", None, ""),
    ],
)
def test_salt_is_read_in_mg_per_litre_and_never_lost_in_silence(
    tmp_path, column, value, salt, unread
):
    """A name that tells unit and solids is read; a number under another name for salt is kept."""
    properties = {"grade": "potable", column: value}
    place = {"type": "Point", "coordinates": [131.0, -25.0]}
    feature = {"type": "Feature", "geometry": place, "properties": properties}
    path = tmp_path / "water.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": [feature]}), "utf-8")
    source = read_water(path).sources[0]

    assert (source.tds_mg_per_l, source.unread_salt) == (salt, unread)


def test_every_property_arrives():
    """Every property that longdry knows arrives in the source with its type."""
    source, faults = read(
        {
            "id": "b7",
            "name": "Old Bore",
            "grade": "treat-before-drinking",
            "kind": "bore",
            "access": "pump",
            "flow_l_per_min": 12,
            "limit_l": "40.5",
            "certainty": "likely",
            "months": [4, 5],
            "tds_mg_per_l": 900.0,
            "note": "gate\nshut it",
            "visits": [{"on": "2026-05-03", "found": "low", "litres": 20, "grade": "potable"}],
            "retired": "fell in",
            "own": False,
            "colour": "foreign",
        }
    )

    assert faults == []
    assert (source.id, source.name, source.kind, source.access) == (
        "b7",
        "Old Bore",
        "bore",
        "pump",
    )
    assert source.grade is Grade.TREAT
    assert (source.flow_l_per_min, source.limit_l, source.tds_mg_per_l) == (12.0, 40.5, 900.0)
    assert source.certainty is Certainty.LIKELY
    assert source.months == {4, 5}
    assert source.note == "gate\nshut it"
    assert source.visits == (
        Visit(dt.date(2026, 5, 3), Found.LOW, litres=20.0, grade=Grade.POTABLE),
    )
    assert (source.retired, source.own, source.layer) == ("fell in", False, "w.geojson")
    assert (source.lat_deg, source.lon_deg) == (-25.0, 130.0)


def test_nothing_known_is_a_source_still():
    """A feature without a property is a source with the made id as its name and no grade."""
    source, faults = read({})

    assert faults == []
    assert (source.id, source.name, source.grade, source.own) == ("w#3", "w#3", None, True)
    assert source.trusted_grade is Grade.NOT_FOR_DRINKING


@pytest.mark.parametrize("nothing", [None, "", "  "])
def test_empty_values_are_unknown(nothing):
    """An empty or null value of any property is the same as none."""
    names = "id name grade kind access flow_l_per_min limit_l certainty months tds_mg_per_l"
    names += " note visits retired own"
    source, faults = read(dict.fromkeys(names.split(), nothing))

    assert faults == []
    assert source == read({})[0]


@pytest.mark.parametrize(
    "written",
    ["potable", " Potable ", "POTABLE"],
)
def test_case_and_blanks_of_a_grade_do_not_matter(written):
    """A grade is known in any case and with blanks around it."""
    assert read({"Grade": written})[0].grade is Grade.POTABLE


@pytest.mark.parametrize("written", ["treat before drinking", "Treat_Before Drinking"])
def test_hyphens_of_a_grade_may_be_blanks(written):
    """Blanks and underscores stand for the hyphens of a grade."""
    assert read({"grade": written})[0].grade is Grade.TREAT


@pytest.mark.parametrize("written", ["good", "non-potable", "not potable", 1, True, ["potable"]])
def test_an_unknown_grade_is_refused(written):
    """An unknown grade names the feature and the words that are allowed."""
    fault = the_fault({"grade": written, "id": 7, "name": "Old\tBore"})

    assert fault.where == 'feature 3 (id "7", name "Old Bore")'
    assert fault.what.startswith("grade is ")
    assert fault.mend.startswith("write potable, treat-before-drinking or not-for-drinking; ")
    assert "--fields" in fault.mend


@pytest.mark.parametrize("field", ["flow_l_per_min", "limit_l", "tds_mg_per_l"])
@pytest.mark.parametrize(
    ("written", "what", "mend"),
    [
        ("20 L", 'is "20 L", not a number', "without its unit, for example 20"),
        ("20L/min", "not a number", "without its unit, for example 20"),
        ("4,5", "not a number", 'write the decimal sign as a point, "4.5"'),
        ("4_5", "not a number", "as a plain number"),
        ("٤", "not a number", "as a plain number"),
        ("nan", "not a number", "as a plain number"),
        (math.nan, "is nan", "as a finite number"),
        (math.inf, "is inf", "as a finite number"),
        (10**400, "60 digits", "as a finite number"),
        pytest.param(10**5000, "60 digits", "as a finite number", id="5001 digits"),
        ("1e999", "is inf", "as a finite number"),
        (-1, "is -1, below zero", "0 or more"),
        ("-0.5", "below zero", "0 or more"),
        (True, "is True, not a number", "as a plain number"),
        ([5], "is a list of 1, not a number", "as a plain number"),
        ({}, "is a mapping of 0, not a number", "as a plain number"),
    ],
)
def test_a_number_is_finite_and_not_below_zero(field, written, what, mend):
    """An amount that is no plain, finite number from zero up is refused with its mend."""
    fault = the_fault({field: written})

    assert fault.what.startswith(field)
    assert what in fault.what
    assert mend in fault.mend


@pytest.mark.parametrize(
    ("written", "months"),
    [
        ([4, 5, 6], {4, 5, 6}),
        (["4", "May"], {4, 5}),
        ("4-6", {4, 5, 6}),
        ("4,5,6", {4, 5, 6}),
        ("[4, 5]", {4, 5}),
        ("11 - 2", {11, 12, 1, 2}),
        ("Nov–Feb", {11, 12, 1, 2}),
        ("april to june", {4, 5, 6}),
        ("Jan, 4-5; sept", {1, 4, 5, 9}),
        (7, {7}),
        (7.0, {7}),
        ("1-12", set(range(1, 13))),
    ],
)
def test_months_are_read_as_people_write_them(written, months):
    """Months come as lists, spans and English names; a span may run over the new year."""
    assert read({"months": written})[0].months == months


@pytest.mark.parametrize("written", [[], "[]", "0", 13, [4.5], "summer", True, "4-", "4--6", {}])
def test_no_month_is_refused(written):
    """What names no month, or none at all, is refused with examples."""
    fault = the_fault({"months": written})

    assert fault.what.startswith("months is ")
    assert '"4-9"' in fault.mend


def test_visits_may_be_json_text():
    """Formats with flat properties hold visits as JSON text."""
    text = '[{"on": "2026-05-03", "found": "dry", "note": "two days after rain"}]'
    source, _ = read({"visits": text})

    assert source.visits == (Visit(dt.date(2026, 5, 3), Found.DRY, note="two days after rain"),)


@pytest.mark.parametrize(
    ("written", "what"),
    [
        ("many", 'is "many", not a list'),
        ("[" * 100_000, "not a list"),
        ([5], "hold 5 as visit 1"),
        ([{}], "hold visit 1 whose found is missing"),
        ([{"found": "wet"}], 'hold visit 1 whose found is "wet"'),
        ([{"found": "dry"}], "hold visit 1 whose on is missing"),
        ([{"found": "dry", "on": "2026-02-30"}], 'on is "2026-02-30", no day'),
        ([{"found": "dry", "on": "20260503"}], 'on is "20260503"'),
        ([{"found": "dry", "on": "2026-05-03", "litres": "2 l"}], 'litres is "2 l", not a number'),
        ([{"found": "dry", "on": "2026-05-03", "grade": "ok"}], 'grade is "ok"'),
    ],
)
def test_a_wrong_visit_is_refused(written, what):
    """A visit that cannot be read is told by its number and field."""
    assert what in the_fault({"visits": written}).what


@pytest.mark.parametrize(
    ("lat", "lon", "what", "mend"),
    [
        (130.0, -25.0, "lat 130 is not within -90 and 90", "look swapped"),
        (-25.0, 200.0, "lon 200 is not within -180 and 180", "take 360 off"),
        (7_200_000.0, 500_000.0, "lat 7200000", "coordinate reference system"),
        (math.nan, 0.0, "lat is nan", "plain decimal degrees"),
        ("abc", 0.0, 'lat is "abc", not a number', "south and west negative"),
        ("25,1", 0.0, 'lat is "25,1"', 'decimal point: "25.1"'),
        (None, 0.0, "lat is missing", "give lat"),
        (0.0, "", "lon is missing", "give lon"),
        (True, 0.0, "lat is True", "plain decimal degrees"),
    ],
)
def test_a_place_out_of_range_is_refused(lat, lon, what, mend):
    """A place that is not on Earth is refused, and a swap suspected."""
    fault = the_fault({}, lat=lat, lon=lon)

    assert what in fault.what
    assert mend in fault.mend


def test_poles_and_the_antimeridian_are_places():
    """Every latitude to 90 and longitude to 180 is taken, as numbers or text."""
    assert read({}, lat=90, lon=-180)[1] == []
    assert read({}, lat="-90.0", lon=" 180 ")[1] == []


def test_an_id_of_thousands_of_digits_is_refused():
    """A number too long to be written out is a fault, and its place is told without it."""
    fault = the_fault({"id": 10**5000})

    assert fault.where == 'feature 3 (id "a number of more than 60 digits")'


def test_all_faults_of_a_feature_come_together():
    """One feature with four things wrong has four faults."""
    _, faults = read({"grade": "ok", "limit_l": -1, "months": "x", "own": 3}, lat=99.0)

    assert [fault.what.split()[0] for fault in faults] == [
        "grade",
        "limit_l",
        "months",
        "own",
        "lat",
    ]


def test_the_exact_name_of_a_property_wins():
    """Where two keys mean one property, the one written exactly is taken."""
    assert read({"NAME": "loud", "name": "quiet"})[0].name == "quiet"


def test_two_keys_that_disagree_are_refused():
    """Two keys that mean one property and disagree are told; the same twice is nothing wrong."""
    assert read({"NAME": "a", "Name": "a"})[1] == []
    assert the_fault({"GRADE": "potable", "Grade": "not-for-drinking"}).what == (
        'grade is told twice, "potable" and "not-for-drinking"'
    )


def test_cut_names_of_shapefiles_are_known():
    """Names cut to ten characters mean the property (Esri Shapefile: dBASE names of 10)."""
    source, _ = read({"FLOW_L_PER": 3.0, "tds_mg_per": 700.0})

    assert (source.flow_l_per_min, source.tds_mg_per_l) == (3.0, 700.0)


def test_long_and_odd_names_are_kept():
    """A name of 10 kB, a formula or markup is kept as it is; control characters go."""
    for name in ("n" * 10_240, "=1+1", "<b>x</b>", "${x}`"):
        assert read({"name": name})[0].name == name
    assert read({"name": "a\x00b\nc\ud800"})[0].name == "ab c"
