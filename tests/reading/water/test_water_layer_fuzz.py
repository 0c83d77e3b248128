"""Whatever a layer holds, reading it ends in a WaterLayer or in one of our own errors.

``tests/helpers/fuzzing.py`` says how to run it for long.
"""

from __future__ import annotations

import gzip
import json
import math

import pytest
from fuzzing import many
from hypothesis import given
from hypothesis import strategies as st

from longdry.errors import InputError
from longdry.model.water.source import WaterLayer
from longdry.reading.water.layer import read_water
from longdry.reading.water.source import READERS, source_from_properties

BEGINNINGS = (
    b"", b"\xef\xbb\xbf", b"\xff\xfe", b"{", b"lat,lon\n", b"lat;lon\n", b"<gpx>", b"<kml>", b"<a>",
    b"<kml><Placemark><Point><coordinates>", b'{"type":"FeatureCollection","features":[',
    b"SQLite format 3\x00", b"\x00\x00\x27\x0a", b"fgb\x03fgb\x00", b"PK\x03\x04", b"\x1f\x8b\x08",
)  # fmt: skip
SUFFIXES = ("geojson", "csv", "gpx", "kml", "gpkg", "shp", "fgb", "zip", "gml", "bin")

json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner),
    max_leaves=6,
)
likely_values = st.sampled_from(
    ["", "potable", "Treat before drinking", "20 L", "4,5", "4-9", "certain", 5, -1, 1e400, [4], {}]
)
properties = st.dictionaries(
    st.sampled_from([*READERS, "GRADE", "foreign"]), json_values | likely_values, max_size=6
)
coordinates = st.lists(st.floats() | st.floats(-90, 90) | json_values, max_size=4)
rings = st.lists(st.lists(coordinates, max_size=5), max_size=2)
geometries = json_values | st.fixed_dictionaries(
    {
        "type": st.sampled_from(["Point", "MultiPoint", "Polygon", "MultiPolygon", "LineString"]),
        "coordinates": coordinates | rings | st.lists(rings, max_size=2),
    }
)
features = json_values | st.fixed_dictionaries(
    {"type": st.just("Feature"), "geometry": geometries, "properties": properties | json_values},
    optional={"id": json_values},
)
crs_members = json_values | st.sampled_from(["EPSG:3577", "EPSG:4326", "x", "EPSG:5703"]).map(
    lambda name: {"type": "name", "properties": {"name": name}}
)
collections = st.fixed_dictionaries(
    {"type": st.just("FeatureCollection"), "features": st.lists(features, max_size=4)},
    optional={"crs": crs_members},
)
cells = st.text(max_size=12) | st.sampled_from(["-25.5", "130", "-25,5", "potable", '"', "\x00"])
tables = st.tuples(
    st.sampled_from(",;\t"),
    st.lists(st.sampled_from([*READERS, "lat", "lon", "Latitude", "x"]), max_size=6),
    st.lists(st.lists(cells, max_size=6), max_size=4),
).map(lambda parts: "\n".join(parts[0].join(row) for row in [parts[1], *parts[2]]))

fuzzing = many(1.5)


def check_refusal(refused):
    """Each fault says what and how to mend it, in letters that can be printed."""
    assert refused.faults
    assert all(fault.what and fault.mend for fault in refused.faults)
    assert str(refused).encode()


def check(path, content):
    """Read the content; whatever comes back is whole and true to the model.

    Nothing of an earlier example stays beside it, where a reader might look.
    """
    for old in path.parent.iterdir():
        old.unlink()
    path.write_bytes(content)
    try:
        layer = read_water(path)
    except InputError as refused:
        check_refusal(refused)
        return
    assert isinstance(layer, WaterLayer)
    assert len({source.id for source in layer.sources}) == len(layer.sources)
    for source in layer.sources:
        assert abs(source.lat_deg) <= 90
        assert abs(source.lon_deg) <= 180
        assert source.id
        assert source.name.isprintable() or source.name.encode()
        for amount in (source.flow_l_per_min, source.limit_l, source.tds_mg_per_l):
            assert amount is None or (math.isfinite(amount) and amount >= 0)


@fuzzing
@given(
    st.sampled_from(BEGINNINGS), st.binary(max_size=200), st.sampled_from(SUFFIXES), st.booleans()
)
def test_any_bytes(tmp_path, capfd, beginning, rest, suffix, packed):
    """Bytes after any beginning, in a file of any name, compressed or not."""
    content = beginning + rest
    check(tmp_path / f"water.{suffix}", gzip.compress(content) if packed else content)
    assert capfd.readouterr() == ("", "")


@fuzzing
@given(collections)
def test_any_geojson(tmp_path, collection):
    """Features of any shape with any properties under any reference system."""
    check(tmp_path / "water.geojson", json.dumps(collection).encode())


@fuzzing
@given(tables, st.sampled_from(["utf-8", "utf-16", "latin-1"]))
def test_any_table(tmp_path, table, encoding):
    """Rows of any cells under any header."""
    check(tmp_path / "water.csv", table.encode(encoding, "replace"))


@fuzzing
@given(st.data())
@pytest.mark.parametrize("suffix", ["geojson", "csv", "gpx", "kml"])
def test_a_good_layer_with_a_few_bytes_changed(tmp_path, suffix, data):
    """Bytes cut, doubled or changed in a good file of each text format."""
    content = bytearray(GOOD[suffix])
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(content) - 1))
        until = at + data.draw(st.integers(0, 20))
        content[at:until] = data.draw(st.binary(max_size=3) | st.just(bytes(content[at:until]) * 2))
        content = content or bytearray(b"{")
    check(tmp_path / f"water.{suffix}", bytes(content))


@fuzzing
@given(properties, json_values | st.floats(-90, 90), json_values | st.floats(-180, 180))
def test_any_properties(properties, lat, lon):
    """The one reader of properties gives a source or faults, never both, never neither."""
    source, faults = source_from_properties(
        properties, lat_deg=lat, lon_deg=lon, where="feature 1", fallback_id="w#1", layer="w"
    )

    assert (source is None) == bool(faults)


GOOD = {
    "geojson": json.dumps(
        {
            "type": "FeatureCollection",
            "features": [
                {
                    "type": "Feature",
                    "id": 4,
                    "geometry": {"type": "Point", "coordinates": [130.5, -25.5]},
                    "properties": {"name": "Bore", "grade": "potable", "months": [4, 5]},
                }
            ],
        }
    ).encode(),
    "csv": b'id,name,lat,lon,grade,limit_l\na,"Old, Bore",-25.5,130.5,potable,20\nb,,-26,131,,\n',
    "gpx": b'<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><wpt lat="-25.5" '
    b'lon="130.5"><name>Bore</name><type>potable</type></wpt></gpx>',
    "kml": b'<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark id="p"><name>Bore'
    b'</name><ExtendedData><Data name="grade"><value>potable</value></Data></ExtendedData><Point>'
    b"<coordinates>130.5,-25.5,0</coordinates></Point></Placemark></Document></kml>",
}
