"""The direction of imports is held, and the guard barks."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

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
    shutil.copy(ROOT / "pyproject.toml", folder)
    shutil.copytree(
        ROOT / "src", folder / "src", ignore=shutil.ignore_patterns("__pycache__", "*.egg-info")
    )
    return folder


def test_imports_point_one_way():
    """Cli to api to reading, computing, showing and storage, to model, to errors and units."""
    checked = lint_imports(ROOT)

    assert checked.returncode == 0, checked.stdout + checked.stderr


def test_the_guard_barks_at_a_planted_fault(tmp_path):
    """A copy of the project in which computing imports showing is refused."""
    planted = copy_of_the_project(tmp_path)
    with (planted / "src/longdry/computing/stretches/verdicts.py").open("a") as module:
        module.write("\nimport longdry.showing.terminal.plan\n")
    checked = lint_imports(planted)

    assert checked.returncode != 0
    assert "longdry.computing.stretches.verdicts -> longdry.showing.terminal.plan" in checked.stdout


def test_nothing_inside_imports_from_the_front_door():
    """No module takes a name from the package itself."""
    guilty = [
        path.name
        for path in (ROOT / "src/longdry").rglob("*.py")
        if "\nfrom longdry import " in path.read_text()
        and path.parent.name != "commands"
        and path.name != "__init__.py"
    ]

    assert guilty == []
