"""``longdry tally``: a reading of what is left, and what the readings so far tell."""

from __future__ import annotations

import argparse
from pathlib import Path

from longdry.cli.answer import Answer
from longdry.computing.road.rates import rates_told, true_rates
from longdry.doing.common_options import add_units, file_path
from longdry.doing.on_the_way_options import LEFT_HELP, option_number
from longdry.errors import Fault, TallyError, UsageError
from longdry.model.trip.tally import NewSource, TallyEntry
from longdry.model.water.source import Found
from longdry.model.words import Units
from longdry.reading.files.coordinates import PLACE_MEND, in_range, place_as_written
from longdry.reading.files.opening import file_text
from longdry.reading.road.readings import MOST_L, lefts_from, local_time_from
from longdry.reading.road.tally_file import line_of, read_tally, tally_from_text
from longdry.reading.trip.trip_file import read_trip
from longdry.showing.terminal.tally import tally_text
from longdry.showing.words.measures import Measures
from longdry.storage import locked, replace_file

EXAMPLE = "longdry tally trip.tally.json --km 312 --at 2027-05-06T14:00 --left 61"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what ``tally`` takes."""
    parser.add_argument(
        "file", metavar="FILE", type=file_path, help="tally file, one reading a line; made if new"
    )
    parser.add_argument("--at", metavar="TIME", help="local time, as 2027-05-06T14:00")
    parser.add_argument("--km", metavar="KM", help="where, in the direction of travel")
    parser.add_argument("--left", metavar="L", action="append", default=[], help=LEFT_HELP)
    parser.add_argument(
        "--took", metavar="L", help="litres taken at --from, before what is left was read off"
    )
    parser.add_argument("--from", dest="source", metavar="SOURCE", help="the source called at")
    parser.add_argument("--lost", metavar="L", help="litres spilt, leaked or given away")
    parser.add_argument("--why", metavar="WORDS", help="how they were lost")
    parser.add_argument(
        "--found",
        choices=[found.value for found in Found],
        help="what was found at --from",
    )
    parser.add_argument(
        "--new-source",
        metavar="NAME",
        help="water that is on no map, at --place; see longdry bring",
    )
    parser.add_argument(
        "--place",
        metavar="LAT,LON",
        help="where it is, WGS 84: -25.34,131.04 or '25 20.4 S, 131 2.4 E'",
    )
    parser.add_argument("--note", metavar="WORDS", help="anything else worth knowing")
    parser.add_argument(
        "--trip", metavar="TOML", type=file_path, help="trip file, for the planned rates beside"
    )
    add_units(parser)


def run(options: argparse.Namespace) -> Answer:
    """Write the reading down, if one is given, and tell what all readings say."""
    trip = read_trip(options.trip) if options.trip else None
    entry = _entry(options)
    entries = _appended(options.file, entry) if entry else read_tally(options.file)
    told = rates_told(entries, trip, origin=str(options.file))
    measures = Measures(Units(options.units))
    return Answer(tally_text(told, measures, wrote=entry is not None))


def _appended(path: Path, entry: TallyEntry) -> tuple[TallyEntry, ...]:
    """Add a reading behind those that are there, nobody else writing meanwhile.

    The new file is put in place whole: a kill leaves the old one or the new one.
    """
    if path.exists() and path.stat().st_size:
        read_tally(path)  # what cannot be read gets no lock beside it
    with locked(path):
        is_new = not path.exists() or path.stat().st_size == 0
        text = "" if is_new else file_text(path, error=TallyError)
        text = text if not text or text.endswith("\n") else f"{text}\n"
        tally_from_text(text, origin=str(path))
        text += line_of(entry)
        entries = tally_from_text(text, origin=str(path))
        true_rates(entries, origin=str(path))
        replace_file(path, text)
    return entries


def _entry(options: argparse.Namespace) -> TallyEntry | None:
    given = (
        options.at,
        options.km,
        *options.left,
        options.took,
        options.source,
        options.lost,
        options.found,
        options.new_source,
        options.note,
        options.why,
        options.place,
    )
    if not any(value is not None for value in given):
        return None
    faults = _missing(options)
    if faults:
        raise UsageError("tally", faults)
    return TallyEntry(
        at=local_time_from(options.at, "--at"),
        km=option_number(options.km, "--km", "km"),
        left=lefts_from(options.left),
        took_l=option_number(options.took, "--took", "litres", most=MOST_L),
        source=(options.source or "").strip(),
        lost_l=option_number(options.lost, "--lost", "litres", most=MOST_L),
        why=(options.why or "").strip(),
        found=options.found or "",
        new_source=_new_source(options),
        note=(options.note or "").strip(),
    )


def _missing(options: argparse.Namespace) -> list[Fault]:
    faults = []
    if not options.at:
        faults.append(Fault("--at", "the reading has no time", "give it, as 2027-05-06T14:00"))
    if (options.took or options.found) and not (options.source or options.new_source):
        faults.append(Fault("--from", "no source is named", "name the water: --from SOURCE"))
    if options.new_source is not None and not options.new_source.strip():
        faults.append(Fault("--new-source", "it has no name", "give it one"))
    if options.why and not options.lost:
        faults.append(Fault("--why", "no litres are lost", "give them with --lost"))
    if bool(options.new_source) != bool(options.place):
        mend = "give both, or neither"
        faults.append(Fault("--new-source", "a name and a --place go together", mend))
    return faults


def _new_source(options: argparse.Namespace) -> NewSource | None:
    if not options.new_source:
        return None
    place = place_as_written(options.place)
    if place is None or not in_range(*place):
        raise UsageError.single("--place", "", f'"{options.place}" is no place', PLACE_MEND)
    return NewSource(options.new_source.strip(), *place)
