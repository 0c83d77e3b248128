"""The reference pages say what the program says."""

from __future__ import annotations

import datetime as dt
import importlib.util
import re
from pathlib import Path

import pytest

from longdry._version import __version__
from longdry.cli.main import COMMANDS, command_parser, main, module_of

ROOT = Path(__file__).parent.parent
DOCS = ROOT / "docs"


def reference():
    spec = importlib.util.spec_from_file_location("make_reference", DOCS / "make_reference.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("name", ["commands.md", "trip-file.md"])
def test_reference_page_is_up_to_date(name, monkeypatch):
    """Mend: run ``python docs/make_reference.py``."""
    monkeypatch.setenv("COLUMNS", "90")
    monkeypatch.setenv("NO_COLOR", "1")

    assert (DOCS / "reference" / name).read_text(encoding="utf-8") == reference().PAGES[name]()


@pytest.mark.parametrize("command", COMMANDS)
def test_every_help_has_an_example_that_parses(command):
    """The example of a help text is a command line that the command takes."""
    parser = command_parser(command)
    example = importlib.import_module(module_of(command)).EXAMPLE
    words = re.findall(r"\"[^\"]*\"|'[^']*'|\S+", example.split(" > ")[0])

    assert words[:2] == ["longdry", command]
    assert parser.parse_args([word.strip("\"'") for word in words[2:]]) is not None
    assert example in parser.format_help()


def test_top_help_lists_every_command(capsys):
    """``longdry --help`` names each command and the caution."""
    with pytest.raises(SystemExit):
        main(["--help"])
    printed = capsys.readouterr().out

    assert all(f"  {command} " in printed for command in COMMANDS)
    assert "local authorities" in printed


def test_links_between_pages_lead_somewhere():
    """Every relative link of README, DEVELOPERS and docs names a file that is there."""
    pages = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *DOCS.rglob("*.md")]
    for page in pages:
        for target in re.findall(r"\]\(([^)#:]+?)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), f"{page.name}: {target}"


@pytest.mark.parametrize("folder", ["how-to", "reference", "why"])
def test_every_page_of_a_folder_is_listed_at_its_door(folder):
    """README links the list of a folder; the list links each page that lies there."""
    door = DOCS / folder / "README.md"
    listed = set(re.findall(r"\]\(([\w-]+\.md)\)", door.read_text("utf-8")))

    assert listed == {page.name for page in door.parent.glob("*.md")} - {"README.md"}
    assert f"](docs/{folder}/README.md)" in (ROOT / "README.md").read_text("utf-8")


def test_the_newest_change_is_that_of_the_version():
    """The topmost heading of changes.md is the version with its date; older ones follow it."""
    headings = re.findall(r"^## (.+)$", (DOCS / "changes.md").read_text("utf-8"), re.MULTILINE)
    told = [heading.split(", ") for heading in headings]
    days = [dt.date.fromisoformat(day) for _, day in told]
    numbers = [tuple(map(int, version.split("."))) for version, _ in told]

    assert told[0][0] == __version__
    assert days == sorted(days, reverse=True)
    assert numbers == sorted(set(numbers), reverse=True)
