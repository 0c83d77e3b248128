"""All that goes wrong, read like a table of contents."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from longdry.computing.chance import Spread, chance_of_short
from longdry.computing.changed_trip import HeatOf
from longdry.computing.dry_proof import proof_against_one_dry
from longdry.computing.dry_source import dry_sources
from longdry.computing.harder import worst_of
from longdry.computing.loaded_plan import LoadedPlan
from longdry.computing.turn_back import turn_backs
from longdry.computing.verdicts import capacity_l
from longdry.computing.waiting import sit_out
from longdry.computing.what_ifs import standard_changes, what_ifs
from longdry.model.change import Change
from longdry.model.judgement import Judgement
from longdry.model.setbacks import Setbacks
from longdry.model.words import Certainty


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be found out beside the standard set."""

    changes: tuple[Change, ...] = ()
    more_changes: tuple[Change, ...] = ()
    """Asked for elsewhere than in the trip file."""
    more_origin: str = "what if"
    """Where these were written."""
    back_by_h: float | None = None
    """Hours after departure by which the party must be back at the start; None: no limit."""
    help_days: float | None = None
    """Days until help can be there; None: not known."""
    trials: int = 0
    """Of the simulation; 0: none."""
    seed: int = 1
    spread: Spread = field(default_factory=Spread)


def setbacks_of(
    plan: LoadedPlan,
    judgements: Mapping[str, Judgement],
    *,
    heat_of: HeatOf | None = None,
    asked: Asked | None = None,
) -> Setbacks:
    """Work out dry sources, changes, turn-back km, sit-out, the dry proof and the chance.

    Parameters
    ----------
    judgements
        By source id; a source without one is uncertain and has no chance of water.
    heat_of
        Makes the heat again; None where the trip gives none.

    Raises
    ------
    TripFileError
        Where a change asks for something that the trip or the route does not have.
    """
    asked = asked or Asked()
    dry = dry_sources(plan)
    changes = what_ifs(plan, (*standard_changes(plan, heat_of), *asked.changes), heat_of)
    if asked.more_changes:
        elsewhere = _written_in(plan, asked.more_origin)
        changes += what_ifs(elsewhere, asked.more_changes, heat_of)
    chances = {one: judgement.chance for one, judgement in judgements.items()}
    return Setbacks(
        worst=worst_of((*dry, *changes)),
        dry=dry,
        changes=changes,
        turn_backs=turn_backs(plan, back_by_h=asked.back_by_h),
        sit_out=sit_out(plan, help_days=asked.help_days),
        proof=proof_against_one_dry(
            plan, uncertain_ids(plan, judgements), can_hold_l=capacity_l(plan.going.trip)
        ),
        chance=chance_of_short(
            plan, chances, trials=asked.trials, seed=asked.seed, spread=asked.spread
        )
        if asked.trials
        else None,
    )


def _written_in(plan: LoadedPlan, origin: str) -> LoadedPlan:
    """Return the same plan, whose complaints name another origin."""
    trip = replace(plan.going.trip, origin=origin)
    return replace(plan, going=replace(plan.going, trip=trip))


def uncertain_ids(plan: LoadedPlan, judgements: Mapping[str, Judgement]) -> frozenset[str]:
    """Return the ids of the counted sources that are not judged certain."""
    return frozenset(
        end.water.source.id
        for end in plan.ends
        if end.water and not _is_certain(judgements.get(end.water.source.id))
    )


def _is_certain(judgement: Judgement | None) -> bool:
    return judgement is not None and judgement.certainty is Certainty.CERTAIN
