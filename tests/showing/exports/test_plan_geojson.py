"""The plan as GeoJSON, opened again by GDAL (pyogrio) and shapely, and held against RFC 7946."""

from __future__ import annotations

import json

import numpy as np
import pyogrio
import pyproj
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from plan_examples import HOSTILE_NAMES, Names, antimeridian_plan, bare_plan, gap_plan

from longdry.model.plan.setbacks import TurnBack
from longdry.showing.exports.plan_geojson import line_geometry, plan_geojson
from longdry.showing.words.markup import clipped_name

GEOD = pyproj.Geod(ellps="WGS84")
NUMBERS = [f"hostile {number}" for number in range(len(HOSTILE_NAMES))]
PLANS = {"gap": gap_plan, "bare": bare_plan, "antimeridian": antimeridian_plan}


def features(plan, kind, turn_backs=()):
    document = json.loads(plan_geojson(plan, turn_backs))
    return [f for f in document["features"] if f["properties"]["feature"] == kind]


@pytest.mark.parametrize("name", PLANS)
def test_document_follows_rfc_7946(name):
    """Sections 3.1.1, 3.1.9, 4: positions within the globe, no leg over 180 degrees, no crs."""
    document = json.loads(plan_geojson(PLANS[name]()))

    assert document["type"] == "FeatureCollection"
    assert "crs" not in document
    for feature in document["features"]:
        shape = shapely.geometry.shape(feature["geometry"])
        west, south, east, north = shape.bounds
        assert shape.is_valid
        assert -180 <= west <= east <= 180
        assert -90 <= south <= north <= 90
        for line in shapely.get_parts(shape):
            assert np.abs(np.diff(shapely.get_coordinates(line)[:, 0])).max(initial=0) <= 180


def test_stretch_that_crosses_the_antimeridian_is_cut_there():
    """RFC 7946 section 3.1.9: both parts end on the meridian, at one latitude."""
    lines = [f["geometry"] for f in features(antimeridian_plan(), "stretch")]
    cut = [line for line in lines if line["type"] == "MultiLineString"]

    assert len(cut) == 1
    before, behind = cut[0]["coordinates"]
    assert (before[-1][0], behind[0][0]) == (180.0, -180.0)
    assert before[-1][1] == behind[0][1]


def test_stretches_are_as_long_as_the_route():
    """Measured by pyproj on the ellipsoid, the lines together are the route, within 1 m."""
    for plan in (gap_plan(), antimeridian_plan()):
        lines = [shapely.geometry.shape(f["geometry"]) for f in features(plan, "stretch")]
        total_km = sum(GEOD.geometry_length(line) for line in lines) / 1000.0

        assert total_km == pytest.approx(plan.measured.length_km, abs=0.001)


def test_gdal_reads_every_feature_with_its_figures():
    """GDAL finds all there is of the plan, and its very litres."""
    plan = gap_plan()
    rows = pyogrio.read_dataframe(plan_geojson(plan, [TurnBack(2, 300.0)]).encode())
    stretches = rows[rows["feature"] == "stretch"]

    assert rows["feature"].value_counts().to_dict() == {
        "stretch": len(plan.stretches),
        "stop": len(plan.stops),
        "pass": len(plan.passes),
        "source": len(plan.sources),
        "camp": sum(day.camp for day in plan.days),
        "turn-back": 1,
    }
    assert stretches["need_total_l"].tolist() == [s.need.total_l for s in plan.stretches]
    assert stretches["missing_l"].tolist() == [s.missing_l for s in plan.stretches]
    assert rows.crs.to_epsg() == 4326


def test_turn_back_stands_on_the_route():
    """The point is as far along the route as its km says: geodesic length by pyproj."""
    plan = gap_plan()
    route, km = plan.measured.route, 300.25
    lon, lat = features(plan, "turn-back", [TurnBack(2, km)])[0]["geometry"]["coordinates"]
    before = int(np.searchsorted(plan.measured.chainage_km, km)) - 1
    from_point_m = GEOD.inv(route.lon_deg[before], route.lat_deg[before], lon, lat)[2]

    assert plan.measured.chainage_km[before] + from_point_m / 1000 == pytest.approx(km, abs=1e-4)


@given(
    lons=st.lists(st.floats(-180, 180), min_size=2, max_size=12),
    lat=st.floats(-90, 90),
)
def test_no_line_ever_spans_more_than_half_the_globe(lons, lat):
    """Whatever the route, each leg goes the short way round and stays within the globe."""
    lats = np.linspace(lat, lat / 2, len(lons))
    geometry = line_geometry(lats, np.array(lons))
    shape = shapely.geometry.shape(geometry) if geometry else shapely.MultiLineString()

    for line in shapely.get_parts(shape):
        xy = shapely.get_coordinates(line)
        assert len(xy) >= 2
        assert np.abs(np.diff(xy[:, 0])).max() <= 180
        assert np.abs(xy[:, 0]).max() <= 180


@pytest.mark.parametrize("name", HOSTILE_NAMES, ids=NUMBERS)
def test_hostile_name_is_inert_and_legible(name):
    """In every field: GDAL reads the name as the page shows it; no markup, no control character."""
    text = plan_geojson(gap_plan(Names(route=name, trip=name, wells=(name,), other=name)))
    rows = pyogrio.read_dataframe(text.encode())
    sources = rows[rows["feature"] == "source"]

    assert set(sources["name"]) == {clipped_name(name)}
    assert text.isascii()
    assert "\x00" not in "".join(sources["access"].dropna())
