"""Tiles for the backdrop: which are wanted, what the files hold, and how many find room."""

from __future__ import annotations

import contextlib
import math
import sqlite3
import struct

import numpy as np
import pyproj
import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from plan_examples import measured_route
from tile_files import png, world, write_mbtiles, write_pmtiles

from longdry.computing.backdrop.tiles import CORRIDOR_KM, tiles_by_zoom
from longdry.errors import BackdropError
from longdry.model.backdrop import TileKey, TileSpan
from longdry.reading.backdrop.tiles import (
    is_tile_archive,
    opened_archive,
    plain_text,
    raster_backdrop,
)

WRITERS = {"mbtiles": write_mbtiles, "pmtiles": write_pmtiles}
GEOD = pyproj.Geod(ellps="WGS84")
PLENTY = 1e9


def tile_of(lat: float, lon: float, zoom: int) -> TileKey:
    """Tile of a place: OGC 17-083r4 annex D.1, in the scalar form of spherical Mercator."""
    side = 2**zoom
    y = (1 - math.asinh(math.tan(math.radians(lat))) / math.pi) / 2
    return TileKey(zoom, math.floor((lon / 360 + 0.5) * side) % side, math.floor(y * side))


@pytest.fixture(params=WRITERS)
def write(request, tmp_path):
    return lambda tiles, **told: WRITERS[request.param](
        tmp_path / f"t.{request.param}", tiles, **told
    )


def test_row_of_the_specification(tmp_path):
    """MBTiles 1.3, section 'Content': tile 11/327/791 is stored at row 1256."""
    path = write_mbtiles(tmp_path / "a.mbtiles", {TileKey(11, 327, 791): png(1, 2, 3)})
    with contextlib.closing(sqlite3.connect(path)) as base:
        stored = base.execute("SELECT tile_row FROM tiles").fetchone()[0]

    assert stored == 1256
    with opened_archive(path) as archive:
        assert archive.tile(TileKey(11, 327, 791)) == png(1, 2, 3)
        assert archive.tile(TileKey(11, 327, 1256)) is None


def test_every_tile_comes_back_as_it_was_written(write):
    """Written by sqlite3 and by the package's own writer, read by ours."""
    tiles = world(0, 4)
    path = write(tiles)

    assert is_tile_archive(path)
    with opened_archive(path) as archive:
        assert archive.facts()[:2] == (0, 4)
        assert {key: archive.tile(key) for key in tiles} == tiles


def test_large_pmtiles_with_leaves_come_back(tmp_path):
    """So many tiles that the directory has leaves: PMTiles 3, section 4."""
    tiles = {
        TileKey(9, column, row): struct.pack(">HH", column, row) * 3
        for column in range(0, 512, 2)
        for row in range(0, 512, 2)
    }
    path = write_pmtiles(tmp_path / "l.pmtiles", tiles)
    with opened_archive(path) as archive:
        assert all(archive.tile(key) == tiles[key] for key in list(tiles)[::997])
        assert archive.tile(TileKey(9, 1, 1)) is None


@pytest.mark.parametrize("lon0", [129.4, 177.0])
@pytest.mark.parametrize("zoom", [5, 8, 11])
def test_tiles_cover_the_corridor(lon0, zoom):
    """Every place up to 7.5 km beside the route lies on a wanted tile, also across 180 degrees.

    The places are set out by geodesics (pyproj).
    """
    measured = measured_route(lon0=lon0)
    wanted = {key for span in tiles_by_zoom(measured, zoom, zoom) for key in span.keys}
    route = measured.route
    missed = []
    for azimuth in range(0, 360, 45):
        turned = np.full(route.points, float(azimuth))
        off = np.full(route.points, CORRIDOR_KM * 999.0)
        lons, lats, _ = GEOD.fwd(route.lon_deg, route.lat_deg, turned, off)
        places = zip(lats, lons, strict=True)
        missed += [place for place in places if tile_of(*place, zoom) not in wanted]

    assert missed == []


def test_corridor_of_900_km_stays_small():
    """Tiles beyond the corridor's surroundings are left where they are."""
    spans = list(tiles_by_zoom(measured_route(), 0, 11))

    assert spans[0].zoom in range(3, 7)
    assert len(spans[-1].keys) < 400


def test_coarsest_zoom_of_a_fine_file_is_where_it_begins():
    """A file from zoom 9 is begun at 9; one that ends at 3 gives zoom 3."""
    assert next(tiles_by_zoom(measured_route(), 9, 12)).zoom == 9
    assert [span.zoom for span in tiles_by_zoom(measured_route(), 0, 3)] == [3]


def test_zooms_without_end_are_cut_off():
    """Zoom 24 along 900 km would be hundreds of millions of tiles."""
    spans = list(tiles_by_zoom(measured_route(), 0, 24))

    assert spans[-1].zoom < 16
    assert max(len(span.keys) for span in spans) <= 20_000


def spans_of(tiles) -> list[TileSpan]:
    zooms = sorted({key.zoom for key in tiles})
    return [TileSpan(zoom, tuple(k for k in tiles if k.zoom == zoom)) for zoom in zooms]


def test_deepest_zooms_are_dropped_to_stay_under_the_size_and_that_is_told(write):
    """Zooms 0 to 2 fit, 3 does not: it and all finer are left out, in words."""
    tiles = world(0, 4)
    spans = spans_of(tiles)
    up_to_2 = sum(20 + len(data) * 4 / 3 for key, data in tiles.items() if key.zoom <= 2)
    with opened_archive(write(tiles)) as archive:
        found = raster_backdrop(archive, iter(spans), up_to_2 + 1)

    assert found.zooms == (0, 2)
    assert "zoom 3 and finer left out" in found.notes[0]
    assert sum(len(p.data) * 4 / 3 for p in found.pictures) <= up_to_2 + 1


def test_equal_pictures_are_kept_once(write):
    """A plain of 64 equal tiles is one picture."""
    tiles = dict.fromkeys(world(3, 3), png(200, 180, 140))
    with opened_archive(write(tiles)) as archive:
        found = raster_backdrop(archive, iter(spans_of(tiles)), PLENTY)

    assert len(found.pictures) == 1
    assert len(found.pictures[0].keys) == 64


def test_attribution_is_told_without_markup(write):
    """Attributions come with links; the page shows their words."""
    path = write(world(0, 0), attribution='<a href="https://x.invalid">&copy; A &amp; B</a>')
    with opened_archive(path) as archive:
        found = raster_backdrop(archive, iter(spans_of(world(0, 0))), PLENTY)

    assert found.attribution == "© A & B"


def test_markup_that_is_no_markup_stays_inert():
    """Whatever is left is text; the page escapes it."""
    assert plain_text("<script>alert(1)</script> a < b") == "alert(1) a < b"


def test_file_of_another_country_is_refused(write):
    """No tile along the route: better told than a blank map."""
    path = write({TileKey(8, 1, 1): png(0, 0, 0)})
    spans = tiles_by_zoom(measured_route(), 8, 8)
    with opened_archive(path) as archive, pytest.raises(BackdropError, match="no tile along"):
        raster_backdrop(archive, spans, PLENTY)


def test_size_too_small_for_the_coarsest_zoom_is_refused(write):
    """The mend names the option."""
    path = write(world(0, 0))
    with opened_archive(path) as archive, pytest.raises(BackdropError, match="--backdrop-mb"):
        raster_backdrop(archive, iter(spans_of(world(0, 0))), 10)


@pytest.mark.parametrize("data", [b"\x1a\x05vector", b"<svg xmlns='x'/>", b"GIF89a"])
def test_tile_that_is_no_picture_is_refused(write, data):
    """Vector tiles, SVG (which may hold scripts) and others: one sentence with the tile."""
    tiles = {TileKey(0, 0, 0): data}
    with opened_archive(write(tiles)) as archive, pytest.raises(BackdropError, match="0/0/0"):
        raster_backdrop(archive, iter(spans_of(tiles)), PLENTY)


def test_nothing_is_written_beside_a_file_of_tiles(tmp_path):
    """Opened for reading only: no journal, not a byte changed."""
    path = write_mbtiles(tmp_path / "a.mbtiles", world(0, 1))
    before = path.read_bytes()
    with opened_archive(path) as archive:
        archive.tile(TileKey(0, 0, 0))

    assert list(tmp_path.iterdir()) == [path]
    assert path.read_bytes() == before


def test_view_that_never_ends_is_cut_off(tmp_path):
    """A hostile MBTiles whose 'tiles' counts for ever ends in one sentence."""
    path = tmp_path / "endless.mbtiles"
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE metadata (name text, value text)")
    connection.execute(
        "CREATE VIEW tiles AS WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) "
        "SELECT i AS zoom_level, i AS tile_column, i AS tile_row, x'00' AS tile_data FROM n"
    )
    connection.commit()
    connection.close()
    with opened_archive(path) as archive, pytest.raises(BackdropError, match="no sound MBTiles"):
        archive.facts()


@pytest.fixture(scope="module", params=WRITERS)
def whole_file(request, tmp_path_factory):
    """Write a sound file once; its bytes, and the place of the damaged ones made of it."""
    path = tmp_path_factory.mktemp("damaged") / f"whole.{request.param}"
    WRITERS[request.param](path, world(0, 2), attribution="x")
    return path.read_bytes(), path.with_stem("damaged")


@drawn_proof(320)
@given(data=st.data())
def test_damaged_file_is_one_sentence(whole_file, data):
    """Bytes changed or cut anywhere: a tile, none, or a BackdropError; never another error."""
    content, damaged = bytearray(whole_file[0]), whole_file[1]
    for _ in range(data.draw(st.integers(1, 8))):
        content[data.draw(st.integers(0, len(content) - 1))] = data.draw(st.integers(0, 255))
    content = content[: data.draw(st.integers(1, len(content)))]
    damaged.write_bytes(content)
    told = None
    try:
        if not is_tile_archive(damaged):
            return
        with opened_archive(damaged) as archive:
            facts = archive.facts()
            spans = tiles_by_zoom(measured_route(points=20), facts.least_zoom, facts.greatest_zoom)
            raster_backdrop(archive, spans, 1e6)
    except BackdropError as error:
        told = str(error)

    assert told is None or str(damaged) in told
