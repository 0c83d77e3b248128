"""The three worked cases of docs/how-to/water-layer.md, each command run as it stands there.

The fixtures are written by us after the OpenStreetMap wiki's tag pages and the WPDx data standard
(columns from memory); all places are invented: not for navigation.
"""

from __future__ import annotations

import json
import re
import shlex
import zipfile
from pathlib import Path

import geopandas as gpd
import pytest
import shapely
from gpx_writing import gpx, track, trkpt
from project_places import ROOT
from pyproj import Transformer

from longdry.cli.main import main
from longdry.reading.water.layer import read_water

PAGE = (ROOT / "docs/how-to/water-layer.md").read_text("utf-8")
SECTIONS = dict(re.findall(r"^### (.+?)\n(.*?)(?=^### |^## )", PAGE, re.DOTALL | re.MULTILINE))

OSM = [
    {"@id": "node/1", "amenity": "drinking_water", "name": "Town Tap"},
    {"@id": "node/2", "man_made": "water_well", "name": "Fork Well"},
    {"@id": "node/3", "disused:man_made": "water_well", "name": "Dead Well"},
    {"@id": "node/4", "natural": "spring", "intermittent": "yes", "name": "Wet Season Spring"},
    {"@id": "node/5", "amenity": "cafe", "name": "Cafe"},
    {"@id": "node/6", "amenity": "drinking_water", "drinking_water:legal": "yes", "name": "Hall"},
]
WPDX = """#lat_deg,#lon_deg,#report_date,#status_id,#water_source,#water_tech,wpdx_id
-25.0,131.01,2024-03-01,Yes,Borehole,Hand Pump,w1
-25.0,131.05,2024-11-20,No,Borehole,Hand Pump,w2
NA,,2024-11-20,Yes,Protected Spring,,w3
"""


@pytest.fixture
def folder(tmp_path, monkeypatch):
    features = [
        {
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": [131.0 + number / 100.0, -25.0]},
            "properties": tags,
        }
        for number, tags in enumerate(OSM)
    ]
    collection = {"type": "FeatureCollection", "features": features}
    (tmp_path / "osm_extract.geojson").write_text(json.dumps(collection))
    (tmp_path / "wpdx_points.csv").write_text(WPDX)
    (tmp_path / "route.gpx").write_text(
        gpx(track(*(trkpt(-25.0, 131.0 + n / 100.0) for n in range(11))))
    )
    shire = gpd.GeoDataFrame(
        {
            "NAME": ["Mill 4", "Mill 7", "Old Dam"],
            "TYPE": ["Windmill", "Windmill", "Dam"],
            "WQ_CODE": ["2", "9", "2"],
            "COND": ["Good flow", "Dry", "Dry"],
            "INSP_DATE": ["2025-04-20", "2025-04-20", "2024-01-05"],
            "STATE": ["In use", "In use", "No longer exists"],
        },
        geometry=[shapely.Point(131.02 + n / 100.0, -25.0) for n in range(3)],
        crs=4326,
    )
    shire.to_crs(28352).to_file(tmp_path / "shire_water.shp")
    (tmp_path / "shire.toml").write_text(re.search(r"```toml\n(.*?)```", PAGE, re.DOTALL)[1])
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(section, capsys):
    """Run every command of a section; return what all of them answered."""
    (block,) = re.findall(r"```sh\n(.*?)```", SECTIONS[section], re.DOTALL)
    told = []
    for line in block.splitlines():
        assert main(shlex.split(line)[1:]) == 0, line
        told.append(capsys.readouterr().out)
    return told


def book_sources():
    features = json.loads(Path("book.geojson").read_text())["features"]
    return {one["properties"]["name"]: one["properties"] for one in features}


@pytest.mark.usefixtures("folder")
def test_an_openstreetmap_extract(capsys):
    """What the page says of tags is what comes in."""
    _, _, listed = run("An OpenStreetMap extract", capsys)
    held = book_sources()

    assert held["Town Tap"]["grade"] == "treat-before-drinking"
    assert held["Hall"]["grade"] == "potable"
    assert "grade" not in held["Fork Well"]
    assert "disused" in held["Dead Well"]["retired"]
    assert "Cafe" not in held
    assert all(one["own"] is False for one in held.values())
    assert listed.count("doubtful") == 4


def test_a_wpdx_table(folder, capsys):
    """A point that works is no visit, one that does not is, one without a place is left out."""
    brought, _ = run("A WPDx table", capsys)
    features = json.loads((folder / "book.geojson").read_text())["features"]
    visits = [one["properties"].get("visits") for one in features]
    plan = json.loads((folder / "plan.json").read_text())

    assert len(features) == 2
    assert "one feature has no place and was left out: line 4" in brought
    assert visits[0] is None
    assert visits[1][0]["found"] == "unreachable"
    assert len(plan["stretches"]) == 1


def test_a_shapefile_with_columns_of_its_own(folder, capsys):
    """The proposal names each column with its values; the mapping then makes them ours."""
    proposed, brought, planned = run("A Shapefile with columns of its own", capsys)
    proposal = (folder / "proposal.toml").read_text()
    held = book_sources()

    assert "Written: proposal.toml" in proposed
    assert '# ... = "WQ_CODE"    # "2", "9"' in proposal
    assert '# kind = "TYPE"' in proposal
    assert all(line.startswith(("#", "[")) for line in proposal.splitlines() if line)
    assert held["Mill 4"]["kind"] == "bore"
    assert held["Mill 4"]["grade"] == "treat-before-drinking"
    assert held["Mill 4"]["visits"][0]["found"] == "flowing"
    assert held["Mill 7"]["grade"] == "not-for-drinking"
    assert held["Old Dam"]["retired"] == "no longer exists"
    assert "3 new" in brought
    assert "Mill 4" in planned
    assert json.loads((folder / "direct.json").read_text())["stretches"]


def test_a_file_brought_again_with_another_mapping_updates(folder, capsys):
    """Same place and same file is the same source; nothing doubles."""
    run("A Shapefile with columns of its own", capsys)
    better = (folder / "shire.toml").read_text().replace('"9" = "not', '"9" = "treat-before', 1)
    better = better.replace("treat-before-for-drinking", "treat-before-drinking")
    (folder / "better.toml").write_text(better)

    assert main(["bring", "book.geojson", "shire_water.shp", "--fields", "better.toml"]) == 0
    told = capsys.readouterr().out

    assert len(book_sources()) == 3
    assert book_sources()["Mill 7"]["grade"] == "treat-before-drinking"
    assert "1 updated" in told


@pytest.mark.usefixtures("folder")
def test_a_proposal_never_takes_the_place_of_a_file(capsys):
    """The user's own words in a mapping are never overwritten."""
    words = ["bring", "book.geojson", "shire_water.shp", "--propose-fields", "shire.toml"]

    assert main(words) == 2
    assert "is there already" in capsys.readouterr().err


@pytest.mark.usefixtures("folder")
def test_a_mapping_is_refused_where_no_layer_has_its_columns(capsys):
    """The columns that are missing are named."""
    words = ["plan", "route.gpx", "--water", "wpdx_points.csv", "--fields", "shire.toml"]

    assert main(words) == 2
    assert 'grade is "wq_code", a column that the file lacks' in capsys.readouterr().err


def test_waypoints_are_listed_and_chosen(folder, capsys):
    """Of a recorded trip what speaks of water comes in; a bakery is listed, and taken by name."""
    points = "".join(
        f'<wpt lat="-25" lon="131.{n}"><name>{name}</name><sym>{sym}</sym></wpt>'
        for n, (name, sym) in enumerate(
            [("Bakery", "Restaurant"), ("Old Bore", "Flag"), ("A", "Drinking Water")]
        )
    )
    (folder / "way.gpx").write_text(gpx(points))

    assert main(["bring", "book.geojson", "way.gpx"]) == 0
    told = capsys.readouterr().out
    assert '1 of 3 waypoints do not speak of water and were left: "Bakery" ("Restaurant")' in told
    assert set(book_sources()) == {"Old Bore", "A"}

    assert main(["bring", "book.geojson", "way.gpx", "--waypoint", "bakery"]) == 0
    assert "Bakery" in book_sources()
    assert main(["bring", "book.geojson", "way.gpx", "--waypoint", "Pub"]) == 2
    assert 'no waypoint is called "Pub"' in capsys.readouterr().err


def test_visit_and_retire_work_on_the_users_own_geojson(folder, capsys):
    """Any feature collection of points is a book; a table says how to become one."""
    own = {
        "type": "FeatureCollection",
        "features": [
            {
                "type": "Feature",
                "geometry": {"type": "Point", "coordinates": [131.0, -25.0]},
                "properties": {"name": "Old Bore", "depth": 12.50},
            }
        ],
    }
    (folder / "mine.geojson").write_text(json.dumps(own))

    assert main(["visit", "mine.geojson", "Old Bore", "--on", "2025-05-01", "--found", "dry"]) == 0
    assert main(["retire", "mine.geojson", "Old Bore", "--why", "dry for years"]) == 0
    held = json.loads((folder / "mine.geojson").read_text())["features"][0]["properties"]
    assert (held["depth"], held["retired"]) == (12.5, "dry for years")
    capsys.readouterr()

    assert main(["visit", "wpdx_points.csv", "w1", "--on", "2025-05-01", "--found", "dry"]) == 2
    told = capsys.readouterr().err
    command = re.search(r"once: longdry (bring .*? --own)", told)[1]
    assert main(shlex.split(command)) == 0
    (folder / "far").mkdir()
    (folder / "far" / "wells.csv").write_text("name,lat,lon\nFar Well,-25,131\n")
    assert main(["visit", "far/wells.csv", "Far Well", "--on", "2025-05-01", "--found", "dry"]) == 2
    command = re.search(r"once: longdry (bring .*? --own)", capsys.readouterr().err)[1]
    assert main(shlex.split(command)) == 0
    assert (folder / "far" / "wells.geojson").exists()


@pytest.mark.usefixtures("folder")
def test_ids_are_never_cut(capsys):
    """An id is what other commands are given."""
    long = "a-very-long-id-of-a-source-that-somebody-gave-it-long-ago-in-the-shire"
    words = ["mark", "book.geojson", "--name", "X", "--at", "-25,131", "--id", long]

    assert main(words) == 0
    capsys.readouterr()
    assert main(["sources", "book.geojson"]) == 0
    assert long in capsys.readouterr().out


@pytest.mark.usefixtures("folder")
def test_a_plan_without_a_water_layer_carries_all(capsys):
    """--water may be left out; that all must be carried is told."""
    assert main(["plan", "route.gpx"]) == 0
    assert "No water layer is given: all water must be carried" in capsys.readouterr().out


def test_a_workbook_is_told_in_true_words(folder, capsys):
    """A spreadsheet's file is not called an archive without a layer."""
    with zipfile.ZipFile(folder / "water.xlsx", "w") as archive:
        archive.writestr("[Content_Types].xml", "<Types/>")
        archive.writestr("xl/workbook.xml", "<workbook/>")

    assert main(["plan", "route.gpx", "--water", "water.xlsx"]) == 2
    assert "save the sheet with the sources as CSV" in capsys.readouterr().err
    assert main(["plan", "water.xlsx"]) == 2
    assert "workbook of a spreadsheet program, not XML; save" in capsys.readouterr().err


@pytest.mark.usefixtures("folder")
def test_a_name_of_the_command_line_is_blamed_on_its_option(capsys):
    """A slip in --call-at is not told as a fault of the trip file."""
    assert main(["plan", "route.gpx", "--water", "wpdx_points.csv", "--call-at", "w9"]) == 2
    assert '--call-at: "w9" is no pass that counts' in capsys.readouterr().err


@pytest.mark.usefixtures("folder")
def test_a_cache_is_listed_with_its_layer(capsys):
    """Who reads the list as JSON sees that the party laid it, and when."""
    place = ["--name", "Drum", "--at", "-25,131", "--kind", "cache"]

    assert main(["mark", "book.geojson", *place, "--laid-by-us", "--laid-on", "2025-05-01"]) == 0
    capsys.readouterr()
    assert main(["sources", "book.geojson", "--json"]) == 0
    (one,) = json.loads(capsys.readouterr().out)["sources"]
    assert (one["laid_by_us"], one["laid_on"]) == (True, "2025-05-01")


def test_a_kmz_of_placemarks_is_a_water_layer(folder, capsys):
    """KMZ is read as its first KML (OGC 12-007r2, annex C)."""
    with zipfile.ZipFile(folder / "water.kmz", "w") as archive:
        archive.writestr(
            "doc.kml",
            '<kml xmlns="http://www.opengis.net/kml/2.2"><Placemark><name>Kmz Tank</name>'
            "<ExtendedData><Data name='grade'><value>potable</value></Data></ExtendedData>"
            "<Point><coordinates>131.05,-25</coordinates></Point></Placemark></kml>",
        )

    assert main(["plan", "route.gpx", "--water", "water.kmz"]) == 0
    assert "Kmz Tank" in capsys.readouterr().out


def test_a_table_in_a_grid_says_so_in_its_mapping(folder, capsys):
    """Eastings and northings of EPSG:28352 land where pyproj puts them."""
    x, y = Transformer.from_crs(4326, 28352, always_xy=True).transform(131.03, -25.0)
    (folder / "grid.csv").write_text(f"name,Easting,Northing,grade\nGrid Tank,{x},{y},potable\n")
    (folder / "grid.toml").write_text('crs = "EPSG:28352"\n')

    assert main(["bring", "book.geojson", "grid.csv"]) == 2
    assert 'crs = "EPSG:28355"' in capsys.readouterr().err
    assert main(["bring", "book.geojson", "grid.csv", "--fields", "grid.toml"]) == 0
    (one,) = json.loads((folder / "book.geojson").read_text())["features"]
    assert one["geometry"]["coordinates"] == pytest.approx([131.03, -25.0], abs=1e-5)


@pytest.mark.parametrize(
    ("grade", "note", "grave"),
    [
        ("potable", "Not drinkable.", True),
        ("potable", "boil first", True),
        ("treat-before-drinking", "very salty", True),
        ("treat-before-drinking", "Not drinkable.", False),
        ("potable", "key at the hall", False),
        ("potable", "shady, not salty", False),
    ],
)
def test_a_note_against_a_grade_stands_in_the_short_answer(folder, capsys, grade, note, grave):
    """What a note asks stands beside the source; a potable tap that is undrinkable is grave."""
    (folder / "tap.csv").write_text(
        f'name,lat,lon,kind,grade,note\nHall Tap,-25,131.05,tap,{grade},"{note}"\n'
    )
    words = ["plan", "route.gpx", "--water", "tap.csv", "--call-at", "Hall Tap", "--out", "p.html"]
    (folder / "trip.toml").write_text("[party]\ncan_treat = true\n")

    assert main([*words, "--trip", "trip.toml", "--json", "p.json"]) == 0
    line = next(one for one in capsys.readouterr().out.splitlines() if "Hall Tap, day" in one)
    told = json.loads((folder / "p.json").read_text())["warnings"]
    page = (folder / "p.html").read_text()

    assert any("against the grade that the plan reckons with" in one for one in told) is grave
    assert f'note: "{note.strip(".")}"' in line
    assert page.count(note.strip(".")) >= 3


@pytest.mark.usefixtures("folder")
def test_a_table_without_places_is_proposed_with_its_values():
    """Columns stand with what they hold, and those of the places beneath [fields]."""
    Path("table.csv").write_text("Site,Breite,Laenge\nMill 4,-25.1,131.2\n")
    assert main(["bring", "book.geojson", "table.csv", "--propose-fields", "table.toml"]) == 0
    text = Path("table.toml").read_text()
    filled = text.replace('# lat = "..."', 'lat = "Breite"').replace(
        '# lon = "..."', 'lon = "Laenge"'
    )
    Path("filled.toml").write_text(filled)

    assert '# ... = "Breite"    # "-25.1"' in text
    assert main(["bring", "book.geojson", "table.csv", "--fields", "filled.toml"]) == 0
    assert "Mill 4" in book_sources()


@pytest.mark.parametrize(
    "words",
    [
        ["visit", "layer.geojson", "Mill", "--on", "2026-05-01", "--found", "dry"],
        ["retire", "layer.geojson", "Mill", "--why", "gone"],
        ["mark", "layer.geojson", "--name", "x", "--at", "-20,131", "--grade", "potable"],
    ],
)
@pytest.mark.usefixtures("folder")
def test_no_word_of_ours_is_written_among_somebody_elses(words, capsys):
    """One word of ours would make the whole layer ours; a book is made of it in one command."""
    feature = {
        "type": "Feature",
        "properties": {"name": "Mill", "Type": "bore", "Quality": "treat", "remark": "invented"},
        "geometry": {"type": "Point", "coordinates": [131.0, -25.0]},
    }
    text = json.dumps({"type": "FeatureCollection", "features": [feature]})
    Path("layer.geojson").write_text(text)

    assert main(words) == 2
    assert "longdry bring layer_book.geojson layer.geojson" in capsys.readouterr().err
    assert Path("layer.geojson").read_text() == text


@pytest.mark.usefixtures("folder")
def test_a_mapping_without_a_layer_is_refused(capsys):
    """--fields alone has nothing to read."""
    assert main(["plan", "route.gpx", "--fields", "shire.toml"]) == 2
    assert "shire.toml: goes with a water layer" in capsys.readouterr().err


@pytest.mark.usefixtures("folder")
def test_what_is_retired_in_a_book_stays_so_whatever_tags_it_holds():
    """Ungraded wells of OpenStreetMap in a book are read by the book's words, not by their tags."""
    feature = {
        "type": "Feature",
        "properties": {"name": "Mill", "man_made": "water_well"},
        "geometry": {"type": "Point", "coordinates": [131.0, -25.0]},
    }
    Path("wells.geojson").write_text(
        json.dumps({"type": "FeatureCollection", "features": [feature]})
    )
    assert main(["bring", "wells_book.geojson", "wells.geojson"]) == 0
    assert main(["retire", "wells_book.geojson", "Mill", "--why", "fallen in"]) == 0

    (source,) = read_water("wells_book.geojson").sources
    assert (source.name, source.retired, source.own) == ("Mill", "fallen in", False)
