"""How many examples the fuzz tests try: few in every run, many where asked.

``LONGDRY_FUZZ_EXAMPLES=100000 pytest tests -k fuzz`` runs them for long; what they find is kept as
an ``@example`` beside the test that found it.
"""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

from longdry.errors import InputError

EXAMPLES = int(os.environ.get("LONGDRY_FUZZ_EXAMPLES", "100"))


def is_long() -> bool:
    """Tell whether this run was asked to fuzz for long."""
    return "LONGDRY_FUZZ_EXAMPLES" in os.environ


def many(share: float = 1.0) -> settings:
    """Return settings for a fuzz test that takes its share of the examples."""
    return settings(
        max_examples=max(int(EXAMPLES * share), 1),
        suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    )


def answered(read, *given):
    """Return what was read, or the refusal, which must say what and how to mend it."""
    try:
        return read(*given)
    except InputError as refused:
        check_refusal(refused)
        return refused


def check_refusal(refused: InputError) -> None:
    """Each fault says what and how to mend it."""
    assert all(fault.what and fault.mend for fault in refused.faults)
    assert str(refused).endswith(".")
