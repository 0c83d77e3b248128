"""Whether what a trip file says of vehicles, tools, calls and contact can stand together."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from longdry.model.trip.named_pass import NamedPass, named_pass
from longdry.model.trip.party import DRINKING
from longdry.model.trip_file.keys import CONTACT, PACE, POLICY, TOP
from longdry.model.trip_file.keys_party import CONTAINER, KIT, PARTY, PUMP, USE, VEHICLE
from longdry.model.words import Accrual, ContainerGrade, Grade
from longdry.reading.trip.tables import TripFaults, TripTable, TripTables
from longdry.reading.trip.values import as_written


def _drinking_is_spent(tables: TripTables, faults: TripFaults) -> None:
    for table in tables.all(USE):
        name = str(table.values.get("name", "")).casefold()
        if name == DRINKING and table.values.get("per") == Accrual.ALWAYS:
            faults.add(
                (USE, table.number, "per"),
                f"{as_written(DRINKING)} cannot be carried and never spent",
                'write per = "person-day", and a use of another name for water kept all the way',
            )


def _drinking_only_holds_drinking_water(tables: TripTables, faults: TripFaults) -> None:
    for table in tables.all(CONTAINER):
        if table.values.get("drinking_only") is not True:
            continue
        if table.values.get("grade") == ContainerGrade.ANY:
            faults.add(
                (CONTAINER, table.number, "drinking_only"),
                'it stands beside grade = "any", and only one of them can hold',
                "take one of the two away",
            )
        holds = table.values.get("holds_grade", Grade.POTABLE)
        if "grade" not in table.written and holds != Grade.POTABLE:
            faults.add(
                (CONTAINER, table.number, "holds_grade"),
                f"{as_written(holds)} stands in a container that is kept for drinking water",
                'take drinking_only away, or write holds_grade = "potable"',
            )


def _people_fit_the_vehicles(tables: TripTables, faults: TripFaults) -> None:
    vehicles = tables.all(VEHICLE)
    told = [table for table in vehicles if "people" in table.written]
    seated = [table.values["people"] for table in told if "people" in table.values]
    party = tables.one(PARTY)
    people = party.values.get("people", PARTY.key("people").default)
    if not told or len(seated) < len(told) or ("people" in party.written - party.values.keys()):
        return
    total = sum(int(str(count)) for count in seated)
    all_are_told = len(told) == len(vehicles)
    if total > int(str(people)) or (all_are_told and total < int(str(people))):
        assumed = "" if "people" in party.written else " (assumed)"
        faults.add(
            (VEHICLE, told[-1].number, "people"),
            f"{total} in all travel in the vehicles, and the party has {people}{assumed}",
            "count everybody once, in [party] people and in one [[vehicle]]",
        )


def _pumps_are_carried(tables: TripTables, faults: TripFaults) -> None:
    if tables.all(PUMP) and tables.one(KIT).values.get("pump") is False:
        faults.add(
            (KIT, 1, "pump"),
            "false stands beside a [[pump]] that the party carries",
            "keep one of the two",
        )


def _short_days_have_hours(tables: TripTables, faults: TripFaults) -> None:
    pace = tables.one(PACE)
    shorter = pace.values.get("shorter_day_h")
    hours = pace.values.get("hours_per_day", PACE.key("hours_per_day").default)
    if not isinstance(shorter, float) or not isinstance(hours, float) or shorter < hours:
        return
    faults.add(
        (PACE, 1, "shorter_day_h"),
        f"{shorter:g} h is no less than the {hours:g} h of moving a day, so every call would end "
        "the day",
        "write a part of hours_per_day",
    )


def _calls_and_passes_differ(tables: TripTables, faults: TripFaults) -> None:
    policy = tables.one(POLICY)
    calls = _passes(policy, "call_at")
    for passed in _passes(policy, "pass_by"):
        if call := next((call for call in calls if call.meets(passed)), None):
            faults.add(
                (POLICY, 1, "pass_by"),
                f"{_words(passed)} is passed by, but call_at names {_words(call)}",
                "keep it in one of the two; SOURCE@KM names one pass of several",
            )


def _passes(policy: TripTable, key: str) -> tuple[NamedPass, ...]:
    texts = policy.values.get(key, ())
    return tuple(named_pass(text) for text in texts) if isinstance(texts, tuple) else ()


def _words(named: NamedPass) -> str:
    return as_written(named.source if named.km is None else f"{named.source}@{named.km:g}")


def _back_after_departure(tables: TripTables, faults: TripFaults) -> None:
    depart = tables.one(TOP).values.get("depart")
    due = tables.one(CONTACT).values.get("due_back")
    if not isinstance(depart, dt.date) or not isinstance(due, dt.date):
        return
    left = depart.date() if isinstance(depart, dt.datetime) else depart
    if due < left:
        faults.add(
            (CONTACT, 1, "due_back"),
            f"{as_written(due)} is before the departure, {as_written(left)}",
            "write the day on which you are due back",
        )


PARTY_CHECKS: tuple[Callable[[TripTables, TripFaults], None], ...] = (
    _drinking_is_spent,
    _drinking_only_holds_drinking_water,
    _people_fit_the_vehicles,
    _pumps_are_carried,
    _short_days_have_hours,
    _calls_and_passes_differ,
    _back_after_departure,
)
