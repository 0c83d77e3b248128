"""From the checked tables of a trip file to the party and its gear.

Who goes, what the water goes on, what it is carried in, and how the party makes it safe.
"""

from __future__ import annotations

from longdry.model.assumption import Assumption
from longdry.model.trip.party import Animal, Container, Kit, Party, Pump, Use, Vehicle
from longdry.model.trip.treatment import Fuel, Stove, Treatment, TreatMethod
from longdry.model.trip_file.keys_party import KIT, PARTY, PUMP, TREATMENT
from longdry.model.words import Accrual, ContainerGrade, Grade, Ration
from longdry.reading.trip.defaults import DefaultLog, FilledTable
from longdry.reading.trip.tables import TripTable, TripTables


def animal_of(table: FilledTable) -> Animal:
    """Return animals of one sort."""
    return Animal(
        name=table.text("name"),
        count=table.whole("count"),
        litres_per_day=table.number("litres_per_day"),
        grade=Grade(table.text("grade")),
    )


def use_of(table: FilledTable) -> Use:
    """Return one use."""
    return Use(
        name=table.text("name"),
        litres=table.number("litres"),
        grade=Grade(table.text("grade")),
        per=Accrual(table.text("per")),
        kept=Ration(table.text("kept")),
    )


def container_of(raw: TripTable, log: DefaultLog, *, brim_counts: bool, carried: bool) -> Container:
    """Return containers of one sort."""
    table = FilledTable(raw, log)
    rated_l = table.number("rated_l")
    drinking_only = table.yes_no("drinking_only")
    kept_for = ContainerGrade.POTABLE if drinking_only else ContainerGrade(table.text("grade"))
    return Container(
        name=table.text("name", instead=f"container {raw.number}"),
        count=table.whole("count"),
        rated_l=rated_l,
        brimful_l=table.number("brimful_l", instead=rated_l, is_told=brim_counts),
        grade=kept_for,
        tare_kg=table.number("tare_kg", is_told=carried),
        vehicle=table.text_if_any("vehicle"),
        holds_l=table.number_if_any("holds_l"),
        holds_grade=_held_grade(table, kept_for),
        cleanable=table.yes_no("cleanable"),
        drinking_only=drinking_only,
    )


def _held_grade(table: FilledTable, kept_for: ContainerGrade) -> Grade | None:
    """Return the grade of what a container holds at the start: unknown is worse."""
    if not table.number_if_any("holds_l") and not table.text_if_any("holds_grade"):
        return None
    guess = Grade.POTABLE if kept_for is ContainerGrade.POTABLE else Grade.NOT_FOR_DRINKING
    return Grade(table.text("holds_grade", instead=guess))


def vehicle_of(table: FilledTable) -> Vehicle:
    """Return one vehicle."""
    people = table.number_if_any("people")
    return Vehicle(
        name=table.text("name"),
        payload_left_kg=table.number("payload_left_kg"),
        people=None if people is None else int(people),
    )


def pumps_of(tables: TripTables, log: DefaultLog) -> tuple[Pump, ...]:
    """Return the pumps that the party carries."""
    return tuple(_pump(FilledTable(table, log)) for table in tables.all(PUMP))


def _pump(table: FilledTable) -> Pump:
    return Pump(
        name=table.text("name"),
        l_per_min=table.number("l_per_min"),
        amp=table.number_if_any("amp"),
    )


def kit_of(tables: TripTables, log: DefaultLog) -> Kit:
    """Return the tools that the party carries; whoever lists a [[pump]] carries one."""
    table = FilledTable(tables.one(KIT), log)
    return Kit(
        tap_key=table.yes_no("tap_key"),
        rope_m=table.number("rope_m"),
        shovel=table.yes_no("shovel"),
        pump=table.yes_no("pump") or bool(tables.all(PUMP)),
        other=table.texts("other"),
    )


_CAN_TREAT = f"{PARTY.name}.can_treat"


def party_of(tables: TripTables, log: DefaultLog) -> Party:
    """Return the party; whoever says how water is treated can treat it."""
    table = FilledTable(tables.one(PARTY), log)
    if _treats_unsaid(tables):
        return Party(people=table.whole("people"), can_treat=True)
    return Party(people=table.whole("people"), can_treat=table.yes_no("can_treat"))


def treatment_of(tables: TripTables, log: DefaultLog, party: Party) -> Treatment | None:
    """Return what is said of treating; None for a party that cannot treat."""
    if not party.can_treat:
        return None

    table = FilledTable(tables.one(TREATMENT), log)
    named = table.text_if_any("method")
    method = TreatMethod(named) if named else None
    return Treatment(
        method=method,
        litres_per_day=table.number_if_any("litres_per_day"),
        stove=_stove(table) if method is TreatMethod.BOIL else None,
        litres_per_tablet=table.number_if_any("litres_per_tablet"),
        wait_minutes=table.number_if_any("wait_minutes"),
        filter_l_per_min=table.number_if_any("filter_l_per_min"),
        is_cloudy_or_cold=method is TreatMethod.BLEACH and table.yes_no("cloudy_or_cold"),
    )


def told_of_treating(tables: TripTables, party: Party) -> tuple[Assumption, ...]:
    """Tell what was made of [treatment] and can_treat where only one of them speaks."""
    if _treats_unsaid(tables):
        why = "the trip says how water is treated"
        return (Assumption("way of treating water", "yes", why, key=_CAN_TREAT),)
    if tables.all(TREATMENT) and not party.can_treat:
        why = "can_treat = false, so untreated sources are not drunk from"
        return (Assumption("treatment", "without part", why, key=TREATMENT.name),)
    return ()


def _treats_unsaid(tables: TripTables) -> bool:
    is_said = "can_treat" in tables.one(PARTY).written
    return bool(tables.one(TREATMENT).written) and not is_said


def _stove(table: FilledTable) -> Stove | None:
    efficiency = table.number_if_any("stove_efficiency")
    if efficiency is None:
        return None

    return Stove(
        efficiency=efficiency,
        power_kw=table.number("stove_kw"),
        pot_l=table.number("pot_l"),
        fuel=Fuel(table.text("fuel")),
    )
