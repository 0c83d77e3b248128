"""How many cases a proof goes through: a part of them in each run, all by ``tests/run --all``.

A proof over seeds takes them from the fixture ``cases``; a proof over what hypothesis draws is
headed by ``drawn_proof``. Both are marked, so that the run of all cases can write the table of
``docs/why/proofs.md``.
"""

from __future__ import annotations

import math
import os

import pytest
from hypothesis import settings

PART = 24
"""One case of so many is tried in each run."""
PART_OF_SLOW = 48
"""The same where a case takes a tenth of a second or more."""


def is_whole() -> bool:
    """Tell whether this run goes through all cases."""
    return os.environ.get("LONGDRY_ALL_CASES") == "1"


def proof(cases: int, part: int = PART) -> pytest.MarkDecorator:
    """Mark a proof over the seeds below ``cases``; it gets its own from the fixture ``cases``."""
    return pytest.mark.proof(cases=cases, part=part)


def seeds(cases: int, part: int = PART) -> range:
    """Return every seed below ``cases``, or a part of them that is the same in each run."""
    return range(0, cases, 1 if is_whole() else part)


def drawn_proof(cases: int, part: int = PART):
    """Mark a proof over so many cases drawn by hypothesis; put it above ``given``."""
    most = cases if is_whole() else math.ceil(cases / part)
    return lambda test: proof(cases)(settings(max_examples=most)(test))
