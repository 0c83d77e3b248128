"""``longdry plan``: read, compute, show, store."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from longdry import api
from longdry.cli.answer import Answer
from longdry.cli.progress import Progress
from longdry.cli.terminal import terminal_here
from longdry.doing.backdrop_options import chosen_backdrops, online_backdrops
from longdry.doing.files_apart import keep_apart
from longdry.doing.plan_file import (
    read_plan_file,
    refuse_strange_words,
    words_from_folder,
    words_in,
)
from longdry.doing.plan_options import add_plan_arguments, asked_of, inputs_of
from longdry.doing.plan_outputs import check_outputs, output_paths, write_outputs
from longdry.model.backdrop import Backdrop
from longdry.model.plan.headline import HeadlineLevel
from longdry.model.plan.plan import Plan
from longdry.model.words import Units
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
    add_plan_arguments(parser)


def words_taken(words: Sequence[str], parser: argparse.ArgumentParser) -> list[str]:
    """Return the words with the arguments of a file in place of each ``@FILE``."""
    taken: list[str] = []
    for word in words:
        if word.startswith("@"):
            file = Path(word[1:])
            said = words_in(read_plan_file(file))
            refuse_strange_words(said, file, parser)
            taken += words_from_folder(said, file.parent, parser)
        else:
            taken.append(word)
    return taken


def run(options: argparse.Namespace) -> Answer:
    """Plan the trip; return 0, or 1 with ``--strict`` where a stretch is not clear."""
    _keep_inputs_and_outputs_apart(options)
    check_outputs(options)
    online = online_backdrops(options)
    with Progress() as progress:
        progress.step("reading the trip and the route")
        asked = asked_of(options)
        route = api.read_route(options.route, track=options.track)
        progress.step("reading the water layers")
        water = api.read_water(options.water, fields=options.fields)
        progress.step("planning")
        plan = asked.plan(api.water_along(route, water, asked.trip, reverse=options.reverse))
        progress.step("choosing the backdrop")
        backdrops = (*chosen_backdrops(options, plan), *online)
        progress.step("making and writing the files")
        write_outputs(plan, options, backdrops)
    lasts = plan.headline.level is HeadlineLevel.LASTS
    status = 0 if lasts or not options.strict else NOT_CLEAR
    return Answer(_text(plan, options, backdrops), status)


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
    outputs = output_paths(options)
    if outputs:
        keep_apart(inputs_of(options), outputs)
