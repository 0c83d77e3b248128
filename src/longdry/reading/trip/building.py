"""From the checked tables of a trip file to a trip with every default filled in.

Also here:

- from the checked tables of a trip file to how the party makes water safe.
"""

from __future__ import annotations

import datetime as dt

from longdry.model.assumption import Assumption
from longdry.model.trip.ground import GroundFeature, surface_factor
from longdry.model.trip.heat import TripHeat
from longdry.model.trip.party import USUAL_USES, Animal, Container, Party, Use, Vehicle
from longdry.model.trip.treatment import Fuel, Stove, Treatment, TreatMethod
from longdry.model.trip.trip import Pace, PaceSection, PinnedCamp, Policy, Trip
from longdry.model.trip.what_if import Change
from longdry.model.trip_file.key import TripSection
from longdry.model.trip_file.keys import CAMP, PACE, PACE_SECTION, POLICY, TOP, WHAT_IF
from longdry.model.trip_file.keys_heat import PERSON
from longdry.model.trip_file.keys_party import ANIMAL, CONTAINER, PARTY, TREATMENT, USE, VEHICLE
from longdry.model.words import Accrual, ContainerGrade, FillTo, Grade, Ration, Travel
from longdry.reading.trip.building_heat import trip_heat
from longdry.reading.trip.checks import USUAL_BREAK_H
from longdry.reading.trip.checks_heat import heat_is_given
from longdry.reading.trip.defaults import DefaultLog, FilledTable
from longdry.reading.trip.tables import TripTable, TripTables
from longdry.reading.trip.what_ifs import read_what_ifs
from longdry.units import MINUTES_PER_HOUR


def build_trip(tables: TripTables, *, origin: str, ground: tuple[GroundFeature, ...] = ()) -> Trip:
    """Build the trip; the tables must have passed every check."""
    log = DefaultLog(Travel(str(tables.one(PACE).values.get("travel", Travel.FOOT))))
    party = party_of(tables, log)
    treatment = treatment_of(tables, log, party)
    animals = tuple(_animal(FilledTable(t, log)) for t in tables.all(ANIMAL))
    uses = tuple(_use(FilledTable(t, log)) for t in tables.all(USE))
    pace = _pace(tables, log, ground)
    policy = _policy(FilledTable(tables.one(POLICY), log))
    heat = _heat(tables, log)
    carried = bool(tables.all(VEHICLE))
    top = FilledTable(tables.one(TOP), log)
    return Trip(
        name=top.text_if_any("name") or "",
        origin=origin,
        depart=_departure(top, pace.start_hour),
        party=party,
        animals=animals,
        uses=uses or tuple(usual.use for usual in USUAL_USES),
        containers=tuple(
            _container(table, log, brim_counts=policy.fill_to is FillTo.BRIMFUL, carried=carried)
            for table in tables.all(CONTAINER)
        ),
        vehicles=tuple(_vehicle(FilledTable(t, log)) for t in tables.all(VEHICLE)),
        pace=pace,
        camps=tuple(_camp(FilledTable(t, log)) for t in tables.all(CAMP)),
        policy=policy,
        heat=heat,
        treatment=treatment,
        utc_offset_h=top.number_if_any("utc_offset_h"),
        what_ifs=_what_ifs(tables, origin),
        defaults=(
            *log.assumptions(),
            *told_of_treating(tables, party),
            *(() if uses else _usual_uses()),
            *(_unused_persons(tables) if heat is None else ()),
        ),
    )


def _heat(tables: TripTables, log: DefaultLog) -> TripHeat | None:
    if not heat_is_given(tables):
        return None

    return trip_heat(tables, log)


def _what_ifs(tables: TripTables, origin: str) -> tuple[Change, ...]:
    texts = [str(table.values["change"]) for table in tables.all(WHAT_IF)]
    if not texts:
        return ()

    return read_what_ifs(texts, origin=origin)


def _unused_persons(tables: TripTables) -> tuple[Assumption, ...]:
    if not tables.all(PERSON):
        return ()
    why = "the trip gives no heat, and without it nothing is asked of a single person"
    return (Assumption("persons listed", "without part", why, key=PERSON.name),)


def _usual_uses() -> tuple[Assumption, ...]:
    return tuple(
        Assumption(
            what=f"use {usual.use.name}",
            value=f"{usual.use.litres:g} L per {usual.use.per}, {usual.use.grade}, "
            f"kept down to the {usual.use.kept} ration",
            why=usual.why,
            key=USE.name,
        )
        for usual in USUAL_USES
    )


def _departure(top: FilledTable, start_hour: float) -> dt.datetime | None:
    """Return the local departure; a date alone means the start hour of that day."""
    moment = top.if_any("depart")
    if isinstance(moment, dt.datetime):
        return moment
    if not isinstance(moment, dt.date):
        return None
    minutes = round(start_hour * MINUTES_PER_HOUR)
    return dt.datetime.combine(moment, dt.time()) + dt.timedelta(minutes=minutes)


def _animal(table: FilledTable) -> Animal:
    return Animal(
        name=table.text("name"),
        count=table.whole("count"),
        litres_per_day=table.number("litres_per_day"),
        grade=Grade(table.text("grade")),
    )


def _use(table: FilledTable) -> Use:
    return Use(
        name=table.text("name"),
        litres=table.number("litres"),
        grade=Grade(table.text("grade")),
        per=Accrual(table.text("per")),
        kept=Ration(table.text("kept")),
    )


def _container(raw: TripTable, log: DefaultLog, *, brim_counts: bool, carried: bool) -> Container:
    table = FilledTable(raw, log)
    rated_l = table.number("rated_l")
    grade = ContainerGrade(table.text("grade"))
    return Container(
        name=table.text("name", instead=f"container {raw.number}"),
        count=table.whole("count"),
        rated_l=rated_l,
        brimful_l=table.number("brimful_l", instead=rated_l, is_told=brim_counts),
        grade=grade,
        tare_kg=table.number("tare_kg", is_told=carried),
        vehicle=table.text_if_any("vehicle"),
        holds_l=table.number_if_any("holds_l"),
        holds_grade=_held_grade(table, grade),
        cleanable=table.yes_no("cleanable"),
    )


def _held_grade(table: FilledTable, kept_for: ContainerGrade) -> Grade | None:
    """Return the grade of what a container holds at the start: unknown is worse."""
    if not table.number_if_any("holds_l") and not table.text_if_any("holds_grade"):
        return None
    guess = Grade.POTABLE if kept_for is ContainerGrade.POTABLE else Grade.NOT_FOR_DRINKING
    return Grade(table.text("holds_grade", instead=guess))


def _vehicle(table: FilledTable) -> Vehicle:
    return Vehicle(name=table.text("name"), payload_left_kg=table.number("payload_left_kg"))


def _pace(tables: TripTables, log: DefaultLog, ground: tuple[GroundFeature, ...]) -> Pace:
    table = FilledTable(tables.one(PACE), log)
    travel = Travel(table.text("travel"))
    speed_kmh = table.number("speed_kmh")
    return Pace(
        travel=travel,
        speed_kmh=speed_kmh,
        hours_per_day=table.number("hours_per_day"),
        start_hour=table.number("start_hour"),
        off_route_kmh=table.number(
            "off_route_kmh", instead=min(speed_kmh, _usual_number(PACE, "off_route_kmh", travel))
        ),
        detour_factor=table.number("detour_factor"),
        winding_factor=table.number("winding_factor"),
        sections=tuple(
            sorted(
                (
                    _section(FilledTable(t, log), travel, speed_kmh)
                    for t in tables.all(PACE_SECTION)
                ),
                key=lambda section: section.from_km,
            )
        ),
        break_h=_break(table),
        fill_minutes=table.number("fill_minutes"),
        climb_m_per_h=table.number("climb_m_per_h"),
        unknown_ground_percent=table.number("unknown_ground_percent"),
        ground=ground,
    )


def _usual_number(section: TripSection, name: str, travel: Travel) -> float:
    return float(section.key(name).default_for(travel) or 0.0)


def _break(table: FilledTable) -> tuple[float, float] | None:
    names = ("break_from_hour", "break_to_hour")
    if all(table.number_if_any(name) is None for name in names):
        return None
    begin, end = (table.number(name, instead=USUAL_BREAK_H[name]) for name in names)
    return begin, end


def _section(table: FilledTable, travel: Travel, base_kmh: float) -> PaceSection:
    surface = table.text_if_any("surface") or ""
    speed_kmh = table.number_if_any("speed_kmh")
    return PaceSection(
        from_km=table.number("from_km"),
        to_km=table.number("to_km"),
        speed_kmh=base_kmh * surface_factor(surface, travel) if speed_kmh is None else speed_kmh,
        surface=surface,
    )


def _camp(table: FilledTable) -> PinnedCamp:
    return PinnedCamp(
        rest_days=table.whole("rest_days"),
        km=table.number_if_any("km"),
        waypoint=table.text_if_any("waypoint"),
        lat_deg=table.number_if_any("lat"),
        lon_deg=table.number_if_any("lon"),
        at_water=table.yes_no("at_water"),
    )


def _policy(table: FilledTable) -> Policy:
    return Policy(
        max_detour_km=table.number("max_detour_km"),
        reserve_days=table.number("reserve_days"),
        reserve_ration=Ration(table.text("reserve_ration")),
        fill_to=FillTo(table.text("fill_to")),
        loss_percent=table.number("loss_percent"),
        longest_ok_km=table.number_if_any("longest_ok_km"),
        longest_ok_days=table.number_if_any("longest_ok_days"),
        start_on_board_l=table.number_if_any("start_on_board_l"),
        days_after_end=table.number("days_after_end"),
        help_days=table.number_if_any("help_days"),
        back_by_days=table.number_if_any("back_by_days"),
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
