"""Expected survival of people who are stranded: a published table, never a planning allowance.

E. A. Adolph and others, *Physiology of Man in the Desert* (1947), as repeated in US military
survival manuals: days without walking, by the highest shade temperature of the day and the US
quarts of water that a person has in all.
"""

from __future__ import annotations

import numpy as np

from longdry.model.arrays import FloatArray, frozen_floats
from longdry.model.survival_table import (
    CAUTION,
    DAYS,
    FROM_MEMORY,
    SHADE_MAX_F,
    SOURCE,
    WATER_QT,
    SurvivalFigure,
    is_from_memory,
)
from longdry.units import L_PER_US_QUART


def expected_survival(shade_max_c: float, water_l: float) -> SurvivalFigure | None:
    """Return the days that the table gives, linear between its cells; None outside its limits.

    Parameters
    ----------
    shade_max_c
        Highest shade temperature of the day: 10 to 48.9 degrees (50 to 120 °F).
    water_l
        What one person has in all: 0 to 18.9 L (20 US quarts).

    Examples
    --------
    >>> expected_survival(40.0, 25.0) is None
    True
    """
    shade_f, water_qt = shade_max_c * 1.8 + 32.0, water_l / L_PER_US_QUART
    rows = _weights(shade_f, SHADE_MAX_F)
    columns = _weights(water_qt, WATER_QT)
    if rows is None or columns is None:
        return None
    recalled = any(
        is_from_memory(shade, water)
        for shade, row in zip(SHADE_MAX_F, rows, strict=True)
        for water, column in zip(WATER_QT, columns, strict=True)
        if row * column > 0.0
    )
    caution = f"{CAUTION} {FROM_MEMORY}" if recalled else CAUTION
    return SurvivalFigure(float(rows @ np.array(DAYS) @ columns), recalled, caution, SOURCE)


def _weights(value: float, marks: tuple[float, ...]) -> FloatArray | None:
    """Return what each mark weighs in a linear interpolation; None outside the marks."""
    hair = 1e-9 * marks[-1]
    if not marks[0] - hair <= value <= marks[-1] + hair:
        return None
    nearest = min(marks, key=lambda mark: abs(mark - value))
    exact = nearest if abs(nearest - value) <= hair else value
    return frozen_floats([float(np.interp(exact, marks, unit)) for unit in np.eye(len(marks))])
