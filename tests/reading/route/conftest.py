"""What the tests of route files share."""

import pytest
from gpx_writing import gpx


@pytest.fixture
def gpx_file(tmp_path):
    """Return what writes a GPX file of the content given, and names it."""

    def write(*content):
        path = tmp_path / "trip.gpx"
        path.write_text(gpx(*content))
        return path

    return write
