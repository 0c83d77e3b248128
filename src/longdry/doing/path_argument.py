"""Names of files on the command line."""

from __future__ import annotations

import argparse
from pathlib import Path


def file_path(text: str) -> Path:
    """Return the path that is named; an empty name would quietly mean this folder.

    >>> file_path("plan.html").name
    'plan.html'
    """
    if not text.strip():
        raise argparse.ArgumentTypeError("an empty name names no file")
    return Path(text)
