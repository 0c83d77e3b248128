"""Reading many things that stay, without Python's search for garbage going over them."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def garbage_left_alone() -> Iterator[None]:
    """Keep Python's collector of cyclic garbage from running meanwhile.

    It goes over all that has been made, again and again, the more the longer the file: a layer
    of 100,000 sources takes twice as long, and doubling the layer more than doubles the time.
    """
    was_at_work = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_at_work:
            gc.enable()
