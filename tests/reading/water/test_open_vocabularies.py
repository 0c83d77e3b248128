"""OpenStreetMap tags and WPDx columns, read at their worst.

The fixtures are written by us, invented: not for navigation. Tags: OpenStreetMap wiki, pages on
amenity=drinking_water, amenity=water_point, man_made=water_tap, man_made=water_well,
man_made=storage_tank, natural=spring, drinking_water, drinking_water:legal, intermittent, pump,
lifecycle prefixes. Columns: WPDx data standard (#lat_deg, #lon_deg, #report_date, #status_id,
#water_source, #water_tech, #source; list from memory).
"""

from __future__ import annotations

import json

import pytest

from longdry.computing.water.certainty import judge_source
from longdry.errors import WaterLayerError
from longdry.model.water.source import Found
from longdry.model.words import Certainty
from longdry.reading.book.brought import read_brought
from longdry.reading.water.layer import read_water
from longdry.reading.water.mapping import read_field_mapping
from longdry.reading.water.osm_tags import is_water, our_properties, tags_of


def grade(**tags):
    return our_properties({key.replace("__", ":"): word for key, word in tags.items()}).get("grade")


@pytest.mark.parametrize(
    ("tags", "word"),
    [
        ({"drinking_water": "yes"}, "treat-before-drinking"),
        ({"amenity": "drinking_water"}, "treat-before-drinking"),
        ({"amenity": "water_point"}, "treat-before-drinking"),
        ({"drinking_water": "yes", "drinking_water__legal": "yes"}, "potable"),
        ({"drinking_water": "yes", "drinking_water__legal": "no"}, "treat-before-drinking"),
        ({"drinking_water": "no"}, "not-for-drinking"),
        ({"drinking_water": "no", "drinking_water__legal": "yes"}, "not-for-drinking"),
        ({"amenity": "drinking_water", "drinking_water": "no"}, "not-for-drinking"),
        (
            {
                "amenity": "drinking_water",
                "drinking_water": "untreated",
                "drinking_water__legal": "yes",
            },
            "treat-before-drinking",
        ),
        ({"natural": "spring"}, None),
        ({"natural": "spring", "drinking_water": "conditional"}, None),
        ({"man_made": "water_well"}, None),
    ],
)
def test_grade_from_tags_is_the_worst_that_they_allow(tags, word):
    """drinking_water=yes is to be treated unless it is so by law; nothing said is unknown."""
    assert grade(**tags) == word


@pytest.mark.parametrize(
    ("tags", "kind"),
    [
        ({"natural": "spring", "amenity": "drinking_water"}, "spring"),
        ({"man_made": "water_well"}, "well"),
        ({"man_made": "water_tap"}, "tap"),
        ({"man_made": "storage_tank", "content": "water"}, "tank"),
        ({"amenity": "water_point"}, "tap"),
        ({"drinking_water": "yes"}, None),
    ],
)
def test_kind_from_tags(tags, kind):
    """What holds the water tells the kind."""
    assert is_water(tags)
    assert our_properties(tags).get("kind") == kind


@pytest.mark.parametrize(
    "tags",
    [
        {"amenity": "fuel"},
        {"man_made": "storage_tank"},
        {"man_made": "storage_tank", "content": "fuel"},
        {"drinking_water": "no"},
        {"amenity": "cafe", "drinking_water": "no"},
        {},
    ],
)
def test_what_is_no_water_is_left(tags):
    """A tank whose content is not said to be water is no source, nor is a cafe."""
    assert not is_water(tags)


@pytest.mark.parametrize(
    "tags",
    [
        {"disused:amenity": "drinking_water"},
        {"abandoned:man_made": "water_well"},
        {"man_made": "water_well", "disused": "yes"},
        {"natural": "spring", "abandoned": "yes"},
        {"demolished:man_made": "water_tap"},
    ],
)
def test_disused_and_abandoned_are_retired(tags):
    """A lifecycle prefix or tag retires the source and is its reason."""
    assert is_water(tags)
    assert str(our_properties(tags)["retired"]).endswith("in OpenStreetMap")


def test_missing_intermittent_tag_says_nothing():
    """No intermittent tag is unknown, never permanent: no months, and doubtful."""
    for extra in ({}, {"intermittent": "no"}):
        told = our_properties({"natural": "spring", **extra})

        assert "months" not in told
        assert "certainty" not in told


def test_words_that_mean_something_else_in_ours_are_kept_apart():
    """OpenStreetMap's access=private is no way of getting at the water."""
    told = our_properties({"man_made": "water_well", "access": "private", "pump": "manual"})

    assert told["access"] == "hand pump"
    assert told["osm:access"] == "private"
    assert "access private" in str(told["note"])


def test_other_tags_of_gdal_are_taken_apart():
    """GDAL's OSM driver hands the rest of the tags over as one hstore text."""
    tags = tags_of({"osm_id": "5", "other_tags": '"natural"=>"spring","note"=>"a \\"b\\""'})

    assert tags == {"osm_id": "5", "natural": "spring", "note": 'a "b"'}


def osm_file(tmp_path, *tag_sets):
    features = [
        {
            "type": "Feature",
            "id": f"node/{number}",
            "geometry": {"type": "Point", "coordinates": [131.0 + number, -25.0]},
            "properties": tags,
        }
        for number, tags in enumerate(tag_sets, start=1)
    ]
    path = tmp_path / "export.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    return path


def test_osm_file_needs_no_mapping(tmp_path):
    """A layer of tags is known as one; what is no water is left and counted."""
    path = osm_file(
        tmp_path,
        {"amenity": "drinking_water", "name": "Square", "name:de": "Platz"},
        {"amenity": "bench"},
        {"disused:man_made": "water_well"},
    )

    layer = read_brought(path)

    assert [one.source.id for one in layer.sources] == ["osm:node/1", "osm:node/3"]
    assert layer.sources[0].source.name == "Square"
    assert layer.sources[0].foreign["name:de"] == "Platz"
    assert layer.sources[1].source.retired == "disused in OpenStreetMap"
    assert any("1 of 3 features are no water" in remark for remark in layer.remarks)


def test_layer_in_our_own_words_is_not_taken_for_osm(tmp_path):
    """A layer that has grades speaks for itself, whatever else stands in it."""
    path = osm_file(tmp_path, {"grade": "potable", "natural": "spring", "id": "a"})

    (one,) = read_brought(path).sources

    assert (one.source.id, one.source.grade, one.source.kind) == ("a", "potable", None)


WPDX = """#lat_deg,#lon_deg,#report_date,#status_id,#water_source,#water_tech,#source,row_id
-1.5,36.5,2024-03-01T00:00:00.000,Yes,Borehole/Tubewell,Hand Pump,invented,11
-1.6,36.6,03/05/2023 12:00:00 AM,No,Protected Spring,,invented,12
-1.7,36.7,,Unknown,Surface Water (River/Stream/Lake/Pond/Dam),,invented,13
-1.8,36.8,,No,Piped Water,Public Tapstand,invented,14
"""


@pytest.fixture
def wpdx(tmp_path):
    path = tmp_path / "points.csv"
    path.write_text(WPDX)
    return read_brought(path)


def test_wpdx_file_needs_no_mapping(wpdx):
    """Places, kinds and ids come from the columns, and no grade does."""
    sources = [one.source for one in wpdx.sources]

    assert [source.id for source in sources] == ["wpdx:11", "wpdx:12", "wpdx:13", "wpdx:14"]
    assert [source.kind for source in sources] == ["bore", "spring", "creek", "tap"]
    assert (sources[0].lat_deg, sources[0].lon_deg) == (-1.5, 36.5)
    assert {source.grade for source in sources} == {None}


def test_wpdx_point_that_works_is_nobodys_visit(wpdx):
    """A report that it works is noted and lifts nothing; without a visit it is doubtful."""
    bore = wpdx.sources[0].source

    assert bore.visits == ()
    assert "reported working on 2024-03-01 (WPDx)" in bore.note


def test_wpdx_point_that_does_not_work_counts_as_no_water(wpdx):
    """A report that it does not work is a visit without water; without a date it is noted."""
    spring, tap = wpdx.sources[1].source, wpdx.sources[3].source

    assert [(visit.on.isoformat(), visit.found) for visit in spring.visits] == [
        ("2023-03-05", Found.UNREACHABLE)
    ]
    assert tap.visits == ()
    assert "reported not working, no date" in tap.note


def test_everything_brought_from_open_data_is_doubtful(wpdx):
    """Open data carries no warranty: nobody of the party has been there."""
    for one in wpdx.sources:
        theirs = type(one.source)(
            one.source.id, one.source.name, one.source.lat_deg, one.source.lon_deg,
            kind=one.source.kind, visits=one.source.visits, own=False,
        )  # fmt: skip
        assert judge_source(theirs, None).certainty is Certainty.DOUBTFUL


MAPPING = """
[fields]
grade = "water_qual"
name = "SITE"
lat = "Y"
lon = "X"
[grades]
"bore water" = "treat-before-drinking"
[kinds]
windmill = "bore"
[always]
access = "pump"
"""
TABLE = "X,Y,SITE,water_qual,grade,depth\n131.0,-25.0,Old Bore,Bore Water,steep,12\n"


@pytest.fixture
def table(tmp_path):
    (tmp_path / "fields.toml").write_text(MAPPING)
    (tmp_path / "table.csv").write_text(TABLE)
    return tmp_path


def read_mapped(folder):
    return read_brought(folder / "table.csv", read_field_mapping(folder / "fields.toml"))


def test_a_grade_of_theirs_that_is_a_list_is_no_grade(table):
    """What is kept as the worse of two grades is a word; a list beside it is kept as theirs."""
    (table / "list.geojson").write_text(
        '{"type": "Feature", "geometry": {"type": "Point", "coordinates": [131.0, -25.0]}, '
        '"properties": {"SITE": "Old Bore", "water_qual": "bore water", "grade": ["potable"]}}'
    )
    mapping = MAPPING.replace('lat = "Y"\nlon = "X"\n', "")
    (table / "list.toml").write_text(mapping)

    (one,) = read_brought(table / "list.geojson", read_field_mapping(table / "list.toml")).sources

    assert one.source.grade == "treat-before-drinking"


def test_mapping_names_columns_and_words(table):
    """Their column and their word become ours; what is not ours is kept beside it."""
    (one,) = read_mapped(table).sources

    assert (one.source.name, one.source.grade) == ("Old Bore", "treat-before-drinking")
    assert (one.source.lat_deg, one.source.access) == (-25.0, "pump")
    assert one.foreign["water_qual"] == "Bore Water"
    assert one.foreign["theirs:grade"] == "steep"
    assert one.foreign["depth"] == "12"


def test_a_grade_column_of_another_meaning_asks_for_a_mapping(table):
    """X and Y are places without a mapping; what "steep" grades is only known with one."""
    with pytest.raises(WaterLayerError, match=r'grade is "steep".*--fields'):
        read_water(table / "table.csv")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            '"water_qual"',
            '"water_quality"',
            "a column that the file lacks; did you mean water_qual",
        ),
        ("[grades]", "[grade]", r"\[grade\] is not known; did you mean grades"),
        ('"treat-before-drinking"', '"fine"', r'"bore water" is "fine", no grade; write potable'),
        ('"bore water"', '"creek water"', r'"Bore Water" is not there'),
        ("name = ", "nam = ", "nam is no property of ours; did you mean name"),
        ('"SITE"', "3", "name is 3, not a text"),
        ("[fields]", "[fields", "this is not TOML: a bracket is not closed"),
    ],
)
def test_wrong_mapping_is_told(table, old, new, said):
    """Every slip in a mapping names itself and the nearest right word."""
    (table / "fields.toml").write_text(MAPPING.replace(old, new, 1))

    with pytest.raises(WaterLayerError, match=said):
        read_mapped(table)


@pytest.mark.parametrize("day", ["13/13/2026", "2026-02-30", "soon"])
def test_wpdx_day_that_is_none_is_no_date(tmp_path, day):
    """One report with an impossible date does not keep the others out; it is no visit."""
    path = tmp_path / "points.csv"
    path.write_text(f"#lat_deg,#lon_deg,#report_date,#status_id\n-1.5,36.5,{day},No\n")

    (one,) = read_brought(path).sources

    assert one.source.visits == ()
    assert "reported not working, no date" in one.source.note


def test_features_that_tell_nothing_in_our_words_are_read_by_their_tags(tmp_path):
    """One graded feature makes no other one dumb: a tap is to treat, a disused well is retired."""
    told = [
        {"id": "a", "grade": "potable"},
        {"id": "b", "amenity": "drinking_water"},
        {"id": "c", "disused:man_made": "water_well"},
        {"id": "d", "colour": "red"},
    ]
    features = [
        {
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": [130, -25 - n]},
            "properties": p,
        }
        for n, p in enumerate(told)
    ]
    path = tmp_path / "mixed.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    read = read_water([path])

    grades = [one.grade.value if one.grade else None for one in read.sources]
    assert grades == ["potable", "treat-before-drinking", None, None]
    assert [one.retired is not None for one in read.sources] == [False, False, True, False]
