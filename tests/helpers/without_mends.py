"""Plans for tests that read no mends: to look for them makes a plan again up to twenty times."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from unittest.mock import patch

from longdry.computing.plan import planning
from longdry.model.plan.mends import Mends
from longdry.model.plan.plan import Plan
from longdry.model.trip.what_if import USUAL_INQUIRY, Inquiry


def plan_without_mends(*args: object, inquiry: Inquiry = USUAL_INQUIRY, **kwargs: object) -> Plan:
    """Plan a trip as `plan_trip` does in all else."""
    return planning.plan_trip(*args, inquiry=replace(inquiry, mends=False), **kwargs)


@contextmanager
def no_mends() -> Iterator[None]:
    """Let the command line, which always looks for mends, find none."""
    with patch.object(planning, "mends_of", lambda *_: Mends((), ())):
        yield
