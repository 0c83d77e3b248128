"""``longdry plan``: read, compute, show, store."""

from __future__ import annotations

import argparse
import dataclasses
from collections.abc import Sequence

from longdry import api
from longdry.cli.answer import Answer
from longdry.cli.backdrop_options import (
    add_backdrop_arguments,
    chosen_backdrops,
    online_backdrops,
)
from longdry.cli.files_apart import keep_apart
from longdry.cli.on_the_way_options import add_on_the_way_arguments, on_the_way
from longdry.cli.path_argument import file_path
from longdry.cli.plan_outputs import (
    add_output_arguments,
    check_outputs,
    output_paths,
    write_outputs,
)
from longdry.cli.progress import Progress
from longdry.cli.terminal import terminal_here
from longdry.cli.unit_option import add_units
from longdry.cli.what_if_options import add_what_if_arguments, inquiry_of
from longdry.errors import InputError, TripFileError, UsageError
from longdry.model.backdrop import Backdrop
from longdry.model.plan.fills import FillWay
from longdry.model.plan.headline import HeadlineLevel
from longdry.model.plan.plan import Plan
from longdry.model.trip.named_pass import named_pass
from longdry.model.trip.trip import Trip
from longdry.model.words import CountOn, FillHabit, IfDry, Units
from longdry.plain_text import escaped
from longdry.showing.map.backdrop import backdrop_sentences
from longdry.showing.terminal.full import full_text
from longdry.showing.terminal.plan import plan_text
from longdry.showing.words.measures import Measures

EXAMPLE = "longdry plan route.gpx --water sources.geojson --trip trip.toml --out plan.html"
NOT_CLEAR = 1
NO_LAYER = "No water layer is given: all water must be carried."


def add_arguments(parser: argparse.ArgumentParser) -> None:
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
        "route", metavar="ROUTE", type=file_path, help="GPX file, or any line layer"
    )
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
    parser.add_argument("--trip", metavar="FILE", type=file_path, help="trip file (TOML)")


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


def run(options: argparse.Namespace) -> Answer:
    """Plan the trip; return 0, or 1 with ``--strict`` where a stretch is not clear."""
    _keep_inputs_and_outputs_apart(options)
    check_outputs(options)
    online = online_backdrops(options)
    inquiry = dataclasses.replace(inquiry_of(options), least_litres=options.out is not None)
    said = on_the_way(options)
    with Progress() as progress:
        progress.step("reading the trip and the route")
        trip = _as_asked(api.read_trip(options.trip), options)
        route = api.read_route(options.route, track=options.track)
        progress.step("reading the water layers")
        water = api.read_water(options.water, fields=options.fields)
        progress.step("planning")
        try:
            plan = api.plan_trip(
                route,
                water,
                trip,
                reverse=options.reverse,
                count_on=CountOn(options.count_on),
                fill=FillWay(
                    FillHabit(options.fill) if options.fill else None, options.whole_containers
                ),
                inquiry=inquiry,
                on_the_way=said,
            )
        except TripFileError as refused:
            raise _of_its_option(refused, options) from refused
        progress.step("choosing the backdrop")
        backdrops = (*chosen_backdrops(options, plan), *online)
        progress.step("making and writing the files")
        write_outputs(plan, options, backdrops)
    lasts = plan.headline.level is HeadlineLevel.LASTS
    status = 0 if lasts or not options.strict else NOT_CLEAR
    return Answer(_text(plan, options, backdrops), status)


def _of_its_option(refused: InputError, options: argparse.Namespace) -> InputError:
    """Return a fault in a name that the command line gave as one of its option."""
    fault = refused.faults[0]
    for key, names in (("call_at", options.call_at), ("pass_by", options.pass_by)):
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


def _text(plan: Plan, options: argparse.Namespace, backdrops: Sequence[Backdrop]) -> str:
    write = full_text if options.full else plan_text
    lines = [
        write(plan, Measures(Units(options.units)), terminal_here()),
        *(() if options.water else (NO_LAYER,)),
        *(f"Backdrop: {notes}" for notes in backdrop_sentences(backdrops)),
        *(f"Written: {escaped(str(path))}" for path in output_paths(options)),
    ]
    return "\n".join(lines) + "\n"


def _keep_inputs_and_outputs_apart(options: argparse.Namespace) -> None:
    named = (options.route, *options.water, *options.fields, options.trip, options.tally)
    given = [path for path in (*named, *options.backdrop) if path]
    keep_apart(given, [options.trip] if options.trip else [], output_paths(options))
