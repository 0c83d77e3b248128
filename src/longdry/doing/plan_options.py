"""What a plan is made of, in the words of ``longdry plan``: arguments, and the plan asked for."""

from __future__ import annotations

import argparse
import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from longdry import api
from longdry.computing.plan.planning import WaterAlong
from longdry.doing.backdrop_options import add_backdrop_arguments
from longdry.doing.common_options import add_units, file_path
from longdry.doing.files_apart import read_along
from longdry.doing.on_the_way_options import add_on_the_way_arguments, on_the_way
from longdry.doing.plan_outputs import add_output_arguments
from longdry.doing.what_if_options import add_what_if_arguments, inquiry_of
from longdry.errors import InputError, TripFileError, UsageError
from longdry.model.plan.fills import FillWay
from longdry.model.plan.plan import Plan
from longdry.model.trip.here import OnTheWay
from longdry.model.trip.named_pass import named_pass
from longdry.model.trip.trip import Trip
from longdry.model.trip.what_if import Inquiry
from longdry.model.words import CountOn, FillHabit, IfDry


def add_plan_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what ``plan`` takes."""
    _add_inputs(parser)
    add_output_arguments(parser)
    add_backdrop_arguments(parser)
    _add_ways_of_planning(parser)
    parser.add_argument(
        "--full", action="store_true", help="print all that the plan says, not its short answer"
    )
    add_units(parser)
    add_what_if_arguments(parser)
    add_on_the_way_arguments(parser)
    parser.add_argument(
        "--track",
        metavar="NAME",
        action="append",
        help="which track, where the file has several: NAME, #2, or NAME#3 for a segment of it;"
        " may be given several times, in the order of travel",
    )
    parser.add_argument(
        "--strict",
        action="store_true",
        help="exit with status 1 unless the headline says that the water lasts",
    )


def _add_inputs(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "route",
        metavar="ROUTE",
        type=file_path,
        help="GPX file, or any line layer; @FILE stands for arguments in a file, one a line",
    )
    add_water_arguments(parser)
    parser.add_argument("--trip", metavar="FILE", type=file_path, help="trip file (TOML)")


def add_water_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options that name water layers and how other people's are read."""
    parser.add_argument(
        "--water",
        metavar="LAYER",
        type=file_path,
        action="append",
        default=[],
        help="layer of water sources; may be given several times; without any, all is carried",
    )
    parser.add_argument(
        "--fields",
        metavar="TOML",
        type=file_path,
        action="append",
        default=[],
        help="which column of a layer of other people's is read as what; see longdry bring",
    )


def _add_ways_of_planning(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--reverse", action="store_true", help="travel the route from its end to its start"
    )
    parser.add_argument(
        "--count-on",
        choices=[word.value for word in CountOn],
        default=CountOn.LIKELY.value,
        help="how certain a source must be to be counted (default: likely)",
    )
    parser.add_argument(
        "--fill",
        choices=[word.value for word in FillHabit],
        help="safe: the least with which any one uncertain source may be dry; least: what is"
        " needed to the next water; top-up: everything wherever there is water (default: as the"
        " trip says, else top-up by vehicle, safe on foot and by bicycle)",
    )
    parser.add_argument(
        "--if-dry",
        choices=[word.value for word in IfDry],
        help="what must still be possible at an uncertain source that is dry: on, on or back, or"
        " nothing (default: as the trip says, else on-or-back)",
    )
    for name, text in (("--call-at", "call at"), ("--pass-by", "pass by")):
        parser.add_argument(
            name,
            metavar="SOURCE",
            action="append",
            default=[],
            help=f"{text} this source, or one of its passes as SOURCE@KM; may be given several"
            " times",
        )
    parser.add_argument(
        "--whole-containers",
        action="store_true",
        help="fill containers to their mark only, so that the rest is known by counting",
    )


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """How a plan is asked for, beside its route and water."""

    trip: Trip
    """With the options about calls and dry sources in place of its own."""
    count_on: CountOn
    fill: FillWay
    inquiry: Inquiry
    on_the_way: OnTheWay | None
    calls: tuple[tuple[str, tuple[str, ...]], ...]
    """The options that name sources, with the names."""

    def plan(self, along: WaterAlong, *, inquiry: Inquiry | None = None) -> Plan:
        """Make the plan on a line that is measured already.

        Parameters
        ----------
        inquiry
            Another than the options ask for.

        Raises
        ------
        TripFileError
            Where a pinned camp is not on the route.
        UsageError
            Where an option names a source that is not there.
        """
        try:
            return api.plan_along(
                along,
                self.trip,
                count_on=self.count_on,
                fill=self.fill,
                inquiry=inquiry or self.inquiry,
                on_the_way=self.on_the_way,
            )
        except TripFileError as refused:
            raise _of_its_option(refused, self.calls) from refused


def asked_of(options: argparse.Namespace) -> Asked:
    """Return what the options ask for; the trip file, and a tally if one is named, are read.

    Raises
    ------
    TripFileError
        The trip file cannot be used.
    TallyError
        The tally cannot be used.
    UsageError
        Options that cannot be, or that do not go together.
    """
    inquiry = dataclasses.replace(inquiry_of(options), least_litres=options.out is not None)
    said = on_the_way(options)
    return Asked(
        trip=_as_asked(api.read_trip(options.trip), options),
        count_on=CountOn(options.count_on),
        fill=FillWay(FillHabit(options.fill) if options.fill else None, options.whole_containers),
        inquiry=inquiry,
        on_the_way=said,
        calls=(("call_at", tuple(options.call_at)), ("pass_by", tuple(options.pass_by))),
    )


def _of_its_option(refused: InputError, calls: Sequence[tuple[str, tuple[str, ...]]]) -> InputError:
    """Return a fault in a name that the command line gave as one of its option."""
    fault = refused.faults[0]
    for key, names in calls:
        told = any(fault.what.startswith(f'"{name}"') for name in names)
        if fault.where == f"[policy] {key}" and told:
            option = f"--{key.replace('_', '-')}"
            return UsageError.single(option, "", fault.what, fault.mend)
    return refused


def _as_asked(trip: Trip, options: argparse.Namespace) -> Trip:
    """Return the trip with the options about calls and dry sources in place of its own."""
    policy = trip.policy
    if both := _that_meet(options.pass_by, options.call_at):
        raise UsageError.single(
            "--pass-by",
            "",
            f'"{both[0]}" is named by --call-at too',
            "keep it in one of the two; SOURCE@KM names one pass of several",
        )
    called_before = _that_meet(policy.call_at, options.pass_by)
    passed_before = _that_meet(policy.pass_by, options.call_at)
    return dataclasses.replace(
        trip,
        policy=dataclasses.replace(
            policy,
            if_dry=IfDry(options.if_dry) if options.if_dry else policy.if_dry,
            call_at=(*(n for n in policy.call_at if n not in called_before), *options.call_at),
            pass_by=(*(n for n in policy.pass_by if n not in passed_before), *options.pass_by),
        ),
    )


def _that_meet(names: Sequence[str], others: Sequence[str]) -> list[str]:
    """Return the names that mean a pass which one of the others may mean too."""
    meant = [named_pass(other) for other in others]
    return [name for name in names if any(named_pass(name).meets(other) for other in meant)]


def inputs_of(options: argparse.Namespace) -> list[Path]:
    """Return all files that are read, those that a trip or a Shapefile brings along too.

    Raises
    ------
    TripFileError
        The trip file cannot be read or is no TOML.
    """
    given = [
        path
        for path in (
            options.route,
            *options.water,
            *options.fields,
            options.trip,
            options.tally,
            *options.backdrop,
        )
        if path
    ]
    return [*given, *read_along(given, [options.trip] if options.trip else [])]
