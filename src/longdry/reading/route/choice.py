"""From all lines of a file to the one route that is travelled: chosen, or joined end to end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from longdry.errors import InputError, RouteFileError
from longdry.geodesy import (
    LONGEST_TIMED_JUMP_KM,
    azimuths_and_lengths,
    jump_legs,
    leg_lengths_km,
)
from longdry.model.arrays import FloatArray
from longdry.model.route import FEWEST_POINTS, TOUCHING_KM, DrawnAs, Route
from longdry.plain_text import listed
from longdry.reading.files.text import quoted
from longdry.reading.route.drawing import Drawing, DrawnLine, counted

MEETING_KM = 1.0
"""Ends that lie no further apart than this meet."""

_MUCH_LONGER = 10.0
"""A line so many times as long as the one that is read may be the one that was meant; common
practice, no source."""
_FAR_FROM_ZERO_DEG = 1.0
"""A point at 0, 0 whose neighbours lie further off is none that anybody was at."""
_MOST_DIGITS = 9
"""No file has a billion lines."""
_DRAW_AGAIN = "draw it with at least two points apart"


def chosen_route(drawing: Drawing, *, track: str | Sequence[str] | None) -> Route:
    """Make the route of the line that is asked for, or of all lines where they meet.

    Parameters
    ----------
    drawing
        All lines of the file.
    track
        Name of a track, route or line, or its number such as '#2', with '#3' behind it for its
        third segment; or several, in the order of travel. None: the only one, or all of them
        joined. Tracks go before routes.

    Raises
    ------
    RouteFileError
        There is no line, none or several of that name, their ends do not meet, or the line
        has no two points apart.
    """
    if not drawing.lines:
        raise _no_line(drawing)
    drawing = replace(drawing, lines=tuple(_cut_at_jumps(drawing, one) for one in drawing.lines))
    remarks = list(drawing.remarks)
    asked = [track] if isinstance(track, str) else list(track or ())
    if asked:
        lines = [_named(drawing, one) for one in asked]
        remarks += _bridged(drawing, lines)
    else:
        lines = _preferred(drawing, remarks)
        _check_that_they_meet(drawing, lines)
    remarks += _remarks_on(lines, joined=not asked)
    grave = [] if asked else _much_longer_left_out(drawing, lines)
    return replace(_joined(drawing, lines, remarks), grave_remarks=tuple(grave))


def route_of_each_line(drawing: Drawing) -> tuple[Route | InputError, ...]:
    """Make a route of every line by itself, in file order; of one that leads nowhere its fault.

    Raises
    ------
    RouteFileError
        There is no line.
    """
    if not drawing.lines:
        raise _no_line(drawing)
    lines = tuple(_cut_at_jumps(drawing, one) for one in drawing.lines)
    cut = replace(drawing, lines=lines)
    return tuple(_alone(cut, line) for line in lines)


def _alone(drawing: Drawing, line: DrawnLine) -> Route | InputError:
    try:
        return _joined(drawing, [line], [*drawing.remarks, *_remarks_on([line], joined=False)])
    except RouteFileError as fault:
        return fault


def _cut_at_jumps(drawing: Drawing, line: DrawnLine) -> DrawnLine:
    """Return a recording broken where it jumps too far: what lies on one side can be chosen.

    A stray point, where two jumps meet, is left for whoever measures the line to tell.
    """
    if not line.timed or line.points < FEWEST_POINTS:
        return line
    run = slice(line.first, line.stop)
    leg_km = leg_lengths_km(drawing.lat_deg[run], drawing.lon_deg[run])
    legs = jump_legs(leg_km, np.array(line.part_starts) - line.first)
    alone = ~(np.isin(legs - 1, legs) | np.isin(legs + 1, legs))
    far = legs[alone & (leg_km[legs] > LONGEST_TIMED_JUMP_KM)]
    if not far.size:
        return line
    starts = sorted({*line.part_starts, *(far + 1 + line.first).tolist()})
    return replace(line, part_starts=tuple(starts))


def _no_line(drawing: Drawing) -> InputError:
    what = "holds no track or route"
    if drawing.waypoints:
        what += f", only {counted(len(drawing.waypoints), 'waypoint')}"
    mend = "export the planned line as a track or a route"
    return _error(drawing, what, mend)


def _error(drawing: Drawing, what: str, mend: str) -> InputError:
    return RouteFileError.single(drawing.origin, "", what, mend)


def _preferred(drawing: Drawing, remarks: list[str]) -> list[DrawnLine]:
    long = [line for line in drawing.lines if line.points > 1] or list(drawing.lines)
    if len(long) < len(drawing.lines):
        points = listed([line.title for line in drawing.lines if line.points == 1])
        remarks.append(f"Lines of one point lead nowhere and are left out: {points}")
    tracks = [line for line in long if line.drawn_as is not DrawnAs.ROUTE]
    routes = [line for line in long if line.drawn_as is DrawnAs.ROUTE]
    if not tracks or not routes:
        return tracks or routes
    left = listed([line.title for line in routes])
    remarks.append(f"The file holds tracks and routes; the tracks are used, not {left}")
    return tracks


def _much_longer_left_out(drawing: Drawing, lines: list[DrawnLine]) -> list[str]:
    """Tell of lines that nobody asked to leave out and that are far longer than what is read."""
    left = [line for line in drawing.lines if line not in lines]
    if not left:
        return []
    read_km = sum(_length_km(drawing, line) for line in lines)
    lengths_km = [_length_km(drawing, line) for line in left]
    if max(lengths_km) < _MUCH_LONGER * read_km:
        return []
    longest = left[int(np.argmax(lengths_km))]
    number = drawing.lines.index(longest) + 1
    told = (
        f"The line that is read is {read_km:,.1f} km long, and {longest.title}, which is not read,"
        f" {max(lengths_km):,.1f} km: make sure which one you travel, and name it with --track"
        f' (the longer one is "#{number}").'
    )
    return [told]


def _length_km(drawing: Drawing, line: DrawnLine) -> float:
    """Return the length of a line, its breaks not counted."""
    ends = [*line.part_starts[1:], line.stop]
    parts = [slice(first, stop) for first, stop in zip(line.part_starts, ends, strict=True)]
    return sum(
        float(leg_lengths_km(drawing.lat_deg[part], drawing.lon_deg[part]).sum()) for part in parts
    )


def _listing(drawing: Drawing) -> str:
    numbered = enumerate(drawing.lines, start=1)
    return listed([f"#{number} {line.title} ({_size(line)})" for number, line in numbered])


def _size(line: DrawnLine) -> str:
    segments = len(line.part_starts)
    parts = f" in {segments} segments" if segments > 1 else ""
    return f"{counted(line.points, 'point')}{parts}"


def _named(drawing: Drawing, track: str) -> DrawnLine:
    wanted = " ".join(track.split())
    same = [line for line in drawing.lines if line.name == wanted and wanted]
    tracks = [line for line in same if line.drawn_as is not DrawnAs.ROUTE]
    found = tracks or same or _numbered(drawing, wanted)
    if len(found) == 1:
        return found[0]
    if not found and "#" in wanted[1:]:
        name, _, number = wanted.rpartition("#")
        return _segment(drawing, _named(drawing, name), number)
    what = f"has {len(found)} lines named {quoted(wanted)}" if found else (
        f"has no track or route {quoted(wanted)}"
    )  # fmt: skip
    raise _error(
        drawing,
        f"{what}, but {_listing(drawing)}",
        'give --track one of these names, or its number such as "#2"',
    )


def _segment(drawing: Drawing, line: DrawnLine, number: str) -> DrawnLine:
    """Return one unbroken part of a line as a line of its own."""
    ends = [*line.part_starts[1:], line.stop]
    parts = list(zip(line.part_starts, ends, strict=True))
    digits = number.strip()
    if digits.isascii() and digits.isdigit() and 0 < int(digits[:9]) <= len(parts):
        first, stop = parts[int(digits) - 1]
        return replace(line, part_starts=(first,), stop=stop, shape_points=0, shaped_points=0)
    sizes = enumerate((counted(stop - first, "point") for first, stop in parts[:10]), start=1)
    counts = ", ".join(f"#{which} ({size})" for which, size in sizes)
    what = f"{line.title} has no segment {quoted('#' + number)}, but {counts}"
    raise _error(drawing, what, "give one of these numbers behind its name")


def _bridged(drawing: Drawing, lines: list[DrawnLine]) -> list[str]:
    """Tell the order in which several lines that were asked for are joined."""
    if len(lines) == 1:
        return []
    gaps = [_gap_words(gap_km) for gap_km in _gaps_km(drawing, lines)]
    told = f"gaps between them: {', '.join(gaps)}" if set(gaps) != {_NO_GAP} else "they touch"
    names = listed([line.title for line in lines])
    return [f"{len(lines)} lines are joined as asked for: {names}; {told}"]


_NO_GAP = "none"


def _gap_words(gap_km: float) -> str:
    return f"{gap_km:,.1f} km" if gap_km > TOUCHING_KM else _NO_GAP


def _numbered(drawing: Drawing, wanted: str) -> list[DrawnLine]:
    digits = wanted.removeprefix("#")
    if (
        digits == wanted
        or not (digits.isascii() and digits.isdigit())
        or len(digits) > _MOST_DIGITS
    ):
        return []
    number = int(digits)
    return list(drawing.lines[number - 1 : number]) if number else []


def _gaps_km(drawing: Drawing, lines: list[DrawnLine]) -> FloatArray:

    ends = np.array([line.stop - 1 for line in lines[:-1]])
    begins = np.array([line.first for line in lines[1:]])
    lat, lon = drawing.lat_deg, drawing.lon_deg
    return azimuths_and_lengths(lat[ends], lon[ends], lat[begins], lon[begins])[1]


def _check_that_they_meet(drawing: Drawing, lines: list[DrawnLine]) -> None:
    if len(lines) == 1:
        return
    gaps_km = _gaps_km(drawing, lines)
    apart = np.flatnonzero(gaps_km > MEETING_KM)
    if not apart.size:
        return
    before = int(apart[0])
    ending, beginning = (drawing.lines.index(line) + 1 for line in lines[before : before + 2])
    what = (
        f"holds {len(drawing.lines)} lines that do not meet end to end: {_listing(drawing)}; "
        f"#{ending} ends {gaps_km[before]:,.1f} km from where #{beginning} begins"
    )
    mend = (
        'choose one with --track NAME, or by number with --track "#2"; or give --track several'
        " times, in the order of travel, where each begins within 20 km of the last one's end"
    )
    raise _error(drawing, what, mend)


def _remarks_on(lines: list[DrawnLine], *, joined: bool) -> list[str]:
    remarks = []
    if len(lines) > 1 and joined:
        names = listed([line.title for line in lines])
        remarks.append(
            f"{len(lines)} lines that meet end to end were joined in file order: {names}"
        )
    shape_points = sum(line.shape_points for line in lines)
    if shape_points:
        shaped_points = sum(line.shaped_points for line in lines)
        shaped = counted(shaped_points, "route point")
        further = counted(shape_points, "further shape point")
        hold = "holds" if shaped_points == 1 else "hold"
        theirs = "its" if shaped_points == 1 else "their"
        remarks.append(f"{shaped} {hold} {further} in {theirs} extensions; the line follows them")
    return remarks


def _joined(drawing: Drawing, lines: list[DrawnLine], remarks: list[str]) -> Route:
    runs = [slice(line.first, line.stop) for line in lines]
    lat_deg = np.concatenate([drawing.lat_deg[run] for run in runs])
    lon_deg = np.concatenate([drawing.lon_deg[run] for run in runs])
    _check_that_it_leads_somewhere(drawing, lines, lat_deg, lon_deg)
    return Route(
        name=_name(drawing, lines),
        origin=drawing.origin,
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        height_m=np.concatenate([drawing.height_m[run] for run in runs]),
        part_starts=np.array(_part_starts(lines), dtype=np.int64),
        drawn_as=lines[0].drawn_as,
        shape_points=sum(line.shape_points for line in lines),
        waypoints=drawing.waypoints,
        timed=any(line.timed for line in lines),
        remarks=tuple(remarks),
    )


def _part_starts(lines: list[DrawnLine]) -> list[int]:
    starts: list[int] = []
    points_before = 0
    for line in lines:
        starts += [start - line.first + points_before for start in line.part_starts]
        points_before += line.points
    return starts


def _name(drawing: Drawing, lines: list[DrawnLine]) -> str:
    names = {line.name for line in lines}
    name = names.pop()
    if name and not names:
        return name
    return Path(Path(drawing.origin).name.removesuffix(".gz")).stem or drawing.origin


def _check_that_it_leads_somewhere(
    drawing: Drawing, lines: list[DrawnLine], lat_deg: FloatArray, lon_deg: FloatArray
) -> None:
    title = lines[0].title if len(lines) == 1 else "the route"
    zero = np.flatnonzero((lat_deg == 0.0) & (lon_deg == 0.0))
    for index in zero.tolist():
        around = slice(max(index - 1, 0), index + 2)
        if (np.abs(lat_deg[around]) + np.abs(lon_deg[around])).max() > _FAR_FROM_ZERO_DEG:
            what = f"point {index + 1:,} of {title} lies at exactly 0, 0"
            mend = "take it out: programs write 0, 0 where they know no place"
            raise _error(drawing, what, mend)
    if lat_deg.size == 1:
        raise _error(drawing, f"{title} has only one point", _DRAW_AGAIN)
    if (lat_deg == lat_deg[0]).all() and (lon_deg == lon_deg[0]).all():
        what = f"all {lat_deg.size:,} points of {title} lie in one place"
        raise _error(drawing, what, _DRAW_AGAIN)
