"""From the checked tables of a trip file to the heat that it expects."""

from __future__ import annotations

from longdry.model.trip.heat import (
    Effort,
    HeatExpectation,
    HeatOutlook,
    HeatSection,
    PersonInHeat,
    TripHeat,
)
from longdry.model.trip_file.keys_heat import HEAT, HEAT_MONTH, HEAT_SECTION, PERSON
from longdry.reading.trip.defaults import DefaultLog, FilledTable
from longdry.reading.trip.tables import TripTables


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
