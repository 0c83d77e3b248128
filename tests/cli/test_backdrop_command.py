"""``longdry plan --backdrop``: what finds room is told, what cannot be is one sentence."""

from __future__ import annotations

import json

import pytest
from lxml import html
from small_files import ROUTE, WATER
from tile_files import png, world, write_mbtiles, write_pmtiles

import longdry
from longdry.cli.main import main

LAYER = json.dumps(
    {
        "type": "FeatureCollection",
        "features": [
            {
                "type": "Feature",
                "geometry": {"type": "Point", "coordinates": [130.01, -24.99]},
                "properties": {"name": "Saltbush"},
            }
        ],
    }
)


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "route.gpx").write_text(ROUTE)
    (tmp_path / "water.csv").write_text(WATER)
    (tmp_path / "towns.geojson").write_text(LAYER)
    write_mbtiles(tmp_path / "a.mbtiles", world(0, 5), attribution="© Invented")
    write_pmtiles(tmp_path / "a.pmtiles", world(0, 5), attribution="© Invented")
    return tmp_path


def plan(folder, *words, out="plan.html"):
    page = ["--out", f"{folder}/{out}"] if out else []
    route, water = f"{folder}/route.gpx", f"{folder}/water.csv"
    return main(["plan", route, "--water", water, *page, *map(str, words)])


def layers(folder):
    page = html.document_fromstring((folder / "plan.html").read_text(encoding="utf-8"))
    return json.loads(page.get_element_by_id("backdrop-data").text)["layers"]


@pytest.mark.parametrize("name", ["a.mbtiles", "a.pmtiles"])
def test_tiles_and_layer_go_into_the_page_and_are_told(folder, name, capsys):
    """The terminal names file, zooms, tiles and size; the page holds both."""
    words = ["--backdrop", folder / name, "--backdrop", folder / "towns.geojson"]
    status = plan(folder, *words)
    told = capsys.readouterr().out

    assert status == 0
    assert [layer["kind"] for layer in layers(folder)] == ["tiles", "shapes"]
    assert f"Backdrop: {folder / name}: zoom " in told
    assert f"{folder / 'towns.geojson'}: 1 shape, " in told


def test_all_backdrops_together_stay_within_the_size(folder, capsys):
    """The second gets what the first has left: here too little for one tile."""
    write_mbtiles(folder / "b.mbtiles", {k: png(9, k.column, 9) for k in world(5, 5)})
    words = ["--backdrop", folder / "a.mbtiles", "--backdrop", folder / "b.mbtiles"]
    status = plan(folder, *words, "--backdrop-mb", "0.0005")

    assert status == 2
    assert "--backdrop-mb" in capsys.readouterr().err
    assert not (folder / "plan.html").exists()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--backdrop", "nothing.mbtiles"], "no such file"),
        (["--backdrop", "{0}/water.csv"], "no backdrop that is read here"),
        (["--online-tiles", "https://a.example/{{z}}/{{x}}/{{y}}"], "--online-attribution"),
        (["--online-attribution", "x"], "--online-tiles"),
    ],
)
def test_backdrop_that_cannot_be_is_one_sentence(folder, words, told, capsys):
    """Exit 2, and no page."""
    status = plan(folder, *(word.format(folder) for word in words))
    said = capsys.readouterr()

    assert status == 2
    assert told in said.err
    assert said.err.count("\n") == 1
    assert not (folder / "plan.html").exists()


def test_backdrop_without_a_page_is_refused(folder, capsys):
    """It would be read and thrown away."""
    assert plan(folder, "--backdrop", folder / "a.mbtiles", out=None) == 2
    assert "--out" in capsys.readouterr().err


def test_page_never_replaces_its_backdrop(folder, capsys):
    """A file of tiles can be the work of a night."""
    before = (folder / "a.mbtiles").read_bytes()
    status = plan(folder, "--backdrop", folder / "a.mbtiles", out="a.mbtiles")

    assert status == 2
    assert (folder / "a.mbtiles").read_bytes() == before
    assert "a.mbtiles" in capsys.readouterr().err


@pytest.mark.parametrize("size", ["0", "-1", "x", "nan", "1e9"])
def test_size_that_cannot_be_is_one_sentence(folder, size, capsys):
    """Above 0, up to 200 MB."""
    with pytest.raises(SystemExit) as ended:
        plan(folder, "--backdrop-mb", size)

    assert ended.value.code == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_python_does_the_same(folder):
    """``read_backdrop`` and ``write_page`` put the same layers into the page."""
    trip = longdry.plan_trip(
        longdry.read_route(folder / "route.gpx"), longdry.read_water(folder / "water.csv")
    )
    tiles = longdry.read_backdrop(folder / "a.mbtiles", trip)
    longdry.write_page(trip, folder / "plan.html", backdrops=[tiles])
    by_python = layers(folder)
    plan(folder, "--backdrop", folder / "a.mbtiles")

    assert layers(folder) == by_python
