"""Write the reference pages from what the program says of itself.

Run from the top of the project: ``python docs/make_reference.py``.
"""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from longdry.cli.main import COMMANDS, command_parser
from longdry.model.trip_file.key import TripKey, TripSection
from longdry.model.trip_file.keys import SECTIONS
from longdry.model.words import Travel
from longdry.showing.figures.combinations import COMBINATION_FIGURES
from longdry.showing.figures.figure import Figure, ToldIn
from longdry.showing.figures.plan_figures import FIGURES, PlanFigures

ABOUT_THE_TRIP_FILE = (
    "TOML. Every key is optional unless marked; every default that takes part in a plan is\n"
    "printed with the answer. `longdry new-trip` writes a commented file,\n"
    "`longdry trip-schema` prints the JSON Schema.\n"
)
FOLDER = Path(__file__).parent / "reference"
FIGURES_IN_PAGE = re.compile(
    r"(<!-- figures: (\w+) -->)\n.*?(<!-- end of figures -->)", flags=re.DOTALL
)
"""Only what stands between is made; the rest of the page is written by hand."""
TOLD_IN = {
    ToldIn.BOTH: "JSON and tables",
    ToldIn.DOCUMENT: "JSON",
    ToldIn.TABLE: "tables",
}
MADE = "<!-- made by docs/make_reference.py: do not edit -->\n"


def commands_page() -> str:
    """Return the page of all commands, from their own help."""
    os.environ["COLUMNS"] = "90"
    os.environ["NO_COLOR"] = "1"
    parts = [MADE, "# Commands\n"]
    for command in COMMANDS:
        shown = command_parser(command).format_help().rstrip()
        parts.append(f"## longdry {command}\n\n```text\n{shown}\n```\n")
    return "\n".join(parts)


def trip_file_page() -> str:
    """Return the page of the trip file, from the table that its reader follows."""
    parts = [
        MADE,
        "# The trip file\n",
        ABOUT_THE_TRIP_FILE,
        *(section_text(section) for section in SECTIONS),
    ]
    return "\n".join(parts)


def section_text(section: TripSection) -> str:
    """Return one table of the trip file."""
    rows = [
        "| key | value | default | what it is |",
        "|---|---|---|---|",
        *(key_row(key) for key in section.keys),
    ]
    title = f"`{section.heading}`" if section.heading else "Before all tables"
    return f"## {title}\n\n{section.help}\n\n" + "\n".join(rows) + "\n"


def key_row(key: TripKey) -> str:
    """Return one key as a row."""
    cells = [f"`{key.name}`", value_text(key), default_text(key), key.help]
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def value_text(key: TripKey) -> str:
    """Say what may be written."""
    if key.words:
        return ", ".join(f"`{word!s}`" for word in key.words)
    limits = f", {key.range}" if key.range else ""
    unit = f" ({key.unit})" if key.unit else ""
    return f"{key.kind.value}{unit}{limits}"


def default_text(key: TripKey) -> str:
    """Say what happens without the key, and why."""
    if key.required:
        return "must be given"
    defaults = {travel: key.default_for(travel) for travel in Travel}
    reason = f"; {key.why}" if key.why else ""
    if all(value is None for value in defaults.values()):
        return f"{key.if_absent}{reason}" if key.if_absent else "none"
    if len(set(defaults.values())) == 1:
        return key.written(next(iter(defaults.values()))) + reason
    each = ", ".join(
        f"{travel}: {'none' if value is None else key.written(value)}"
        for travel, value in defaults.items()
    )
    return each + reason


def plan_json_page(figures: PlanFigures = FIGURES) -> str:
    """Return the page of the plan document, with its tables of figures made anew."""
    text = (FOLDER / "plan-json.md").read_text(encoding="utf-8")
    return FIGURES_IN_PAGE.sub(
        lambda found: f"{found[1]}\n{figure_rows(getattr(figures, found[2]))}{found[3]}", text
    )


def compare_json_page() -> str:
    """Return the page of the comparison's document, with its table of figures made anew."""
    text = (FOLDER / "compare-json.md").read_text(encoding="utf-8")
    rows = figure_rows(COMBINATION_FIGURES)
    return FIGURES_IN_PAGE.sub(lambda found: f"{found[1]}\n{rows}{found[3]}", text)


def figure_rows(figures: Sequence[Figure[Any]]) -> str:
    """Return a table of figures, a line each."""
    rows = ["| figure | unit | what it is | in |", "|---|---|---|---|"]
    for figure in figures:
        cells = (f"`{figure.name}`", figure.unit, figure.meaning, TOLD_IN[figure.told_in])
        rows.append("| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |")
    return "\n".join(rows) + "\n"


PAGES = {
    "commands.md": commands_page,
    "trip-file.md": trip_file_page,
    "plan-json.md": plan_json_page,
    "compare-json.md": compare_json_page,
}


def main() -> int:
    """Write all pages."""
    FOLDER.mkdir(exist_ok=True)
    for name, page in PAGES.items():
        (FOLDER / name).write_text(page(), encoding="utf-8", newline="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
