"""Which line of a file becomes the route, and routes from GIS layers.

GeoJSON follows RFC 7946, gaps are geodesics of the WGS 84 ellipsoid (geographiclib is the
reference), other layers are written by geopandas, the general-purpose library.
"""

import gzip
import json
import shutil
import struct

import geopandas
import numpy as np
import pytest
import shapely
from geographiclib.geodesic import Geodesic
from gpx_writing import complaint, route, rtept, track, trkpt
from make import trip

from longdry.computing.plan.planning import plan_trip
from longdry.model.route import DrawnAs
from longdry.reading.route.route_file import read_route

NORTH = track(trkpt(-23.0, 133.0), trkpt(-24.0, 134.0), name="North")
SOUTH = track(trkpt(-24.005, 134.0), trkpt(-25.0, 134.0), name="South")
FAR = track(trkpt(-26.0, 134.0), trkpt(-27.0, 134.0), trkpt(-28.0, 134.0), name="Far")
PLANNED = route(rtept(-23.0, 133.0), rtept(-25.0, 135.0), name="Planned")


def test_tracks_that_meet_are_joined_in_file_order(gpx_file):
    """Ends within 1 km meet; each track begins a part, and the plan is told."""
    read = read_route(gpx_file(NORTH, SOUTH))

    assert read.lat_deg.tolist() == [-23.0, -24.0, -24.005, -25.0]
    assert read.part_starts.tolist() == [0, 2]
    assert read.name == "trip"
    assert read.remarks == (
        '2 lines that meet end to end were joined in file order: track "North", track "South"',
    )


def test_tracks_that_do_not_meet_are_listed(gpx_file):
    """The complaint names every track with its points, the gap, and --track."""
    gap_km = Geodesic.WGS84.Inverse(-25.0, 134.0, -26.0, 134.0)["s12"] / 1000

    assert complaint(gpx_file(NORTH, SOUTH, FAR)) == (
        'trip.gpx: holds 3 lines that do not meet end to end: #1 track "North" (2 points), '
        '#2 track "South" (2 points), #3 track "Far" (3 points); '
        f"#2 ends {gap_km:.1f} km from where #3 begins; "
        'choose one with --track NAME, or by number with --track "#2"; or give --track several'
        " times, in the order of travel, where each begins within 20 km of the last one's end."
    )


@pytest.mark.parametrize(("apart_m", "meet"), [(999.0, True), (1001.0, False)])
def test_a_kilometre_is_the_limit(apart_m, meet, gpx_file):
    """Ends 999 m apart meet, ends 1001 m apart do not."""
    begin = Geodesic.WGS84.Direct(-24.0, 134.0, 70.0, apart_m)
    onward = track(trkpt(f"{begin['lat2']:.9f}", f"{begin['lon2']:.9f}"), trkpt(-25.0, 134.0))
    path = gpx_file(NORTH, onward)

    if meet:
        assert read_route(path).points == 4
    else:
        assert "do not meet" in complaint(path)


def test_ends_on_both_sides_of_the_antimeridian_meet(gpx_file):
    """180 degrees east and west are one place."""
    west = track(trkpt(10, 179), trkpt(10, 179.999))
    east = track(trkpt(10, -179.999), trkpt(10, -179))

    assert read_route(gpx_file(west, east)).points == 4


def test_many_tracks_are_listed_up_to_ten(gpx_file):
    """A file with hundreds of tracks does not fill the screen."""
    tracks = [track(trkpt(lat, 1), trkpt(lat, 2)) for lat in range(40)]

    assert "#10 unnamed track (2 points) and 30 more; #1 ends" in complaint(gpx_file(*tracks))


@pytest.mark.parametrize("asked", ["Far", "  Far ", "#3"])
def test_a_track_is_picked_by_name_or_number(asked, gpx_file):
    """The one that is asked for is the route, whatever else the file holds."""
    read = read_route(gpx_file(NORTH, SOUTH, FAR), track=asked)

    assert (read.name, read.points, read.part_starts.tolist()) == ("Far", 3, [0])
    assert read.remarks == ()


@pytest.mark.parametrize("asked", ["Sout", "#0", "#4", "#x", "#²", ""])
def test_an_unknown_track_lists_those_there(asked, gpx_file):
    """A name or number that is not there is told with all that are."""
    assert complaint(gpx_file(NORTH, SOUTH), track=asked) == (
        f'trip.gpx: has no track or route "{asked}", but #1 track "North" (2 points), '
        '#2 track "South" (2 points); give --track one of these names, or its number such as "#2".'
    )


def test_a_double_name_asks_for_the_number(gpx_file):
    """Two tracks of one name cannot be told apart by it."""
    path = gpx_file(NORTH, NORTH)

    assert complaint(path, track="North").startswith('trip.gpx: has 2 lines named "North", but #1')
    assert read_route(path, track="#2").points == 2


def test_tracks_go_before_routes(gpx_file):
    """Where both are there the track is the way, and the plan is told what was left."""
    read = read_route(gpx_file(PLANNED, NORTH))

    assert (read.name, read.drawn_as) == ("North", DrawnAs.TRACK)
    assert read.remarks == (
        'The file holds tracks and routes; the tracks are used, not route "Planned"',
    )


@pytest.mark.parametrize(("degrees", "is_told"), [(5.01, True), (4.99, False)])
def test_a_far_longer_line_that_is_not_read_is_grave(degrees, is_told, gpx_file):
    """A route along the equator 10 times as long as the track of half a degree, or just not so.

    A degree of the equator is 111.3195 km (WGS 84, NGA.STND.0036: a = 6378137 m, times pi / 180).
    """
    short = track(trkpt(0.0, 20.0), trkpt(0.0, 20.5), name="Short")
    long = route(rtept(0.0, 20.0), rtept(0.0, 20.0 + degrees), name="Meant")
    path = gpx_file(short, long)
    grave = read_route(path).grave_remarks

    assert bool(grave) is is_told
    assert not read_route(path, track="Short").grave_remarks
    if is_told:
        assert "is read is 55.7 km long" in grave[0]
        assert '"Meant", which is not read, 557.7 km' in grave[0]
        assert read_route(path, track="#2").name == "Meant"
        plan = plan_trip(read_route(path), [], trip())
        assert next(one for one in plan.warnings if one.grave).text == grave[0]


def test_a_route_is_used_where_it_is_asked_for(gpx_file):
    """The name of a route goes before the rule."""
    read = read_route(gpx_file(PLANNED, NORTH), track="Planned")

    assert (read.drawn_as, read.points, read.remarks) == (DrawnAs.ROUTE, 2, ())


def test_a_track_goes_before_a_route_of_the_same_name(gpx_file):
    """Files often hold a route and the track along it under one name."""
    read = read_route(gpx_file(PLANNED.replace("Planned", "North"), NORTH), track="North")

    assert read.drawn_as is DrawnAs.TRACK


def test_empty_tracks_do_not_count(gpx_file):
    """A track without points is no line and stands in nobody's way."""
    read = read_route(gpx_file(track(name="Nothing"), NORTH, "<rte/>"))

    assert (read.name, read.remarks) == ("North", ())


LINE = shapely.LineString([(133.0, -23.0, 400.0), (133.5, -23.5, 410.0), (134.0, -24.0, 420.0)])


def layer(*geometries, crs=4326, names=None):
    fields = {"Name": names or [f"L{number}" for number in range(1, len(geometries) + 1)]}
    return geopandas.GeoDataFrame(fields, geometry=list(geometries), crs=crs)


@pytest.mark.parametrize("ending", ["geojson", "gpkg", "kml", "shp", "fgb"])
def test_line_layers_are_read_with_name_and_heights(ending, tmp_path):
    """The line, its name and its heights are those that were written."""
    path = tmp_path / f"trip.{ending}"
    layer(LINE).to_file(path, driver="KML" if ending == "kml" else None)
    read = read_route(path)

    np.testing.assert_allclose(read.lat_deg, [-23.0, -23.5, -24.0])
    np.testing.assert_allclose(read.lon_deg, [133.0, 133.5, 134.0])
    assert read.height_m.tolist() == [400.0, 410.0, 420.0]
    assert (read.name, read.drawn_as, read.remarks) == ("L1", DrawnAs.LINE, ())


@pytest.mark.parametrize("crs", [32753, 3857, 28353, 4283])
@pytest.mark.parametrize("ending", ["gpkg", "shp"])
def test_a_declared_system_is_turned_into_wgs_84(crs, ending, tmp_path):
    """Projected layers land within 2 m of the line (datums differ by up to 1.8 m there)."""
    path = tmp_path / f"trip.{ending}"
    layer(LINE).to_crs(crs).to_file(path)
    read = read_route(path)

    np.testing.assert_allclose(read.lat_deg, [-23.0, -23.5, -24.0], atol=2e-5)
    np.testing.assert_allclose(read.lon_deg, [133.0, 133.5, 134.0], atol=2e-5)


def test_members_of_a_multi_line_are_parts(tmp_path):
    """A MultiLineString is one line with breaks."""
    path = tmp_path / "trip.geojson"
    layer(shapely.MultiLineString([[(1, 2), (2, 2)], [(3, 2), (4, 2), (5, 2)]])).to_file(path)

    assert read_route(path).part_starts.tolist() == [0, 2]


def test_lines_of_a_layer_join_like_tracks(tmp_path):
    """Lines that meet are joined; others are listed and picked by name or number."""
    path = tmp_path / "trip.gpkg"
    onward = shapely.LineString([(134.0, -24.0), (135.0, -24.0)])
    layer(LINE, onward).to_file(path)
    assert read_route(path).part_starts.tolist() == [0, 3]

    layer(LINE, shapely.LineString([(140, -24), (141, -24)])).to_file(path)
    assert '#1 line "L1" (3 points), #2 line "L2" (2 points); #1 ends' in complaint(path)
    assert read_route(path, track="L2").points == 2


def test_points_beside_the_line_are_told(tmp_path):
    """What is no line in the layer is left out, and the plan says so."""
    path = tmp_path / "trip.geojson"
    layer(LINE, shapely.Point(1, 2), shapely.Point(3, 4)).to_file(path)

    assert read_route(path).remarks == ("Only lines are used; the layer also holds 2 points",)


def test_all_zero_heights_are_no_heights(tmp_path):
    """Editors write 0 where they know no height: that is never taken for sea level."""
    path = tmp_path / "trip.geojson"
    layer(shapely.LineString([(1, 2, 0), (2, 2, 0)])).to_file(path)
    read = read_route(path)

    assert np.isnan(read.height_m).all()
    assert read.remarks == ("All heights are 0, as in a layer without any, and count as missing",)


def write_measured_line(path):
    """Write a PolyLineM as the ESRI Shapefile Technical Description (1998) lays it out."""
    shape = struct.pack("<i4d3i4d2d2d", 23, 1, 2, 3, 2, 1, 2, 0, 1, 2, 3, 2, 100, 200, 100, 200)
    record = struct.pack(">2i", 1, len(shape) // 2) + shape
    box = struct.pack("<2i8d", 1000, 23, 1, 2, 3, 2, 0, 0, 100, 200)
    header = struct.pack(">6i", 9994, 0, 0, 0, 0, 0)
    path.write_bytes(header + struct.pack(">i", 50 + len(record) // 2) + box + record)
    index = struct.pack(">2i", 50, len(shape) // 2)
    path.with_suffix(".shx").write_bytes(header + struct.pack(">i", 54) + box + index)


def test_measured_points_are_read(tmp_path):
    """A value of measure at each point is neither height nor harm."""
    path = tmp_path / "trip.shp"
    write_measured_line(path)
    read = read_route(path)

    assert (read.lat_deg.tolist(), read.lon_deg.tolist()) == ([2.0, 2.0], [1.0, 3.0])
    assert np.isnan(read.height_m).all()


def test_a_layer_without_system_that_fits_is_taken_as_wgs_84(tmp_path):
    """Degrees without a declared system are used, and the plan says so."""
    path = tmp_path / "trip.shp"
    layer(LINE).to_file(path)
    path.with_suffix(".prj").unlink()
    (remark,) = read_route(path).remarks

    assert remark.startswith("The layer declares no coordinate system; its numbers fit")


def test_a_layer_without_system_that_does_not_fit_is_refused(tmp_path):
    """Metres without a declared system cannot be placed."""
    path = tmp_path / "trip.shp"
    layer(LINE).to_crs(32753).to_file(path)
    path.with_suffix(".prj").unlink()
    told = complaint(path)

    assert told.startswith("trip.shp, feature 1: lat 7455081")
    assert told.endswith("declare the layer's coordinate system, or export it in WGS 84.")


def feature(geometry):
    return {"type": "Feature", "properties": {}, "geometry": geometry}


def line(*coordinates):
    return {"type": "LineString", "coordinates": coordinates}


GOOD_LINE = line([1, 2], [2, 2])
DRAW = "draw its line or take it out"
UNREAD = "has a geometry that cannot be read"
BAD_FEATURES = {
    "null geometry": (
        [None],
        ": holds no line, only 1 feature without a geometry; name the layer with the route's line.",
    ),
    "text for a number": ([line(["a", 1], [2, 2])], f", feature 1: {UNREAD}; {DRAW}."),
    "one number": ([line([1], [2, 2])], f", feature 1: {UNREAD}; {DRAW}."),
    "null for a number": ([line([None, 1], [2, 2])], f", feature 1: {UNREAD}; {DRAW}."),
    "truth for a number": ([line([True, 1], [2, 2])], f", feature 1: {UNREAD}; {DRAW}."),
    "infinite": (
        [line([float("inf"), 1], [2, 2])],
        ", feature 1: has a coordinate that is not a finite number; correct it.",
    ),
    "not a number": (
        [line([1, float("nan")], [2, 2])],
        ", feature 1: has a coordinate that is not a finite number; correct it.",
    ),
    "swapped": (
        [line([-23, 133], [-24, 134])],
        (
            ", feature 1: lat 133, lon -23 lies outside the globe; "
            "lat and lon look swapped: exchange them, or correct the number."
        ),
    ),
    "metres": (
        [line([295008, 7455084], [295009, 7455084])],
        (
            ", feature 1: lat 7455084, lon 295008 lies outside the globe; "
            "correct it, or save the layer in WGS 84."
        ),
    ),
    "points only": (
        [{"type": "Point", "coordinates": [1, 2]}],
        ": holds no line, only 1 point; name the layer with the route's line.",
    ),
    "nothing": ([], ": holds no line, no feature at all; name the layer with the route's line."),
    "one place": (
        [line([1, 2], [1, 2])],
        (
            ": all 2 points of unnamed line lie in one place; "
            "draw it with at least two points apart."
        ),
    ),
}


@pytest.mark.parametrize(("geometries", "told"), BAD_FEATURES.values(), ids=BAD_FEATURES)
def test_a_bad_feature_is_told_with_its_number(geometries, told, tmp_path):
    """Features without a usable line are refused with file, place and mend."""
    path = tmp_path / "trip.geojson"
    collection = {"type": "FeatureCollection", "features": [feature(g) for g in geometries]}
    path.write_text(json.dumps(collection))

    assert complaint(path) == f"trip.geojson{told}"


@pytest.mark.parametrize("empty", [None, line()], ids=["null", "no coordinates"])
def test_a_feature_without_a_geometry_is_left_out_and_told(empty, tmp_path):
    """RFC 7946, section 3.2: the geometry of a feature that lies nowhere is null."""
    path = tmp_path / "trip.geojson"
    features = [feature(empty), feature(GOOD_LINE)]
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    read = read_route(path)

    assert read.points == 2
    assert read.remarks == ("1 feature without a geometry left out: feature 1",)


COPY = "copy it again from where it came from"
WGS_84 = "export the layer again in WGS 84"


def with_crs(crs):
    return json.dumps({"type": "FeatureCollection", "crs": crs, "features": []}).encode()


def kml(coordinates):
    return (
        "<kml>\n<Placemark><LineString><coordinates>\n"
        f"{coordinates}</coordinates></LineString></Placemark></kml>"
    ).encode()


NO_NUMBERS = "are no numbers; write lon,lat in degrees with decimal points, and no blank between."
BAD_LAYERS = {
    "cut off": (
        "trip.geojson",
        b'{"type":\n"Feat',
        (
            ", line 2, column 1: is no JSON from here on (Unterminated string); "
            "export the layer again in WGS 84."
        ),
    ),
    "UTF-8": (
        "trip.geojson",
        b'{"name": "D\xfcrr"}',
        ", line 1: holds bytes that are not UTF-8; save the file as UTF-8.",
    ),
    "deep": (
        "trip.geojson",
        b'{"a":' + b"[" * 100_000 + b"]" * 100_000 + b"}",
        ": is nested too deeply; export the layer again in WGS 84.",
    ),
    "digits": (
        "trip.geojson",
        b'{"a":' + b"1" * 10_000 + b"}",
        (": holds a number of thousands of digits; export the layer again in WGS 84."),
    ),
    "no layer": (
        "trip.geojson",
        b'{"a": 1}',
        f": the geojson layer is broken or breaks off; {COPY}.",
    ),
    "unknown system": (
        "trip.geojson",
        with_crs({"type": "name", "properties": {"name": "EPSG:99999"}}),
        f', "crs": the coordinate system "EPSG:99999" is not known; {WGS_84}.',
    ),
    "linked system": (
        "trip.geojson",
        with_crs({"type": "link", "properties": {"href": "file:///etc/hostname"}}),
        f', "crs": names no coordinate system; {WGS_84}.',
    ),
    "list": (
        "trip.json",
        b"[1, 2]",
        ": its content is not what the ending .json says; export it again as json.",
    ),
    "gpkg": (
        "trip.gpkg",
        b"SQLite format 3\x00rest",
        f": the gpkg layer is broken or breaks off; {COPY}.",
    ),
    "DOCTYPE": (
        "trip.kml",
        b"<!DOCTYPE kml [<!ENTITY a 'b'>]><kml>&a;</kml>",
        ", line 1: holds a DOCTYPE, which no such file needs; take the DOCTYPE out.",
    ),
    "deep KML": (
        "trip.kml",
        b"<kml>" + b"<Folder>" * 100_000,
        (
            ", line 1: elements stand more than 100 deep inside one another; "
            "take the nested elements out."
        ),
    ),
    "letters": ("trip.kml", kml("1,2\na,b"), f', line 4: the coordinates "a,b" {NO_NUMBERS}'),
    "one number": ("trip.kml", kml("1,2 3"), f', line 3: the coordinates "3" {NO_NUMBERS}'),
    "endless": (
        "trip.kml",
        kml("1" * 100_000),
        f', line 3: the coordinates "{"1" * 60}..." {NO_NUMBERS}',
    ),
    "archive": (
        "trip.kmz",
        b"PK\x03\x04rest",
        ": the zip archive breaks off or is damaged; copy it again from where it came from.",
    ),
    "empty": ("trip.fgb", b"", f": the file is empty; {COPY}."),
    "shp": (
        "trip.shp",
        b"\x00\x00\x27\x0a" + b"\x00" * 20,
        f": the shp layer is broken or breaks off; {COPY} with its .shx, .dbf and .prj beside it.",
    ),
    "packed": (
        "trip.shp",
        gzip.compress(b"{}"),
        ": the file is gzip-compressed; unpack it first.",
    ),
}


@pytest.mark.parametrize(("name", "content", "told"), BAD_LAYERS.values(), ids=BAD_LAYERS)
def test_a_broken_layer_is_answered_in_one_sentence(name, content, told, tmp_path):
    """Broken, empty, compressed or disguised layers: one sentence each."""
    path = tmp_path / name
    path.write_bytes(content)

    assert complaint(path) == f"{name}{told}"


def test_a_shapefile_without_its_index_is_told(tmp_path):
    """A Shapefile is several files, and the complaint says which to bring."""
    layer(LINE).to_file(tmp_path / "whole.shp")
    alone = shutil.copy(tmp_path / "whole.shp", tmp_path / "alone.shp")

    assert complaint(alone).endswith("with its .shx, .dbf and .prj beside it.")


def test_a_missing_layer_is_told(tmp_path):
    """A wrong name is told as such, not as a broken layer."""
    assert complaint(tmp_path / "no.gpkg").startswith("no.gpkg: there is no such file")
