"""Longdry plans routes and water points in dry country.

Everything public is loaded on first use, so that importing the package costs nothing.
"""

from __future__ import annotations

from longdry._version import __version__

TYPE_CHECKING = False
if TYPE_CHECKING:  # type checkers take this branch; typing itself would cost 8 ms
    from longdry.api import (
        InputError,
        LongdryError,
        Plan,
        Route,
        StorageError,
        Trip,
        WaterLayer,
        WaterSource,
        plan_trip,
        read_backdrop,
        read_route,
        read_trip,
        read_water,
        write_page,
    )

__all__ = [
    "InputError",
    "LongdryError",
    "Plan",
    "Route",
    "StorageError",
    "Trip",
    "WaterLayer",
    "WaterSource",
    "__version__",
    "plan_trip",
    "read_backdrop",
    "read_route",
    "read_trip",
    "read_water",
    "write_page",
]


def __getattr__(name: str) -> object:
    if name in __all__:
        from longdry import api  # noqa: PLC0415 - loaded on first use

        return getattr(api, name)
    raise AttributeError(f"module 'longdry' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
