"""The picture of most to carry against the chance of running short."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from longdry.model.compare.comparison import Comparison
from longdry.showing.compare.calendar import CSS
from longdry.showing.compare.words import name_of, of_100, sign_of
from longdry.showing.signs.scale import nice_step
from longdry.showing.words.amounts import need_words
from longdry.showing.words.markup import Markup, joined, tag
from longdry.showing.words.measures import Measures

WIDTH, HEIGHT = 760.0, 380.0
LEFT, RIGHT, TOP, BOTTOM = 56.0, 190.0, 24.0, 330.0
_SIZE = 7.0
_APART = 2.0 * _SIZE
"""Points nearer together than this are drawn as one."""
_LABEL_LETTERS = 40
_LINE_HEIGHT = 14.0
MOST_LABELS = 8


@dataclass(frozen=True, slots=True)
class Dot:
    """All combinations whose points lie in one place."""

    x: float
    y: float
    rows: tuple[int, ...]
    """Indices; what nothing beats first, then the best."""
    is_unbeaten: bool


@dataclass(frozen=True, slots=True)
class _Frame:
    """From litres and chance to the picture."""

    most_l: float
    most_chance: float

    def x(self, litres: float) -> float:
        return round(LEFT + litres / self.most_l * (WIDTH - LEFT - RIGHT), 0)

    def y(self, chance: float) -> float:
        return round(BOTTOM - chance / self.most_chance * (BOTTOM - TOP), 0)


def scatter_figure(comparison: Comparison, measures: Measures) -> Markup:
    """Draw every combination that has a chance as a named point; those that nothing beats marked.

    Empty where fewer than two have one.
    """
    drawn = _drawn(comparison)
    if len(drawn) <= 1:
        return Markup("")
    frame = _frame(comparison, drawn)
    dots = _dots(comparison, drawn, frame)
    return tag(
        "svg",
        {"class": "scatter", "viewBox": f"0 0 {WIDTH:g} {HEIGHT:g}"},
        *_axes(frame, measures),
        *(_point(comparison, measures, dot) for dot in dots if not dot.is_unbeaten),
        *(_point(comparison, measures, dot) for dot in dots if dot.is_unbeaten),
        *_labels(comparison, [dot for dot in dots if dot.is_unbeaten]),
        _upright(frame, measures),
    )


def _drawn(comparison: Comparison) -> list[int]:
    return [
        index
        for index in comparison.ranked
        if (outcome := comparison.rows[index].outcome) and outcome.chances
    ]


def _frame(comparison: Comparison, drawn: Sequence[int]) -> _Frame:
    litres, chances = zip(*(_place(comparison, index) for index in drawn), strict=True)
    return _Frame(max(litres) * 1.04 or 1.0, min(max(max(chances) * 1.08, 0.05), 1.0))


def _place(comparison: Comparison, index: int) -> tuple[float, float]:
    outcome = comparison.rows[index].outcome
    if outcome is None or outcome.chances is None:
        raise ValueError("no chance is known")
    return outcome.most.litres, outcome.chances.short


def _dots(comparison: Comparison, drawn: Sequence[int], frame: _Frame) -> list[Dot]:
    """Gather what lies so near together that a finger could not tell it apart."""
    found: list[tuple[float, float, list[int]]] = []
    for index in sorted(drawn, key=lambda index: index not in comparison.unbeaten):
        litres, chance = _place(comparison, index)
        x, y = frame.x(litres), frame.y(chance)
        for other_x, other_y, rows in found:
            if max(abs(x - other_x), abs(y - other_y)) < _APART:
                rows.append(index)
                break
        else:
            found.append((x, y, [index]))
    return [Dot(x, y, tuple(rows), rows[0] in comparison.unbeaten) for x, y, rows in found]


def _axes(frame: _Frame, measures: Measures) -> Iterator[Markup]:
    most = frame.most_l / measures.l_per_volume
    step = nice_step(most, 6)
    count = int(most / step)
    for number in range(count + 1):
        x = frame.x(number * step * measures.l_per_volume)
        yield _line(x, TOP, x, BOTTOM)
        yield _text(x, BOTTOM + 18.0, f"{number * step:g}", "middle")
    for percent in _percents(frame):
        y = frame.y(percent / 100.0)
        yield _line(LEFT, y, WIDTH - RIGHT, y)


def _percents(frame: _Frame) -> list[float]:
    high = 100.0 * frame.most_chance
    step = nice_step(high, 5)
    return [number * step for number in range(int(high / step + 1e-9) + 1)]


def _upright(frame: _Frame, measures: Measures) -> Markup:
    """Write the chances over all else: a script keeps them in view while the picture is rolled.

    So does the name of the other scale.
    """
    room = {"class": "room", "width": f"{LEFT - 4.0:g}", "height": f"{BOTTOM + 8.0:g}"}
    ticks = [
        _text(LEFT - 8.0, frame.y(percent / 100.0) + 4.0, f"{percent:g}", "end")
        for percent in _percents(frame)
    ]
    title = _text(LEFT - 44.0, TOP - 9.0, "may run short, of 100 trips", "start", "name")
    across = _text(LEFT, BOTTOM + 40.0, f"most to carry, {measures.volume}", "start")
    return tag("g", {"class": "upright"}, tag("rect", room), *ticks, title, across)


def _point(comparison: Comparison, measures: Measures, dot: Dot) -> Markup:
    """Draw a point as a link to its combination; shapes and hues say the verdicts there."""
    row = comparison.rows[dot.rows[0]]
    outcome = row.outcome
    if outcome is None or outcome.chances is None:
        raise ValueError("no chance is known")
    there = {sign_of(comparison.rows[index]) for index in dot.rows}
    signs = [sign for sign in CSS if sign in there]
    more = f" and {len(dot.rows) - 1} more" if len(dot.rows) > 1 else ""
    best = "; no other beats it" if dot.is_unbeaten else ""
    said = (
        f"{name_of(comparison, row)}{more}: {', '.join(signs)}, carry"
        f" {need_words(outcome.most.litres, measures)}, may run short in"
        f" {of_100(outcome.chances.short)} of 100 trips{best}"
    )
    ring = [tag("circle", {"class": "ring", "cx": f"{dot.x:g}", "cy": f"{dot.y:g}", "r": "13"})]
    return tag(
        "a",
        {"href": f"#{row.of.key}", "class": "point", "aria-label": said,
         "data-rows": " ".join(comparison.rows[one].of.key for one in dot.rows)},
        tag("title", None, said),
        *(ring if dot.is_unbeaten else []),
        *(point_shape(sign, dot.x, dot.y) for sign in signs),
    )  # fmt: skip


def point_shape(sign: str, x: float, y: float) -> Markup:
    """Draw the sign of a verdict: full circle, diamond, cross."""
    s, css = _SIZE, f"mark {CSS[sign]}"
    if sign == "yes":
        return tag("circle", {"class": css, "cx": f"{x:g}", "cy": f"{y:g}", "r": f"{s:g}"})
    outline = (
        f"M{x:g} {y - s:g}L{x + s:g} {y:g}L{x:g} {y + s:g}L{x - s:g} {y:g}Z"
        if sign == "if"
        else f"M{x - s:g} {y - s:g}L{x + s:g} {y + s:g}M{x + s:g} {y - s:g}L{x - s:g} {y + s:g}"
    )
    return tag("path", {"class": css, "d": outline})


def _labels(comparison: Comparison, dots: Sequence[Dot]) -> Iterator[Markup]:
    """Name the points that nothing beats, each right of its point, none upon another."""
    taken: list[float] = []
    for dot in sorted(dots, key=lambda one: one.y)[:MOST_LABELS]:
        y = max([dot.y + 4.0, *(low + _LINE_HEIGHT for low in taken[-1:])])
        taken.append(y)
        more = f" +{len(dot.rows) - 1}" if len(dot.rows) > 1 else ""
        name = name_of(comparison, comparison.rows[dot.rows[0]])
        shown = name if len(name) <= _LABEL_LETTERS else f"{name[: _LABEL_LETTERS - 1]}…"
        ends_left = dot.x > WIDTH * 0.7
        x, anchor = (dot.x - 16.0, "end") if ends_left else (dot.x + 16.0, "start")
        yield _text(x, y, f"{shown}{more}", anchor, "name")


def _line(x1: float, y1: float, x2: float, y2: float) -> Markup:
    return tag("path", {"class": "rule", "d": f"M{x1:g} {y1:g}L{x2:g} {y2:g}"})


def _text(x: float, y: float, words: str, anchor: str, css: str = "tick") -> Markup:
    given = {"class": css, "x": f"{x:g}", "y": f"{y:g}", "text-anchor": anchor}
    return tag("text", given, words)


def scatter_key(signs: Sequence[str]) -> Markup:
    """Say what shapes and rings mean, of those drawn."""
    box = {"viewBox": "0 0 20 20", "width": "18", "height": "18", "aria-hidden": "true"}
    keys = [
        tag("span", {"class": "key"},
            tag("svg", box, point_shape(sign, 10.0, 10.0)), f" {sign}")
        for sign in signs
    ]  # fmt: skip
    ring = tag("svg", box, tag("circle", {"class": "ring", "cx": "10", "cy": "10", "r": "8"}))
    return joined([*keys, tag("span", {"class": "key"}, ring, " no other beats it")])
