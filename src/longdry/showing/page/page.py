"""The page: one HTML file that asks the network for nothing.

This file is its table of contents; each section is a small function of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from longdry.model.backdrop import Backdrop
from longdry.model.plan.plan import Plan
from longdry.showing.map import backdrop
from longdry.showing.map.data import json_block, map_data
from longdry.showing.map.leaflet import map_parts
from longdry.showing.map.legend import legend
from longdry.showing.map.line import MOST_LATITUDE_DEG, Track, drawn_track
from longdry.showing.page.answer import answer_section, warning_section
from longdry.showing.page.assets_in_page import (
    content_hash,
    leaflet_script,
    leaflet_style,
    own_asset,
)
from longdry.showing.page.card_rules import card_rules
from longdry.showing.page.fills import fill_section
from longdry.showing.page.mends import mend_section
from longdry.showing.page.notes import formula_link
from longdry.showing.page.sections import (
    assumptions,
    cautions_section,
    days,
    formulas_section,
    profile,
    stretches,
    water,
)
from longdry.showing.page.setbacks import setback_section
from longdry.showing.sheet.sheet import sheet_section
from longdry.showing.still_map.still_map import overview_svg
from longdry.showing.words.markup import Markup, clipped_name, joined, name_tag, tag
from longdry.showing.words.measures import METRIC, Measures
from longdry.showing.words.wording import count_words


@dataclass(frozen=True, slots=True)
class Section:
    """One section under a heading of its own."""

    id: str
    heading: str
    build: Callable[[Plan, Measures], Markup]
    formulas: tuple[str, ...] = ()
    """Those that its figures come from."""


SECTIONS = (
    Section("profile", "Water needed and on board", profile, ("Need", "Reserve")),
    Section(
        "stretches",
        "Dry stretches",
        stretches,
        ("Length of a stretch", "Days of a stretch", "Missing"),
    ),
    Section("fills", "What to fill where", fill_section, ("Fills",)),
    Section("sheet", "Sheet to carry", sheet_section),
    Section("days", "Days", days, ("Days and drinking",)),
    Section("setbacks", "When it goes wrong", setback_section, ("What goes wrong",)),
    Section("mends", "What would mend it", mend_section),
    Section("water", "Water along the route", water, ("Certainty of water",)),
    Section("assumptions", "Assumptions", assumptions),
    Section("formulas", "Where the figures come from", formulas_section),
    Section("cautions", "Cautions", cautions_section),
)
"""What follows the answer, the warnings and the map; add a section here."""


@dataclass(frozen=True, slots=True)
class PageInputs:
    """What the upper part of the page is built from."""

    plan: Plan
    measures: Measures
    track: Track
    map_element: str
    backdrops: Sequence[Backdrop]


STYLES = ("page.css", "map.css", "print.css", "sheet.css")
SCRIPTS = ("page.js", "map_signs.js", "map_popups.js", "map_crowd.js", "map_grid.js", "map.js")


def page_html(plan: Plan, measures: Measures = METRIC, backdrops: Sequence[Backdrop] = ()) -> str:
    """Build the whole page; the same plan gives the same text, byte for byte.

    Parameters
    ----------
    plan
        The plan; every figure shown is its own.
    measures
        The units to write figures in.
    backdrops
        What is drawn below the route, the lowest first.

    Returns
    -------
    str
        HTML that holds everything it needs: a content security policy forbids all requests but
        those for an online backdrop.
    """
    track = drawn_track(plan.measured)
    parts = map_parts(track)
    more_styles, more_scripts = (backdrop.STYLES, backdrop.SCRIPTS) if backdrops else ((), ())
    styles = [leaflet_style(), *map(own_asset, (*STYLES, *more_styles))]
    scripts = [leaflet_script(), *map(own_asset, (*SCRIPTS, *more_scripts)), parts.script]
    body = joined(
        [
            tag("a", {"class": "skip", "href": "#answer"}, "Go to the answer"),
            _header(plan, measures),
            tag("main", None, _main(PageInputs(plan, measures, track, parts.html, backdrops))),
            _footer(backdrop.network_words(backdrops)),
            backdrop.backdrop_block(backdrops),
            Markup(
                '<script type="application/json" id="map-data">'
                f"{json_block(map_data(plan, track, measures))}</script>"
            ),
            *(Markup(f"<script>{script}</script>\n") for script in scripts),
        ]
    )
    styles.append(card_rules(body))
    head = _head(plan, styles, scripts, backdrop.allowed_origins(backdrops))
    return f'<!DOCTYPE html>\n<html lang="en">\n{head}\n<body>\n{body}</body>\n</html>\n'


def _head(plan: Plan, styles: list[str], scripts: list[str], pictures: list[str]) -> Markup:
    policy = "; ".join(
        [
            "default-src 'none'",
            f"script-src {' '.join(map(content_hash, scripts))}",
            f"style-src {' '.join(map(content_hash, styles))}",
            " ".join(["img-src data:", *pictures]),
            "base-uri 'none'",
            "form-action 'none'",
        ]
    )
    return tag(
        "head",
        None,
        tag("meta", {"charset": "utf-8"}),
        tag("meta", {"http-equiv": "Content-Security-Policy", "content": policy}),
        tag("meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"}),
        tag("meta", {"name": "color-scheme", "content": "light dark"}),
        tag("meta", {"name": "referrer", "content": "no-referrer"}),
        tag("title", None, f"Water plan: {_title(plan)}"),
        *(Markup(f"<style>{style}</style>\n") for style in styles),
    )


def _title(plan: Plan) -> str:
    return clipped_name(plan.trip.name or plan.measured.route.name)


def _header(plan: Plan, measures: Measures) -> Markup:
    route = plan.measured.route
    line = [
        "Route ",
        name_tag(route.name),
        (
            f", {measures.route_length(plan.measured.length_km)} from "
            f"{count_words(route.points, 'point')}, "
            f"{count_words(len(plan.sources), 'source')} handed over"
        ),
    ]
    return tag(
        "header",
        None,
        tag("p", {"class": "kind"}, "Water plan"),
        tag("h1", None, name_tag(plan.trip.name or route.name)),
        tag("p", {"class": "facts"}, *line),
    )


def _main(inputs: PageInputs) -> Markup:
    plan, measures = inputs.plan, inputs.measures
    return joined(
        [
            answer_section(plan, measures),
            warning_section(plan, measures),
            _contents(),
            _map_section(inputs),
            *(_section(section, plan, measures) for section in SECTIONS),
        ]
    )


def _contents() -> Markup:
    links = [("map", "Map"), *((section.id, section.heading) for section in SECTIONS)]
    items = [tag("li", None, tag("a", {"href": f"#{id_}"}, text)) for id_, text in links]
    return tag("nav", {"aria-label": "On this page"}, tag("ol", None, *items))


def _section(section: Section, plan: Plan, measures: Measures) -> Markup:
    heading_id = f"{section.id}-heading"
    return tag(
        "section",
        {"id": section.id, "aria-labelledby": heading_id},
        tag("h2", {"id": heading_id}, section.heading),
        *map(formula_link, section.formulas),
        section.build(plan, measures),
    )


def _map_section(inputs: PageInputs) -> Markup:
    frame = tag(
        "div",
        {"class": "map-frame", "role": "region", "aria-label": "Map of the route"},
        Markup(inputs.map_element),
    )
    how = (
        "Drag the map or use the arrow keys to move it; plus and minus change its scale. Tap a "
        "sign, or go to it with Tab and press Enter, to see what stands behind it; Escape closes."
    )
    return tag(
        "section",
        {"id": "map", "aria-labelledby": "map-heading"},
        tag("h2", {"id": "map-heading"}, "Map"),
        tag("p", {"class": "needs-script"}, how),
        *_beyond_the_map(inputs.plan),
        frame,
        _map_tools(inputs.measures),
        tag(
            "div",
            {"class": "overview"},
            overview_svg(inputs.plan, inputs.track, inputs.measures, inputs.backdrops),
        ),
        backdrop.backdrop_notes(inputs.backdrops),
        legend(),
    )


def _beyond_the_map(plan: Plan) -> list[Markup]:
    """Tell what the map cannot draw; every figure is right all the same."""
    lat_deg = plan.measured.route.lat_deg
    if abs(lat_deg).max() <= MOST_LATITUDE_DEG:
        return []
    words = (
        f"No map of this kind reaches beyond {MOST_LATITUDE_DEG:.0f}° of latitude: what lies "
        "nearer to the pole is drawn there, in the wrong place. The figures are right."
    )
    return [tag("p", {"class": "caution"}, tag("strong", None, words))]


def _map_tools(measures: Measures) -> Markup:
    slider = Markup('<input type="range" id="place" min="0" max="1000" value="0">')
    label = tag("label", {"for": "place"}, "Place along the route")
    words = tag("output", {"id": "place-words", "for": "place"}, f"{measures.mark_word} 0")
    whole = tag("button", {"type": "button", "id": "whole-route"}, "Show the whole route")
    return tag("div", {"class": "map-tools needs-script"}, whole, label, " ", words, slider)


def _footer(network: str) -> Markup:
    return tag(
        "footer",
        None,
        tag(
            "p",
            None,
            "Made by longdry. The map is drawn with Leaflet 1.9.4, BSD 2-Clause licence, "
            f"© 2010-2023 Volodymyr Agafonkin, © 2010-2011 CloudMade. {network}",
        ),
    )
