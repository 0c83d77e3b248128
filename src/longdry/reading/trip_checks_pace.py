"""Whether people can go as fast as a trip file says."""

from __future__ import annotations

from longdry.model.trip_keys import PACE, PACE_SECTION
from longdry.model.words import Travel
from longdry.reading.trip_tables import FaultList, TripTables

FASTEST_KMH = {Travel.FOOT: 20.0, Travel.BICYCLE: 60.0}
"""About what the best of the world keep up for two hours on foot, and for one on a bicycle on a
track (from memory): nobody who carries water goes faster all day."""


def nobody_is_that_fast(tables: TripTables, faults: FaultList) -> None:
    """Add a fault for each speed that no party on foot or bicycle keeps up.

    Where the trip does not say how it travels, nothing is refused: the plan tells what it assumes.
    """
    travel = str(tables.one(PACE).values.get("travel", ""))
    most_kmh = FASTEST_KMH.get(Travel(travel)) if travel in set(Travel) else None
    if most_kmh is None:
        return
    sections = [(PACE_SECTION, table) for table in tables.all(PACE_SECTION)]
    for section, table in [(PACE, tables.one(PACE)), *sections]:
        speed_kmh = table.values.get("speed_kmh") if "speed_kmh" in table.written else None
        if isinstance(speed_kmh, int | float) and speed_kmh > most_kmh:
            faults.add(
                (section, table.number, "speed_kmh"),
                f"{speed_kmh:g} km/h is faster than anybody goes by {travel} for hours",
                f"write km/h, at most {most_kmh:g}, or another travel under [pace]",
            )
