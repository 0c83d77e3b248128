"""The collector of cyclic garbage is let alone while a layer is read, and as it was after."""

from __future__ import annotations

import gc

import pytest

from longdry import read_water
from longdry.errors import WaterLayerError
from longdry.reading.garbage import garbage_left_alone


def test_collector_rests_and_works_again_after():
    """What was switched on is off meanwhile and on after; what was off stays off."""
    with garbage_left_alone():
        assert not gc.isenabled()
        with garbage_left_alone():
            pass
        assert not gc.isenabled()
    assert gc.isenabled()


def test_collector_works_again_after_a_fault(tmp_path):
    """A layer that is refused leaves the collector at work."""
    with pytest.raises(WaterLayerError):
        read_water(tmp_path / "not there.geojson")

    assert gc.isenabled()
