"""What a command takes up before it does anything: threads, environment, modules."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest
from project_places import SAMPLES

SAMPLE = SAMPLES / "gorge_walk"
PLAN = ["plan", str(SAMPLE / "route.gpx"), "--water", str(SAMPLE / "water.geojson")]
THREADS = "OPENBLAS_NUM_THREADS"
WITHOUT_PART = {
    "a page": ("folium", "branca", "longdry.showing.page.page", "longdry.model.backdrop"),
    "containers": (
        "longdry.computing.plan.container_results", "longdry.model.plan.fills", "longdry.model.plan.mends",
        "longdry.model.plan.setbacks", "longdry.model.plan.setbacks", "longdry.showing.terminal.fills",
    ),
    "a trip file": (
        "tomllib", "difflib", "longdry.model.trip.what_if", "longdry.model.trip.heat",
        "longdry.model.trip.treatment", "longdry.model.trip.ground", "longdry.reading.trip.named_files",
    ),
    "heat or daylight": ("pythermalcomfort", "scipy", "numba", "astral"),
    "other layers than GPX and GeoJSON": (
        "geopandas", "pandas", "pyogrio", "shapely", "gpxpy", "longdry.reading.water.csv_layer",
        "longdry.reading.route.line_layer",
    ),
}  # fmt: skip
"""What a plan has no use for that does without these."""


def after(code: str, *words: str, **environment: str) -> str:
    """Run a command as from a shell, then a line of code in the same process; its last output."""
    whole = f"from longdry.cli.main import main; assert main() == 0\nimport os, sys\n{code}"
    usual = {name: value for name, value in os.environ.items() if name != THREADS}
    done = subprocess.run(
        [sys.executable, "-c", whole, *words],
        capture_output=True, text=True, check=True, env=usual | environment,
    )  # fmt: skip
    return done.stdout.splitlines()[-1]


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux counts threads in /proc")
def test_planning_wakes_no_threads(tmp_path):
    """Threads that spin while one works warm the machine and drain a battery for nothing."""
    status = "print(open('/proc/self/status').read().partition('Threads:')[2].split()[0])"

    assert after(status, *PLAN, "--json", str(tmp_path / "plan.json")) == "1"


def test_threads_that_the_user_asked_for_stand():
    """What is set outside is the user's will."""
    assert after(f"print(os.environ['{THREADS}'])", "trip-schema", **{THREADS: "3"}) == "3"


@pytest.mark.parametrize("without", WITHOUT_PART)
def test_a_plan_loads_only_what_it_uses(without, tmp_path):
    """Importing is half of the time of a plan: what has no part in it is not loaded."""
    code = f"print([name for name in {WITHOUT_PART[without]} if name in sys.modules])"

    assert after(code, *PLAN, "--json", str(tmp_path / "plan.json")) == "[]"


def test_nothing_is_left_to_look_through_at_the_end():
    """What a command leaves behind ends with its process: nobody looks for garbage in it."""
    code = "import gc; print(gc.isenabled(), len(gc.get_objects()) < gc.get_freeze_count() / 10)"

    assert after(code, *PLAN) == "False True"


def test_importing_longdry_sets_nothing():
    """Who plans from Python keeps the threads of their own linear algebra."""
    code = f"import longdry, longdry.api, os; print('{THREADS}' in os.environ)"
    usual = {name: value for name, value in os.environ.items() if name != THREADS}

    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env=usual
    )

    assert done.stdout.strip() == "False"
