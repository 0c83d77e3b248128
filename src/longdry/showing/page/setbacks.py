"""When it goes wrong: dry sources, lost days, turning back, waiting, chance.

The published survival table is shown between its caution and its source; cells that were recalled
from memory are marked one by one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import (
    DAYS,
    FROM_MEMORY,
    SHADE_MAX_F,
    SOURCE,
    SURVIVAL_CAUTION,
    WATER_QT,
    Chance,
    DryProof,
    SitOut,
    Stranded,
    WayOut,
    WhatIf,
    is_from_memory,
)
from longdry.model.plan.stretch import DryStretch
from longdry.plain_text import printable
from longdry.showing.map.setback_signs import LEAST_WAIT_DAYS
from longdry.showing.page.tables import Column, TableRow, table, verdict_mark
from longdry.showing.words.amounts import (
    count_words,
    days_lasting_words,
    length_words,
    need_words,
    on_board_words,
    place_words,
    supply_words,
)
from longdry.showing.words.markup import Markup, joined, name_tag, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.setbacks import (
    change_words,
    consequence,
    failure_words,
    help_words,
    percent_words,
)
from longdry.showing.words.stretches import end_words
from longdry.units import L_PER_US_QUART

_CHANGE_COLUMNS = (
    Column("What goes wrong"),
    Column("As planned"),
    Column("Then"),
    Column("Worst stretch then"),
    Column("Needs", numeric=True),
    Column("Carried", numeric=True),
)
_DRY_COLUMNS = (
    Column("Dry"),
    *_CHANGE_COLUMNS[1:],
    Column("Go on?"),
    Column("Go back?"),
)


def setback_section(plan: Plan, measures: Measures) -> Markup:
    """Build everything about what goes wrong, or say why nothing is told."""
    if plan.setbacks is None:
        return tag(
            "p",
            None,
            "Nothing was worked out about what may go wrong: the trip names no containers.",
        )
    setbacks = plan.setbacks
    return joined(
        [
            *_worst(setbacks.worst, measures),
            _changes(setbacks.changes, measures),
            *_dry(setbacks.dry, measures),
            *_proof(plan, measures),
            *_waiting(setbacks.sit_out, measures),
            *([survival_part(setbacks.stranded, measures)] if setbacks.stranded else []),
            *_chance(setbacks.chance, plan.stretches),
        ]
    )


def _worst(worst: WhatIf | None, measures: Measures) -> list[Markup]:
    if worst is None:
        return []
    words = f". {consequence(worst, measures)}"
    return [
        tag("p", None, tag("b", None, "Worst single failure: "),
            name_tag(failure_words(worst, measures)), words)
    ]  # fmt: skip


def _changes(changes: Sequence[WhatIf], measures: Measures) -> Markup:
    return table(
        "change-table",
        "One thing goes wrong at a time; what is carried is by the plan, not full containers",
        _CHANGE_COLUMNS,
        [
            TableRow((name_tag(change_words(one, measures)), *_judged_cells(one, measures)))
            for one in changes
        ],
    )


def _judged_cells(one: WhatIf, measures: Measures) -> tuple[str, ...]:
    return (
        verdict_mark(one.before),
        verdict_mark(one.verdict),
        _between(one.worst, measures),
        need_words(one.worst.need.total_l, measures),
        supply_words(one.worst.available_l, measures),
    )


def _dry(dry: Sequence[WhatIf], measures: Measures) -> list[Markup]:
    """Tell of pairs; what to do where one source is dry stands at its stop in the list."""
    pairs = [one for one in dry if len(one.sources) > 1]
    if not pairs:
        return []
    caption = "Each two neighbouring calls dry; ways on and back are without rest days"
    return [
        tag("h4", {"id": "dry"}, "Two neighbouring sources dry"),
        _dry_table("pair-table", caption, pairs, measures),
    ]


def _dry_table(id_: str, caption: str, dry: Sequence[WhatIf], measures: Measures) -> Markup:
    rows = [
        TableRow(
            (
                _dry_names(one),
                *_judged_cells(one, measures),
                _way_out(one.go_on, measures),
                _way_out(one.go_back, measures),
            )
        )
        for one in dry
    ]
    return table(id_, caption, _DRY_COLUMNS, rows)


def _dry_names(one: WhatIf) -> Markup:
    names = [name_tag(source.name) for source in one.sources]
    parts: list[str] = [names[0], *(part for name in names[1:] for part in (" and ", name))]
    if one.leaves_neither:
        parts.append(tag("span", {"class": "alarm-words"}, "no way to water"))
    return joined(parts)


def _way_out(way: WayOut | None, measures: Measures) -> str:
    if way is None:
        return "not asked"
    goal = joined([name_tag(_goal(way)), f", {length_words(way.length_km, measures)}"])
    if way.ration is None:
        return joined(["no: ", need_words(way.missing_l, measures), " missing to ", goal])
    return joined([f"yes, on the {way.ration} ration, to ", goal])


def _goal(way: WayOut) -> str:
    return f"the {way.to_label}" if way.to_label in ("start", "end") else way.to_label


def _between(stretch: DryStretch, measures: Measures) -> Markup:
    return joined(
        [
            name_tag(end_words(stretch.begin)),
            f" ({place_words(stretch.begin.km, measures)}) to ",
            name_tag(end_words(stretch.end)),
            f" ({place_words(stretch.end.km, measures)})",
        ]
    )


def _proof(plan: Plan, measures: Measures) -> list[Markup]:
    return [tag("p", {"id": "proof"}, *_proof_words(plan, measures))]


def _proof_words(plan: Plan, measures: Measures) -> list[str]:
    proof: DryProof | None = plan.setbacks.proof if plan.setbacks else None
    if proof is None:
        return []
    asked = [
        f"{need_words(extra, measures)} more from {place_words(stretch.begin.km, measures)}"
        for stretch, extra in zip(plan.stretches, proof.extra_l, strict=True)
        if extra > 0.0
    ]
    if asked:
        notes = [f"So that any one uncertain source may be dry, carry {', '.join(asked)}. "]
    else:
        notes = ["With what the plan carries any one uncertain source may be dry. "]
    return (notes if asked or proof.holds else []) + _breaking([s.name for s in proof.breaks])


def _breaking(names: Sequence[str]) -> list[str]:
    if not names:
        return []
    listed = [part for name in names for part in (", ", name_tag(name))][1:]
    return [
        tag("strong", None, "Where one of these is dry the containers cannot make it good: "),
        *listed,
        ".",
    ]


def _waiting(sit_out: SitOut, measures: Measures) -> list[Markup]:
    head = tag("h4", {"id": "waiting"}, "Waiting for help")
    if not math.isfinite(sit_out.least_days):
        return [head, tag("p", None, "The bare ration asks for no water: nothing limits the wait.")]
    at = tag("strong", None, place_words(sit_out.at_km, measures))
    days = days_lasting_words(sit_out.least_days)
    lasts = ["The shortest wait is at ", at, ": ", tag("strong", None, days)]
    if sit_out.least_days < LEAST_WAIT_DAYS:
        lasts = ["From ", at, " on nothing is left to wait with"]
    least = tag(
        "p",
        None,
        *lasts,
        (
            f", resting in shade on the bare ration: {on_board_words(sit_out.on_board_l, measures)}"
            f" carried, {need_words(sit_out.rest_l_per_day, measures)} a day for the party. "
            f"{help_words(sit_out, measures)}"
        ),
    )
    return [head, least]


def _chance(chance: Chance | None, stretches: Sequence[DryStretch]) -> list[Markup]:
    if chance is None:
        return []
    over = tag(
        "p",
        None,
        "Chance of running short anywhere: ",
        tag("strong", None, percent_words(chance.short, chance.standard_error)),
        "; of having to turn back: ",
        tag("strong", None, percent_words(chance.turn_back, chance.standard_error)),
        f", from {count_words(chance.trials, 'trial')} with seed {chance.seed}. ",
        printable(chance.rests_on),
    )
    rows = [
        TableRow(
            (
                tag(
                    "a",
                    {"href": f"#stretch-{one.stretch}"},
                    "To ",
                    name_tag(end_words(stretches[one.stretch - 1].end)),
                ),
                percent_words(one.short, one.standard_error),
            )
        )
        for one in chance.by_stretch
    ]
    columns = (Column("Stretch"), Column("Chance of arriving short"))
    caption = "By stretch; what it rests on stands above"
    return [
        tag("h4", {"id": "chance"}, "Chance"),
        over,
        tag(
            "details",
            None,
            tag("summary", None, "Chance by stretch"),
            table("chance-table", caption, columns, rows),
        ),
    ]


_FREEZING_F = 32.0


def survival_part(stranded: Stranded, measures: Measures) -> Markup:
    """Build figure and table between caution and source; nobody sees one without the other."""
    columns = (
        Column("Highest shade temperature"),
        *(Column(f"{quarts * L_PER_US_QUART:.1f} L", numeric=True) for quarts in WATER_QT),
    )
    rows = [
        TableRow((_degrees(shade_f), *(_days(shade_f, place) for place in range(len(WATER_QT)))))
        for shade_f in reversed(SHADE_MAX_F)
    ]
    quarts = ", ".join(f"{q:g}" for q in WATER_QT)
    caption = f"Expected days of survival in shade by water per person: {quarts} US quarts"
    return joined(
        [
            tag("h4", {"id": "survival"}, "What is published about being stranded"),
            tag("p", {"class": "caution"}, tag("strong", None, f"Caution. {SURVIVAL_CAUTION}")),
            _here(stranded, measures),
            table("survival-table", caption, columns, rows),
            tag("p", {"class": "source"}, f"* {FROM_MEMORY} Source: {SOURCE}."),
        ]
    )


def _here(stranded: Stranded, measures: Measures) -> Markup:
    """Read the table where the wait is shortest; no allowance, and never beyond its limits."""
    star = "*" if stranded.figure.from_memory else ""
    return tag(
        "p",
        {"id": "stranded"},
        f"Read between its cells for the shortest wait, {place_words(stranded.at_km, measures)}, "
        f"with {on_board_words(stranded.litres_each, measures)} a person and up to "
        f"{measures.heat(stranded.shade_max_c)} in the shade: death is to be expected about ",
        tag("strong", None, f"{days_lasting_words(stranded.figure.days)}{star}"),
        " after being stranded. It is no time to plan with: call for help at once.",
    )


def _degrees(shade_f: float) -> str:
    return f"{(shade_f - _FREEZING_F) / 1.8:.1f} °C ({shade_f:g} °F)"


def _days(shade_f: float, place: int) -> str:
    row = DAYS[SHADE_MAX_F.index(shade_f)]
    mark = "*" if is_from_memory(shade_f, WATER_QT[place]) else ""
    return f"{row[place]:g}{mark}"
