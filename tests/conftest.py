"""What tests share: browser, pages of the samples, and how many cases are tried."""

from __future__ import annotations

import os
import shutil
import signal
import tempfile
from pathlib import Path

import fuzzing
import pytest
import sample_plans
from gpx_writing import gpx
from how_many import is_whole, seeds
from hypothesis import HealthCheck, settings
from proof_table import ProofTable, note_proof

NOBODY = 65534
"""The user id of nobody, on Debian."""


@pytest.fixture
def read_only_folder():
    """Make a folder that nobody may write to, root included, by giving root's rights away."""
    folder = Path(tempfile.mkdtemp())
    (folder / "book.geojson").write_text("old")
    (folder / "book.geojson").chmod(0o644)
    folder.chmod(0o555)
    was_root = os.geteuid() == 0
    if was_root:
        os.seteuid(NOBODY)
    yield folder
    if was_root:
        os.seteuid(0)
    folder.chmod(0o755)
    for file in folder.iterdir():
        file.unlink()
    folder.rmdir()


@pytest.fixture
def gpx_file(tmp_path):
    """Return what writes a GPX file of the content given, and names it."""

    def write(*content):
        path = tmp_path / "trip.gpx"
        path.write_text(gpx(*content))
        return path

    return write


@pytest.fixture(scope="session")
def browser():
    """Start Chromium once for all tests."""
    from page_in_browser import chromium, running_chromium  # noqa: PLC0415 - only tests of pages

    if chromium() is None:
        why = "not run: there is no Chromium; install it, or set LONGDRY_CHROMIUM to its path"
        pytest.fail(why, pytrace=False)
    with running_chromium() as running:
        yield running


@pytest.fixture(scope="session")
def sample_file(tmp_path_factory):
    """Return what writes the page of a sample once and names its file."""
    folder = tmp_path_factory.mktemp("sample_pages")

    def file_of(name, *, is_us=False):
        file = folder / f"{name}{'_us' if is_us else ''}.html"
        if not file.exists():
            file.write_text(sample_plans.page_of(name, is_us=is_us), encoding="utf-8")
        return file

    return file_of


@pytest.fixture
def cases(request):
    """Return the seeds that this run tries of a proof marked by ``how_many.proof``."""
    return seeds(**request.node.get_closest_marker("proof").kwargs)


settings.register_profile(
    "longdry",
    deadline=None,
    derandomize=not (is_whole() or fuzzing.is_long()),
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("longdry")
"""Nothing fails because a machine is busy, and each run draws the same cases as the last.

New ones are drawn where all cases or long fuzzing are asked for. It stands at the top of the file
because the tests' own settings build on it as their files are loaded.
"""


def pytest_configure(config):
    """Let Ctrl-C reach the commands under test also where the tests run in the background.

    A shell starts background jobs with the signal ignored, and what they start inherits that.
    The processes that run the tests side by side get a folder for what they share.
    """
    signal.signal(signal.SIGINT, signal.default_int_handler)
    if hasattr(config, "workerinput"):
        return
    os.environ[sample_plans.SHARED] = tempfile.mkdtemp()
    if is_whole():
        config.pluginmanager.register(ProofTable())


def pytest_unconfigure(config):
    """Take away what the processes of the run left each other."""
    if not hasattr(config, "workerinput"):
        shutil.rmtree(os.environ.pop(sample_plans.SHARED), ignore_errors=True)


def pytest_runtest_setup(item):
    """Let the report of a proof say how many cases it tried."""
    note_proof(item)
