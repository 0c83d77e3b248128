"""Modules are loaded on first use where they are postponed, and the page asks for fewer of them."""

from __future__ import annotations

import subprocess
import sys

import pytest

from longdry.showing.map.postponed import postponed

_HEAD = """
import sys
from longdry.showing.map.postponed import postponed
"""


def _printed(code: str) -> str:
    command = [sys.executable, "-c", _HEAD + code]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip()


def test_a_stand_in_loads_its_module_on_first_use():
    """Postponed, a module is not there until a name of it is asked for; then it is the real one."""
    code = """
with postponed("colorsys"):
    import colorsys as held
print("colorsys" in sys.modules)
yiq = held.rgb_to_yiq
import colorsys
print(colorsys.rgb_to_yiq is yiq, type(colorsys).__name__)
"""
    assert _printed(code).split() == ["False", "True", "module"]


def test_names_and_parts_of_a_postponed_module_are_the_real_ones():
    """Within the block too, names and submodules are imported as from the module itself."""
    code = """
with postponed("wsgiref"):
    import wsgiref
    import wsgiref.util
    from wsgiref.util import guess_scheme
print(wsgiref.util.guess_scheme is guess_scheme)
"""
    assert _printed(code) == "True"


def test_a_loaded_module_is_left_in_place():
    """A module that is loaded already stays itself within the block and behind it."""
    with postponed("sys", "subprocess"):
        held = sys.modules["subprocess"]

    assert held is subprocess is sys.modules["subprocess"]


def test_a_module_that_is_not_there_is_missing_on_first_use():
    """What cannot be imported complains as an import would, and leaves no stand-in behind."""
    with postponed("no_such_module_of_ours"):
        held = sys.modules["no_such_module_of_ours"]

    assert "no_such_module_of_ours" not in sys.modules
    with pytest.raises(ModuleNotFoundError, match="no_such_module_of_ours"):
        held.anything  # noqa: B018 - asking is what is tested


def test_a_map_is_made_without_pandas_and_requests():
    """What takes most of the time of importing folium is never asked for by our map."""
    code = """
import numpy as np
from longdry.showing.map.drawn_line import Track
from longdry.showing.map.folium_map import map_parts
parts = map_parts(Track(np.array([0.0, 1.0]), np.array([-25.0, -25.1]), np.array([133.0, 133.1])))
print({"pandas", "requests"} & set(sys.modules), "center: [-25.0, 133.0]" in parts.script)
"""
    assert _printed(code) == "set() True"


def test_folium_still_takes_a_table_of_pandas_after_a_map_of_ours():
    """Whoever uses folium in the same process hands it a pandas table as ever."""
    code = """
import numpy as np
from longdry.showing.map.drawn_line import Track
from longdry.showing.map.folium_map import map_parts
map_parts(Track(np.array([0.0, 1.0]), np.array([-25.0, -25.1]), np.array([133.0, 133.1])))
import folium, pandas
print(folium.PolyLine(pandas.DataFrame([[1.0, 2.0], [3.0, 4.0]])).locations)
"""
    assert _printed(code) == "[[1.0, 2.0], [3.0, 4.0]]"
