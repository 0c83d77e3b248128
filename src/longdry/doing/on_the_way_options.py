"""What ``longdry plan`` and ``longdry tally`` are told about a party on its way."""

from __future__ import annotations

import argparse

from longdry.computing.road.rates import true_rates
from longdry.doing.common_options import file_path
from longdry.errors import UsageError
from longdry.model.trip.here import OnTheWay
from longdry.model.trip.named_pass import named_pass
from longdry.model.trip.tally import TallyEntry
from longdry.reading.files.coordinates import plain_number
from longdry.reading.road.readings import lefts_from, time_from
from longdry.reading.road.tally_file import read_tally

MOST_MOVED_H = 24.0
LEFT_HELP = (
    "litres that are left: 61 for all containers, or 'NAME=20' for each (several times), with"
    " potable or treat-before-drinking behind them where you know"
)


def add_on_the_way_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options with which the rest of a trip is planned again."""
    place = parser.add_mutually_exclusive_group()
    place.add_argument(
        "--from-km",
        metavar="KM",
        help="plan the rest of the trip from this km, in the direction of travel",
    )
    place.add_argument(
        "--from",
        dest="from_source",
        metavar="SOURCE",
        help="plan the rest of the trip from this water, filled before you go on; SOURCE@KM where"
        " it is passed twice",
    )
    parser.add_argument(
        "--at",
        metavar="TIME",
        help="when you go on: local time as 2027-05-06T14:00, or 'day 4 14:00'",
    )
    parser.add_argument("--left", metavar="L", action="append", default=[], help=LEFT_HELP)
    parser.add_argument(
        "--moved-h",
        metavar="H",
        help="moving hours used that day (default: all since the start hour, breaks left out)",
    )
    parser.add_argument(
        "--tally",
        metavar="FILE",
        type=file_path,
        help="tally of this trip: its last reading, and its rates where they are above the planned",
    )
    parser.add_argument(
        "--trust-tally",
        action="store_true",
        help="believe the rates of the tally where they are below the planned ones too",
    )


def on_the_way(options: argparse.Namespace) -> OnTheWay | None:
    """Return where the party is; None where nothing is said of it.

    Raises
    ------
    UsageError
        Where place, time or litres are missing or cannot be.
    """
    is_placed = options.from_km is not None or options.from_source is not None
    if not is_placed and options.tally is None:
        _refuse_alone(options)
        return None
    if options.trust_tally and options.tally is None:
        mend = "give the file with --tally, or leave it out"
        raise UsageError.single("--trust-tally", "", "no tally is given", mend)
    tally = read_tally(options.tally) if options.tally else ()
    true_rates(tally, origin=str(options.tally))
    last = _last_reading(tally) if tally else None
    km = option_number(options.from_km, "--from-km", "km")
    if not is_placed:
        km = last.km if last else None
    time = time_from(options.at) if options.at else (last.at if last else None)
    left = lefts_from(options.left) or (last.left if last else ())
    for option, value, mend in (
        ("--from-km", km if options.from_source is None else 0.0, "give it, or --from SOURCE"),
        ("--at", time, "say when you go on, as 2027-05-06T14:00"),
        ("--left", left or None, "say what is left in litres, as 61 or 'jerrycan 1=20'"),
    ):
        if value is None:
            raise UsageError.single(option, "", "this is needed to plan from a place", mend)
    return OnTheWay(
        at=time or 0.0,
        left=left,
        km=km,
        source=named_pass(options.from_source) if options.from_source else None,
        moved_h=option_number(options.moved_h, "--moved-h", "hours", most=MOST_MOVED_H),
        tally=tally,
        trusts_tally=options.trust_tally,
    )


def _last_reading(tally: tuple[TallyEntry, ...]) -> TallyEntry | None:
    read = [entry for entry in tally if entry.left and entry.km is not None]
    return max(read, key=lambda entry: entry.at, default=None)


def option_number(text: str | None, option: str, unit: str, most: float = 1e6) -> float | None:
    """Return the number that an option gives; None where it is not given.

    Raises
    ------
    UsageError
        Where it is none, or below 0 or above the most.
    """
    if text is None:
        return None
    number = plain_number(text)
    if number is None or not 0.0 <= number <= most:
        mend = f"give {unit} from 0 to {most:.10g}"
        raise UsageError.single(option, "", f'"{text}" is no number of {unit}', mend)
    return number


def _refuse_alone(options: argparse.Namespace) -> None:
    for option, value in (
        ("--at", options.at),
        ("--left", options.left),
        ("--moved-h", options.moved_h),
        ("--trust-tally", options.trust_tally),
    ):
        if value:
            mend = "say where you are: --from-km KM or --from SOURCE, or leave it out"
            raise UsageError.single(option, "", "goes with a place on the way", mend)
