"""Whether what a trip file says of the heat can stand together."""

from __future__ import annotations

from collections.abc import Callable

from longdry.model.trip.heat import NIGHT_H
from longdry.model.trip_file.keys import PACE
from longdry.model.trip_file.keys_heat import HEAT, HEAT_MONTH, HEAT_SECTION, PERSON
from longdry.model.trip_file.keys_party import PARTY
from longdry.reading.trip.checks_common import forward_spans, number_of, values_differ
from longdry.reading.trip.tables import TripFaults, TripTables
from longdry.reading.trip.values import as_written
from longdry.units import HOURS_PER_DAY

_NIGHT_BEGINS_H, _NIGHT_ENDS_H = 19.0, 7.0


def heat_is_given(tables: TripTables) -> bool:
    """Whether the trip says anything of the heat."""
    return any(tables.all(section) for section in (HEAT, HEAT_MONTH, HEAT_SECTION))


def _some_heat_is_said(tables: TripTables, faults: TripFaults) -> None:
    heat = tables.one(HEAT)
    listed = tables.all(HEAT_MONTH) or tables.all(HEAT_SECTION)
    if listed or not tables.all(HEAT) or {"shade_max_c", "table"} & heat.written:
        return
    faults.add(
        (HEAT, 1, "shade_max_c"),
        "is missing, and no month, section or table tells of it",
        f"add a line such as shade_max_c = {as_written(HEAT.key('shade_max_c').sample)}",
    )


def _shade_is_no_hotter_than_sun(tables: TripTables, faults: TripFaults) -> None:
    heat = tables.one(HEAT)
    shade, sun = number_of(heat, "shade_excess_c"), number_of(heat, "sun_excess_c")
    if shade is not None and sun is not None and shade > sun:
        at_fault = "shade_excess_c" if "shade_excess_c" in heat.written else "sun_excess_c"
        faults.add(
            (HEAT, 1, at_fault),
            f"{shade:g} K in shade is more than {sun:g} K in the sun",
            "write what the radiant temperature is above the air's, in each",
        )


def _day_holds_its_heat(tables: TripTables, faults: TripFaults) -> None:
    if not heat_is_given(tables):
        return
    heat = tables.one(HEAT)
    parts = (
        number_of(tables.one(PACE), "hours_per_day"),
        number_of(heat, "working_h"),
        number_of(heat, "resting_in_sun_h"),
    )
    hours = sum(part for part in parts if part is not None)
    if hours > HOURS_PER_DAY:
        at_fault = "resting_in_sun_h" if "resting_in_sun_h" in heat.written else "working_h"
        faults.add(
            (HEAT, 1, at_fault),
            f"moving, work and rest in the sun make {hours:g} h a day",
            "write hours that together are at most 24",
        )


def _night_is_night(tables: TripTables, faults: TripFaults) -> None:
    pace, heat = tables.one(PACE), tables.one(HEAT)
    start, hours = number_of(pace, "start_hour"), number_of(pace, "hours_per_day")
    if heat.values.get("moving_by_night") is not True or start is None or hours is None:
        return
    broken = any(name.startswith("break_") for name in pace.written)
    if hours > NIGHT_H or (
        not broken and start + hours > _NIGHT_ENDS_H and start < _NIGHT_BEGINS_H
    ):
        faults.add(
            (HEAT, 1, "moving_by_night"),
            f"the {hours:g} moving hours begin at {start:g} o'clock",
            "write start_hour and hours_per_day between 19 and 7 o'clock, or false",
        )


def _months_differ(tables: TripTables, faults: TripFaults) -> None:
    values_differ(tables, faults, HEAT_MONTH, "month", "keep one of the two")


def _heat_sections_run_forward(tables: TripTables, faults: TripFaults) -> None:
    forward_spans(tables, faults, HEAT_SECTION)


def _persons_are_of_the_party(tables: TripTables, faults: TripFaults) -> None:
    persons, people = tables.all(PERSON), number_of(tables.one(PARTY), "people")
    if not persons:
        return
    named = sum(number_of(table, "count") or 0.0 for table in persons)
    if people is not None and named > people:
        faults.add(
            (PERSON, persons[-1].number, "count"),
            f"{named:g} people are listed, but the party has {people:g}",
            "write people in [party], or list fewer",
        )


HEAT_CHECKS: tuple[Callable[[TripTables, TripFaults], None], ...] = (
    _some_heat_is_said,
    _shade_is_no_hotter_than_sun,
    _day_holds_its_heat,
    _night_is_night,
    _months_differ,
    _heat_sections_run_forward,
    _persons_are_of_the_party,
)
