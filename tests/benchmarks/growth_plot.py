"""How time grows, as a log-log plot in SVG: a line along the grid's slope is in proportion."""

from __future__ import annotations

import math

WIDTH, HEIGHT, MARGIN = 520.0, 400.0, 56.0
STYLES = {
    "points": "0", "sources": "7 4", "stops": "2 3", "limited stops": "12 3 2 3", "calls": "12 3",
    "limited calls": "2 3 7 3", "days": "0", "routes": "2 3",
}  # fmt: skip
"""Each line has a dash of its own and its name at its end: colour says nothing here."""

Series = dict[str, list[tuple[int, float]]]


def growth_svg(series: Series) -> str:
    """Draw seconds over count, both from the first of each line on: 1, 2, 4, 8 times."""
    most = max(count / found[0][0] for found in series.values() for count, _ in found)
    slowest = max(seconds / found[0][1] for found in series.values() for _, seconds in found)
    decades = math.log2(max(most, slowest, 2.0))

    def place(times_count: float, times_s: float) -> tuple[float, float]:
        across = math.log2(times_count) / decades * (WIDTH - 3.0 * MARGIN)
        up = math.log2(max(times_s, 0.5)) / decades * (HEIGHT - 2.0 * MARGIN)
        return MARGIN + across, HEIGHT - MARGIN - up

    steps = [2.0**k for k in range(int(decades) + 1)]
    parts = [_text(WIDTH / 2.0, HEIGHT - 12.0, "times as many (log)"),
             _text(MARGIN + 16.0, 24.0, "times as long (log)")]  # fmt: skip
    for step in steps:
        (x, foot), (left, y) = place(step, 1.0), place(1.0, step)
        parts += [_text(x, foot + 18.0, f"{step:g}"), _text(left - 16.0, y + 4.0, f"{step:g}")]
    parts.append(_line([place(1.0, 1.0), place(2.0**decades, 2.0**decades)], "1 6", 1.0))
    ends: list[tuple[float, float, str]] = []
    for name, found in series.items():
        line = [place(count / found[0][0], seconds / found[0][1]) for count, seconds in found]
        parts.append(_line(line, STYLES[name], 2.0))
        ends.append((line[-1][1] + 4.0, line[-1][0] + 46.0, name))
    low = 0.0
    for y, x, name in sorted(ends):
        low = max(y, low + 14.0)
        parts.append(_text(x, low, name))
    title = f"Growth of the time with {', '.join(series)}; dotted: in proportion"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" role="img">'
        f'<title>{title}</title><rect width="100%" height="100%" fill="white"/>'
        + "".join(parts)
        + "</svg>\n"
    )


def _line(places: list[tuple[float, float]], dash: str, wide: float) -> str:
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
    return (
        f'<polyline points="{points}" fill="none" stroke="black" stroke-width="{wide:g}" '
        f'stroke-dasharray="{dash}"/>'
    )


def _text(x: float, y: float, words: str) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-family="sans-serif" font-size="13" '
        f'text-anchor="middle">{words}</text>'
    )
