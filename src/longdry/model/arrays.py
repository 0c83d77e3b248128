"""Array types of the model, and the one way to freeze an array."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]


def frozen_floats(values: FloatArray | Sequence[float]) -> FloatArray:
    """Return ``values`` as a float64 array of its own that nobody can write to."""
    array = np.array(values, dtype=np.float64)
    array.flags.writeable = False
    return array


def frozen_ints(values: IntArray | Sequence[int]) -> IntArray:
    """Return ``values`` as an int64 array of its own that nobody can write to."""
    array = np.array(values, dtype=np.int64)
    array.flags.writeable = False
    return array
