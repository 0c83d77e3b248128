"""The still map, for paper and for readers without scripts: what it draws and that it is cheap."""

from __future__ import annotations

import dataclasses
import math
import re

import numpy as np
import pytest
from lxml import etree
from page_in_browser import opened
from plan_examples import HOSTILE_NAMES, antimeridian_plan, gap_plan
from sample_plans import NAMES, page_of, planned

from longdry.model.backdrop import BackdropShape, DrawnBackdrop, ShapeKind
from longdry.showing.map.drawn_sources import drawn_water
from longdry.showing.map.line import drawn_track, stretch_lines
from longdry.showing.still_map.frame import MAP_WIDTH, frame_around
from longdry.showing.still_map.still_map import overview_svg
from longdry.showing.words.measures import METRIC, US


def _svg(plan, *backdrops, measures=METRIC):
    return etree.fromstring(_drawing(plan, *backdrops, measures=measures))


def _drawing(plan, *backdrops, measures=METRIC):
    track = drawn_track(plan.measured)
    lines = stretch_lines(plan.stretches, track)
    return overview_svg(plan, track, lines, measures, drawn_water(plan), backdrops)


def _words(svg, css="halo"):
    return [text.text for text in svg.iter("text") if text.get("class") == css]


def _shapes(plan, name="Old Track"):
    """A point, a line and an area 0.2 degrees beside the route, and a line half the world away."""
    track = drawn_track(plan.measured)
    lat, lon = track.lat_deg[::20] + 0.2, track.lon_deg[::20]
    shapes = (
        BackdropShape(ShapeKind.POINT, name, lat[3:4], lon[3:4]),
        BackdropShape(ShapeKind.LINE, f"{name} 2", lat, lon),
        BackdropShape(ShapeKind.AREA, "", lat[:4], lon[:4] + np.array([0.0, 0.1, 0.1, 0.0])),
        BackdropShape(ShapeKind.LINE, "Elsewhere", lat, lon + 170.0),
    )
    return DrawnBackdrop(shapes, (), 0.0)


@pytest.mark.parametrize("make", [gap_plan, antimeridian_plan])
def test_backdrop_lies_below_the_route_where_it_belongs(make):
    """Each kind is one path before the route; its line starts at its own latitude, longitude."""
    plan = make()
    backdrop = _shapes(plan)
    svg = _svg(plan, backdrop)
    frame = frame_around(drawn_track(plan.measured))
    css = [element.get("class") for element in svg.iter("path")]
    line = backdrop.shapes[1]
    x, y = next(frame.points([(line.lat_deg[0], line.lon_deg[0])]))
    path = next(one for one in svg.iter("path") if one.get("class") == "backdrop-line")
    first = [float(number) for number in re.findall(r"-?[\d.]+", path.get("d"))[:2]]

    assert css[:3] == ["backdrop-area", "backdrop-line", "backdrop-point"]
    assert path.get("d").count("M") == 1
    assert math.dist(first, (x, y)) < 1.0
    assert _words(svg, "halo backdrop-word") == ["Old Track", "Old Track 2"]


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_names_of_a_backdrop_are_text_and_short(name):
    """Hostile names stay words of one text element; one of 10,000 characters is cut."""
    svg = _svg(gap_plan(), _shapes(gap_plan(), name))

    assert 1 <= len(_words(svg, "halo backdrop-word")) <= 2
    assert all(len(words) < 60 for words in _words(svg, "halo backdrop-word"))


@pytest.mark.browser
def test_a_name_from_the_right_keeps_its_own_order(browser, tmp_path):
    """Unicode Standard Annex 9, P2 and P3: what ends a Hebrew name stands at its left end."""
    name = "\u05d1\u05d0\u05e8!"
    svg = _svg(gap_plan(), _shapes(gap_plan(), name))
    page = tmp_path / "map.html"
    page.write_bytes(b"<!doctype html><meta charset=utf-8>" + etree.tostring(svg, encoding="utf-8"))
    with opened(browser, page) as watched:
        first_x, last_x = watched.page.evaluate(
            """name => {
                const text = [...document.querySelectorAll("text")]
                    .find(one => one.textContent === name);
                return [0, name.length - 1].map(n => text.getExtentOfChar(n).x);
            }""",
            name,
        )

    assert last_x < first_x


def test_a_long_backdrop_costs_a_point_a_pixel_at_most():
    """A line of 100,000 points within a tenth of a degree takes a few hundred bytes, not 2 MB."""
    plan = gap_plan()
    lat, lon = drawn_track(plan.measured).at(plan.measured.length_km / 2.0)
    wide = np.linspace(0.0, 0.1, 100_000)
    shape = BackdropShape(ShapeKind.LINE, "", lat + wide, lon + wide)
    plain = _drawing(plan)
    drawn = _drawing(plan, DrawnBackdrop((shape,), (), 0.0))

    assert 0 < len(drawn) - len(plain) < 2000


@pytest.mark.parametrize("name", NAMES)
def test_still_map_tells_what_its_signs_promise(name):
    """Camps, distances, direction and a wait of any length stand on it, as the legend says."""
    plan = planned(name)
    svg = _svg(plan)
    css = [element.get("class") for element in svg.iter("path")]
    words = _words(svg)

    assert css.count("camp-dome") == len({day.to_km for day in plan.days if day.camp})
    assert css.count("way-arrow") >= 5
    assert sum(bool(re.fullmatch(r"km [\d.]+", each)) for each in words) >= 4
    a_wait = plan.setbacks.sit_out.least_days >= 0.1
    assert any(each.startswith("shortest wait: ") for each in words) == a_wait


def test_no_words_are_cut_off_by_the_edge():
    """Every label that is written has its whole width inside the picture."""
    svg = _svg(planned("saltbush_loop"))
    middles = [
        (float(text.get("x")), len(text.text))
        for text in svg.iter("text")
        if text.get("text-anchor") == "middle" and text.get("class") == "halo"
    ]

    assert all(4.0 * count <= x <= MAP_WIDTH - 4.0 * count for x, count in middles)


def test_arrows_point_the_way():
    """On a route due east, along the equator, every arrow is turned by 90 degrees."""
    plan = gap_plan()
    route = plan.measured.route
    east = dataclasses.replace(
        plan.measured,
        route=dataclasses.replace(
            route,
            lat_deg=np.zeros_like(route.lat_deg),
            lon_deg=np.linspace(10.0, 12.0, route.lat_deg.size),
        ),
    )

    middle_km = np.array([plan.measured.length_km / 2.0])
    assert drawn_track(east).headings_deg(middle_km) == pytest.approx([90.0])


def test_distances_are_told_in_the_units_of_the_reader():
    """A reader of US units sees miles."""
    words = _words(_svg(planned("saltbush_loop"), measures=US))

    assert any(re.fullmatch(r"mile \d+", each) for each in words)
    assert not any(each.startswith("km ") for each in words)


def test_legend_sends_nobody_behind_a_sign_on_paper():
    """Paper has nothing behind a sign: why water does not count stands in a table of its own."""
    page = page_of("saltbush_loop")

    assert "pale: does not count" in page
    assert "Why it does not count" in page
