"""Lines and tracks of KML 2.3 (OGC 12-007r2, sections on LineString, Track, MultiTrack)."""

from __future__ import annotations

import zipfile

import numpy as np
import pytest
from gpx_writing import complaint

from longdry.model.route import DrawnAs
from longdry.reading.route.route_file import read_route

HEAD = '<kml xmlns="http://www.opengis.net/kml/2.3" xmlns:gx="http://www.google.com/kml/ext/2.2">'
PLACES = [(131.0 + n / 100.0, -25.0) for n in range(12)]


def coordinates(places):
    return " ".join(f"{lon},{lat}" for lon, lat in places)


def line(places, name="Line"):
    return (
        f"<Placemark><name>{name}</name><LineString><coordinates>{coordinates(places)}"
        "</coordinates></LineString></Placemark>"
    )


def track(places, prefix="gx:", name="Track", when="<when>2027-05-03T00:00:00Z</when>"):
    coords = "".join(
        f"<{prefix}coord>{'' if place is None else f'{place[0]} {place[1]} 300'}</{prefix}coord>"
        for place in places
    )
    times = when * len(places)
    return (
        f"<Placemark><name>{name}</name><{prefix}Track>{times}{coords}</{prefix}Track></Placemark>"
    )


@pytest.fixture
def kml_file(tmp_path):
    def write(*content):
        path = tmp_path / "trip.kml"
        path.write_text(f"{HEAD}<Document>{''.join(content)}</Document></kml>")
        return path

    return write


@pytest.mark.parametrize("prefix", ["gx:", ""])
def test_a_track_is_read_with_and_without_its_prefix(kml_file, prefix):
    """A Track of KML 2.3 needs no extension's prefix; its times make it a recording."""
    route = read_route(kml_file(track(PLACES, prefix)))

    assert route.drawn_as is DrawnAs.TRACK
    assert route.lon_deg.tolist() == [lon for lon, _ in PLACES]
    assert route.height_m.tolist() == [300.0] * 12
    assert route.timed


def test_an_empty_coord_is_a_pause_and_no_place(kml_file):
    """A recorder that lost the sky wrote an empty coord: the line pauses, never at 0, 0."""
    route = read_route(kml_file(track([*PLACES[:5], None, None, *PLACES[7:]])))

    assert route.points == 10
    assert route.part_starts.tolist() == [0, 5]
    assert np.abs(route.lat_deg).min() == 25.0


def test_a_track_and_a_line_of_the_same_way_are_taken_once(kml_file):
    """Programs write both: the track is taken, the line told."""
    near = [(lon, lat + 0.0005) for lon, lat in PLACES]
    route = read_route(kml_file(track(PLACES), line(near)))

    assert route.points == 12
    assert 'The line "Line" tells the same way as the track "Track": taken once' in route.remarks


def test_two_laps_of_one_track_are_two(kml_file):
    """Two tracks of one way are a way gone twice."""
    lap = [*PLACES, *PLACES[-2::-1]]
    route = read_route(kml_file(track(lap, name="Lap 1"), track(lap, name="Lap 2")))

    assert route.points == 2 * len(lap)


def test_another_way_between_the_same_ends_is_not_the_same(kml_file):
    """A line that swings 2 km aside is another way."""
    aside = [(lon, lat + (0.02 if 3 < n < 8 else 0.0)) for n, (lon, lat) in enumerate(PLACES)]

    assert "holds 2 lines that do not meet" in complaint(kml_file(track(PLACES), line(aside)))


def test_a_placemark_without_geometry_is_left_out_and_told(kml_file):
    """One empty placemark ends no route."""
    route = read_route(kml_file("<Placemark><name>Note</name></Placemark>", line(PLACES)))

    assert route.points == 12
    assert '1 placemark without a geometry left out: "Note"' in route.remarks


def test_parts_of_a_multi_geometry_are_parts_and_polygons_are_none(kml_file):
    """A ring of a polygon is no line of the route; points are counted."""
    mixed = (
        "<Placemark><MultiGeometry>"
        f"<LineString><coordinates>{coordinates(PLACES[:4])}</coordinates></LineString>"
        f"<LineString><coordinates>{coordinates(PLACES[4:])}</coordinates></LineString>"
        "</MultiGeometry></Placemark><Placemark><Polygon><outerBoundaryIs><LinearRing>"
        "<coordinates>1,2 2,2 2,3 1,2</coordinates></LinearRing></outerBoundaryIs></Polygon>"
        "</Placemark><Placemark><Point><coordinates>131,-25</coordinates></Point></Placemark>"
    )
    route = read_route(kml_file(mixed))

    assert route.part_starts.tolist() == [0, 4]
    assert "Only lines are used; the layer also holds 1 polygon, 1 point" in route.remarks


def test_a_file_of_points_says_what_it_holds(kml_file):
    """True words where there is no line."""
    point = "<Placemark><Point><coordinates>131,-25</coordinates></Point></Placemark>"

    assert "holds no line, only 2 points" in complaint(kml_file(point, point))


def test_a_link_to_another_file_is_told_and_not_followed(kml_file):
    """A KML that only links elsewhere says so."""
    link = "<NetworkLink><Link><href>https://example.org/x.kml</href></Link></NetworkLink>"

    assert "only a link to another file" in complaint(kml_file(link))


def test_a_kmz_is_read_as_its_document(tmp_path):
    """KMZ (OGC 12-007r2, annex C) is a zip archive whose first KML is the document."""
    path = tmp_path / "trip.kmz"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("doc.kml", f"{HEAD}<Document>{line(PLACES)}</Document></kml>")
        archive.writestr("files/photo.jpg", b"\x00" * 5000)

    assert read_route(path).points == 12
