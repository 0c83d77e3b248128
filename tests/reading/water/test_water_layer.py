"""Water layers of every format, good and bad, through their one door."""

from __future__ import annotations

import gzip
import json
import math
import struct
import zipfile

import geopandas as gpd
import pytest
import shapely
from geographiclib.geodesic import Geodesic

from longdry.errors import WaterLayerError
from longdry.model.words import Grade
from longdry.reading.water.layer import read_water

PLACES = {
    "w1": (131.1234567, -24.7654321),
    "w2": (129.5, -25.0000001),
    "w3": (132.987654321, -23.1),
}
GRADES = ["potable", "treat-before-drinking", "not-for-drinking"]


def frame(geometry=None):
    return gpd.GeoDataFrame(
        {
            "id": list(PLACES),
            "name": ["Old Bore", "Tank ü", "Soak"],
            "grade": GRADES,
            "flow_l_per_min": [12.5, None, 3.0],
            "months": ["4-9", None, "[1, 2]"],
        },
        geometry=geometry or [shapely.Point(place) for place in PLACES.values()],
        crs="EPSG:4326",
    )


def feature(lon=130.0, lat=-25.0, **properties):
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [lon, lat]},
        "properties": {"grade": "potable", **properties},
    }


def collection(*features, **members):
    return {"type": "FeatureCollection", "features": list(features), **members}


@pytest.fixture
def layer_file(tmp_path):
    """Write a layer and return its path."""

    def write(content, name="water.geojson"):
        path = tmp_path / name
        if isinstance(content, dict | list):
            content = json.dumps(content)
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return path

    return write


@pytest.fixture
def faults_of(layer_file):
    """Write a layer, read it, and return the faults that were raised."""

    def read(content, name="water.geojson"):
        path = layer_file(content, name)
        with pytest.raises(WaterLayerError) as raised:
            read_water(path)
        assert raised.value.origin == str(path)
        assert all(fault.what and fault.mend for fault in raised.value.faults)
        return raised.value.faults

    return read


def check_frame(layer):
    assert [source.id for source in layer.sources] == list(PLACES)
    for source in layer.sources:
        lon, lat = PLACES[source.id]
        assert source.lon_deg == pytest.approx(lon, abs=1e-6)
        assert source.lat_deg == pytest.approx(lat, abs=1e-6)
    assert [source.name for source in layer.sources] == ["Old Bore", "Tank ü", "Soak"]
    assert [source.grade for source in layer.sources] == GRADES
    assert [source.flow_l_per_min for source in layer.sources] == [12.5, None, 3.0]
    assert [source.months for source in layer.sources] == [{4, 5, 6, 7, 8, 9}, None, {1, 2}]


# Written by an independent writer (GDAL through geopandas), read by us.


@pytest.mark.parametrize("crs", ["EPSG:4326", "EPSG:32752", "EPSG:3577"])
@pytest.mark.parametrize("suffix", ["gpkg", "shp", "fgb", "geojson"])
@pytest.mark.filterwarnings("ignore:Column names longer than 10:UserWarning")
@pytest.mark.filterwarnings("ignore:Normalized/laundered field name:RuntimeWarning")
@pytest.mark.filterwarnings("ignore:.*RFC 7946.*:UserWarning")
def test_gdal_writes_and_we_read(tmp_path, suffix, crs, capfd):
    """What GDAL writes in any reference system is read to 1e-6 degrees, without a word."""
    path = tmp_path / f"water.{suffix}"
    options = {"COORDINATE_PRECISION": 10} if suffix == "geojson" else {}
    options |= {"SPATIAL_INDEX": "NO"} if suffix == "fgb" else {}
    frame().to_crs(crs).to_file(path, **options)
    capfd.readouterr()

    layer = read_water(path)

    check_frame(layer)
    assert layer.remarks == ()
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("driver", ["KML", "LIBKML"])
def test_kml_of_two_writers_is_read(tmp_path, driver):
    """Both KML writers of GDAL are read, ExtendedData included."""
    path = tmp_path / "water.kml"
    data = frame().rename(columns={"name": "Name"})
    data.to_file(path, driver=driver, engine="pyogrio")

    check_frame(read_water(path))


def test_csv_of_pandas_is_read(tmp_path):
    """A table written by pandas with tabs is read."""
    path = tmp_path / "water.tsv"
    data = frame().assign(
        Latitude=[lat for _, lat in PLACES.values()], LONGITUDE=[lon for lon, _ in PLACES.values()]
    )
    data.drop(columns="geometry").to_csv(path, sep="\t", index=False)

    check_frame(read_water(path))


@pytest.mark.parametrize("suffix", ["geojson", "gpkg", "fgb"])
def test_gzip_is_read(tmp_path, suffix):
    """A layer compressed with gzip is read whatever it is called."""
    plain = tmp_path / f"water.{suffix}"
    frame().to_file(plain, **({"SPATIAL_INDEX": "NO"} if suffix == "fgb" else {}))
    packed = tmp_path / "packed.bin"
    packed.write_bytes(gzip.compress(plain.read_bytes()))

    check_frame(read_water(packed))


def test_every_point_layer_of_a_geopackage_adds_up(tmp_path):
    """All layers of points in one GeoPackage are read, lines beside them are told."""
    path = tmp_path / "water.gpkg"
    frame().iloc[:1].to_file(path, layer="bores")
    frame().iloc[1:].to_file(path, layer="tanks")
    line = shapely.LineString([(130, -25), (131, -25)])
    gpd.GeoDataFrame({"name": ["track"]}, geometry=[line], crs=4326).to_file(path, layer="tracks")

    layer = read_water(path)

    check_frame(layer)
    assert layer.remarks == ('water.gpkg: layers without points are passed over: "tracks".',)


def test_content_goes_before_suffix(layer_file):
    """GeoJSON named .csv, a table named .json and GPX named .geojson are read as what they are."""
    assert read_water(layer_file(collection(feature(id="a")), "a.csv")).sources[0].id == "a"
    assert read_water(layer_file("id,lat,lon\nb,-25,130\n", "b.json")).sources[0].id == "b"
    gpx = '<gpx version="1.1"><wpt lat="-25" lon="130"><name>well c</name></wpt></gpx>'
    assert read_water(layer_file(gpx, "c.geojson")).sources[0].name == "well c"


# GeoJSON


def test_the_examples_of_rfc_7946(layer_file):
    """The example of RFC 7946 section 1.5: its point is a source, its line is left out and told."""
    example = {
        "type": "FeatureCollection",
        "features": [
            {
                "type": "Feature",
                "geometry": {"type": "Point", "coordinates": [102.0, 0.5]},
                "properties": {"prop0": "value0"},
            },
            {
                "type": "Feature",
                "geometry": {
                    "type": "LineString",
                    "coordinates": [[102.0, 0.0], [103.0, 1.0], [104.0, 0.0], [105.0, 1.0]],
                },
                "properties": {"prop0": "value0", "prop1": 0.0},
            },
        ],
    }
    layer = read_water(layer_file(example))
    (source,) = layer.sources

    assert (source.lat_deg, source.lon_deg) == (0.5, 102.0)
    assert any("left out: feature 2: it is a LineString" in one for one in layer.remarks)


def test_the_point_of_rfc_7946_appendix_a_alone_is_a_layer(layer_file):
    """A bare geometry (RFC 7946 appendix A.1) is a layer of one source."""
    (source,) = read_water(layer_file({"type": "Point", "coordinates": [100.0, 0.0]})).sources

    assert (source.lon_deg, source.lat_deg, source.id) == (100.0, 0.0, "water#1")


def test_the_polygon_of_rfc_7946_appendix_a_is_a_place_inside_it(layer_file):
    """The polygon with a hole of RFC 7946 appendix A.3 becomes a point in it, and is told."""
    rings = [
        [[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]],
        [[100.8, 0.8], [100.8, 0.2], [100.2, 0.2], [100.2, 0.8], [100.8, 0.8]],
    ]
    item = feature(name="Dam")
    item["geometry"] = {"type": "Polygon", "coordinates": rings}

    layer = read_water(layer_file(collection(item)))

    (source,) = layer.sources
    assert shapely.Polygon(rings[0], rings[1:]).contains(
        shapely.Point(source.lon_deg, source.lat_deg)
    )
    assert layer.remarks == (
        (
            "water.geojson: one area is taken as a point inside it; "
            "the water's edge may be nearer or farther."
        ),
    )


@pytest.mark.parametrize(
    ("known", "is_doubtful"),
    [
        ({}, True),
        ({"certainty": "doubtful"}, True),
        ({"certainty": "likely"}, False),
        ({"visits": [{"on": "2026-05-03", "found": "dry"}]}, True),
        ({"visits": [{"on": "2026-05-03", "found": "flowing"}]}, False),
    ],
    ids=str,
)
def test_a_strange_kind_is_told_as_doubtful_only_where_it_is(layer_file, known, is_doubtful):
    """The user's own word and a visit that found water outweigh a kind that nobody knows."""
    layer = read_water(layer_file(collection(feature(name="Tub", kind="glorp", **known))))

    (told,) = (one for one in layer.remarks if '"glorp" (1)' in one)
    assert ("these sources are doubtful" in told) is is_doubtful


def test_a_number_too_large_for_a_reference_system_is_one_sentence(layer_file):
    """No projection takes a whole number of 401 digits; the reader of places refuses it."""
    crs = {"type": "name", "properties": {"name": "EPSG:3857"}}
    layer = collection(feature(int("9" * 401), -25.0), crs=crs)

    with pytest.raises(WaterLayerError, match="lon is a number of more than 60 digits"):
        read_water(layer_file(layer))


def test_the_crs_member_of_geojson_2008_is_honoured(layer_file):
    """Easting 500000 in UTM 52 south is its central meridian, 129 east (EPSG:32752)."""
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::32752"}}
    (source,) = read_water(layer_file(collection(feature(500000.0, 7.2e6), crs=crs))).sources

    assert source.lon_deg == pytest.approx(129.0, abs=1e-9)
    assert -26 < source.lat_deg < -25


@pytest.mark.parametrize(
    "name", ["urn:ogc:def:crs:OGC:1.3:CRS84", "EPSG:4326", "urn:ogc:def:crs:EPSG::4326"]
)
def test_wgs_84_by_name_changes_nothing(layer_file, name):
    """A layer that names WGS 84 keeps its coordinates to the last bit."""
    crs = {"type": "name", "properties": {"name": name}}
    (source,) = read_water(layer_file(collection(feature(130.1, -25.1), crs=crs))).sources

    assert (source.lon_deg, source.lat_deg) == (130.1, -25.1)


def test_heights_measures_and_one_point_multipoints_are_read(layer_file):
    """Third and fourth numbers are passed over; a multipoint of one is a point."""
    third, measured, multi = feature(), feature(), feature()
    third["geometry"]["coordinates"] = [130, -25, 400.0]
    measured["geometry"]["coordinates"] = [131, -25, 400.0, 7.0]
    multi["geometry"] = {"type": "MultiPoint", "coordinates": [[132.0, -25.0]]}

    layer = read_water(layer_file(collection(third, measured, multi)))

    assert [source.lon_deg for source in layer.sources] == [130.0, 131.0, 132.0]


@pytest.mark.parametrize(
    ("geometry", "what", "mend"),
    [
        (5, "its geometry is 5", '"type": "Point"'),
        ({}, "its geometry is of type None", '"type": "Point"'),
        ({"type": "Circle"}, 'its geometry is of type "Circle"', '"type": "Point"'),
        ({"type": "Point", "coordinates": ["1", "2"]}, "its coordinates are", "[lon, lat]"),
        ({"type": "Point", "coordinates": [True, 2]}, "its coordinates are", "[lon, lat]"),
        ({"type": "Point", "coordinates": [None, None]}, "its coordinates are", "[lon, lat]"),
        ({"type": "Point", "coordinates": {"x": 1}}, "its coordinates are", "[lon, lat]"),
        ({"type": "Point", "coordinates": [math.nan, 2]}, "lon is nan", "decimal degrees"),
        ({"type": "Point", "coordinates": [math.inf, 2]}, "lon is inf", "decimal degrees"),
        ({"type": "Point", "coordinates": [-25, 130]}, "lat 130 is not within", "swapped"),
        ({"type": "Point", "coordinates": [5e5, 7e6]}, "lat 7000000", "reference system"),
    ],
)
def test_a_geometry_that_is_no_place_is_refused(faults_of, geometry, what, mend):
    """The feature is named by position, id and name, with what its geometry is."""
    item = feature(name="Dam")
    item |= {"geometry": geometry, "id": "d4"}
    (fault,) = faults_of(collection(feature(), item))

    assert fault.where == 'feature 2 (id "d4", name "Dam")'
    assert what in fault.what
    assert mend in fault.mend


_LINE = {"type": "LineString", "coordinates": [[1, 2], [3, 4]]}


@pytest.mark.parametrize(
    ("geometry", "words"),
    [
        ({"type": "Point", "coordinates": [1]}, "only half a place"),
        ({"type": "Point", "coordinates": [None, 2]}, "only half a place"),
        ({"type": "Point", "coordinates": [0, 0.0]}, "the place 0, 0"),
        ({"type": "Polygon", "coordinates": [[1, 2]]}, "no place"),
        ({"type": "MultiPolygon", "coordinates": [{"a": 1}]}, "no place"),
        ({"type": "Polygon", "coordinates": [["a"]]}, "no place"),
        ({"type": "MultiPoint", "coordinates": [[1, 2], [3, 4]]}, "it has 2 points"),
        (_LINE, "it is a LineString"),
        ({"type": "GeometryCollection", "geometries": []}, "it is a GeometryCollection"),
    ],
)
def test_a_feature_without_one_place_is_left_out_and_told(layer_file, geometry, words):
    """The sources beside it are read; nobody drinks at a place that the file does not give."""
    item = feature(name="Dam") | {"geometry": geometry}
    layer = read_water(layer_file(collection(feature(), item)))

    assert len(layer.sources) == 1
    (told,) = [one for one in layer.remarks if "left out" in one]
    assert words in told
    assert 'feature 2 (name "Dam")' in told


def test_a_layer_of_lines_alone_is_refused(faults_of):
    """Whoever names a route as water is told so, not given a plan without water."""
    (fault,) = faults_of(collection(feature(name="Way") | {"geometry": _LINE}))

    assert "holds no point" in fault.what
    assert "name the layer with the points" in fault.mend


@pytest.mark.parametrize(
    ("content", "where", "what"),
    [
        ('{"type": "FeatureCollection", "features": [\n{"type"', "line 2, column 8", "no JSON"),
        ("[1, 2]", "", "a list of 2, not a GeoJSON object"),
        ({"type": "Topology"}, "", 'is JSON of type "Topology"'),
        ({}, "", "is JSON of type None"),
        ({"type": "FeatureCollection"}, "", "has no list of features"),
        (collection(5), "feature 1", "is 5, not a feature"),
        (collection({"type": "Feat"}), "feature 1", 'object of type "Feat", not a feature'),
        (collection({**feature(), "properties": [1]}), "feature 1", "properties are a list of 1"),
        (collection(crs={"type": "link"}), "", 'has a "crs" without a name'),
        (
            collection(feature(), crs={"type": "name", "properties": {"name": "EPSG:1"}}),
            "",
            'declares the reference system "EPSG:1", which cannot be used',
        ),
        ('{"type":' + "[" * 100_000, "", "nested too deeply"),
        ('{"type": ' + "1" * 5000 + "}", "", "thousands of digits"),
        (b'{"type": "Point\x81"}', "line 1", "not UTF-8"),
    ],
)
def test_broken_geojson_is_refused(faults_of, content, where, what):
    """What is no GeoJSON is told in one fault with its place."""
    (fault,) = faults_of(content)

    assert fault.where == where
    assert what in fault.what


# CSV


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_tables_are_read(layer_file, separator, encoding):
    """Each separator and encoding; quoted fields may hold separators, quotes and line ends."""
    lines = [
        ["id", "Name", "LAT", "Lon", "grade", "note"],
        ["a", f'"Bore{separator} ""old"" ü"', "-25.5", "130.25", "Potable", '"two\nlines"'],
        ["b", "Tank", "-26", "131", "", ""],
    ]
    text = "\r\n".join(separator.join(line) for line in lines)

    one, two = read_water(layer_file(text.encode(encoding), "water.csv")).sources

    kept = separator.replace("\t", " ")
    assert (one.id, one.name, one.note) == ("a", f'Bore{kept} "old" ü', "two\nlines")
    assert (one.lat_deg, one.lon_deg, one.grade) == (-25.5, 130.25, Grade.POTABLE)
    assert (two.lat_deg, two.lon_deg, two.grade) == (-26.0, 131.0, None)


def test_decimal_commas_between_semicolons_are_read_and_told(layer_file):
    """With semicolons a comma is the decimal sign in numbers, and stays a comma in months."""
    text = "lat;lon;grade;limit_l;months\n-25,5;130,25;potable;12,5;4,5\n"
    layer = read_water(layer_file(text, "water.csv"))

    (source,) = layer.sources
    assert (source.lat_deg, source.lon_deg, source.limit_l) == (-25.5, 130.25, 12.5)
    assert source.months == {4, 5}
    assert layer.remarks == (
        "water.csv: 3 numbers are written with a decimal comma, which was read as a decimal point.",
    )


@pytest.mark.parametrize(
    ("content", "where", "what", "mend"),
    [
        ('lat,lon\n"-25,5",130\n', "line 2", 'lat is "-25,5", not a number', '"-25.5"'),
        ("lat,lon\n-25,5,130\n", "line 2", "has 3 fields where the header has 2", "quote"),
        ("id,lat,lon\na,-25\n", "line 2", "has 2 fields where the header has 3", "quote"),
        ("lat,lon\ninf,130\n", "line 2", 'lat is "inf"', "decimal degrees"),
        ("lat,lon\n25.1 S,130\n", "line 2", 'lat is "25.1 S"', "south and west negative"),
        ("lat,lon\n130,-25\n", "line 2", "lat 130 is not within", "swapped"),
        ("lat,site\n-25,a\n", "line 1", "no columns of places (columns: lat, site)", "--fields"),
        ("easting,northing\n5e5,7e6\n", "line 1", "in no known reference system", "crs ="),
        (
            "site,latlon\na,somewhere\n",
            'line 2 (name "a")',
            '"somewhere" in "latlon" is no place',
            "lat, lon",
        ),
        ("lat,lon,Lon\n-25,1,2\n", "line 1", "has the columns lon, Lon", "keep one"),
        ("lat,lon,name,NAME\n-25,1,a,b\n", "line 1", "more than one column name", "keep one"),
        ('lat,lon,name\n-25,130,"cut\n', "line 2", "is no table", "check the quotes"),
        (b"lat,lon,name\n-25,130,caf\x81\n", "line 2", "not UTF-8", "UTF-8"),
        ("lat,lon,name\n-25,130," + "n" * 200_000, "line 2", "field limit", "check the quotes"),
    ],
)
def test_broken_tables_are_refused(faults_of, content, where, what, mend):
    """What is wrong with a table is told with its line and a mend."""
    (fault,) = faults_of(content, "water.csv")

    assert fault.where == where
    assert what in fault.what
    assert mend in fault.mend


def test_a_header_without_places_tells_what_it_has(faults_of):
    """A table without places names its columns and the way to say which hold places."""
    (fault,) = faults_of("name,grade\na,potable\n", "water.csv")

    assert "columns: name, grade" in fault.what
    assert "--propose-fields" in fault.mend


# GPX and KML


def gpx(*waypoints):
    return (
        '<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1">\n'
        + "\n".join(f'<wpt lat="-25" lon="13{n}">{text}</wpt>' for n, text in enumerate(waypoints))
        + "</gpx>"
    )


def test_waypoints_are_sources(layer_file):
    """The grade of a waypoint is its type, or told in desc or cmt or extensions; else none."""
    text = gpx(
        "<name>A</name><type>Potable</type>",
        "<name>B</name><desc>good flow, grade=treat-before-drinking, key needed</desc>",
        "<name>C</name><cmt>Grade = potable</cmt><type>bore</type>",
        "<name>D</name><sym>Drinking Water</sym><desc>upgrade soon</desc>",
        "<name>E</name><extensions><grade>not-for-drinking</grade><limit_l>9</limit_l></extensions>",
    )
    layer = read_water(layer_file(text, "water.gpx"))

    assert [source.name for source in layer.sources] == list("ABCDE")
    assert [source.grade for source in layer.sources] == [
        Grade.POTABLE,
        Grade.TREAT,
        Grade.POTABLE,
        None,
        Grade.NOT_FOR_DRINKING,
    ]
    assert layer.sources[2].kind == "bore"
    assert layer.sources[4].limit_l == 9.0


def test_waypoints_that_contradict_themselves_are_refused(faults_of):
    """Two different grades of one waypoint, and an unknown one, are faults with their line."""
    faults = faults_of(
        gpx("<name>A</name><type>potable</type><desc>grade=not-for-drinking</desc>",
            "<name>B</name><desc>grade=fine</desc>"),
        "water.gpx",
    )  # fmt: skip

    assert faults[0].where == 'line 2 (name "A")'
    assert faults[0].what == "tells more than one grade, not-for-drinking and potable"
    assert faults[1].what == 'grade is "fine"'


KML = (
    """<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Folder>{}</Folder></Document></kml>"""
)


def test_a_saved_map_has_more_than_water(layer_file):
    """A camp among the taps is named; a creek told by its name alone is a creek."""
    point = "<Point><coordinates>131,-25</coordinates></Point>"
    names = ("Mission tap", "Sandy Creek", "Camp 3")
    marks = "".join(f"<Placemark><name>{name}</name>{point}</Placemark>" for name in names)
    layer = read_water(layer_file(KML.format(marks), "map.kml"))
    told = [remark for remark in layer.remarks if "nothing says" in remark]

    assert [source.kind for source in layer.sources] == [None, "creek", None]
    assert len(told) == 1
    assert told[0].endswith(': "Camp 3".')


def test_kml_data_of_both_sorts_are_properties(layer_file):
    """Data and SimpleData (OGC 12-007r2, 9.2 and 9.5) are read, with or without a Schema."""
    text = KML.format(
        '<Placemark id="p1"><name>A</name><description>by the gate</description><ExtendedData>'
        '<Data name="grade"><displayName>x</displayName><value>potable</value></Data>'
        "</ExtendedData><Point><coordinates> 130.5,-25.5,300 </coordinates></Point></Placemark>"
        "<Placemark><name>B</name><ExtendedData><SchemaData schemaUrl='#s'>"
        '<SimpleData name="grade">treat-before-drinking</SimpleData></SchemaData></ExtendedData>'
        "<MultiGeometry><Point><coordinates>131,-25</coordinates></Point></MultiGeometry></Placemark>"
    )
    one, two = read_water(layer_file(text, "water.kml")).sources

    assert (one.id, one.name, one.note, one.grade) == ("p1", "A", "by the gate", Grade.POTABLE)
    assert (one.lon_deg, one.lat_deg) == (130.5, -25.5)
    assert (two.id, two.name, two.grade) == ("water#2", "B", Grade.TREAT)


@pytest.mark.parametrize(
    ("shape", "what"),
    [
        ("<Point><coordinates>abc,2</coordinates></Point>", 'coordinates hold "abc,2"'),
        ("<Point><coordinates>130, -25</coordinates></Point>", 'coordinates hold "130,"'),
        ("<Point><coordinates>1,2 3,4</coordinates></Point>", 'coordinates are "1,2 3,4"'),
        ("<Point><coordinates>nan,2</coordinates></Point>", 'coordinates hold "nan,2"'),
        ("<Point><coordinates>-25,130</coordinates></Point>", "lat 130 is not within"),
    ],
)
def test_placemarks_that_are_no_place_are_refused(faults_of, shape, what):
    """A placemark whose place is wrong is told with its line and name."""
    text = KML.format(f"\n<Placemark><name>A</name>{shape}</Placemark>")
    (fault,) = faults_of(text, "water.kml")

    assert fault.where == 'line 2 (name "A")'
    assert what in fault.what


def test_lines_and_halves_beside_the_placemarks_are_left_out(layer_file):
    """Of a saved map the points come in; tracks, several points and halves are listed."""
    point = "<Point><coordinates>{}</coordinates></Point>"
    places = (
        "<LineString><coordinates>1,2 3,4</coordinates></LineString>",
        f"<MultiGeometry>{point.format('1,2')}{point.format('3,4')}</MultiGeometry>",
        point.format("130"),
        point.format("130,-25"),
    )
    marks = "".join(
        f"<Placemark><name>M{n}</name>{one}</Placemark>" for n, one in enumerate(places)
    )
    layer = read_water(layer_file(KML.format(marks), "water.kml"))

    assert [source.name for source in layer.sources] == ["M3"]
    told = " ".join(layer.remarks)
    assert '(name "M0"): it is a LineString' in told
    assert '(name "M1"): it has 2 points' in told
    assert 'only half a place and was left out: line 1 (name "M2")' in told


def test_shapes_in_a_table_are_read_as_in_other_layers(layer_file):
    """Well-known text (OGC 06-103r4): a point is a source, an area a place in it, a line left."""
    text = """name,wkt
A,POINT (130 -25)
B,"LINESTRING (130 -25, 131 -25)"
C,"POLYGON ((130 -25, 131 -25, 131 -24, 130 -25))"
D,POLYGON ((1))
"""
    layer = read_water(layer_file(text, "water.csv"))
    told = " ".join(layer.remarks)

    assert [one.name for one in layer.sources] == ["A", "C"]
    triangle = shapely.Polygon([(130, -25), (131, -25), (131, -24)])
    assert triangle.contains(shapely.Point(layer.sources[1].lon_deg, layer.sources[1].lat_deg))
    assert "one area is taken as a point inside it" in told
    assert '(name "B"): it is a LINESTRING' in told
    assert 'one feature has no place and was left out: line 5 (name "D")' in told


UNSURE = "may be water or something else"
_WAYPOINTS = (
    ("Old Bore", "", "taken"), ("Tank 4", "", "taken"), ("Tap at the pub", "", "taken"),
    ("Eagle Rock waterhole", "", "taken"), ("No. 3 Bore", "", "taken"), ("Z", "Dam", "taken"),
    ("Bakery", "Restaurant", "do not speak of water"), ("Wellington", "", "do not speak of water"),
    ("Springfield", "Flag", "do not speak of water"), ("Fall", "", "do not speak of water"),
    ("No water here", "", "say that there is no water"), ("Dry well", "", "say that there is no"),
    ("Bore 7 (no water)", "", "say that there is no water"),
    ("Not drinkable", "Drinking Water", "say that there is no water"),
    ("Well Street Hotel", "", UNSURE), ("Dam Hotel", "", UNSURE),
    ("Bore Road turnoff", "", UNSURE), ("Fuel depot", "", UNSURE),
    ("Swimming pool", "", UNSURE), ("Camp by the creek", "", UNSURE),
)  # fmt: skip
"""Name, symbol, and what becomes of the waypoint. Invented; common practice, no source."""


def test_waypoints_are_read_by_whole_words_and_the_unclear_are_listed(layer_file):
    """A hotel in Well Street and a dry well are no water: each is told, and left to be chosen."""
    points = "".join(
        f'<wpt lat="-25" lon="131.{n:02}"><name>{name}</name><sym>{sym}</sym></wpt>'
        for n, (name, sym, _) in enumerate(_WAYPOINTS)
    )
    layer = read_water(layer_file(f'<gpx version="1.1">{points}</gpx>', "water.gpx"))

    assert [one.name for one in layer.sources] == [n for n, _, how in _WAYPOINTS if how == "taken"]
    for name, _, how in _WAYPOINTS:
        told = [remark for remark in layer.remarks if "and were left" in remark and name in remark]
        assert how == "taken" or (len(told) == 1 and how in told[0]), name


_HALVES_AS_GPX = (
    '<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1">'
    '<wpt lat="-25" lon="130"><name>Bore A</name></wpt><wpt lon="131"><name>B</name></wpt>'
    '<wpt lat="-25" lon=""><name>C</name></wpt><wpt lat="0" lon="0"><name>Bore</name></wpt></gpx>'
)


@pytest.mark.parametrize(
    ("content", "name"),
    [
        ("lat,lon,name\n-25,130,Bore A\n,131,B\n-25,NA,C\n0,0,D\n", "water.csv"),
        (_HALVES_AS_GPX, "water.gpx"),
    ],
)
def test_half_a_place_and_a_place_at_zero_are_left_out(layer_file, content, name):
    """A row with latitude alone, or at 0, 0 in the sea, is listed; the file is read."""
    layer = read_water(layer_file(content, name))
    told = " ".join(layer.remarks)

    assert [source.name for source in layer.sources] == ["Bore A"]
    assert "2 features have only half a place and were left out" in told
    assert "one feature has the place 0, 0" in told


def test_a_kml_polygon_is_a_place_inside_it(layer_file):
    """A placemark with an area becomes a point inside its outer ring."""
    ring = "<LinearRing><coordinates>{}</coordinates></LinearRing>"
    text = KML.format(
        "<Placemark><name>Dam</name><Polygon><outerBoundaryIs>"
        + ring.format("0,0 4,0 4,4 0,4 0,0")
        + "</outerBoundaryIs></Polygon></Placemark>"
    )
    layer = read_water(layer_file(text, "water.kml"))

    (source,) = layer.sources
    assert 0 < source.lon_deg < 4
    assert 0 < source.lat_deg < 4
    assert "one area" in layer.remarks[0]


# Files


@pytest.mark.parametrize(
    ("content", "name", "what"),
    [
        (b"", "water.geojson", "the file is empty"),
        (b"", "water.gpkg", "the file is empty"),
        (b"<!DOCTYPE html><html></html>", "water.gpx", "is a web page"),
        (b"<html><body/></html>", "water.csv", "is a web page"),
        (bytes(range(256)) * 9, "water.gpkg", "no kind of layer"),
        (bytes(range(256)) * 9, "water.csv", "binary"),
        (
            b"SQLite format 3\x00" + b"\x07" * 500,
            "water.gpkg",
            "is broken or breaks off; GDAL says",
        ),
        (b"\x1f\x8b\x08\x00abc", "water.geojson", "gzip file"),
        (gzip.compress(b'{"type": "Point"}' * 99, mtime=0)[:-9], "water.geojson", "gzip file"),
        (b"PK\x03\x04" + b"\x00" * 60, "water.zip", "zip archive breaks off or is damaged"),
        (b"<!-- <gml> --><OGRVRTDataSource/>", "water.gml", "names data elsewhere"),
        (b"<OGRVRTDataSource/>", "water.vrt", "names data elsewhere"),
        (b'<!DOCTYPE kml [<!ENTITY a "b">]><kml>&a;</kml>', "water.kml", "DOCTYPE"),
        (b'<!DOCTYPE gml [<!ENTITY a SYSTEM "/etc/passwd">]><gml>&a;</gml>', "w.gml", "DOCTYPE"),
        (b"<kml>" + b"<a>" * 100_000, "water.kml", "deep inside one another"),
        (b"<gpx>" + b"<a>" * 100_000, "water.gpx", "deep inside one another"),
        (b"<kml><Placemark>", "water.kml", "breaks off"),
        (b"hello", "water.json", "is no JSON"),
        (b"hello", "water.shp", "no kind of layer"),
    ],
)
def test_files_that_are_no_layer_are_refused(faults_of, capfd, content, name, what):
    """A file that is something else is told in one sentence, and GDAL says nothing itself."""
    (fault,) = faults_of(content, name)

    assert what in fault.what
    assert capfd.readouterr() == ("", "")


def test_a_missing_file_and_a_folder_are_refused(tmp_path):
    """No file, or a folder instead of one, is told by name."""
    with pytest.raises(WaterLayerError, match="there is no such file"):
        read_water(tmp_path / "none.geojson")
    with pytest.raises(WaterLayerError, match="this is a folder"):
        read_water(str(tmp_path))


@pytest.mark.filterwarnings("ignore:'crs' was not provided:UserWarning")
def test_a_shapefile_without_its_reference_system_is_taken_as_wgs_84(tmp_path):
    """Coordinates that fit are taken as WGS 84 with a remark; others are faults."""
    path = tmp_path / "water.shp"
    shapes = [shapely.Point(130, -25)]
    data = gpd.GeoDataFrame({"grade": ["potable"]}, geometry=shapes)
    data.to_file(path)
    layer = read_water(path)
    assert layer.sources[0].lat_deg == -25.0
    assert layer.remarks == (
        "water.shp: the layer declares no reference system; its coordinates are taken as WGS 84.",
    )

    data.set_geometry([shapely.Point(5e5, 7.2e6)]).to_file(path)
    with pytest.raises(WaterLayerError, match="declares its coordinate reference system"):
        read_water(path)


def test_zipped_shapefiles_are_read(tmp_path):
    """A zip archive with a Shapefile is read as it is."""
    frame().drop(columns=["flow_l_per_min", "months"]).to_file(tmp_path / "water.shp")
    with zipfile.ZipFile(tmp_path / "water.zip", "w") as archive:
        for suffix in ("shp", "shx", "dbf", "prj", "cpg"):
            archive.write(tmp_path / f"water.{suffix}", f"water.{suffix}")

    sources = read_water(tmp_path / "water.zip").sources

    assert [source.id for source in sources] == list(PLACES)
    assert [source.grade for source in sources] == GRADES


@pytest.mark.parametrize("folders", [["water data"], ["water data", "__MACOSX"], ["a", "b"]])
def test_zipped_shapefiles_in_a_folder_are_read(tmp_path, folders):
    """The one folder of an archive is read, marks of a system aside; of two none is guessed."""
    frame().drop(columns=["flow_l_per_min", "months"]).to_file(tmp_path / "water.shp")
    with zipfile.ZipFile(tmp_path / "water.zip", "w") as archive:
        for folder in folders:
            for suffix in ("shp", "shx", "dbf", "prj", "cpg"):
                archive.write(tmp_path / f"water.{suffix}", f"{folder}/water.{suffix}")

    if folders == ["a", "b"]:
        with pytest.raises(WaterLayerError, match='layers in several folders: "a", "b"; unpack'):
            read_water(tmp_path / "water.zip")
    else:
        assert [one.grade for one in read_water(tmp_path / "water.zip").sources] == GRADES


@pytest.mark.parametrize("member", ["a.vrt", "readme.txt"])
def test_an_archive_without_a_layer_of_its_own_is_refused(tmp_path, member):
    """A zip archive with a virtual data set (it could name any file) or nothing is refused."""
    path = tmp_path / "water.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(member, "<OGRVRTDataSource/>")

    with pytest.raises(WaterLayerError, match="zip archive without a layer"):
        read_water(path)


def test_areas_of_a_geopackage_are_places_inside_them(tmp_path):
    """Where a file holds areas only, each is a place inside it, in WGS 84 (EPSG:3577)."""
    path = tmp_path / "dams.gpkg"
    dams = gpd.GeoSeries([shapely.Point(place) for place in PLACES.values()], crs=4326)
    circles = dams.to_crs(3577).buffer(200)
    gpd.GeoDataFrame({"name": list(PLACES)}, geometry=circles).to_file(path)

    layer = read_water(path)

    for source in layer.sources:
        lon, lat = PLACES[source.name]
        assert Geodesic.WGS84.Inverse(lat, lon, source.lat_deg, source.lon_deg)["s12"] < 210
    assert layer.remarks[0].startswith("dams.gpkg: 3 areas are taken as points inside them")


def test_null_empty_and_measured_geometries_of_gdal(tmp_path):
    """A null and an empty point are left out and told; 3-D points are read."""
    path = tmp_path / "water.gpkg"
    shapes = [shapely.Point(130, -25, 400), None, shapely.Point()]
    frame(shapes).to_file(path)

    layer = read_water(path)

    assert [source.name for source in layer.sources] == ["Old Bore"]
    assert (
        "water.gpkg: 2 features have no place and were left out:"
        ' feature 2 (id "w2", name "Tank ü"), feature 3 (id "w3", name "Soak").'
    ) in layer.remarks


def test_gml_is_read_by_gdal(layer_file, capfd):
    """A format that only GDAL knows is read in silence, a third coordinate passed over."""
    text = (
        '<FeatureCollection xmlns:gml="http://www.opengis.net/gml"><gml:featureMember><w>'
        "<id>m1</id><g><gml:Point srsName='EPSG:4326'><gml:coordinates>130,-25,7"
        "</gml:coordinates></gml:Point></g></w></gml:featureMember></FeatureCollection>"
    )
    path = layer_file(text, "water.gml")
    (source,) = read_water(path).sources

    assert list(path.parent.iterdir()) == [path]
    assert (source.id, source.lon_deg, source.lat_deg) == ("m1", 130.0, -25.0)
    assert capfd.readouterr() == ("", "")


def shapefile_of_one_measured_point(path, x, y, m):
    """Write type 21, PointM (ESRI Shapefile Technical Description, 1998), without a table."""
    content = struct.pack("<iddd", 21, x, y, m)
    record = struct.pack(">ii", 1, len(content) // 2) + content
    entry = struct.pack(">ii", 50, len(content) // 2)
    box = struct.pack("<ii8d", 1000, 21, x, y, x, y, 0.0, 0.0, m, m)
    for suffix, body in ((".shp", record), (".shx", entry)):
        head = struct.pack(">7i", 9994, 0, 0, 0, 0, 0, (100 + len(body)) // 2)
        path.with_suffix(suffix).write_bytes(head + box + body)


def test_measured_points_are_read_in_silence(tmp_path, capfd):
    """A point with a measure is read as a place, and no warning reaches the user."""
    path = tmp_path / "water.shp"
    shapefile_of_one_measured_point(path, 130.0, -25.0, 7.0)

    (source,) = read_water(path).sources

    assert (source.id, source.lon_deg, source.lat_deg) == ("water#1", 130.0, -25.0)
    assert capfd.readouterr() == ("", "")


# What is told over whole layers


def test_sources_without_a_grade_are_listed(layer_file):
    """Sources without a grade are told in one remark: ten names, the rest counted."""
    items = [feature(130 + n / 10, name=f"n{n}", grade="") for n in range(12)]
    layer = read_water(layer_file(collection(*items)))

    assert layer.remarks == (
        (
            "water.geojson: 12 sources have no grade and count as not for drinking: "
            "n0, n1, n2, n3, n4, n5, n6, n7, n8, n9 and 2 more."
        ),
    )
    assert all(source.trusted_grade is Grade.NOT_FOR_DRINKING for source in layer.sources)


def test_all_faults_of_a_file_come_at_once_ten_told(faults_of, layer_file):
    """Twelve faults are gathered; the message tells ten and counts the rest."""
    items = [feature(id=n, grade="good") for n in range(12)]
    assert len(faults_of(collection(*items))) == 12

    with pytest.raises(WaterLayerError) as raised:
        read_water(layer_file(collection(*items)))
    assert 'feature 10 (id "9"): grade is "good"' in str(raised.value)
    assert "and 2 more" in str(raised.value)
    assert "feature 11" not in str(raised.value)


def test_layers_add_up_and_ids_of_other_places_are_told_apart(layer_file):
    """Two layers add up; an id that another layer has for another place is made anew and told."""
    one = layer_file(collection(feature(id="a")), "one.geojson")
    two = layer_file(collection(feature(id="b"), feature(131, id="a")), "two.geojson")
    three = layer_file(collection(feature(132, id="c")), "three.geojson")

    layer = read_water([one, str(three)])
    assert [source.id for source in layer.sources] == ["a", "c"]
    assert layer.origins == (str(one), str(three))
    assert [source.layer for source in layer.sources] == [str(one), str(three)]

    layer = read_water([one, two])
    assert [source.id for source in layer.sources] == ["a", "b", "two:a"]
    assert any('"a" is "two:a"' in remark for remark in layer.remarks)


def test_the_same_id_twice_in_a_layer_is_refused(faults_of):
    """Each repeated id of one file is told with the place that had it first."""
    faults = faults_of("id,lat,lon\na,-25,130\nb,-25,131\na,-25,132\nb,-25,133\n", "water.csv")

    assert [(fault.where, fault.what) for fault in faults] == [
        ("line 4", 'has the id "a", as has line 2'),
        ("line 5", 'has the id "b", as has line 3'),
    ]


def test_the_same_id_twice_is_told_beside_other_faults(faults_of):
    """All that is wrong with a file at once: a wrong latitude hides no id that comes twice."""
    found = faults_of(
        "id,lat,lon\na,-25,131\na,north,131\nb,-25,131\n,-25,132\n,-25,133\n", "w.csv"
    )

    assert [fault.what for fault in found] == [
        'lat is "north", not a number',
        'has the id "a", as has line 2',
    ]


def test_made_ids_do_not_meet(tmp_path):
    """Features without ids in two files of one stem have ids of their own, the same each time."""
    paths = []
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
        path = tmp_path / folder / "water.geojson"
        path.write_text(json.dumps(collection(feature(), feature(131))))
        paths.append(path)

    ids = [source.id for source in read_water(paths).sources]

    assert ids == ["water#1", "water#2", "water~2#1", "water~2#2"]
    assert ids == [source.id for source in read_water(paths).sources]


def test_the_id_of_a_feature_stands_in_for_the_property(layer_file):
    """RFC 7946 section 3.2: a feature's own id; the property goes before it."""
    items = [{**feature(), "id": 7}, {**feature(131, id="p"), "id": "f"}]
    sources = read_water(layer_file(collection(*items))).sources

    assert [source.id for source in sources] == ["7", "p"]


def test_one_file_given_twice_is_refused(layer_file):
    """The same file twice, also under another name for it, would count its water twice."""
    path = layer_file(collection(feature()))
    with pytest.raises(WaterLayerError, match="is given twice"):
        read_water([path, path.parent / "." / path.name])


@pytest.mark.parametrize(("metres", "told"), [(29.9, True), (30.1, False)])
@pytest.mark.parametrize("azimuth", [0.0, 45.0, 90.0, 200.0])
@pytest.mark.parametrize(("lat", "lon"), [(-25.0, 130.0), (80.0, 180.0), (0.0, 9.0), (90.0, 0.0)])
def test_one_name_within_30_m_is_told(layer_file, lat, lon, azimuth, metres, told):
    """Distances by geographiclib (Karney 2013): 29.9 m apart is told, 30.1 m is not."""
    there = Geodesic.WGS84.Direct(lat, lon, azimuth, metres)
    items = [feature(lon, lat, id="a", name="Bore"),
             feature(there["lon2"], there["lat2"], id="b", name="BORE")]  # fmt: skip
    layer = read_water(layer_file(collection(*items)))

    assert any('"BORE" (a, b)' in remark for remark in layer.remarks) is told


def test_other_names_within_30_m_are_nothing(layer_file):
    """Two sources with different names may stand side by side."""
    items = [feature(name="Tap"), feature(name="Tank")]

    assert read_water(layer_file(collection(*items))).remarks == ()


def test_no_feature_is_told_and_allowed(layer_file):
    """An empty layer is no fault; it is told."""
    for content, name in ((collection(), "a.geojson"), ("lat,lon\n", "a.csv"), (gpx(), "a.gpx")):
        layer = read_water(layer_file(content, name))
        assert layer.sources == ()
        assert layer.remarks == (f"{name}: the layer holds no source.",)


def test_no_layer_at_all_has_no_source():
    """No file is no source."""
    assert read_water([]).sources == ()


@pytest.mark.parametrize("name", ["=1+1", "<script>x</script>", "${a}`", "n" * 10_240, "水", "🚰"])
def test_names_are_text_and_kept(layer_file, name):
    """Formulas, markup and 10 kB are kept to the last letter."""
    layer = read_water(layer_file(collection(feature(name=name))))

    assert layer.sources[0].name == name
    assert layer.remarks == ()


def test_control_characters_leave_names_and_are_told(layer_file):
    """Control characters and half surrogates go, with a remark."""
    layer = read_water(layer_file(collection(feature(name="Old\u0000 \u001b[1mBore\ud800"))))

    assert layer.sources[0].name == "Old [1mBore"
    assert layer.remarks == (
        "water.geojson: control characters were taken out of the names of one source: Old [1mBore.",
    )
