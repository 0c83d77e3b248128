"""Modules that a library imports but may never use, loaded only once something of them is used."""

from __future__ import annotations

import contextlib
import importlib
import sys
import types
from collections.abc import Iterator


class _StandIn(types.ModuleType):
    """Stands in the place of a module, and loads it as soon as anything of it is asked for."""

    def __getattr__(self, name: str) -> object:
        _take_away(self)
        return getattr(importlib.import_module(self.__name__), name)


def _take_away(stand_in: _StandIn) -> None:
    """Have the next import of the module find itself."""
    if sys.modules.get(stand_in.__name__) is stand_in:
        del sys.modules[stand_in.__name__]


@contextlib.contextmanager
def postponed(*names: str) -> Iterator[None]:
    """Have what is imported within hold stand-ins of these modules, unless they are loaded.

    A stand-in works like its module, which is loaded on first use. Imports after the block find
    the modules themselves.
    """
    stand_ins = [_StandIn(name) for name in names if name not in sys.modules]
    sys.modules.update({each.__name__: each for each in stand_ins})
    try:
        yield
    finally:
        for each in stand_ins:
            _take_away(each)
