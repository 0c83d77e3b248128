"""From the checked tables of a trip file to a trip with every default filled in."""

from __future__ import annotations

import datetime as dt

from longdry.model.assumption import Assumption
from longdry.model.trip.ground import GroundFeature, surface_factor
from longdry.model.trip.heat import (
    Effort,
    HeatExpectation,
    HeatOutlook,
    HeatSection,
    PersonInHeat,
    TripHeat,
)
from longdry.model.trip.party import USUAL_USES
from longdry.model.trip.trip import Contact, Pace, PaceSection, PinnedCamp, Policy, Trip
from longdry.model.trip.what_if import Change
from longdry.model.trip_file.key import TripSection
from longdry.model.trip_file.keys import CAMP, CONTACT, PACE, PACE_SECTION, POLICY, TOP, WHAT_IF
from longdry.model.trip_file.keys_heat import HEAT, HEAT_MONTH, HEAT_SECTION, PERSON
from longdry.model.trip_file.keys_party import ANIMAL, CONTAINER, USE, VEHICLE
from longdry.model.words import FillHabit, FillTo, IfDry, Ration, Travel
from longdry.reading.trip.building_party import (
    animal_of,
    container_of,
    kit_of,
    party_of,
    pumps_of,
    told_of_treating,
    treatment_of,
    use_of,
    vehicle_of,
)
from longdry.reading.trip.checks import USUAL_BREAK_H
from longdry.reading.trip.checks_heat import heat_is_given
from longdry.reading.trip.defaults import DefaultLog, FilledTable
from longdry.reading.trip.tables import TripTables
from longdry.reading.trip.what_ifs import read_what_ifs
from longdry.units import MINUTES_PER_HOUR


def build_trip(tables: TripTables, *, origin: str, ground: tuple[GroundFeature, ...] = ()) -> Trip:
    """Build the trip; the tables must have passed every check."""
    log = DefaultLog(Travel(str(tables.one(PACE).values.get("travel", Travel.FOOT))))
    party = party_of(tables, log)
    treatment = treatment_of(tables, log, party)
    animals = tuple(animal_of(FilledTable(t, log)) for t in tables.all(ANIMAL))
    uses = tuple(use_of(FilledTable(t, log)) for t in tables.all(USE))
    pace = _pace(tables, log, ground)
    policy = _policy(FilledTable(tables.one(POLICY), log))
    contact = _contact(FilledTable(tables.one(CONTACT), log), policy)
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
            container_of(table, log, brim_counts=policy.fill_to is FillTo.BRIMFUL, carried=carried)
            for table in tables.all(CONTAINER)
        ),
        vehicles=tuple(vehicle_of(FilledTable(t, log)) for t in tables.all(VEHICLE)),
        pace=pace,
        camps=tuple(_camp(FilledTable(t, log)) for t in tables.all(CAMP)),
        policy=policy,
        heat=heat,
        treatment=treatment,
        utc_offset_h=top.number_if_any("utc_offset_h"),
        what_ifs=_what_ifs(tables, origin),
        contact=contact,
        pumps=pumps_of(tables, log),
        kit=kit_of(tables, log),
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
        longer_day_h=table.number("longer_day_h"),
        shorter_day_h=table.number("shorter_day_h"),
        drink_l_per_moving_h=table.number(
            "drink_l_per_moving_h", is_told=travel is not Travel.VEHICLE
        ),
        after_dark=table.yes_no("after_dark"),
    )


def _usual_number(section: TripSection, name: str, travel: Travel) -> float:
    usual = section.key(name).default_for(travel)
    return float(usual) if isinstance(usual, int | float) else 0.0


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
    )


def _camp(table: FilledTable) -> PinnedCamp:
    return PinnedCamp(
        rest_days=table.whole("rest_days"),
        km=table.number_if_any("km"),
        waypoint=table.text_if_any("waypoint"),
        lat_deg=table.number_if_any("lat"),
        lon_deg=table.number_if_any("lon"),
        at_water=table.yes_no_if_any("at_water"),
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
        longest_wait_h=table.number("longest_wait_h"),
        turn_back_margin=table.number("turn_back_margin"),
        fill=FillHabit(table.text("fill")),
        if_dry=IfDry(table.text("if_dry")),
        call_at=table.texts("call_at"),
        pass_by=table.texts("pass_by"),
        emergency_km=table.number("emergency_km"),
        litre_km_per_hour=table.number_or_none("litre_km_per_hour"),
    )


def _contact(table: FilledTable, policy: Policy) -> Contact:
    call = table.text_if_any("call") or ""
    waits_for_help = bool(call) or policy.help_days is not None
    return Contact(
        call=call,
        check_in_days=table.number("check_in_days", is_told=waits_for_help),
        due_back=table.day_if_any("due_back"),
        search_days=table.number_if_any("search_days"),
        on_overdue=table.text_if_any("on_overdue") or "",
    )


def trip_heat(tables: TripTables, log: DefaultLog) -> TripHeat | None:
    """Return the heat of a trip that gives it; None where only a table is named, and not read."""
    outlook = _outlook(tables, log)
    if outlook is None:
        return None
    heat = FilledTable(tables.one(HEAT), log)
    effort = Effort(heat.number("moving_met"), heat.number("working_met"))
    usual = PersonInHeat(effort, heat.number("body_mass_kg"))
    return TripHeat(
        outlook=outlook,
        usual=usual,
        persons=tuple(_person(FilledTable(t, log), usual) for t in tables.all(PERSON)),
        working_h=heat.number("working_h"),
        resting_in_sun_h=heat.number("resting_in_sun_h"),
        moving_in_sun=heat.yes_no("moving_in_sun"),
        working_in_sun=heat.yes_no("working_in_sun"),
        moving_by_night=heat.yes_no("moving_by_night"),
    )


def _outlook(tables: TripTables, log: DefaultLog) -> HeatOutlook | None:
    heat = FilledTable(tables.one(HEAT), log)
    shade_max_c = heat.number_if_any("shade_max_c")
    months = [FilledTable(table, log) for table in tables.all(HEAT_MONTH)]
    sections = [FilledTable(table, log) for table in tables.all(HEAT_SECTION)]
    if shade_max_c is None and not months and not sections:
        return None
    whole = HeatExpectation(
        shade_max_c=0.0 if shade_max_c is None else shade_max_c,
        humidity_percent=heat.number("humidity_percent"),
        day_range_c=heat.number("day_range_c"),
        wind_m_s=heat.number_if_any("wind_m_s"),
        sun_excess_c=heat.number("sun_excess_c"),
        shade_excess_c=heat.number("shade_excess_c"),
        acclimatised=heat.yes_no("acclimatised"),
    )
    return HeatOutlook(
        whole_trip=None if shade_max_c is None else whole,
        months=tuple((row.whole("month"), _expected(row, whole)) for row in months),
        sections=tuple(
            HeatSection(row.number("from_km"), row.number("to_km"), _expected(row, whole))
            for row in sections
        ),
    )


def _expected(row: FilledTable, whole: HeatExpectation) -> HeatExpectation:
    def own(name: str, usual: float) -> float:
        return row.number(name, instead=usual, is_told=False)

    wind_m_s = row.number_if_any("wind_m_s")
    return HeatExpectation(
        shade_max_c=row.number("shade_max_c"),
        humidity_percent=own("humidity_percent", whole.humidity_percent),
        day_range_c=own("day_range_c", whole.day_range_c),
        wind_m_s=whole.wind_m_s if wind_m_s is None else wind_m_s,
        sun_excess_c=whole.sun_excess_c,
        shade_excess_c=whole.shade_excess_c,
        acclimatised=whole.acclimatised,
    )


def _person(row: FilledTable, usual: PersonInHeat) -> PersonInHeat:
    def own(name: str, as_usual: float) -> float:
        return row.number(name, instead=as_usual, is_told=False)

    acclimatised = row.if_any("acclimatised")
    return PersonInHeat(
        effort=Effort(
            own("moving_met", usual.effort.moving_met), own("working_met", usual.effort.working_met)
        ),
        body_mass_kg=own("body_mass_kg", usual.body_mass_kg),
        count=row.whole("count"),
        name=row.text("name"),
        litres_per_day=row.number_if_any("litres_per_day"),
        acclimatised=None if acclimatised is None else acclimatised is True,
    )
