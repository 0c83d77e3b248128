"""What to do where a source turns out dry, and how far one can still turn round, in words."""

from __future__ import annotations

from longdry.model.plan.least import LeastTable, row_on_plan
from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import DryPass, TurnBack, WayOut
from longdry.model.plan.stretch import DryStretch
from longdry.showing.words.amounts import need_words, supply_words
from longdry.showing.words.measures import Measures
from longdry.showing.words.setbacks import HOLDS_ALL_ALONG, turn_back_words
from longdry.showing.words.stops import Named
from longdry.units import HOURS_PER_DAY, TOLERANCE_L, UNSEEN_KM

Parts = tuple[str, ...]
"""A sentence in parts; those that are names from a file are ``Named``."""


def if_dry(dry: DryPass, measures: Measures) -> Parts:
    """Tell what is left there, what the ways on and back ask for, and which of them can be gone."""
    on, back = dry.go_on, dry.go_back
    ways = (*_way("On to ", on, measures), "; ", *_way("back to ", back, measures))
    left = supply_words(on.left_l, measures)
    return (f"If dry, {left} are left. ", *ways, f". {_outcome(on, back)}")


def on_or_back(dry: DryPass, beside: tuple[str, str], holds_l: float, measures: Measures) -> Parts:
    """Tell the same for paper: go on with so much, else back with so much.

    Parameters
    ----------
    beside
        Labels of the stops behind and ahead: water that is theirs is not named again.
    holds_l
        What all containers hold: nobody is told to go with more.
    """
    on, back = dry.go_on, dry.go_back
    behind, ahead = beside
    on_to = (" to ", *_goal(on)) if on.to_label != ahead else ()
    back_to = (" to ", *_goal(back)) if back.to_label != behind else ()
    on_l, back_l = (need_words(way.asked_l, measures) for way in (on, back))
    head = "If dry: " if on.possible or back.possible else "IF DRY: NO WAY TO WATER. "
    on_fits, back_fits = (way.asked_l <= holds_l + TOLERANCE_L for way in (on, back))
    if on_fits and back_fits:
        parts = ("on", *on_to, f" only with {on_l}, else back", *back_to, f" with {back_l}.")
    elif on_fits:
        parts = ("on", *on_to, f" only with {on_l}; do not go back", *back_to,
                 _too_much(back_l, holds_l, measures), ".")  # fmt: skip
    elif back_fits:
        parts = ("do not go on", *on_to, _too_much(on_l, holds_l, measures), "; back", *back_to,
                 f" with {back_l}.")  # fmt: skip
    else:
        parts = ("do not go on", *on_to, _too_much(on_l, holds_l, measures), "; nor back",
                 *back_to, f" ({back_l} are needed). Wait here, call for help.")  # fmt: skip
    first = parts[0][0].upper() if head.endswith(". ") else parts[0][0]
    return (f"{head}{first}{parts[0][1:]}", *parts[1:])


def _too_much(asked: str, holds_l: float, measures: Measures) -> str:
    return f" ({asked} are needed, {supply_words(holds_l, measures)} can be carried)"


def _way(word: str, way: WayOut, measures: Measures) -> Parts:
    size = f" ({measures.way(way.length_km)}) takes {need_words(way.asked_l, measures)}"
    return (f"{word}", *_goal(way), size)


def _goal(way: WayOut) -> Parts:
    if way.to_label in ("start", "end"):
        return (f"the {way.to_label}",)
    return (Named(way.to_label),)


def _outcome(on: WayOut, back: WayOut) -> str:
    if on.ration is not None:
        return f"Go on, on the {on.ration} ration, or back." if back.possible else _only("on", on)
    return _only("back", back) if back.possible else "There is no way to water."


def _only(word: str, way: WayOut) -> str:
    return f"Go {word}, on the {way.ration} ration."


def turn_words(turn: TurnBack | None, stretch: DryStretch, measures: Measures) -> list[Parts]:
    """Tell the last places to turn round; none where the way back holds all along."""
    if turn is None:
        return []
    told: list[Parts] = []
    for words in turn_back_words(turn, stretch, measures):
        if words in HOLDS_ALL_ALONG:
            continue
        told.append((words, *_left_behind(turn, measures, words)))
    return told


def _left_behind(turn: TurnBack, measures: Measures, words: str) -> Parts:
    if turn.left_l is None or turn.ration is None or words.startswith("for time"):
        return ()
    left = supply_words(turn.left_l, measures)
    return (f": {left} left on reaching ", Named(turn.behind), f", {turn.ration} ration")


def least_words(plan: Plan, km: float, measures: Measures, day: int | None = None) -> str:
    """Tell the least litres to go on from a stop or a camp on time; empty where not known.

    Parameters
    ----------
    day
        Of a camp; None: at a stop.
    """
    least_l = least_to_go_on(plan, km, day)
    if least_l is None:
        return ""
    whole, saving, dry = (need_words(litres, measures) for litres in least_l)
    if_dry = f"; only with {dry} may the next water be dry" if least_l[2] > least_l[1] else ""
    return f"Going on takes {whole} with the reserve, {saving} saving{if_dry}."


def least_to_go_on(
    plan: Plan, km: float, day: int | None = None
) -> tuple[float, float, float] | None:
    """Return the litres with the reserve, those on the bare ration with their margin, and if dry.

    The last are those with which it can be borne that the next water is dry; 0 where it is certain.
    None where the plan has no table, or no halt there. Of several halts the hardest counts.

    Parameters
    ----------
    day
        The day of the trip whose evening is asked about; None: of all evenings there.
    """
    table = plan.least
    column = table.column(0.0) if table else None
    if table is None or column is None:
        return None
    rows = [
        number
        for number, row in enumerate(table.rows)
        if row.is_halt
        and not row.is_on_arriving
        and abs(row.from_km - km) < UNSEEN_KM
        and row.on_km > km + UNSEEN_KM
    ]
    if not rows:
        return None
    on_day = [row for row in rows if table.rows[row].hour // HOURS_PER_DAY + 1 == day]
    rows = on_day or rows
    by_row = [_to_go_on_from(table, row, column) for row in rows]
    whole_l, saving_l, dry_l = (max(litres) for litres in zip(*by_row, strict=True))
    return whole_l, saving_l, dry_l


def _to_go_on_from(table: LeastTable, number: int, column: int) -> tuple[float, float, float]:
    """Return the litres of a halt, no more than with which the plan's own promises hold."""
    row = table.rows[number]
    whole_l = table.full_l.item(number, column) + table.reserve_l.item(number, column)
    saving_l, dry_l = table.saving_l.item(number, column), table.if_dry_l(number, column)
    planned = row_on_plan(table.planned, row.from_km, row.hour, row.on_km)
    if planned is None:
        return whole_l, saving_l, dry_l
    least_l = max(planned.row.least_l(planned.late), table.bare_l.item(number, column))
    if planned.row.is_clear:
        whole_l = min(whole_l, max(planned.row.told_l, least_l))
    return whole_l, min(saving_l, least_l), min(dry_l, least_l)
