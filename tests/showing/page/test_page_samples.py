"""The pages of all samples in a real Chromium: silent, every control used, nothing violated."""

from __future__ import annotations

import json
import subprocess

import pytest
import shapely
from page_in_browser import at_rest, axe_violations, click_everything, opened, settled
from project_places import SAMPLES
from sample_plans import NAMES, planned, planned_from

import longdry
from longdry.showing.words.headline import headline_words
from longdry.showing.words.stretches import end_words

pytestmark = pytest.mark.browser
PAPER_PX = 703
"""Between the margins of A4, 186 mm at 96 px an inch."""
LAPTOPS_PX = (1920, 1280, 1160, 1100)


@pytest.mark.parametrize("is_us", [False, True], ids=["metric", "US"])
@pytest.mark.parametrize("name", NAMES)
def test_page_is_silent_and_fits_the_screen(browser, sample_file, name, is_us):
    """No request, no message, no sideways scrolling, on a laptop, a phone, and on A4 paper.

    On a laptop no table scrolls either: figures part from their units, or rows become cards.
    """
    with opened(browser, sample_file(name, is_us=is_us)) as watched:
        page = watched.page
        assert page.locator("path.leaflet-interactive").count() > 0
        for width in (1280, 360):
            page.set_viewport_size({"width": width, "height": 740})
            assert page.evaluate("document.documentElement.scrollWidth") <= width
        page.set_viewport_size({"width": PAPER_PX, "height": 740})
        page.emulate_media(media="print")
        assert page.evaluate("document.documentElement.scrollWidth") <= PAPER_PX
        page.emulate_media(media="screen")
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        assert {width: _scrolling_tables(page, width) for width in LAPTOPS_PX} == {
            width: [] for width in LAPTOPS_PX
        }
        assert watched.requests == []
        assert watched.messages == []


def _scrolling_tables(page, width):
    """Name the tables of which something stands beyond the edge."""
    page.set_viewport_size({"width": width, "height": 900})
    return page.evaluate(
        "[...document.querySelectorAll('.table-room')]"
        ".filter(room => room.scrollWidth > room.clientWidth + 1)"
        ".map(room => room.querySelector('table').id)"
    )


@pytest.mark.parametrize("name", NAMES)
def test_every_control_works_by_mouse(browser, sample_file, name):
    """Every link, button, box, fold and sign takes a click: no request, no message."""
    with opened(browser, sample_file(name)) as watched:
        assert click_everything(watched.page) > 60
        assert watched.requests == []
        assert watched.messages == []


@pytest.mark.parametrize("name", NAMES)
def test_tab_reaches_every_control(browser, sample_file, name):
    """Tab alone comes by every control that shows."""
    with opened(browser, sample_file(name)) as watched:
        page = watched.page
        wanted = page.evaluate(
            """() => {
              const all = document.querySelectorAll("a, button, input, summary, [tabindex='0']");
              const shown = [...all].filter(e => e.checkVisibility({ visibilityProperty: true }));
              shown.forEach((e, place) => { e.dataset.wanted = place; });
              window.reached = new Set();
              document.addEventListener("focusin",
                event => window.reached.add(event.target.dataset.wanted));
              return shown.length;
            }"""
        )
        for _ in range(wanted + 40):
            page.keyboard.press("Tab")
        reached = set(page.evaluate("[...window.reached]"))

        assert wanted > 40
        assert {str(number) for number in range(wanted)} <= reached
        assert watched.requests == []
        assert watched.messages == []


def test_every_kind_of_control_can_be_used_by_keyboard(browser, sample_file):
    """Enter, Space and Escape on each kind of control, three of each, do no harm."""
    with opened(browser, sample_file("saltbush_loop")) as watched:
        page = watched.page
        page.evaluate("window.print = () => {}")
        chosen = page.evaluate(
            """() => {
              const seen = {}, chosen = [];
              const all = "a, button, input, summary, [tabindex='0']";
              for (const e of document.querySelectorAll(all))
              {
                if (!e.checkVisibility({ visibilityProperty: true })) continue;
                const kind = `${e.tagName}.${e.getAttribute("class")} ${e.dataset.layer}`;
                seen[kind] = (seen[kind] || 0) + 1;
                if (seen[kind] <= 3) chosen.push(e);
              }
              chosen.forEach((e, place) => { e.dataset.wanted = place; });
              return chosen.length;
            }"""
        )
        used = 0
        for number in range(chosen):
            control = page.locator(f"[data-wanted='{number}']")
            if control.count():
                control.focus()
                used += 1
                for key in ("Enter", "Space", "Escape"):
                    page.keyboard.press(key)

        assert used > 20
        assert watched.requests == []
        assert watched.messages == []


@pytest.mark.parametrize(
    ("name", "width", "dark"),
    [
        ("saltbush_loop", 360, False),
        ("gorge_walk", 360, True),
        ("stock_route_ride", 1280, True),
    ],
)
def test_axe_finds_nothing_on_a_sample(browser, sample_file, name, width, dark):
    """axe-core finds no violation, with all folds open."""
    with opened(browser, sample_file(name), width=width, dark=dark) as watched:
        watched.page.evaluate("for (const d of document.querySelectorAll('details')) d.open = true")
        assert axe_violations(watched.page) == []


def test_stretch_of_the_list_shows_on_the_map_and_the_other_way_round(browser, sample_file):
    """The button of a stretch opens it on the map, whose link leads back to its line."""
    with opened(browser, sample_file("gorge_walk")) as watched:
        page = watched.page
        page.evaluate("document.querySelectorAll('.way details').forEach(d => d.open = true)")
        stretches = planned("gorge_walk").stretches
        for stretch in (stretches[0], stretches[len(stretches) // 2], stretches[-1]):
            page.get_by_role("button", name=f"Show stretch {stretch.number} on the map").click()
            names = f": {end_words(stretch.begin)} to {end_words(stretch.end)}"
            popup = page.locator(".leaflet-popup").filter(has_text=names)
            popup.wait_for()
            marked = page.locator(".way .shown").get_attribute("id")
            at_rest(page)
            popup.locator(".to-row").click()
            page.wait_for_function(f"location.hash === '#stretch-{stretch.number}'")

            assert marked == f"stretch-{stretch.number}"


def test_moving_along_the_profile_shows_the_place_on_the_map(browser, sample_file):
    """A pointer over the middle of the profile puts the ring on the middle of the route."""
    length_km = planned("gorge_walk").measured.length_km
    with opened(browser, sample_file("gorge_walk")) as watched:
        page = watched.page
        page.locator(".profile").scroll_into_view_if_needed()
        plot = page.locator("#plot").bounding_box()
        page.mouse.move(plot["x"] + plot["width"] / 2, plot["y"] - 30)
        settled(page)
        words = page.locator("#place-words").inner_text()

        assert abs(float(words.split()[1].rstrip(",")) - length_km / 2) < length_km / 100
        assert page.locator("path.place-ring").count() == 1


def test_turn_back_sign_opens_and_says_why(browser, sample_file):
    """A turn-back sign of the map, reached by keyboard, says from where and why."""
    turns = planned("saltbush_loop").setbacks.turn_backs
    km = int(turns[4].water_km * 10) / 10
    with opened(browser, sample_file("saltbush_loop")) as watched:
        page = watched.page
        page.locator(f".tag[aria-label*='km {km:.1f}']").first.focus()
        page.keyboard.press("Enter")
        words = page.locator(".leaflet-popup").inner_text()

        assert f"km {km:.1f}" in words
        assert "does not take the party back" in words


@pytest.mark.parametrize("name", NAMES)
def test_first_screen_answers_and_few_follow(browser, sample_file, name):
    """Headline, why, worst stretch, most to carry and mend; on a laptop the map beside them.

    As it opens a tired person reads 5 screens of 1280 by 800 or 12 of 360 by 740 at the most.
    """
    wanted = {1280: (".say", ".why", ".gap", ".facts", ".do", ".map-frame"),
              360: (".say", ".why", ".gap", ".facts", ".do")}  # fmt: skip
    for width, height, most in ((1280, 800, 5), (360, 740, 12)):
        with opened(browser, sample_file(name), width=width, height=height) as watched:
            tall = watched.page.evaluate("document.documentElement.scrollHeight")
            assert tall <= most * height
            for css in wanted[width]:
                for found in watched.page.locator(css).all()[:1]:
                    box = found.bounding_box()
                    assert box["y"] + box["height"] <= height, css


def test_on_a_phone_the_litres_of_the_profile_stay_in_view(browser, sample_file):
    """The profile begins at the worst stretch, past its left edge: its scale goes with it."""
    with opened(browser, sample_file("saltbush_loop"), width=360, height=740) as watched:
        watched.page.wait_for_function("document.querySelector('.chart-room').scrollLeft > 0")
        settled(watched.page)
        lefts = watched.page.locator(".stays text").evaluate_all(
            "all => all.map(one => one.getBoundingClientRect().left)"
        )

        assert len(lefts) >= 3 + 3
        assert all(0 <= left < 360 for left in lefts)


def test_text_at_200_percent_needs_no_sideways_scroll(browser, sample_file):
    """At 360 px with the type twice as large (WCAG 2.2, 1.4.4)."""
    with opened(browser, sample_file("saltbush_loop"), width=360, height=740) as watched:
        watched.page.evaluate("document.documentElement.style.fontSize = '200%'")
        assert watched.page.evaluate("document.documentElement.scrollWidth") <= 360


def test_heat_beyond_the_limits_stands_on_the_first_screen_in_plain_words(browser, tmp_path):
    """46 °C on a walk: the headline turns, and nobody must scroll to read what not to do."""
    for file in (SAMPLES / "gorge_walk").iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    trip = (tmp_path / "trip.toml").read_text(encoding="utf-8")
    hot = trip.replace("shade_max_c = 22.0", "shade_max_c = 46.0")
    (tmp_path / "trip.toml").write_text(hot, encoding="utf-8")
    plan = planned_from(tmp_path, mends=False)
    longdry.write_page(plan, tmp_path / "plan.html")
    for width, height in ((1280, 800), (360, 740)):
        with opened(browser, tmp_path / "plan.html", width=width, height=height) as watched:
            said = watched.page.locator("#answer").get_by_text("46 °C.", exact=False).first
            box = said.bounding_box()

            assert watched.page.locator(".say").inner_text() == "Do not start on this plan."
            assert f"Days 1 to {len(plan.days)}: 46 °C. Do not move by day" in said.inner_text()
            assert box["y"] + box["height"] <= height


_TAGS = """() => [...document.querySelectorAll(".tag-holder:not(.crowded)")].map(holder => {
  const tag = holder.querySelector(".tag").getBoundingClientRect();
  const at = holder.getBoundingClientRect();
  const to = holder.querySelector("path").getAttribute("d").match(/L(\\S+) (\\S+)/);
  return {
    box: [tag.left, tag.top, tag.right, tag.bottom], at: [at.x, at.y],
    end: to ? [at.x + Number(to[1]), at.y + Number(to[2])] : [at.x, at.y],
    isCall: holder.querySelector(".tag.call") !== null,
  };
})"""
_PLACES = """css => [...document.querySelectorAll(css)].map(one => {
  const box = one.getBoundingClientRect();
  return [box.left, box.top, box.right, box.bottom];
})"""


@pytest.mark.parametrize("name", NAMES)
def test_words_of_the_map_are_read_as_those_of_their_own_sign(browser, sample_file, name):
    """On a laptop and a phone; shapely judges.

    Each line from words to their place stays clear of all other words. A name without such a line
    is nearer to its own sign than to that of any other call. No degrees lie under words.
    """
    for width, height in ((1280, 800), (360, 740)):
        with opened(browser, sample_file(name), width=width, height=height) as watched:
            settled(watched.page)
            shown = watched.page.evaluate(_TAGS)
            calls = watched.page.evaluate(_PLACES, ".water-holder:not(.passed-by)")
            degrees = watched.page.evaluate(_PLACES, ".grid-words span:not(.crowded)")
        words = [shapely.box(*one["box"]).buffer(-1.0) for one in shown]
        leaders = [shapely.LineString([one["at"], one["end"]]) for one in shown]
        signs = [shapely.box(*box).centroid for box in calls]
        strays = [
            one
            for one, tag, leader in zip(shown, words, leaders, strict=True)
            if one["isCall"] and leader.length == 0.0
            for sign in signs
            if sign.distance(shapely.Point(one["at"])) > 2.0
            and tag.distance(sign) <= tag.distance(shapely.Point(one["at"]))
        ]

        assert len(shown) >= 5
        assert not any(
            tag.intersects(leader)
            for one, leader in enumerate(leaders)
            for other, tag in enumerate(words)
            if one != other
        )
        assert strays == []
        assert not any(tag.intersects(shapely.box(*box)) for box in degrees for tag in words)


HOSTILE = ("<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "{{7*7}}</script>",
           "\u202eevil بئر الرمل\u202c", "W" * 10_000)  # fmt: skip


def _hostile_files(folder, name):
    """Write a route, a layer and a trip with the name in every field that takes words."""
    points = "".join(f'<trkpt lat="{-25 - n / 10}" lon="130"/>' for n in range(20))
    escaped = name.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    (folder / "route.gpx").write_text(
        '<?xml version="1.0"?><gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" '
        'creator="t">'
        f"<wpt lat='-25.5' lon='130'><name>{escaped}</name></wpt>"
        f"<trk><name>{escaped}</name><trkseg>{points}</trkseg></trk></gpx>",
        encoding="utf-8",
    )
    visit = {"on": "2026-11-01", "found": "low", "note": name}
    features = [
        {"type": "Feature", "id": f"{name} {n}",
         "geometry": {"type": "Point", "coordinates": [130.001, -25 - n / 2]},
         "properties": {"name": name, "grade": grade, "kind": name, "access": name, "note": name,
                        "visits": [visit]} | ({"retired": name} if n == 3 else {})}
        for n, grade in ((1, "potable"), (2, "treat-before-drinking"), (3, "potable"))
    ]  # fmt: skip
    (folder / "water.geojson").write_text(
        json.dumps({"type": "FeatureCollection", "features": features}), encoding="utf-8"
    )
    word = json.dumps(name.strip("\u202e\u202c")[:200])  # the trip file refuses turning text
    (folder / "trip.toml").write_text(
        f"name = {word}\ndepart = 2027-05-03T08:00:00\n[party]\npeople = 2\ncan_treat = true\n"
        f'[[use]]\nname = {word}\nlitres = 4.0\ngrade = "potable"\n'
        'per = "person-day"\nkept = "bare"\n'
        f"[[container]]\nname = {word}\ncount = 2\nrated_l = 20.0\n",
        encoding="utf-8",
    )


@pytest.mark.parametrize("name", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_names_through_the_real_readers_stay_text(browser, tmp_path, name):
    """In every field of route, layer and trip: nothing runs, nothing is fetched, layout holds."""
    _hostile_files(tmp_path, name)
    longdry.write_page(planned_from(tmp_path), tmp_path / "plan.html")
    with opened(browser, tmp_path / "plan.html", width=360, height=740) as watched:
        page = watched.page
        page.locator(".water-holder").first.dispatch_event("click")
        shown = page.locator(".leaflet-popup .popup-title").inner_text()

        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        assert shown.startswith(name.strip("\u202e\u202c")[:4])
        assert watched.requests == []
        assert watched.messages == []


@pytest.mark.parametrize("name", NAMES)
def test_report_on_paper_cuts_nothing_off(browser, sample_file, tmp_path, name):
    """Printed: five pages at most, nothing is too wide, the sheet is the first leaf."""
    with opened(browser, sample_file(name), width=PAPER_PX) as watched:
        watched.page.emulate_media(media="print")
        wide = watched.page.evaluate("document.documentElement.scrollWidth")
        watched.page.pdf(path=tmp_path / "plan.pdf", prefer_css_page_size=True)
    told = subprocess.run(
        ["pdftotext", tmp_path / "plan.pdf", "-"], capture_output=True, text=True, check=True
    ).stdout
    pages = [" ".join(page.split()) for page in told.split("\f")[:-1]]

    assert wide <= PAPER_PX
    assert len(pages) <= 5
    assert pages[0].startswith(headline_words(planned(name)))
    assert "Found on the way" in pages[1]
    assert "The way" in " ".join(pages[2:])
