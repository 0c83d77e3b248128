"""``longdry plan`` writes all the files that were asked for, or none."""

from __future__ import annotations

import itertools

import pyogrio
import pytest
from small_files import ROUTE, WATER, write_dense

from longdry.cli.main import main
from longdry.doing.plan_outputs import OUTPUTS

OPTIONS = [output.option for output in OUTPUTS]


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "route.gpx").write_text(ROUTE)
    (tmp_path / "water.csv").write_text(WATER)
    return tmp_path


def plan(folder, *words):
    return main(["plan", f"{folder}/route.gpx", "--water", f"{folder}/water.csv", *map(str, words)])


def test_every_output_is_written_and_named(folder, capsys):
    """One run writes all files and tells each."""
    words = list(itertools.chain(*((option, folder / option[2:]) for option in OPTIONS)))
    status = plan(folder, *words)
    told = capsys.readouterr().out

    assert status == 0
    for option in OPTIONS:
        assert (folder / option[2:]).stat().st_size > 0
        assert f"Written: {folder / option[2:]}" in told


def test_files_open_in_gdal(folder):
    """GDAL, by the endings that people give them, finds route, points and table."""
    words = ["--gpx-out", folder / "p.gpx", "--geojson-out", folder / "p.geojson"]
    plan(folder, *words, "--csv-out", folder / "p.csv")

    assert len(pyogrio.read_dataframe(folder / "p.gpx", layer="tracks")) == 1
    assert len(pyogrio.read_dataframe(folder / "p.geojson")) > 0
    assert len(pyogrio.read_dataframe(folder / "p.csv")) == 2


@pytest.mark.parametrize("option", OPTIONS)
def test_no_output_replaces_an_input(folder, option, capsys):
    """Each output that names an input is refused before anything is written."""
    status = plan(folder, option, folder / "water.csv")

    assert status == 2
    assert (folder / "water.csv").read_text() == WATER
    assert "water.csv" in capsys.readouterr().err


@pytest.mark.parametrize("pair", list(itertools.combinations(OPTIONS, 2)))
def test_two_outputs_never_share_a_file(folder, pair, capsys):
    """The second would replace the first."""
    status = plan(folder, pair[0], folder / "same", pair[1], folder / "same")

    assert status == 2
    assert not (folder / "same").exists()
    assert "same" in capsys.readouterr().err


def test_a_dense_layer_gives_a_small_page_and_a_short_answer(tmp_path, capsys):
    """A page of 10,044 wells along 144 km stays below 2 MB, as it grows from 400 to 2,000 wells.

    The answer has fewer than 60 lines. All invented; `bench_dense.py` plans all the wells.
    """
    sizes = []
    for wells in (400, 2000):
        write_dense(tmp_path, wells)
        files = [f"{tmp_path}/route.gpx", "--water", f"{tmp_path}/wells.geojson"]
        outputs = ["--trip", f"{tmp_path}/trip.toml", "--out", f"{tmp_path}/plan.html"]
        assert main(["plan", *files, *outputs]) == 0
        sizes.append((tmp_path / "plan.html").stat().st_size)
        assert len(capsys.readouterr().out.splitlines()) < 60

    few, many = sizes
    assert many + (10_044 - 2000) * (many - few) / 1600 < 2_000_000
