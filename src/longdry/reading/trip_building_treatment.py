"""From the checked tables of a trip file to how the party makes water safe."""

from __future__ import annotations

from typing import TYPE_CHECKING

from longdry.model.assumption import Assumption
from longdry.model.party import Party
from longdry.model.treat_method import Fuel, TreatMethod
from longdry.model.trip_keys_party import PARTY
from longdry.model.trip_keys_treatment import TREATMENT
from longdry.reading.trip_defaults import DefaultLog, FilledTable
from longdry.reading.trip_tables import TripTables

if TYPE_CHECKING:
    from longdry.model.treatment import Stove, Treatment

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
    from longdry.model.treatment import Treatment  # noqa: PLC0415 - loaded when needed

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
    from longdry.model.treatment import Stove  # noqa: PLC0415 - loaded when needed

    return Stove(
        efficiency=efficiency,
        power_kw=table.number("stove_kw"),
        pot_l=table.number("pot_l"),
        fuel=Fuel(table.text("fuel")),
    )
