"""``longdry mark``: a new source in the water book."""

from __future__ import annotations

import argparse
from pathlib import Path

from longdry.cli.answer import Answer
from longdry.computing.book.changes import mark_change
from longdry.computing.route.chainage import measure_route, place_at_km
from longdry.doing.book_transaction import change_book
from longdry.doing.common_options import file_path
from longdry.doing.on_the_way_options import option_number
from longdry.errors import Fault, UsageError
from longdry.model.water.source import WaterSource
from longdry.model.words import SOURCE_KINDS, Certainty, Grade
from longdry.reading.files.coordinates import PLACE_MEND, place_as_written
from longdry.reading.gpx.waypoints import read_gpx_waypoints
from longdry.reading.route.route_file import read_route
from longdry.reading.water.source import OF_OTHERS, source_from_properties

EXAMPLE = (
    'longdry mark book.geojson --name "Fork Bore" --at -25.3412,131.0370'
    " --grade treat-before-drinking --kind bore --access pump --flow 4"
)
_PROPERTIES = {
    "id": "id",
    "name": "name",
    "grade": "grade",
    "kind": "kind",
    "access": "access",
    "flow": "flow_l_per_min",
    "limit": "limit_l",
    "certainty": "certainty",
    "months": "months",
    "tds": "tds_mg_per_l",
    "note": "note",
    "laid_by_us": "laid_by_us",
    "laid_on": "laid_on",
}
_Place = tuple[object, object]


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what ``mark`` takes."""
    parser.add_argument(
        "book", metavar="BOOK", type=file_path, help="water book; made where missing"
    )
    parser.add_argument(
        "--name", help="name of the source; that of the waypoint where one is named"
    )
    _add_place_arguments(parser)
    words = ", ".join(grade.value for grade in Grade)
    parser.add_argument("--grade", help=f"{words}; without one it counts as not for drinking")
    parser.add_argument(
        "--kind",
        help=f"{', '.join(SOURCE_KINDS)}, or a usual word for one; any other word counts as"
        " doubtful",
    )
    parser.add_argument(
        "--laid-by-us",
        action="store_const",
        const=True,
        help="of a cache: you laid it yourselves; it counts only with --laid-on too",
    )
    parser.add_argument("--laid-on", metavar="DATE", help="of a cache: the day you laid it")
    parser.add_argument("--access", help="how to get at the water: tap key, dip, pump, dig, bucket")
    parser.add_argument("--flow", metavar="L/MIN", help="litres per minute")
    parser.add_argument(
        "--limit",
        metavar="L",
        help="litres that may be taken in all, at all passes of a trip together",
    )
    parser.add_argument("--months", help='months when it holds: "4-9", "Apr-Sep", "4, 5, 6"')
    certainties = ", ".join(certainty.value for certainty in Certainty)
    parser.add_argument(
        "--certainty", help=f"{certainties}; it stands, but a cache is never better than likely"
    )
    parser.add_argument("--tds", metavar="MG/L", help="dissolved solids, milligrams per litre")
    parser.add_argument("--note", help="anything else worth knowing")
    parser.add_argument("--id", help="short name of its own; made from the name where missing")
    parser.add_argument(
        "--anyway", action="store_true", help="also where another source is within 150 m"
    )


def _add_place_arguments(parser: argparse.ArgumentParser) -> None:
    place = parser.add_mutually_exclusive_group(required=True)
    place.add_argument(
        "--at", metavar="LAT,LON", help="place, WGS 84: -25.34,131.04 or '25 20.4 S, 131 2.4 E'"
    )
    place.add_argument(
        "--from-gpx", metavar="FILE", type=file_path, help="GPX file with --waypoint"
    )
    place.add_argument("--route", metavar="FILE", type=file_path, help="route with --km")
    parser.add_argument("--waypoint", metavar="NAME", help="waypoint of the GPX file")
    parser.add_argument("--km", metavar="KM", help="km along the route")
    parser.add_argument("--track", metavar="NAME", help="which track, where the route has several")


def run(options: argparse.Namespace) -> Answer:
    """Mark the source; one within 150 m of another is refused without ``--anyway``."""
    source = _source(options)
    change = change_book(
        options.book, lambda book: mark_change(book, source, anyway=options.anyway), make=True
    )
    return Answer("\n".join(change.notes) + "\n")


def _source(options: argparse.Namespace) -> WaterSource:

    lat_deg, lon_deg = _place(options)
    notes = {field: getattr(options, name) for name, field in _PROPERTIES.items()}
    if options.from_gpx and not options.name:
        notes["name"] = options.waypoint
    if not str(notes["name"] or "").strip():
        raise UsageError.single("--name", "", "the source has no name", "give it one")
    source, faults = source_from_properties(
        notes, lat_deg=lat_deg, lon_deg=lon_deg, where="", fallback_id="", layer=str(options.book)
    )
    if source is None:
        raise UsageError("mark", [_by_option(fault) for fault in faults])
    return source


def _by_option(fault: Fault) -> Fault:
    """Say what was typed, not what it is called in the book."""
    field, _, rest = fault.what.partition(" ")
    options = {field: f"--{option.replace('_', '-')}" for option, field in _PROPERTIES.items()}
    mend = fault.mend.removesuffix(OF_OTHERS)
    return Fault("", f"{options.get(field, field)} {rest}", mend)


def _place(options: argparse.Namespace) -> _Place:
    _refuse_stray(options, "waypoint", "from_gpx")
    _refuse_stray(options, "km", "route")
    if options.from_gpx:
        return _waypoint_place(options.from_gpx, options.waypoint)
    if options.route:
        return _route_place(options.route, options.track, options.km)
    place = place_as_written(options.at)
    if place is None:
        what = f'"{options.at}" is no place'
        raise UsageError.single("--at", "", what, PLACE_MEND)
    return place


def _refuse_stray(options: argparse.Namespace, detail: str, whole: str) -> None:
    if bool(getattr(options, detail)) != bool(getattr(options, whole)):
        detail_option, whole_option = f"--{detail}", f"--{whole.replace('_', '-')}"
        raise UsageError.single(
            detail_option, "", f"goes together with {whole_option}", "give both or neither"
        )


def _waypoint_place(path: Path, name: str) -> _Place:

    waypoints = read_gpx_waypoints(path)
    found = [one for one in waypoints if one.name == name] or [
        one for one in waypoints if one.name.casefold() == name.strip().casefold()
    ]
    if len(found) == 1 and found[0].half:
        what = f'the waypoint "{name}" has only half a place'
        raise UsageError.single(str(path), "", what, "name the place with --at")
    if len(found) == 1:
        return found[0].lat_deg, found[0].lon_deg
    if found:
        lines = ", ".join(str(one.line_number) for one in found[:10])
        what = f'{len(found)} waypoints are called "{name}" (lines {lines})'
        raise UsageError.single(str(path), "", what, "name the place with --at")
    names = dict.fromkeys(f'"{one.name}"' for one in waypoints if one.name)
    mend = f"name one of {', '.join([*names][:10])}" if names else "name the place with --at"
    raise UsageError.single(str(path), "", f'no waypoint is called "{name}"', mend)


def _route_place(path: Path, track: str | None, km_text: str) -> _Place:

    km = option_number(km_text, "--km", "km")
    measured = measure_route(read_route(path, track=track))
    if km is None or km > measured.length_km:
        what = f"km {km_text} is not on the route"
        raise UsageError.single(
            str(path), "", what, f"give a km from 0 to {int(measured.length_km * 10) / 10}"
        )
    return place_at_km(measured, km)[:2]
