"""Plans for tests that read no mends: to look for them makes a plan again up to twenty times."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from unittest.mock import patch

from longdry.computing.mends.search import Mends
from longdry.computing.plan import planning
from longdry.model.plan.plan import Plan


@contextmanager
def no_mends() -> Iterator[None]:
    """Let nothing be looked for that would turn a verdict, also by the command line."""
    with patch.object(planning, "mends_of", lambda *_: Mends((), ())):
        yield


def plan_without_mends(*args: object, **kwargs: object) -> Plan:
    """Plan a trip as `plan_trip` does in all else."""
    with no_mends():
        return planning.plan_trip(*args, **kwargs)
