"""Whatever bytes stand in a file, the reader gives a route or says what is wrong.

Random files by hypothesis; one kept example for each thing that they once found.
``tests/helpers/fuzzing.py`` says how to run them for long.
"""

import gzip
import tempfile
from pathlib import Path

import pytest
from fuzzing import many
from gpx_writing import gpx, route, rtept, track, trkpt
from hypothesis import example, given
from hypothesis import strategies as st

from longdry.errors import InputError
from longdry.model.route import Route
from longdry.reading.gpx.waypoints import read_gpx_waypoints
from longdry.reading.route.route_file import read_route

many_files = many()

GOOD = gpx(
    track(trkpt(-23.0, 133.0, "<ele>400</ele>"), trkpt(-23.1, 133.1), name="Ä &amp; b"),
    '<wpt lat="1" lon="2"><name>w</name><extensions><g>potable</g></extensions></wpt>',
    route(rtept(1, 2, '<extensions><a lat="1" lon="3"/></extensions>'), rtept(1, 4)),
)
TOKENS = (
    "<trk>", "</trk>", "<trkseg>", "</trkseg>", '<trkpt lat="1" lon="2">', "</trkpt>", "<ele>",
    "</ele>", "<rte>", "</rte>", '<rtept lat="1" lon="2">', "</rtept>", "<extensions>",
    "</extensions>", '<a lat="1" lon="2"/>', '<a lat="x" lon="2"/>', "<name>", "</name>", "text",
    '<wpt lat="1" lon="2">', "</wpt>", "<gpx>", "</gpx>", "12", "nan", "<!-- c -->", "&amp;",
    "<![CDATA[1]]>", "<!DOCTYPE a>", "<?pi?>", "\x00", "\ufeff", "\ud800", '<trkpt lat="1">',
)  # fmt: skip
ENCODINGS = ("utf-8", "utf-16", "cp1252", "shift_jis", "utf-7", "idna", "hex", "utf-32", "cp037")


def answer(content, name="fuzz.gpx"):
    """Return the route, or the complaint as text; let everything else fly."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        path.write_bytes(content)
        try:
            read_gpx_waypoints(path)
        except InputError as problem:
            told = str(problem)
            if str(path) not in told:
                raise
        try:
            return read_route(path)
        except InputError as problem:
            return str(problem)


def is_answered(content, name="fuzz.gpx"):
    given_back = answer(content, name)
    if isinstance(given_back, Route):
        return given_back.points >= 2
    return name in given_back and given_back.endswith(".")


@many_files
@given(content=st.binary(max_size=300))
@example(content=b"")
@example(content=b"\x1f\x8b")
@example(content=b"\xff\xfe<\x00\x00\xd8")
def test_any_bytes_are_answered(content):
    """Random bytes give a complaint about that file, never another exception."""
    assert is_answered(content)


@many_files
@given(
    start=st.integers(0, len(GOOD)),
    length=st.integers(0, 40),
    filling=st.one_of(st.binary(max_size=12), st.sampled_from(TOKENS)),
)
@example(start=113, length=2, filling="<trk>")
def test_a_good_file_with_a_piece_replaced_is_answered(start, length, filling):
    """A file that was damaged anywhere is read or complained about."""
    good = GOOD.encode()
    piece = filling if isinstance(filling, bytes) else filling.encode("utf-8", "surrogatepass")

    assert is_answered(good[:start] + piece + good[start + length :])


@many_files
@given(tokens=st.lists(st.sampled_from(TOKENS), max_size=25))
def test_elements_in_any_order_are_answered(tokens):
    """GPX elements thrown together are read or complained about."""
    content = "<gpx>" + "".join(tokens) + "</gpx>"

    assert is_answered(content.encode("utf-8", "surrogatepass"))


@many_files
@given(
    declared=st.one_of(st.sampled_from(ENCODINGS), st.text("abcdefuti-_0123456789", max_size=8)),
    encoding=st.sampled_from(("utf-8", "utf-16", "utf-16-be", "cp1252", "utf-32", "cp037")),
)
@example(declared="a", encoding="utf-16-be")
@example(declared="shift_jis", encoding="utf-16-be")
def test_any_declared_encoding_is_answered(declared, encoding):
    """A true, a wrong or an impossible encoding is read or complained about."""
    content = f'<?xml version="1.0" encoding="{declared}"?>' + GOOD

    assert is_answered(content.encode(encoding))


@many_files
@given(cut=st.integers(0, 400), flips=st.lists(st.tuples(st.integers(0, 399), st.integers(0, 255))))
def test_a_damaged_gzip_file_is_answered(cut, flips):
    """A compressed file with bytes lost or changed is read or complained about."""
    packed = bytearray(gzip.compress(GOOD.encode(), mtime=0))
    for place, byte in flips:
        packed[place % len(packed)] = byte

    assert is_answered(bytes(packed[: cut or None]))


@many_files
@given(text=st.text(max_size=20))
def test_any_text_as_latitude_is_a_number_in_range_or_told(text):
    """What comes through is what Python reads, finite and in range; nothing turns into 0."""
    shown = "".join(f"&#{ord(c)};" for c in text)
    given_back = answer(gpx(track(trkpt(shown, 1), trkpt(5, 6))).encode("utf-8", "surrogatepass"))
    if isinstance(given_back, Route):
        assert given_back.lat_deg[0] == pytest.approx(float(text), abs=0)
    else:
        assert "fuzz.gpx" in given_back


COORDINATES = st.lists(
    st.tuples(
        st.floats(allow_nan=True) | st.floats(-100, 100),
        st.floats(-200, 200) | st.sampled_from(("[]", "null", '"1"')),
    ),
    max_size=4,
)


@many(0.5)
@given(points=COORDINATES, kind=st.sampled_from(("LineString", "Point", "Polygon", "Nothing")))
def test_any_geojson_line_is_answered(points, kind):
    """Line layers with odd coordinates or geometries are read or complained about."""
    coordinates = ", ".join(f"[{lon}, {lat}]" for lat, lon in points)
    geometry = f'{{"type": "{kind}", "coordinates": [{coordinates}]}}'
    feature = f'{{"type": "Feature", "properties": {{}}, "geometry": {geometry}}}'
    content = f'{{"type": "FeatureCollection", "features": [{feature}]}}'

    assert is_answered(content.encode(), "fuzz.geojson")
