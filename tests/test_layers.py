"""The direction of imports is held, and the guard barks; a wheel holds all of the package."""

from __future__ import annotations

import ast
import os
import shutil
import subprocess
import sys
import zipfile
from collections import Counter, defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


def lint_imports(root: Path) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(root / "src")}
    return subprocess.run(
        [
            sys.executable,
            "-c",
            "from importlinter.cli import lint_imports_command as c; c(['--no-cache'])",
        ],
        cwd=root,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )


def copy_of_the_project(folder: Path) -> Path:
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, folder)
    shutil.copytree(
        ROOT / "src", folder / "src", ignore=shutil.ignore_patterns("__pycache__", "*.egg-info")
    )
    return folder


def test_imports_point_one_way():
    """Cli, desk, doing, api; reading, computing, showing and storage; model; errors and units."""
    checked = lint_imports(ROOT)

    assert checked.returncode == 0, checked.stdout + checked.stderr


PLANTED = {
    "layer": ("computing.stretches.verdicts", "showing.terminal.plan"),
    "room of computing": ("computing.route.chainage", "computing.clock.clock"),
    "room of reading": ("reading.files.text", "reading.gpx.elements"),
    "room of showing": ("showing.words.markup", "showing.map.line"),
    "room of the model": ("model.water.source", "model.trip.trip"),
}


@pytest.mark.parametrize("fault", PLANTED)
def test_the_guard_barks_at_a_planted_fault(tmp_path, fault):
    """A copy of the project in which a module imports from above is refused, with both named."""
    planted = copy_of_the_project(tmp_path)
    low, high = PLANTED[fault]
    with (planted / f"src/longdry/{low.replace('.', '/')}.py").open("a") as module:
        module.write(f"\nimport longdry.{high}\n")
    checked = lint_imports(planted)

    assert checked.returncode != 0
    assert f"longdry.{low} -> longdry.{high}" in checked.stdout


def test_the_guard_barks_at_a_circle_within_a_room(tmp_path):
    """Two files of one room that import each other are refused."""
    planted = copy_of_the_project(tmp_path)
    with (planted / "src/longdry/computing/clock/clock.py").open("a") as module:
        module.write("\nimport longdry.computing.clock.camps\n")
    checked = lint_imports(planted)

    assert checked.returncode != 0
    assert "longdry.computing.clock" in checked.stdout
    assert "No circles between files BROKEN" in checked.stdout


def test_no_folder_holds_more_than_25_files():
    """Whoever looks for something in a room finds it at a glance."""
    tops = (ROOT / "src", ROOT / "tests", ROOT / "docs")
    files = [path for top in tops for path in top.rglob("*") if path.is_file()]
    own = [path for path in files if "__pycache__" not in path.parts]
    full = {str(room): n for room, n in Counter(path.parent for path in own).items() if n > 25}

    assert full == {}


def test_no_module_is_longer_than_400_lines():
    """A module fits on a few screens."""
    long = [
        path.name
        for path in (ROOT / "src").rglob("*.py")
        if len(path.read_text("utf-8").splitlines()) > 400
    ]

    assert long == []


ABOVE_THE_DOORS = ("at_once", "cli", "desk", "doing")
"""Layers that use ``longdry.api``."""


def test_nothing_inside_imports_from_the_front_door():
    """No module takes a name from the package itself."""
    guilty = [
        path.name
        for path in (ROOT / "src/longdry").rglob("*.py")
        if "\nfrom longdry import " in path.read_text()
        and path.relative_to(ROOT / "src/longdry").parts[0] not in ABOVE_THE_DOORS
        and path.name != "__init__.py"
    ]

    assert guilty == []


def test_a_wheel_holds_every_file_of_the_package_and_nothing_else(tmp_path):
    """Who installs it elsewhere has every script, style and sample: those that stand in src."""
    project = copy_of_the_project(tmp_path)
    source = project / "src"
    there = {path.relative_to(source).as_posix() for path in source.rglob("*") if path.is_file()}
    build = "from setuptools.build_meta import build_wheel; print(build_wheel('.'))"
    built = subprocess.run(
        [sys.executable, "-c", build], cwd=project, capture_output=True, text=True, check=True
    )
    with zipfile.ZipFile(project / built.stdout.split()[-1]) as wheel:
        held = {name for name in wheel.namelist() if ".dist-info/" not in name}

    assert held == there
    assert "longdry/desk/samples/gorge_walk/trip.toml" in held


def test_a_name_of_a_type_stands_for_one_thing():
    """Classes and names for types, private ones too; who reads one need not ask which is meant."""
    places = defaultdict(list)
    for path in sorted((ROOT / "src").rglob("*.py")):
        for name in types_named_in(path.read_text("utf-8")):
            places[name].append(str(path.relative_to(ROOT)))
    twice = {name: files for name, files in places.items() if len(files) > 1}

    assert len(places) > 500
    assert twice == {}


def test_the_search_for_names_of_types_finds_them():
    """Classes wherever they stand and other names for types; what takes any type is no name."""
    text = """
class Row: ...
def made():
    class _Held: ...
Cell = str | int
_Cube: type = tuple[int, int]
Word = TypeVar("Word")
_MOST = 3
__all__ = ["Row"]
"""

    assert list(types_named_in(text)) == ["Row", "_Held", "Cell", "_Cube"]


def types_named_in(text: str) -> Iterator[str]:
    module = ast.parse(text)
    yield from (node.name for node in ast.walk(module) if isinstance(node, ast.ClassDef))
    for node in module.body:
        targets = getattr(node, "targets", [getattr(node, "target", None)])
        takes_any = "TypeVar" in ast.unparse(getattr(node, "value", None) or ast.Pass())
        for target in targets:
            if isinstance(target, ast.Name) and is_of_a_type(target.id) and not takes_any:
                yield target.id


def is_of_a_type(name: str) -> bool:
    return name.lstrip("_")[:1].isupper() and not name.isupper()
