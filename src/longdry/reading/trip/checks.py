"""Whether the values of a trip file can stand beside each other, and people can go so fast."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import pairwise

from longdry.like_names import nearest_name
from longdry.model.trip_file.keys import CAMP, PACE, PACE_SECTION, POLICY
from longdry.model.trip_file.keys_party import (
    ANIMAL,
    CONTAINER,
    MOST_CONTAINERS,
    PUMP,
    USE,
    VEHICLE,
)
from longdry.model.words import ContainerGrade, Grade, Travel
from longdry.reading.trip.checks_common import forward_spans, number_of
from longdry.reading.trip.checks_heat import HEAT_CHECKS
from longdry.reading.trip.checks_party import PARTY_CHECKS
from longdry.reading.trip.tables import TripFaults, TripTable, TripTables
from longdry.reading.trip.values import as_written
from longdry.units import HOURS_PER_DAY

FASTEST_BELIEVED_KMH = {Travel.FOOT: 20.0, Travel.BICYCLE: 60.0}
"""About what the best of the world keep up for two hours on foot, and for one on a bicycle on a
track (from memory): nobody who carries water goes faster all day."""


def nobody_is_that_fast(tables: TripTables, faults: TripFaults) -> None:
    """Add a fault for each speed that no party on foot or bicycle keeps up.

    Where the trip does not say how it travels, nothing is refused: the plan tells what it assumes.
    """
    travel = str(tables.one(PACE).values.get("travel", ""))
    most_kmh = FASTEST_BELIEVED_KMH.get(Travel(travel)) if travel in set(Travel) else None
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


_MOST_NAMES = 8
USUAL_BREAK_H = {"break_from_hour": 11.0, "break_to_hour": 16.0}
"""For a break of which only one end is written. Common practice, no source."""


def check_together(tables: TripTables, faults: TripFaults) -> None:
    """Add a fault for each pair of values that contradict each other."""
    for check in (*_CHECKS, *PARTY_CHECKS, *HEAT_CHECKS):
        check(tables, faults)


def _names_differ(tables: TripTables, faults: TripFaults) -> None:
    for section in (ANIMAL, USE, CONTAINER, VEHICLE, PUMP):
        seen: dict[object, int] = {}
        for table in tables.all(section):
            name = table.values.get("name")
            if name in seen and name is not None:
                faults.add(
                    (section, table.number, "name"),
                    f"{as_written(name)} is already the name of {section.heading} {seen[name]}",
                    "give each a name of its own",
                )
            seen.setdefault(name, table.number)


def _brimful_is_not_less(tables: TripTables, faults: TripFaults) -> None:
    for table in tables.all(CONTAINER):
        rated, brimful = number_of(table, "rated_l"), number_of(table, "brimful_l")
        if rated is not None and brimful is not None and brimful < rated:
            faults.add(
                (CONTAINER, table.number, "brimful_l"),
                f"{brimful:g} L is less than the rated {rated:g} L",
                "write what it takes to the brim, which is at least rated_l, or leave it out",
            )


def _containers_can_be_planned(tables: TripTables, faults: TripFaults) -> None:
    containers = tables.all(CONTAINER)
    counts = [number_of(table, "count") or 1.0 for table in containers]
    if sum(counts) > MOST_CONTAINERS:
        faults.add(
            (CONTAINER, containers[-1].number, "count"),
            f"with this one there are {sum(counts):.0f} containers in all",
            f"name {MOST_CONTAINERS} at the most: write several small ones as one larger",
        )


def _holds_no_more_than_it_takes(tables: TripTables, faults: TripFaults) -> None:
    for table in tables.all(CONTAINER):
        holds, most = number_of(table, "holds_l"), _most_l(table)
        if holds is not None and most is not None and holds > most:
            faults.add(
                (CONTAINER, table.number, "holds_l"),
                f"{holds:g} L is more than the {most:g} L that it takes",
                "write the litres in each one, not in all together",
            )


def _most_l(table: TripTable) -> float | None:
    if "brimful_l" in table.written:
        return number_of(table, "brimful_l")
    return number_of(table, "rated_l")


def _potable_holds_potable(tables: TripTables, faults: TripFaults) -> None:
    for table in tables.all(CONTAINER):
        holds = table.values.get("holds_grade", Grade.POTABLE)
        if table.values.get("grade") == ContainerGrade.POTABLE and holds != Grade.POTABLE:
            faults.add(
                (CONTAINER, table.number, "holds_grade"),
                f"{as_written(holds)} stands in a container that is kept for potable water",
                'write grade = "any" for this container, or holds_grade = "potable"',
            )


def _carriers_exist(tables: TripTables, faults: TripFaults) -> None:
    names = [str(table.values.get("name")) for table in tables.all(VEHICLE)]
    for table in tables.all(CONTAINER):
        carrier = table.values.get("vehicle")
        if names and carrier is not None and carrier not in names:
            close = nearest_name(str(carrier), names)
            faults.add(
                (CONTAINER, table.number, "vehicle"),
                f"there is no [[vehicle]] called {as_written(carrier)}",
                f"the nearest name is {as_written(close)}"
                if close
                else f"name one of {', '.join(names[:_MOST_NAMES])}",
            )


def _start_is_said_once(tables: TripTables, faults: TripFaults) -> None:
    policy = tables.one(POLICY)
    if "start_on_board_l" not in policy.written:
        return
    where = (POLICY, 1, "start_on_board_l")
    containers = tables.all(CONTAINER)
    if any("holds_l" in table.written for table in containers):
        faults.add(
            where,
            "it stands beside holds_l of a [[container]], and both say what is carried",
            "keep one of the two",
        )
    on_board, room = number_of(policy, "start_on_board_l"), _room_l(containers)
    if containers and on_board is not None and room is not None and on_board > room:
        faults.add(
            where,
            f"{on_board:g} L is more than the {room:g} L that the containers take",
            "write what is really carried, or add the missing [[container]]",
        )


def _room_l(containers: Iterable[TripTable]) -> float | None:
    total = 0.0
    for table in containers:
        count, most = number_of(table, "count"), _most_l(table)
        if count is None or most is None:
            return None
        total += count * most
    return total


def _day_holds_its_hours(tables: TripTables, faults: TripFaults) -> None:
    pace = tables.one(PACE)
    start, hours = number_of(pace, "start_hour"), number_of(pace, "hours_per_day")
    if (
        start is None
        or hours is None
        or start + hours + _break_h(pace, start, hours) <= HOURS_PER_DAY
    ):
        return
    assumed = "" if "start_hour" in pace.written else " (the start hour is assumed)"
    at_fault = "hours_per_day" if "hours_per_day" in pace.written else "start_hour"
    around = " around the break" if _break_h(pace, start, hours) else ""
    faults.add(
        (PACE, 1, at_fault),
        f"{hours:g} h of moving from {start:g} o'clock on{around} end after midnight{assumed}",
        "write hours_per_day and start_hour so that together they are at most 24",
    )


def _break_h(pace: TripTable, start: float, hours: float) -> float:
    """Return by how many hours the break puts the end of the moving hours off."""
    begin, end = _break_hours(pace)
    if begin is None or end is None or start + hours <= begin:
        return 0.0
    return max(end - max(begin, start), 0.0)


def _break_hours(pace: TripTable) -> tuple[float | None, float | None]:
    """Return the ends of the break; one that is not written is the usual one."""
    if not any(name in pace.written for name in USUAL_BREAK_H):
        return None, None
    begin, end = (
        number_of(pace, name) if name in pace.written else usual
        for name, usual in USUAL_BREAK_H.items()
    )
    return begin, end


def _break_goes_forward(tables: TripTables, faults: TripFaults) -> None:
    pace = tables.one(PACE)
    begin, end = _break_hours(pace)
    if begin is not None and end is not None and end <= begin:
        at_fault = next(name for name in ("break_to_hour", *USUAL_BREAK_H) if name in pace.written)
        faults.add(
            (PACE, 1, at_fault),
            f"the break would end at {end:g} o'clock, not after its begin at {begin:g}",
            "write break_from_hour and break_to_hour, the earlier first",
        )


def _sections_say_a_speed(tables: TripTables, faults: TripFaults) -> None:
    for table in tables.all(PACE_SECTION):
        if not any(key in table.written for key in PACE_SECTION.any_of):
            faults.add(
                (PACE_SECTION, table.number, "speed_kmh"),
                "is missing, and so is surface",
                "add a line such as speed_kmh = 3.0",
            )


def _sections_do_not_overlap(tables: TripTables, faults: TripFaults) -> None:
    spans = forward_spans(tables, faults, PACE_SECTION)
    for (_, end, first), (begin, _, second) in pairwise(sorted(spans)):
        if begin < end:
            faults.add(
                (PACE_SECTION, second, "from_km"),
                f"{begin:g} km lies in section {first}, which goes on to {end:g} km",
                "let sections meet or leave a gap, but not overlap",
            )


def _camps_say_one_place(tables: TripTables, faults: TripFaults) -> None:
    for table in tables.all(CAMP):
        begun = [g for g in CAMP.one_of if any(key in table.written for key in g)]
        if len(begun) == 1 and all(key in table.written for key in begun[0]):
            continue
        there = [key for key in CAMP.key_names if any(key in g for g in begun)]
        found = [key for key in there if key in table.written]
        faults.add(
            (CAMP, table.number, found[-1] if found else ""),
            f"its place is given by {' and '.join(found)}" if found else "its place is missing",
            "give km, or waypoint, or lat and lon",
        )


def _camps_stand_apart(tables: TripTables, faults: TripFaults) -> None:
    seen: dict[tuple[object, ...], int] = {}
    for table in tables.all(CAMP):
        for group in CAMP.one_of:
            place = tuple(table.values.get(key) for key in group)
            if None in place:
                continue
            if (group, *place) in seen:
                faults.add(
                    (CAMP, table.number, group[0]),
                    f"{' '.join(as_written(part) for part in place)} is already the place of "
                    f"[[camp]] {seen[group, *place]}",
                    "keep one of the two and write its rest_days",
                )
            seen.setdefault((group, *place), table.number)


_CHECKS: tuple[Callable[[TripTables, TripFaults], None], ...] = (
    _names_differ,
    _brimful_is_not_less,
    _containers_can_be_planned,
    _holds_no_more_than_it_takes,
    _potable_holds_potable,
    _carriers_exist,
    _start_is_said_once,
    _day_holds_its_hours,
    _break_goes_forward,
    _sections_say_a_speed,
    nobody_is_that_fast,
    _sections_do_not_overlap,
    _camps_say_one_place,
    _camps_stand_apart,
)
