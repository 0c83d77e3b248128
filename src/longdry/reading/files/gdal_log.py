"""GDAL without its own words: readers turn its errors into ours."""

from __future__ import annotations

import logging
import warnings
from collections.abc import Iterator
from contextlib import contextmanager

GDAL_ERRORS = (RuntimeError, ValueError, OverflowError, MemoryError)
"""What pyogrio raises where GDAL cannot read a file."""


@contextmanager
def quiet_gdal() -> Iterator[None]:
    """Keep GDAL's warnings and log lines from the user for a while."""
    log = logging.getLogger("pyogrio")
    level = log.level
    log.setLevel(logging.CRITICAL + 1)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    finally:
        log.setLevel(level)
