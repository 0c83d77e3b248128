"""Writes ``docs/why/proofs.md`` at the end of a whole run over all cases."""

from __future__ import annotations

import datetime as dt
import inspect
import platform
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

import pytest
from how_many import is_whole
from project_places import DOCS

FILE = DOCS / "why" / "proofs.md"
HEAD = """# Proofs over many cases

`bash tests/run` tries a part of the cases of each proof, the same part each time. `bash tests/run
--all` tries all, with new ones drawn each time where hypothesis draws them, and writes this page.
All cases are invented. Last run over all cases: {day}, Python {python}.

| what is held | cases | seconds | passed |
|---|---|---|---|
"""


@dataclass
class Proof:
    """What one proof came to; the parts of one that is split are added up."""

    title: str
    cases: int = 0
    seconds: float = 0.0
    has_passed: bool = True


class ProofTable:
    """Gathers the proofs of a run as their results come in."""

    def __init__(self) -> None:
        self._proofs: dict[str, Proof] = {}

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note the result of one proof."""
        told = dict(report.user_properties).get("proof")
        if told is None or (report.when != "call" and report.passed):
            return
        name = report.nodeid.split("[")[0]
        proof = self._proofs.setdefault(name, Proof(told["title"]))
        proof.cases += told["cases"]
        proof.seconds += report.duration
        proof.has_passed &= report.passed

    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        """Write the page, unless only some of the proofs were asked for."""
        options, source = session.config.option, session.config.args_source
        if source.name == "TESTPATHS" and not options.keyword and options.markexpr in ("", "proof"):
            FILE.write_text(page(self._proofs), encoding="utf-8")


def page(proofs: dict[str, Proof]) -> str:
    """Write the page: the proofs by their test files."""
    rooms = defaultdict(list)
    for name, proof in sorted(proofs.items()):
        rooms[name.split("::")[0]].append(proof)
    head = HEAD.format(day=dt.datetime.now(dt.UTC).date(), python=platform.python_version())
    rows = []
    for file, held in rooms.items():
        shown = Path(file).relative_to("tests")
        rows.append(f"| **[{shown}](../../{file})** | | | |")
        rows += [
            f"| {proof.title.replace('|', chr(92) + '|')} | {proof.cases:,} | "
            f"{proof.seconds:.1f} | {'yes' if proof.has_passed else 'NO'} |"
            for proof in held
        ]
    return head + "\n".join([*rows, ""])


def note_proof(item: pytest.Function) -> None:
    """Let the report of a proof carry what the table tells of it."""
    marker = item.get_closest_marker("proof")
    if marker and is_whole():
        title = inspect.getdoc(item.function).split("\n")[0].rstrip(".")
        item.user_properties.append(("proof", {"title": title, **marker.kwargs}))
