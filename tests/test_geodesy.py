"""Lengths and points on the ellipsoid against the reference for geodesics.

Reference: Karney (2013), "Algorithms for geodesics", J. Geodesy 87:43-55, as the table of
GeodTest rows in ``reference`` and as its implementation geographiclib. Coordinates in space:
EPSG Guidance Note 7-2, checked with PROJ's own conversion.
"""

from __future__ import annotations

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from project_places import REFERENCE
from pyproj import Transformer

from longdry.geodesy import (
    azimuths_and_lengths,
    ecef_km,
    leg_lengths_km,
    points_along,
)

GEOD_TEST = REFERENCE / "geod_test_rows.csv"


@pytest.fixture(scope="module")
def rows():
    """Columns lat1, lon1, azi1, lat2, lon2, azi2 (degrees), s12 (m)."""
    columns = np.loadtxt(GEOD_TEST, delimiter=",", skiprows=2).T
    columns[4] = (columns[4] + 180.0) % 360.0 - 180.0
    return columns


def test_lengths_of_the_reference_table(rows):
    """Lengths across the globe agree with the GeodTest rows to 0.1 micrometre."""
    lat1, lon1, _, lat2, lon2, _, s12 = rows

    lengths_km = [
        leg_lengths_km(np.array([a, c]), np.array([b, d]))[0]
        for a, b, c, d in zip(lat1, lon1, lat2, lon2, strict=True)
    ]

    assert np.array(lengths_km) * 1000.0 == pytest.approx(s12, abs=1e-7)


def test_azimuths_of_the_reference_table(rows):
    """Azimuths at the first point agree with the GeodTest rows."""
    lat1, lon1, azi1, lat2, lon2, _, _ = rows

    assert azimuths_and_lengths(lat1, lon1, lat2, lon2)[0] == pytest.approx(azi1, abs=1e-10)


def test_points_of_the_reference_table(rows):
    """Walking azimuth and length of a GeodTest row ends at its second point."""
    lat1, lon1, azi1, lat2, lon2, azi2, s12 = rows

    lat, lon, azimuth = points_along(lat1, lon1, azi1, s12 / 1000.0)

    assert lat == pytest.approx(lat2, abs=1e-12)
    assert np.abs((lon - lon2 + 180.0) % 360.0 - 180.0).max() < 1e-11
    assert np.abs((azimuth - azi2 + 180.0) % 360.0 - 180.0).max() < 1e-11


@drawn_proof(800)
@given(
    st.floats(-90.0, 90.0),
    st.floats(-180.0, 180.0),
    st.floats(0.0, 360.0),
    st.one_of(st.floats(0.0, 100.0), st.floats(0.0, 60e3), st.floats(0.0, 2e7)),
)
def test_leg_lengths_are_those_of_the_reference(lat_deg, lon_deg, azimuth_deg, length_m):
    """A leg anywhere, of any length, agrees with geographiclib within 0.02 mm."""
    end = Geodesic.WGS84.Direct(lat_deg, lon_deg, azimuth_deg, length_m)
    shortest_m = Geodesic.WGS84.Inverse(lat_deg, lon_deg, end["lat2"], end["lon2"])["s12"]

    (length_km,) = leg_lengths_km(
        np.array([lat_deg, end["lat2"]]), np.array([lon_deg, end["lon2"]])
    )

    assert length_km * 1000.0 == pytest.approx(shortest_m, abs=2e-5)


def test_no_legs_have_no_lengths():
    """One point has no leg."""
    assert leg_lengths_km(np.array([1.0]), np.array([2.0])).shape == (0,)


def test_points_in_space_are_those_of_proj():
    """Earth-centred coordinates agree with PROJ (EPSG:4979 to EPSG:4978) to a micrometre."""
    lat, lon = (
        grid.ravel() for grid in np.meshgrid(np.linspace(-90, 90, 19), np.linspace(-180, 180, 25))
    )
    geocentric = Transformer.from_crs("EPSG:4979", "EPSG:4978", always_xy=True)

    expected_m = np.column_stack(geocentric.transform(lon, lat, np.zeros_like(lat)))

    assert ecef_km(lat, lon) * 1000.0 == pytest.approx(expected_m, abs=1e-6)
