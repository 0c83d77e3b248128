"""What a command loads before it does anything: no heavy library that it has no use for."""

from __future__ import annotations

import subprocess
import sys

import pytest
from project_places import SAMPLES

SAMPLE = SAMPLES / "gorge_walk"
PLAN = ["plan", str(SAMPLE / "route.gpx"), "--water", str(SAMPLE / "water.geojson")]
HEAVY = ("geopandas", "pandas", "pyogrio", "folium", "pythermalcomfort", "scipy", "numba")


def loaded_after(*words: str) -> list[str]:
    """Run a command as from a shell; return which heavy libraries it loaded."""
    code = (
        "import sys; from longdry.cli.main import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        f"print([name for name in {(*HEAVY, 'numpy')} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *words], capture_output=True, text=True, check=True
    )
    return done.stdout.splitlines()[-1][1:-1].replace("'", "").split(", ")


def test_help_loads_not_even_numpy():
    """Help is read in a hurry."""
    assert loaded_after("--help") == [""]


def test_a_plan_without_page_and_heat_loads_no_heavy_library(tmp_path):
    """Each heavy library costs more than such a plan."""
    assert loaded_after(*PLAN, "--json", str(tmp_path / "plan.json")) == ["numpy"]


@pytest.mark.parametrize("module", ["longdry", "longdry.cli.main"])
def test_importing_longdry_loads_no_library(module):
    """Importing does nothing but define names."""
    code = f"import sys, {module}; print('numpy' in sys.modules)"

    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "False"
