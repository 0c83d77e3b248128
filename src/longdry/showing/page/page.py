"""The page: one HTML file that asks the network for nothing.

This file is its table of contents; each section is a small function of its own.
"""

from __future__ import annotations

import base64
import hashlib
import html
import re
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import resources

from longdry.geodesy import WEB_MAP_EDGE_DEG
from longdry.model.backdrop import Backdrop
from longdry.model.plan.plan import Plan
from longdry.showing.figures.figure import Json
from longdry.showing.map import backdrop
from longdry.showing.map.data import json_block, map_data
from longdry.showing.map.drawn_sources import DrawnWater, drawn_water
from longdry.showing.map.leaflet import map_parts
from longdry.showing.map.legend import legend
from longdry.showing.map.line import DrawnLines, Track, drawn_track, stretch_lines
from longdry.showing.page import here
from longdry.showing.page.first_screen import answer_section, before_section
from longdry.showing.page.more import more_section
from longdry.showing.page.way import way_section
from longdry.showing.profile.profile import profile_svg
from longdry.showing.still_map.still_map import overview_svg
from longdry.showing.words.amounts import count_words
from longdry.showing.words.departure import leaving_words, way_left_km
from longdry.showing.words.markup import Markup, clipped_name, joined, name_tag, tag
from longdry.showing.words.measures import METRIC, Measures

STYLES = ("page.css", "map.css", "sheet.css", "print.css")
SCRIPTS = ("page.js", "map_signs.js", "map_popups.js", "map_crowd.js", "map_grid.js", "map.js")
LEAFLET_PACKAGE = "js_lib_leaflet"
_LEAFLET_FOLDER = "static/js_lib_leaflet"
_PICTURE = re.compile(r"url\((images/[\w.-]+\.png)\)")
_SOURCE_MAP = re.compile(r"//# sourceMappingURL=\S*\s*$")
_TABLE = re.compile(r'<table id="([\w-]+)"[^>]* class="stacks">.*?</thead>', re.DOTALL)
_HEAD = re.compile(r"<th [^>]*>([^<]*)</th>")


@dataclass(frozen=True, slots=True)
class PageParts:
    """What a page shows of a plan, part by part; the page and the desk put them in their places."""

    head: Markup
    """Name of the trip, its length, days and people."""
    answer: Markup
    before: Markup
    way: Markup
    beyond: Markup
    """What the map cannot draw; mostly empty."""
    profile: Markup
    legend: Markup
    more: Markup
    map: Json
    """What the script of the map draws."""


def page_parts(
    plan: Plan, measures: Measures, track: Track, lines: DrawnLines, water: DrawnWater
) -> PageParts:
    """Build what a page shows of a plan.

    Parameters
    ----------
    plan
        The plan; every figure shown is its own.
    measures
        The units to write figures in.
    track
        Its line as it is drawn.
    lines
        Its stretches as they are drawn.
    water
        Its sources as they are drawn.
    """
    return PageParts(
        head=_header(plan, measures),
        answer=answer_section(plan, measures),
        before=before_section(plan, measures),
        way=way_section(plan, measures),
        beyond=joined(_beyond_the_map(plan)),
        profile=profile_svg(plan, measures),
        legend=legend(plan, measures, water),
        more=more_section(plan, measures),
        map=map_data(plan, track, lines, measures, water),
    )


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
    lines = stretch_lines(plan.stretches, track)
    water = drawn_water(plan)
    shown = page_parts(plan, measures, track, lines, water)
    canvas = map_parts(track)
    overview = overview_svg(plan, track, lines, measures, water, backdrops)
    added = [
        *([backdrop] if backdrops else []),
        *([here] if plan.least else []),
    ]
    styles = [leaflet_style(), *map(own_asset, STYLES)]
    styles += [own_asset(name) for part in added for name in part.STYLES]
    scripts = [leaflet_script(), *map(own_asset, SCRIPTS)]
    scripts += [own_asset(name) for part in added for name in part.SCRIPTS]
    scripts.append(canvas.script)
    main = tag(
        "main",
        None,
        shown.head,
        tag(
            "div",
            {"class": "page"},
            shown.answer,
            _map_section(shown, canvas.html, overview, measures, backdrops),
            tag("div", {"class": "rest"}, shown.before, shown.way),
        ),
        here.here_section(plan, measures),
        shown.more,
    )
    body = joined(
        [
            tag("a", {"class": "skip", "href": "#way"}, "Go to the way"),
            main,
            _footer(backdrop.network_words(backdrops)),
            backdrop.backdrop_block(backdrops),
            _data("map-data", shown.map),
            *(
                [_data("here-data", here.here_data(plan, plan.least, measures))]
                if plan.least
                else []
            ),
            *(Markup(f"<script>{script}</script>\n") for script in scripts),
        ]
    )
    styles.append(card_rules(main))
    title = f"Water plan: {_title(plan)}"
    head = page_head(title, styles, scripts, backdrop.allowed_origins(backdrops))
    return f'<!DOCTYPE html>\n<html lang="en">\n{head}\n<body>\n{body}</body>\n</html>\n'


def _data(id_: str, data: Json) -> Markup:
    block = json_block(data)
    return Markup(f'<script type="application/json" id="{id_}">{block}</script>')


def page_head(
    title: str, styles: Sequence[str], scripts: Sequence[str], pictures: Sequence[str] = ()
) -> Markup:
    """Build the head of a page that asks the network for nothing but the pictures named.

    Parameters
    ----------
    styles, scripts
        What stands in the page: no other may run (W3C CSP Level 3).
    pictures
        Where pictures may come from beside the page itself.
    """
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
        tag("title", None, title),
        *(Markup(f"<style>{style}</style>\n") for style in styles),
    )


def _title(plan: Plan) -> str:
    return clipped_name(plan.trip.name or plan.measured.route.name)


def _header(plan: Plan, measures: Measures) -> Markup:
    trip = plan.trip
    notes = [measures.way(way_left_km(plan))]
    if plan.days:
        notes.append(count_words(len(plan.days), "day"))
    notes.append(count_words(trip.party.people, "person", "people"))
    if trip.depart:
        notes.append(leaving_words(plan, ", "))
    title = name_tag(trip.name or plan.measured.route.name)
    link = [" ", here.here_link()] if plan.least else []
    return tag("header", None, tag("h1", None, title), tag("p", None, ", ".join(notes), *link))


def _map_section(
    shown: PageParts,
    element: str,
    overview: Markup,
    measures: Measures,
    backdrops: Sequence[Backdrop],
) -> Markup:
    frame = tag(
        "div",
        {"class": "map-frame", "role": "region", "aria-label": "Map of the route"},
        Markup(element),
    )
    return tag(
        "section",
        {"id": "map", "class": "see", "aria-labelledby": "map-heading"},
        tag("h2", {"id": "map-heading", "class": "unseen"}, "Map and profile"),
        shown.beyond,
        frame,
        tag("div", {"class": "overview"}, overview),
        shown.profile,
        map_tools(measures),
        backdrop.backdrop_notes(backdrops),
        shown.legend,
    )


def _beyond_the_map(plan: Plan) -> list[Markup]:
    """Tell what the map cannot draw; every figure is right all the same."""
    lat_deg = plan.measured.route.lat_deg
    if abs(lat_deg).max() <= WEB_MAP_EDGE_DEG:
        return []
    words = (
        f"No map of this kind reaches beyond {WEB_MAP_EDGE_DEG:.0f}° of latitude: what lies "
        "nearer to the pole is drawn there, in the wrong place. The figures are right."
    )
    return [tag("p", {"class": "caution"}, tag("strong", None, words))]


def map_tools(measures: Measures) -> Markup:
    """Build what is pressed and drawn beside the map."""
    slider = Markup('<input type="range" id="place" min="0" max="1000" value="0">')
    label = tag("label", {"for": "place"}, "Place along the route")
    words = tag("output", {"id": "place-words", "for": "place"}, f"{measures.mark_word} 0")
    whole = tag("button", {"type": "button", "id": "whole-route"}, "Whole route")
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


def own_asset(name: str) -> str:
    """Return a text file of the folder ``assets``."""
    return resources.files("longdry.showing.page").joinpath("assets", name).read_text("utf-8")


def leaflet_script() -> str:
    """Return Leaflet's script without the name of its source map, which a browser would fetch."""
    return _SOURCE_MAP.sub("", _text("leaflet.js")).rstrip() + "\n"


def leaflet_style() -> str:
    """Return Leaflet's style sheet with its pictures inside."""
    text = _text("leaflet.css")
    return _PICTURE.sub(lambda found: f"url({_data_uri(found.group(1))})", text)


def leaflet_file(name: str) -> bytes:
    """Return a file of the Leaflet package as it was published."""
    return resources.files(LEAFLET_PACKAGE).joinpath(_LEAFLET_FOLDER, name).read_bytes()


def content_hash(text: str) -> str:
    """Hash of an inline script or style for a content security policy (W3C CSP Level 3)."""
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"


def _text(name: str) -> str:
    # A browser turns every line end into one LF before it takes the hash.
    return leaflet_file(name).decode("utf-8").replace("\r\n", "\n")


def _data_uri(picture: str) -> str:
    return f"data:image/png;base64,{base64.b64encode(leaflet_file(picture)).decode('ascii')}"


def card_rules(body: str) -> str:
    """Return a rule for each column of each stacked table of a page; empty where it has none.

    Written once for a column, not in each of its cells: a page of 200 stretches is smaller by a
    quarter of a megabyte.

    Examples
    --------
    >>> head = "<thead><tr><th scope='col'>Day</th><th scope='col'>Carried</th></tr></thead>"
    >>> print(card_rules(f'<table id="days" role="table" class="stacks">{head}</table>'))
    @media screen and (max-width: 78rem) {
    #days tbody tr > :nth-child(1)::before { content: "Day "; }
    #days tbody tr > :nth-child(2)::before { content: "Carried "; }
    }
    >>> card_rules("<p>no table</p>")
    ''
    """
    rules = [
        f'#{found[1]} tbody tr > :nth-child({place})::before {{ content: "{_in_css(head)} "; }}'
        for found in _TABLE.finditer(body)
        for place, head in enumerate(_HEAD.findall(found[0]), start=1)
    ]
    if not rules:
        return ""
    return "\n".join(["@media screen and (max-width: 78rem) {", *rules, "}"])


def _in_css(head: str) -> str:
    """Write a heading so that no character of it can end the string or the style."""
    return re.sub(r"[^\w ?,.:()°-]", lambda found: f"\\{ord(found[0]):x} ", html.unescape(head))
