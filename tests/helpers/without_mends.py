"""Plans for tests that read no mends: to look for them makes a plan again up to twenty times."""

from __future__ import annotations

from dataclasses import replace

import pytest

from longdry.computing.plan.planning import plan_trip
from longdry.doing import plan_options
from longdry.model.plan.plan import Plan
from longdry.model.trip.what_if import USUAL_INQUIRY, Inquiry


def plan_without_mends(*args: object, inquiry: Inquiry = USUAL_INQUIRY, **kwargs: object) -> Plan:
    """Plan a trip as `plan_trip` does in all else."""
    return plan_trip(*args, inquiry=replace(inquiry, mends=False), **kwargs)


def let_commands_ask_for_no_mends(monkeypatch: pytest.MonkeyPatch) -> None:
    """Change what the command line, which always asks for mends, asks for; nothing else."""
    asked = plan_options.inquiry_of
    monkeypatch.setattr(
        plan_options, "inquiry_of", lambda options: replace(asked(options), mends=False)
    )
