"""Several tracks in order, segments by number, and what a file hides."""

from __future__ import annotations

import pytest
from gpx_writing import complaint, route, rtept, track, trkpt

from longdry.computing.route.chainage import measure_route
from longdry.errors import RouteFileError
from longdry.reading.route.route_file import read_route

ONE = track(*(trkpt(-25.0, 131.0 + n / 50) for n in range(4)), name="One")
TWO = track(*(trkpt(-25.1, 131.1 + n / 50) for n in range(4)), name="Two")
SEGMENTS = (
    "<trk><name>Days</name><trkseg>"
    + "".join(trkpt(-25.0, 131.0 + n / 50) for n in range(3))
    + "</trkseg><trkseg>"
    + "".join(trkpt(-26.0, 131.0 + n / 50) for n in range(5))
    + "</trkseg></trk>"
)


def test_tracks_are_joined_in_the_order_asked_for(gpx_file):
    """Two tracks 12 km apart, the second first: the gap is a break, bridged and told."""
    path = gpx_file(ONE, TWO)
    found = read_route(path, track=["Two", "One"])
    bridges = measure_route(found).bridges

    assert found.lat_deg.tolist() == [-25.1] * 4 + [-25.0] * 4
    assert found.part_starts.tolist() == [0, 4]
    assert len(bridges) == 1
    assert f"gaps between them: {bridges[0].length_km:.1f} km" in found.remarks[0]


def test_the_mend_that_is_offered_for_several_tracks_works(gpx_file):
    """What the refusal says to give is taken."""
    path = gpx_file(ONE, TWO)

    assert "give --track several times" in complaint(path)
    assert read_route(path, track=["#1", "#2"]).points == 8


@pytest.mark.parametrize("asked", ["Days#2", "#1#2"])
def test_a_segment_is_taken_by_its_number(gpx_file, asked):
    """The second segment of a track, by the track's name or number."""
    assert read_route(gpx_file(SEGMENTS), track=asked).lat_deg.tolist() == [-26.0] * 5


def test_segments_can_be_joined_in_another_order(gpx_file):
    """Segments are lines like others."""
    found = read_route(gpx_file(SEGMENTS), track=["#1#2", "#1#1"])

    assert found.lat_deg.tolist() == [-26.0] * 5 + [-25.0] * 3


def test_an_unknown_segment_lists_those_there(gpx_file):
    """The refusal names each segment and its size."""
    told = complaint(gpx_file(SEGMENTS), track="Days#3")

    assert 'has no segment "#3", but #1 (3 points), #2 (5 points)' in told


def test_a_track_of_one_point_hides_no_route(gpx_file):
    """A marker drawn as a track does not keep the planned route from being taken; it is told."""
    marker = track(trkpt(-25.0, 131.0), name="Marker")
    planned = route(*(rtept(-25.0, 131.0 + n / 50) for n in range(6)), name="Plan")
    found = read_route(gpx_file(marker, planned))

    assert found.points == 6
    assert 'Lines of one point lead nowhere and are left out: track "Marker"' in found.remarks


def recorded(lons):
    return "".join(trkpt(-25.0, lon, "<time>2027-05-03T00:00:00Z</time>") for lon in lons)


HERE = [131.0 + n / 1000 for n in range(50)]


def test_a_recording_that_jumps_is_chosen_by_its_sides(gpx_file):
    """0.451 degrees of longitude at 25 S is 45.5 km: no bridge, yet each side can be planned."""
    there = [lon + 0.5 for lon in HERE]
    path = gpx_file(track(recorded(HERE + there), name="Trip"))

    with pytest.raises(RouteFileError, match=r"goes on 45\.5 km away.*--track 'NAME#1'"):
        measure_route(read_route(path))
    assert [read_route(path, track=f"Trip#{n}").points for n in (1, 2)] == [50, 50]
    assert measure_route(read_route(path, track="#1#2")).length_km < 6.0


def test_a_stray_point_of_a_recording_is_told_as_one(gpx_file):
    """One point far aside cuts nothing: it is to be taken out."""
    onward = [lon + 0.05 for lon in HERE]
    path = gpx_file(track(recorded([*HERE, 131.9, *onward]), name="Trip"))

    with pytest.raises(RouteFileError, match="one point of the recording lies aside"):
        measure_route(read_route(path))


@pytest.mark.parametrize("at", [0, 7, 50])
def test_a_point_at_zero_is_named(gpx_file, at):
    """0, 0 between places in the desert is what a recorder writes without a fix."""
    points = [trkpt(-25.0, lon) for lon in HERE]
    points.insert(at, trkpt(0, 0))

    assert f"point {at + 1} of" in complaint(gpx_file(track(*points)))
    near = [trkpt(0, n / 100 - 0.1) for n in range(20)]
    assert read_route(gpx_file(track(*near))).points == 20


def test_points_with_times_make_a_recording(gpx_file):
    """A time in one point is enough; a planned line has none."""
    timed = track(trkpt(-25, 131, "<time>2027-05-03T00:00:00Z</time>"), trkpt(-25, 131.1))

    assert read_route(gpx_file(timed)).timed
    assert not read_route(gpx_file(ONE)).timed
