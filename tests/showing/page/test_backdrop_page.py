"""The backdrop in a real Chromium: it shows, it can be switched, and nothing is asked for."""

from __future__ import annotations

import json

import numpy as np
import pytest
from lxml import html
from page_in_browser import axe_violations, opened, settled
from plan_examples import HOSTILE_NAMES, antimeridian_plan, gap_plan
from tile_files import png

from longdry.computing.backdrop.tiles import tiles_by_zoom
from longdry.model.backdrop import (
    BackdropShape,
    DrawnBackdrop,
    OnlineBackdrop,
    Picture,
    RasterBackdrop,
    ShapeKind,
)
from longdry.showing.map.leaflet import CLOSEST_ZOOM
from longdry.showing.page.page import page_html
from longdry.showing.words.markup import clipped_name

pytestmark = pytest.mark.browser
NUMBERS = [f"hostile {number}" for number in range(len(HOSTILE_NAMES))]
ONLINE = OnlineBackdrop(
    "https://tiles.example.invalid/{z}/{x}/{y}.png", "https://tiles.example.invalid", "© Ex", ()
)
IMAGES = ".leaflet-backdrop-pane img"


def tiles_of(plan, least=4, greatest=7):
    keys = [k for span in tiles_by_zoom(plan.measured, least, greatest) for k in span.keys]
    pictures = tuple(Picture("image/png", png(k.zoom * 30, 90, 60), (k,)) for k in keys)
    return RasterBackdrop(pictures, "© Invented Mapmakers", (), 0.0)


def drawn(name):
    measured = gap_plan().measured
    lat, lon = measured.route.lat_deg[100:400:20], measured.route.lon_deg[100:400:20]
    return DrawnBackdrop(
        (
            BackdropShape(ShapeKind.POINT, name, lat[:1] + 0.3, lon[:1]),
            BackdropShape(ShapeKind.LINE, "Old track", lat + 0.4, lon),
            BackdropShape(
                ShapeKind.AREA, "", lat[0] + np.array([0, 0, 1, 0]), lon[0] + np.array([0, 1, 1, 0])
            ),
        ),
        (),
        0.0,
    )


def written(folder, plan, *backdrops):
    file = folder / "plan.html"
    file.write_text(page_html(plan, backdrops=backdrops), encoding="utf-8")
    return file


@pytest.mark.parametrize("make", [gap_plan, antimeridian_plan])
def test_tiles_show_and_nothing_is_asked_for(browser, tmp_path, make):
    """Pictures inside the page are drawn below the route: no request, no message."""
    plan = make()
    with opened(browser, written(tmp_path, plan, tiles_of(plan))) as watched:
        page = watched.page
        page.wait_for_selector(IMAGES)
        widths = page.eval_on_selector_all(IMAGES, "all => all.map(i => i.naturalWidth)")

        assert widths
        assert set(widths) == {256}
        assert watched.requests == []
        assert watched.messages == []


def test_tiles_lie_where_they_belong(browser, tmp_path):
    """The corner of each tile stands at its longitude and latitude: OGC 17-083r4 annex D.1."""
    plan = gap_plan()
    keys = [k for span in tiles_by_zoom(plan.measured, 6, 6) for k in span.keys]
    pictures = tuple(Picture("image/png", png(k.column, k.row, 9), (k,)) for k in keys)
    backdrop = RasterBackdrop(pictures, "", (), 0.0)
    with opened(browser, written(tmp_path, plan, backdrop)) as watched:
        page = watched.page
        page.wait_for_selector(IMAGES)
        off = page.evaluate(
            """() => {
              const block = document.getElementById("backdrop-data");
              const data = JSON.parse(block.textContent).layers[0];
              const map = window[document.querySelector(".folium-map").id];
              const frame = map.getContainer().getBoundingClientRect();
              return [...document.querySelectorAll(".leaflet-backdrop-pane img")].map((image) => {
                const number = data.pictures.indexOf(image.src);
                const name = Object.keys(data.places).find((key) => data.places[key] === number);
                const [z, x, y] = name.split("/").map(Number);
                const lon = x / 2 ** z * 360 - 180;
                const lat = Math.atan(Math.sinh(Math.PI * (1 - 2 * y / 2 ** z))) * 180 / Math.PI;
                const point = map.latLngToContainerPoint([lat, lon]);
                const box = image.getBoundingClientRect();
                return Math.hypot(box.left - frame.left - point.x, box.top - frame.top - point.y);
              });
            }"""
        )

    assert len(off) > 1
    assert max(off) <= 3.0


def test_close_up_shows_a_part_of_a_coarser_tile(browser, tmp_path):
    """Two zooms deeper than the finest tile there is still something to see, and no error."""
    plan = gap_plan()
    with opened(browser, written(tmp_path, plan, tiles_of(plan, 4, 6))) as watched:
        page = watched.page
        page.wait_for_selector(IMAGES)
        page.evaluate(
            "window[document.querySelector('.folium-map').id].setZoom(10, { animate: false })"
        )
        settled(page)

        assert page.locator(IMAGES).count() > 0
        assert watched.messages == []
        assert watched.requests == []


def test_map_goes_no_closer_than_its_closest_zoom(browser, tmp_path):
    """Whatever zoom is asked for, and there the button that goes closer is off."""
    with opened(browser, written(tmp_path, gap_plan(), tiles_of(gap_plan(), 4, 6))) as watched:
        page = watched.page
        page.wait_for_selector(IMAGES)
        reached = page.evaluate(
            "window[document.querySelector('.folium-map').id]"
            ".setZoom(25, { animate: false }).getZoom()"
        )
        closer = page.locator(".leaflet-control-zoom-in")

        assert reached == CLOSEST_ZOOM
        assert "leaflet-disabled" in closer.get_attribute("class")


def test_switch_takes_the_backdrop_away_and_brings_it_back(browser, tmp_path):
    """By keyboard, on its own checkbox with its name."""
    plan = gap_plan()
    with opened(browser, written(tmp_path, plan, tiles_of(plan), drawn("Town"))) as watched:
        page = watched.page
        page.wait_for_selector(IMAGES)
        page.get_by_label("Backdrop", exact=True).focus()
        page.keyboard.press("Space")
        assert page.locator(IMAGES).count() == 0
        assert page.locator(".backdrop-name").count() == 0
        page.keyboard.press("Space")
        page.wait_for_selector(IMAGES)

        assert page.locator(".backdrop-name").count() > 0
        assert watched.messages == []


def test_author_of_the_tiles_is_named_beside_the_map(browser, tmp_path):
    """Attribution is visible without a click; a file without one says so."""
    plan = gap_plan()
    with opened(browser, written(tmp_path, plan, tiles_of(plan))) as watched:
        assert watched.page.get_by_text("© Invented Mapmakers").is_visible()


@pytest.mark.parametrize("name", HOSTILE_NAMES, ids=NUMBERS)
def test_hostile_name_on_the_backdrop_is_inert_and_legible(browser, tmp_path, name):
    """Names of towns and authors come from files too."""
    plan = gap_plan()
    tiles = RasterBackdrop(tiles_of(plan).pictures, name, (), 0.0)
    with opened(browser, written(tmp_path, plan, tiles, drawn(name)), width=360) as watched:
        page = watched.page
        page.wait_for_selector(".backdrop-name span")
        names = page.locator(".backdrop-name span").all_inner_texts()

        assert clipped_name(name) in names
        assert watched.messages == []
        assert watched.requests == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_online_tiles_are_asked_of_the_named_host_only(browser, tmp_path):
    """The policy lets pictures of that host through, and still nothing else; the page says so."""
    with opened(browser, written(tmp_path, gap_plan(), ONLINE)) as watched:
        page = watched.page
        settled(page)
        refused = page.evaluate(
            "fetch('https://tiles.example.invalid/').then(() => 'went out', () => 'refused')"
        )

        assert watched.requests
        assert all(u.startswith("https://tiles.example.invalid/") for u in watched.requests)
        assert refused == "refused"
        assert page.get_by_text("This page asks https://tiles.example.invalid").is_visible()
        assert page.get_by_text("© Ex").is_visible()


def test_page_without_a_backdrop_holds_nothing_of_it():
    """No script, no style, no host in the policy."""
    text = page_html(gap_plan())
    policy = html.document_fromstring(text).xpath("//meta[@http-equiv]/@content")[0]

    assert "backdrop" not in text
    assert "http" not in policy
    assert "needs no network" in text


def test_same_backdrop_gives_the_same_bytes():
    """Tiles are written in the order of their names."""
    plan = gap_plan()
    text = page_html(plan, backdrops=[tiles_of(plan)])
    data = json.loads(html.document_fromstring(text).get_element_by_id("backdrop-data").text)

    assert text == page_html(plan, backdrops=[tiles_of(plan)])
    assert list(data["layers"][0]["places"]) == sorted(data["layers"][0]["places"])


def test_axe_finds_no_violation_with_a_backdrop(browser, tmp_path):
    """axe-core, all its rules of WCAG 2.2 A and AA and of good practice."""
    plan = gap_plan()
    file = written(tmp_path, plan, tiles_of(plan), drawn("Town"))
    with opened(browser, file, width=360, dark=True) as watched:
        page = watched.page
        page.wait_for_selector(IMAGES)

        assert axe_violations(page) == []
