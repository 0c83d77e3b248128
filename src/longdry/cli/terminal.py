"""What the terminal can show."""

from __future__ import annotations

import os
import shutil
import sys

from longdry.showing.terminal.layout import Terminal

_NARROWEST = 40


def terminal_here() -> Terminal:
    """Return what standard output can show: colour on a terminal alone, and not with NO_COLOR.

    NO_COLOR: no-color.org, an informal standard; TERM=dumb: a terminal without any.
    """
    if sys.stdout is None or not sys.stdout.isatty():
        return Terminal()
    colour = not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    width = max(shutil.get_terminal_size().columns, _NARROWEST)
    return Terminal(width, colour, is_screen=True)
