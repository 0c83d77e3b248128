"""What is published about people who are stranded, read at the place where waiting is shortest."""

from __future__ import annotations

import math
from collections.abc import Sequence

from longdry.computing.survival_table import expected_survival
from longdry.model.survival_table import Stranded
from longdry.model.what_if import SitOut


def stranded_at_worst(
    sit_out: SitOut, hot_days: Sequence[tuple[float, float]], people: int
) -> Stranded | None:
    """Return the table's figure there; None without heat and outside the limits of the table.

    Parameters
    ----------
    hot_days
        For each day of the trip the km that it ends at and its shade maximum in °C, in order.
    people
        Who share what is on board; nothing is set aside for animals.

    Examples
    --------
    >>> import numpy as np
    >>> km = np.array([0.0])
    >>> wait = SitOut(km, km, least_days=1.0, at_km=0.0, rest_l_per_day=2.0, on_board_l=2.0)
    >>> stranded_at_worst(wait, (), 2) is None
    True
    """
    still_to_come = [shade_max_c for to_km, shade_max_c in hot_days if to_km >= sit_out.at_km]
    if not still_to_come or not math.isfinite(sit_out.least_days):
        return None
    hottest_c, litres_each = max(still_to_come), sit_out.on_board_l / people
    figure = expected_survival(hottest_c, litres_each)
    if figure is None:
        return None
    return Stranded(sit_out.at_km, hottest_c, litres_each, figure)
