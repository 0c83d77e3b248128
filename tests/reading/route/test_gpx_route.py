"""Routes from GPX: what is read, and what is refused in which words.

The reference for well-formed files is the general-purpose library gpxpy; the rules of the
format are those of the GPX 1.0 and 1.1 schemas (topografix.com), of encodings and DOCTYPE
those of XML 1.0 (W3C).
"""

import gzip
import tracemalloc
from pathlib import Path

import gpxpy
import numpy as np
import pytest
from gpx_writing import GPX_11, TWO_POINTS, complaint, gpx, route, rtept, track, trkpt
from project_places import SAMPLES as SAMPLE_FOLDER

from longdry.errors import RouteFileError
from longdry.model.route import DrawnAs
from longdry.reading.gpx.waypoints import read_gpx_waypoints
from longdry.reading.route.gpx_track import read_gpx_lines
from longdry.reading.route.route_file import read_route

GPX_10 = '<gpx version="1.0" creator="test" xmlns="http://www.topografix.com/GPX/1/0">'
SAMPLES = sorted(SAMPLE_FOLDER.rglob("*.gpx"))

TWO_SEGMENTS = """<trk><trkseg><trkpt lat="-23.1" lon="133.1"><ele>1</ele></trkpt>
<trkpt lat="-23.2" lon="133.2"/></trkseg><trkseg/><trkseg>
<trkpt lat="-23.3" lon="133.3"><time>2027-05-03T08:00:00Z</time><ele> 3.5e1 </ele></trkpt>
</trkseg><name>Two  halves</name></trk>"""

WELL_FORMED = {
    "one track": gpx(TWO_POINTS),
    "GPX 1.0": gpx(TWO_POINTS, root=GPX_10),
    "without namespace": gpx(TWO_POINTS, root='<gpx version="1.1">'),
    "segments, odd order": gpx(TWO_SEGMENTS),
    "several tracks": gpx(TWO_POINTS, TWO_SEGMENTS),
    "a route": gpx(route(rtept(1, 2, "<ele>7</ele>"), rtept("1.5", "+2.25"), name="R")),
    "comments and CDATA": gpx(
        track(trkpt(1, 2, "<ele>1<!-- split -->2.5</ele>"), trkpt(1, 3, "<ele><![CDATA[8]]></ele>"))
    ),
    "whole globe": gpx(track(trkpt(90, -180), trkpt(-90, 180), trkpt(0, 0))),
}


@pytest.fixture
def written(tmp_path):
    def write(content, name="trip.gpx"):
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path

    return write


def same_as_gpxpy(text):
    theirs = gpxpy.parse(text)
    segments = [s.points for t in theirs.tracks for s in t.segments]
    return [*segments, *(r.points for r in theirs.routes)]


@pytest.mark.parametrize(
    "source",
    [*WELL_FORMED.values(), *SAMPLES],
    ids=[*WELL_FORMED, *(path.name for path in SAMPLES)],
)
def test_well_formed_files_give_the_points_and_parts_that_gpxpy_finds(source, written):
    """On files that both can read, our points, heights and parts are those of gpxpy."""
    path = source if isinstance(source, Path) else written(source)
    theirs = [part for part in same_as_gpxpy(path.read_text("utf-8")) if part]
    ours = read_gpx_lines(path)
    unshaped = [line for line in ours.lines if not line.shape_points]
    parts = [
        slice(start, stop)
        for line in unshaped
        for start, stop in zip(line.part_starts, [*line.part_starts[1:], line.stop], strict=True)
    ]
    if len(unshaped) < len(ours.lines):
        theirs = theirs[: len(parts)]

    assert [ours.lat_deg[p].tolist() for p in parts] == [[q.latitude for q in s] for s in theirs]
    assert [ours.lon_deg[p].tolist() for p in parts] == [[q.longitude for q in s] for s in theirs]
    heights = [np.nan if q.elevation is None else q.elevation for s in theirs for q in s]
    np.testing.assert_array_equal(np.concatenate([ours.height_m[p] for p in parts]), heights)


def test_a_prefix_for_the_namespace_changes_nothing(written):
    """Elements under any declared prefix are read as those without one."""
    plain = gpx(TWO_POINTS)
    prefixed = plain.replace("</", "</q:").replace("<", "<q:").replace("<q:/q:", "</q:")
    prefixed = prefixed.replace("xmlns=", "xmlns:q=")

    assert read_route(written(prefixed)).lat_deg.tolist() == [-23.0, -24.0]


def test_parts_begin_where_segments_begin(written):
    """Empty segments make no part; the name is the track's own, blanks joined."""
    read = read_route(written(gpx(TWO_SEGMENTS)))

    assert read.part_starts.tolist() == [0, 2]
    assert (read.name, read.drawn_as) == ("Two halves", DrawnAs.TRACK)


def test_a_nameless_track_is_called_like_its_file(written):
    """The file's own name stands in for a missing one."""
    assert read_route(written(gpx(TWO_POINTS), "salt.pan.gpx")).name == "salt.pan"


SHAPED = gpx(
    route(
        rtept(
            1, 2,
            '<extensions><x:leg xmlns:x="urn:maker"><x:rpt lat="1.1" lon="2.1"/><deep>'
            '<rpt lat="1.2" lon="2.2"><q lat="1.3" lon="2.3"/></rpt></deep></x:leg>'
            '<no lat="5"/></extensions>'
            "<ele>400</ele>",
        ),
        rtept(2, 3, "<ele>410</ele>"),
        name="Shaped",
    )
)  # fmt: skip


def test_shape_points_of_a_route_belong_to_the_line(written):
    """Anything with lat and lon in a route point's extensions follows it, in file order."""
    read = read_route(written(SHAPED))

    assert read.lat_deg.tolist() == [1.0, 1.1, 1.2, 1.3, 2.0]
    assert (read.shape_points, read.drawn_as) == (3, DrawnAs.ROUTE)
    assert read.remarks == (
        "1 route point holds 3 further shape points in its extensions; the line follows them",
    )


def test_a_height_in_another_element_of_a_segment_is_passed_over(written):
    """A height that is no child of a track point goes to no point, not to the one before."""
    other = "<extensions><ele>9</ele></extensions>"
    read = read_route(written(gpx(track(trkpt(1, 2), other, trkpt(1, 3)))))

    assert np.isnan(read.height_m).all()


def test_a_height_behind_the_extensions_goes_to_no_shape_point(written):
    """A height is never moved to another point than its own."""
    heights_m = read_route(written(SHAPED)).height_m

    np.testing.assert_array_equal(heights_m, [400.0, np.nan, np.nan, np.nan, 410.0])


def test_points_in_extensions_of_a_track_are_no_line(written):
    """What makers put beside a track point is not the way."""
    beside = '<extensions><a lat="5" lon="5"><ele>9</ele></a></extensions>'
    read = read_route(written(gpx(track(trkpt(1, 2, beside), trkpt(1, 3)))))

    assert read.points == 2
    assert np.isnan(read.height_m).all()


@pytest.mark.parametrize("odd", ["n/a", "12_0", "nan", "32767", "-9999", "45,2", "٤"])
def test_a_height_that_is_none_is_missing_and_told(odd, written):
    """A height is never taken for 0, and the plan is told where it stood."""
    point = trkpt(1, 2, f"<ele>{odd}</ele>")
    read = read_route(written(gpx(track(point, trkpt(1, 3, "<ele>7</ele>")))))

    np.testing.assert_array_equal(read.height_m, [np.nan, 7.0])
    told = f'The height "{odd}" on line 3 is no height on land and counts as missing'
    assert read.remarks == (told,)


def test_many_odd_heights_are_one_remark(written):
    """A thousand bad heights do not fill the page."""
    points = [trkpt(1, lon, "<ele>-9999</ele>") for lon in range(100)]

    assert read_route(written(gpx(track(*points)))).remarks == (
        '100 heights are no heights on land and count as missing, the first is "-9999" on line 3',
    )


def test_points_in_the_same_place_are_kept(written):
    """A stop in one place stays in the line: its legs have no length."""
    points = [trkpt(1, 2), trkpt(1, 2), trkpt(1, 3)]

    assert read_route(written(gpx(track(*points)))).points == 3


def test_waypoints_are_kept_beside_the_line(written):
    """Waypoints of the route's file are places, not points of the line."""
    wpt = '<wpt lat="-23.5" lon="133.5"><name>Invented Bore</name></wpt>'
    read = read_route(written(gpx(TWO_POINTS, wpt)))

    assert [(w.name, w.lat_deg, w.lon_deg) for w in read.waypoints] == [
        ("Invented Bore", -23.5, 133.5)
    ]
    assert read.points == 2


def test_waypoints_agree_with_gpxpy(written):
    """Name, place, height, symbol and texts of waypoints are those that gpxpy finds."""
    text = gpx(
        '<wpt lat="-23.5" lon="133.5"><ele>5</ele><name>A &amp; B</name><cmt>c</cmt>'
        "<desc>d</desc><sym>s</sym><type>t</type></wpt>",
        '<wpt lat="1" lon="2"/>',
    )
    ours = read_gpx_waypoints(written(text))

    theirs = gpxpy.parse(text).waypoints

    assert [(w.lat_deg, w.lon_deg, w.height_m) for w in ours] == [
        (w.latitude, w.longitude, w.elevation) for w in theirs
    ]
    assert [(w.name, w.cmt, w.desc, w.sym, w.type) for w in ours] == [
        tuple(word or "" for word in (w.name, w.comment, w.description, w.symbol, w.type))
        for w in theirs
    ]
    assert [w.line_number for w in ours] == [2, 3]


def test_waypoints_keep_what_stands_in_their_extensions(written):
    """A grade that a file carries in a waypoint's extensions is not lost."""
    inside = '<extensions><a xmlns="urn:x"><grade>potable</grade></a></extensions>'
    (wpt,) = read_gpx_waypoints(written(gpx(f'<wpt lat="1" lon="2">{inside}</wpt>')))

    assert wpt.extras == (("grade", "potable"),)


ENCODED = {
    "UTF-8 with a byte order mark": ("utf-8-sig", ""),
    "UTF-16": ("utf-16", ""),
    "UTF-16 declared": ("utf-16", '<?xml version="1.0" encoding="UTF-16"?>'),
    "UTF-16 that says it is UTF-8": ("utf-16", '<?xml version="1.0" encoding="UTF-8"?>'),
    "UTF-32": ("utf-32", ""),
    "Windows": ("cp1252", '<?xml version="1.0" encoding="windows-1252"?>'),
    "Latin": ("latin-1", "<?xml version='1.0' encoding='ISO-8859-1'?>"),
    "Mac": ("mac_roman", '<?xml version="1.0" encoding="macintosh"?>'),
    "Chinese": ("gb18030", '<?xml version="1.0" encoding="GB18030"?>'),
}


@pytest.mark.parametrize(("encoding", "declaration"), ENCODED.values(), ids=ENCODED)
def test_the_true_encoding_is_honoured(encoding, declaration, written):
    """A name comes out as it was written, in whatever encoding the file proves or declares."""
    text = declaration + gpx(track(trkpt(1, 2), trkpt(1, 3), name="Dürre Straße"))

    assert read_route(written(text.encode(encoding))).name == "Dürre Straße"


def test_gzip_is_read(written):
    """A compressed file is read as the file that it holds."""
    path = written(gzip.compress(gpx(TWO_POINTS).encode()), "trip.gpx.gz")

    assert (read_route(path).points, read_route(path).name) == (2, "trip")


COPY = "copy it again from where it came from"
TRUE_ENCODING = "save it as UTF-8, or let its first line name the true encoding"
WINDOWS_BYTES = gpx(track(trkpt(1, 2), name="Dürre")).encode("cp1252")

BAD_FILES = {
    "empty": (b"", f": the file is empty; {COPY}."),
    "blank": (b" \n ", f": the file is empty; {COPY}."),
    "truncated": (gpx(TWO_POINTS).encode()[:-40], f", line 4: the file breaks off here; {COPY}."),
    "binary": (
        bytes(range(256)),
        ": the file is binary, not XML; name the GPX or KML file itself, unpacked.",
    ),
    "zip": (
        b"PK\x03\x04rest",
        ": the zip archive breaks off or is damaged; copy it again from where it came from.",
    ),
    "text": (b"lat,lon\n1,2\n", ": this is no XML file; name the right file."),
    "HTML": (
        b"<!DOCTYPE html>\n<html><body>Sign in</body></html>",
        ": this is a web page, not the file itself; download the file again.",
    ),
    "other XML": (
        b"<kml/>",
        ', line 1: the file begins with the element "kml", not with gpx; name a GPX file.',
    ),
    "gzip cut": (
        gzip.compress(gpx(TWO_POINTS).encode())[:-20],
        f": the gzip file breaks off; {COPY}.",
    ),
    "gzip damaged": (b"\x1f\x8b\x08" + b"a" * 50, f": the gzip file is damaged; {COPY}."),
    "gzip twice": (
        gzip.compress(gzip.compress(b"<gpx/>")),
        ": the file is compressed twice, not XML; name the GPX or KML file itself, unpacked.",
    ),
    "bytes not UTF-8": (
        WINDOWS_BYTES,
        f", line 2: holds bytes that are not in the file's encoding; {TRUE_ENCODING}.",
    ),
    "not UTF-16": (
        b'<?xml version="1.0" encoding="UTF-16"?>' + WINDOWS_BYTES,
        f', line 1: declares the encoding "UTF-16" but is not in it; {TRUE_ENCODING}.',
    ),
    "not Japanese": (
        b'<?xml version="1.0" encoding="shift_jis"?>' + gpx("\xff").encode("latin-1"),
        f", line 1: holds bytes that are not shift_jis; {TRUE_ENCODING}.",
    ),
    "unknown encoding": (
        b'<?xml version="1.0" encoding="marsian"?><gpx/>',
        f', line 1: declares the encoding "marsian", which is unknown; {TRUE_ENCODING}.',
    ),
    "codec that is none": (
        b'<?xml version="1.0" encoding="base64"?><gpx/>',
        f', line 1: declares the encoding "base64", which is unknown; {TRUE_ENCODING}.',
    ),
    "entity": (
        gpx("<trk><name>&deg;</name></trk>").encode(),
        ", line 2: uses an entity that XML does not know; write the letter itself, and & as &amp;.",
    ),
    "prefix": (
        gpx(track(trkpt(1, 2, "<a:b/>"))).encode(),
        ", line 3: uses a prefix that is not declared; declare it with xmlns in the first element.",
    ),
    "tags": (
        b"<gpx><trk></trkseg></gpx>",
        f", line 1: a tag is closed that is not the one that is open; mend the tag, or {COPY}.",
    ),
    "late declaration": (
        b'\n<?xml version="1.0"?><gpx/>',
        ", line 2: something stands before <?xml; delete all before it.",
    ),
    "no line": (
        gpx().encode(),
        ": holds no track or route; export the planned line as a track or a route.",
    ),
    "waypoints only": (
        gpx('<wpt lat="1" lon="2"/>').encode(),
        (
            ": holds no track or route, only 1 waypoint; "
            "export the planned line as a track or a route."
        ),
    ),
    "one point": (
        gpx(track(trkpt(1, 2), name="Dot")).encode(),
        ': track "Dot" has only one point; draw it with at least two points apart.',
    ),
    "one place": (
        gpx(track(*[trkpt(1, 2)] * 3)).encode(),
        ": all 3 points of unnamed track lie in one place; draw it with at least two points apart.",
    ),
    "point outside a segment": (
        gpx(TWO_POINTS, trkpt(1, 2)).encode(),
        ", line 6: <trkpt> stands inside <gpx>, where GPX has none; move it to where it belongs.",
    ),
    "route point in a segment": (
        gpx(track(rtept(1, 2), trkpt(1, 3), trkpt(1, 4))).encode(),
        (
            ", line 3: <rtept> stands inside <trkseg>, where GPX has none; "
            "move it to where it belongs."
        ),
    ),
}


@pytest.mark.parametrize(("content", "told"), BAD_FILES.values(), ids=BAD_FILES)
def test_a_bad_file_is_answered_in_one_sentence(content, told, written):
    """Each names the file, the place where there is one, what is wrong, and the mend."""
    assert complaint(written(content)) == f"trip.gpx{told}"


SWAPPED = "lat and lon look swapped: exchange them, or correct the number"
PLAIN = "write decimal degrees in plain digits, such as -23.7041"
BAD_POINTS = {
    "underscore": ('lat="4_5" lon="1"', f'lat "4_5" is not a number; {PLAIN}'),
    "comma": (
        'lat="45,2" lon="1"',
        'lat "45,2" is not a number; write it with a decimal point, "45.2"',
    ),
    "nan": ('lat="nan" lon="1"', f'lat "nan" is not a number; {PLAIN}'),
    "infinite": ('lat="1" lon="-inf"', f'lon "-inf" is not a number; {PLAIN}'),
    "overflow": ('lat="1e999" lon="1"', f'lat "1e999" is not a number; {PLAIN}'),
    "other digits": ('lat="٤٥" lon="1"', f'lat "٤٥" is not a number; {PLAIN}'),
    "letters": ('lat="1" lon="23S"', f'lon "23S" is not a number; {PLAIN}'),
    "empty": ('lat="" lon="1"', "lat is empty; add lat in decimal degrees"),
    "missing": ('lat="1"', "lon is missing; add lon in decimal degrees"),
    "swapped": (
        'lat="133.5" lon="-23.5"',
        f"lat 133.5 lies outside -90 to 90; {SWAPPED}",
    ),
    "too far north": (
        'lat="90.01" lon="91"',
        "lat 90.01 lies outside -90 to 90; correct it in the file",
    ),
    "too far east": (
        'lat="1" lon="181"',
        "lon 181 lies outside -180 to 180; correct it in the file",
    ),
}
PLACES = {
    "trkpt": "<trk><trkseg>\n<trkpt {}/><trkpt lat='1' lon='2'/></trkseg></trk>",
    "rtept": "<rte>\n<rtept {}/><rtept lat='1' lon='2'/></rte>",
    "wpt": TWO_POINTS.replace("\n", "") + "\n<wpt {}/>",
}


@pytest.mark.parametrize("place", PLACES.values(), ids=PLACES)
@pytest.mark.parametrize(("attributes", "told"), BAD_POINTS.values(), ids=BAD_POINTS)
def test_a_bad_coordinate_is_told_with_line_value_and_mend(attributes, told, place, written):
    """The same strictness holds for track points, route points and waypoints."""
    path = written(gpx(place.format(attributes)))

    assert complaint(path) == f"trip.gpx, line 3: {told}."


def test_a_bad_shape_point_is_told(written):
    """Shape points are as strict as route points."""
    inside = '<extensions><a lat="95" lon="1"/></extensions>'
    path = written(gpx(route(rtept(1, 2, inside), rtept(1, 3))))

    assert complaint(path).startswith("trip.gpx, line 3: lat 95 lies outside")


@pytest.mark.parametrize("number", ["+45", " 45 ", "45.", "4.5e1", "045"])
def test_numbers_as_people_write_them_are_read(number, written):
    """Sign, blanks around, exponent and a bare point are fine."""
    assert read_route(written(gpx(track(trkpt(number, 2), trkpt(1, 2))))).lat_deg[0] == 45.0


def test_all_faults_are_told_at_once_ten_at_most(written):
    """Ten faults are listed, the others counted, in the order of the file."""
    path = written(gpx(track(*[trkpt("x", lon) for lon in range(25)])))
    lines = complaint(path).splitlines()

    assert lines[0] == "trip.gpx:"
    assert lines[1].startswith("  line 3: ")
    assert lines[10].startswith("  line 12: ")
    assert lines[11:] == ["  and 15 more."]


def test_control_characters_of_a_value_do_not_reach_the_terminal(written):
    """What stands in a file cannot move the cursor or fill the screen."""
    told = complaint(written(gpx(track(trkpt("&#x9b;2J" + "9" * 10_000, 2), trkpt(1, 2)))))

    assert "\x9b" not in told
    assert len(told) < 300


BOMB = (
    '<!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa">'
    + "".join(
        f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    )
    + "]>"
)
TRAPS = {
    "entity bomb": (BOMB + gpx("<trk><name>&i;</name></trk>"), "holds a DOCTYPE"),
    "outside entity": (
        f'<!DOCTYPE gpx [<!ENTITY a SYSTEM "file:///etc/hostname">]>{GPX_11}&a;</gpx>',
        "holds a DOCTYPE",
    ),
    "100,000 deep": (gpx("<a>" * 100_000), "more than 100 deep"),
    "100,000 deep in a point": (
        gpx("<trk><trkseg>", '<trkpt lat="1" lon="2">' + "<a>" * 100_000),
        "more than 100 deep",
    ),
    "endless tag": ("<gpx " + "a" * 20_000_000, "a single tag or comment goes on for over 4 MB"),
}  # fmt: skip


@pytest.mark.parametrize(("content", "told"), TRAPS.values(), ids=TRAPS)
def test_traps_are_refused_in_little_memory(content, told, written):
    """Files made to harm cost no more than others; nothing in them is followed or unfolded."""
    path = written(content)
    tracemalloc.start()
    answer = complaint(path)
    _, peak_bytes = tracemalloc.get_traced_memory()
    tracemalloc.stop()

    assert told in answer
    assert peak_bytes < 300e6


def test_a_gzip_bomb_is_refused(written, monkeypatch):
    """No more is unpacked than the limit says (lowered here, so that the test is quick)."""
    monkeypatch.setattr("longdry.reading.files.opening.MOST_BYTES", 10_000_000)
    path = written(gzip.compress(b"<gpx>" + b" " * 50_000_000, 0))

    assert complaint(path).startswith("trip.gpx: holds more than 1 GiB when unpacked")


def test_what_is_no_readable_file_is_told(tmp_path):
    """Missing, a folder, an impossible name: one sentence each."""
    assert complaint(tmp_path / "no.gpx") == (
        "no.gpx: there is no such file; check the name and the folder."
    )
    assert complaint(tmp_path) == f"{tmp_path.name}: this is a folder; name the file inside it."
    with pytest.raises(RouteFileError, match="this cannot be the name of a file"):
        read_route("a\0b.gpx")
