"""The page in a real Chromium, by mouse, by keyboard, on a phone and on paper."""

from __future__ import annotations

import subprocess

import pytest
from page_in_browser import (
    BROWSER_WAIT_MS,
    at_rest,
    axe_violations,
    click_everything,
    opened,
)
from plan_examples import (
    antimeridian_plan,
    bare_plan,
    clear_plan,
    gap_plan,
    large_plan,
    make_plan,
)

from longdry.model.words import Verdict
from longdry.showing.page.page import page_html

pytestmark = pytest.mark.browser
PLANS = {
    "gap": gap_plan,
    "clear": clear_plan,
    "bare": bare_plan,
    "antimeridian": antimeridian_plan,
    "large": large_plan,
}


@pytest.fixture(scope="module")
def files(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pages")
    for name, plan in PLANS.items():
        (folder / f"{name}.html").write_text(page_html(plan()), encoding="utf-8")
    return {name: folder / f"{name}.html" for name in PLANS}


@pytest.fixture
def gap(browser, files):
    with opened(browser, files["gap"]) as watched:
        yield watched


@pytest.mark.parametrize("name", PLANS)
def test_page_opens_without_a_request_or_a_message(browser, files, name):
    """Opened from a file it asks the network for nothing and the console stays empty.

    At 360 px it is as wide as the screen: only tables and charts scroll inside.
    """
    with opened(browser, files[name], width=360, height=740) as watched:
        assert watched.page.evaluate("document.documentElement.scrollWidth") <= 360
        assert watched.page.locator("path.leaflet-interactive").count() > 0
        assert watched.requests == []
        assert watched.messages == []


def test_nothing_leaves_whatever_is_clicked(gap):
    """Every link, button, box, fold and sign is used once: still no request and no message."""
    assert click_everything(gap.page) > 60
    assert gap.requests == []
    assert gap.messages == []


def test_network_is_barred_even_for_a_script(gap):
    """The policy refuses requests that a script of the page would make: the guard really bars."""
    refused = gap.page.evaluate(
        "fetch('http://192.0.2.1/').then(() => 'went out', () => 'refused')"
    )

    assert refused == "refused"
    assert gap.requests == []
    assert any("Content Security Policy" in message for message in gap.messages)


def test_first_screen_names_the_gap(browser, files):
    """Without scrolling, on a laptop and on a phone: headline, worst stretch, litres missing."""
    for width, height in ((1280, 800), (360, 740)):
        with opened(browser, files["gap"], width=width, height=height) as watched:
            for css in (".say", ".why", ".gap", ".facts"):
                box = watched.page.locator(css).first.bounding_box()
                assert box["y"] + box["height"] <= height
            words = watched.page.locator(".gap").first.inner_text()

            assert "Redgum Tank to Kestrel Bore" in words
            assert "56 L missing" in words


def test_popup_of_water_opens_by_mouse(gap):
    """A real click on a sign shows its name and grade."""
    gap.page.locator("#map").scroll_into_view_if_needed()
    at_rest(gap.page)
    gap.page.locator(".water-holder[aria-label^='Redgum Tank']").click()
    words = gap.page.locator(".leaflet-popup").inner_text()

    assert "Redgum Tank" in words
    assert "potable" in words


def test_popup_opens_by_enter_closes_by_escape_and_gives_the_focus_back(gap):
    """Enter opens, the focus goes in, Escape closes, the focus comes back."""
    page = gap.page
    page.locator(".water-holder[aria-label^='Redgum Tank']").focus()
    page.keyboard.press("Enter")
    inside = page.evaluate("document.activeElement.className")
    page.keyboard.press("Escape")
    page.wait_for_selector(".leaflet-popup", state="detached")

    assert inside == "popup-title"
    assert page.evaluate("document.activeElement.getAttribute('aria-label')").startswith("Redgum")


def test_stretch_opens_by_keyboard_and_marks_its_line(gap):
    """A stretch of the drawn route can be reached and opened; its line in the list lights up."""
    page = gap.page
    page.locator("path[aria-label^='Too long']").focus()
    page.keyboard.press("Enter")

    assert "56 L" in page.locator(".leaflet-popup").inner_text()
    assert page.locator(".way .shown").get_attribute("id") == "stretch-2"


def test_tab_reaches_every_sign_of_the_map(gap):
    """Tab alone comes by every stretch and every source of the map."""
    page = gap.page
    page.locator(".leaflet-container").focus()
    reached = set()
    for _ in range(30):
        page.keyboard.press("Tab")
        reached.add(page.evaluate("document.activeElement.getAttribute('aria-label')"))

    verdicts = {label.split(":")[0] for label in reached if label}
    assert {"Clear", "Too long", "Into reserve", "Short ration"} <= verdicts
    assert any(label and label.startswith("Brackish Dam") for label in reached)


def test_line_of_the_list_shows_its_stretch_on_the_map(gap):
    """The button moves the map to its stretch and opens it; the popup leads back."""
    page = gap.page
    page.get_by_role("button", name="Show stretch 4 on the map").click()
    title = page.locator(".leaflet-popup .popup-title").inner_text()
    at_rest(page)
    page.locator(".leaflet-popup .to-row").click()
    page.wait_for_function("location.hash === '#stretch-4'")

    assert title == "Short ration: Lower Soak to Windmill 9"


def test_opening_a_stop_puts_the_ring_there_on_map_and_profile(gap):
    """List, map and profile move together."""
    page = gap.page
    page.locator("#stop-1 summary").click()
    km = page.locator("#stop-1").get_attribute("data-km")
    needle = page.locator("#place-needle")
    moved = float(needle.get_attribute("transform").split("(")[1].split()[0])
    length = page.evaluate("JSON.parse(document.getElementById('map-data').textContent).length")

    assert page.locator("path.place-ring").count() == 1
    assert page.locator("#place-words").inner_text().startswith(f"km {float(km):.1f}")
    assert abs(moved / float(needle.get_attribute("data-width")) - float(km) / length) < 0.001


LAYERS = {
    "tags": ".tag.verdict-too-long",
    "water": ".water-holder .water-sign:not(.faint)",
    "ways": "path.way:not(.faint-way)",
    "uncounted": ".water-holder .faint",
    "camps": ".km-mark.camp",
    "marks": ".km-mark:not(.camp)",
    "grid": "path.grid-line",
}


def test_each_layer_goes_and_comes(gap):
    """Every switch takes its layer off the map and puts it back, by keyboard too."""
    gap.page.locator(".legend summary").click()
    for layer, sign in LAYERS.items():
        box = gap.page.locator(f"[data-layer={layer}]")
        before = gap.page.locator(sign).count()
        box.click()
        without = gap.page.locator(sign).count()
        box.press("Space")

        assert before > 0, layer
        assert without == 0, layer
        assert gap.page.locator(sign).count() == before, layer
    assert gap.messages == []


def test_place_slider_moves_the_ring_and_says_the_stretch(gap):
    """Arrow keys on the slider go along the route, on the map, in the profile and in words."""
    page = gap.page
    page.locator("#place").focus()
    page.keyboard.press("PageUp")
    page.keyboard.press("PageUp")

    assert page.locator("path.place-ring").count() == 1
    assert page.locator("#place-words").inner_text().startswith("km 164.1, Too long: ")
    assert page.locator("#place-needle.set").count() == 1


def test_narrow_screen_sets_wide_tables_as_cards_that_stay_tables(gap):
    """No cell of a wide table lies outside the screen, each says its heading, and it stays one.

    A laptop of 1280 px shows 640 px at 200 % and 320 px at 400 % (WCAG 2.2, 1.4.10).
    """
    page = gap.page
    for width in (320, 390, 800, 990):
        page.set_viewport_size({"width": width, "height": 844})
        beyond = page.evaluate(
            """[...document.querySelectorAll("table.stacks")].map(
              table => table.parentElement.scrollWidth - table.parentElement.clientWidth)"""
        )
        assert len(beyond) >= 3
        assert max(beyond) <= 0

    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    for width in (320, 390, 800, 990):
        page.set_viewport_size({"width": width, "height": 844})
        table = page.get_by_role("table", name="Everything that was taken for granted")
        taken = page.locator("#assumption-table tbody tr:first-child td:nth-child(2)")
        headed = taken.evaluate("cell => getComputedStyle(cell, '::before').content")

        assert headed == '"Taken as "'
        assert taken.is_visible()
        assert table.count() == 1
        assert table.get_by_role("columnheader").count() == 4
        assert table.get_by_role("rowheader").count() == 3


def test_without_scripts_the_still_map_and_every_figure_are_there(browser, files):
    """A reader without scripts sees the still map and no dead control."""
    context = browser.new_context(java_script_enabled=False)
    context.set_default_timeout(BROWSER_WAIT_MS)
    page = context.new_page()
    page.goto(files["gap"].as_uri())

    assert page.locator(".overview-map").is_visible()
    assert not page.locator(".map-frame").is_visible()
    assert not page.locator(".to-map").first.is_visible()
    context.close()


def test_paper_shows_the_still_map(gap):
    """In print the still map stands in for the moving one, and the controls are gone."""
    gap.page.emulate_media(media="print")

    assert gap.page.locator(".overview-map").is_visible()
    assert not gap.page.locator(".map-frame").is_visible()
    assert not gap.page.locator(".map-tools").is_visible()


@pytest.mark.parametrize("scripts", [True, False])
def test_paper_has_the_sheet_first_then_answer_and_way(browser, files, tmp_path, scripts):
    """With scripts and without: the sheet is unfolded, what is folded away is not printed."""
    context = browser.new_context(java_script_enabled=scripts)
    context.set_default_timeout(BROWSER_WAIT_MS)
    page = context.new_page()
    page.goto(files["gap"].as_uri())
    page.pdf(path=tmp_path / "plan.pdf", prefer_css_page_size=True)
    context.close()
    told = subprocess.run(
        ["pdftotext", tmp_path / "plan.pdf", "-"], capture_output=True, text=True, check=True
    ).stdout
    told = " ".join(told.split())

    assert told.index("Found on the way") < told.index("Worst stretch") < told.index("The way ")
    assert "Algorithms for geodesics" not in told


def test_large_page_is_little_work_for_a_browser(browser, files):
    """20,000 points, 200 sources: few elements and short paths, however fast the machine."""
    letters_of_paths = (
        "[...document.querySelectorAll('path')].reduce("
        "(sum, path) => sum + (path.getAttribute('d') || '').length, 0)"
    )
    with opened(browser, files["large"]) as watched:
        elements = watched.page.locator("*").count()
        drawn = watched.page.evaluate(letters_of_paths)

    assert 5_000 < elements <= 24_000
    assert 10_000 < drawn <= 80_000


@pytest.mark.parametrize(
    ("width", "dark"), [(1280, False), (360, True)], ids=["laptop, light", "phone, dark"]
)
def test_axe_finds_no_violation(browser, files, width, dark):
    """axe-core, all its rules of WCAG 2.2 A and AA and of good practice, with a popup open."""
    with opened(browser, files["gap"], width=width, dark=dark) as watched:
        page = watched.page
        page.locator("path[aria-label^='Too long']").focus()
        page.keyboard.press("Enter")

        assert axe_violations(page) == []


def test_small_sign_leads_to_formula_and_source(gap):
    """One click on the sign behind a key figure opens what it comes from."""
    gap.page.get_by_role("link", name="Most to carry: formula and source").click()
    fold = gap.page.locator("#formula-most-to-carry")

    assert fold.get_attribute("open") is not None
    assert fold.locator(".source").is_visible()


def test_long_lists_fold_runs_of_clear_stops(browser, files):
    """200 stretches with 22 gaps: clear ones stand in runs, every gap stands alone and open."""
    with opened(browser, files["large"], width=1280, height=800) as watched:
        page = watched.page

        assert page.locator(".run").count() > 10
        assert page.locator(".run .verdict-too-long").count() == 0
        assert page.locator(".way > .verdict-too-long > details[open]").count() == 22


def test_a_clear_plan_of_200_stretches_takes_ten_screens_at_most(browser, tmp_path):
    """At 1280 by 800, as it opens."""
    file = tmp_path / "plan.html"
    file.write_text(page_html(make_plan((Verdict.CLEAR,) * 200)), encoding="utf-8")
    with opened(browser, file, width=1280, height=800) as watched:
        tall = watched.page.evaluate("document.documentElement.scrollHeight")

    assert tall <= 10 * 800


OPEN_ALL = "for (const d of document.querySelectorAll('details')) d.open = true"
TYPE_SET = """() => {
  const sizes = new Set(), weights = new Set();
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const holder = texts.currentNode.parentElement;
    if (!texts.currentNode.textContent.trim() || holder.closest("script, style, desc")) continue;
    const look = getComputedStyle(holder);
    sizes.add(look.fontSize);
    weights.add(look.fontWeight);
  }
  return [[...sizes], [...weights]];
}"""


@pytest.mark.parametrize("width", [1280, 360])
def test_one_scale_of_five_sizes_and_two_weights_sets_all_words(browser, files, width):
    """Map, profile, tables and sheet included, with all folds open."""
    with opened(browser, files["gap"], width=width) as watched:
        watched.page.evaluate(OPEN_ALL)
        sizes, weights = watched.page.evaluate(TYPE_SET)

    assert 3 <= len(sizes) <= 5
    assert sorted(weights) == ["400", "650"]


SMALL_TARGETS = """least => {
  const things = "a, button, input[type=range], summary, fieldset label, .water-holder";
  const small = [];
  for (const thing of document.querySelectorAll(things)) {
    if (!thing.checkVisibility({ visibilityProperty: true }) || thing.matches(".skip")) continue;
    const box = thing.getBoundingClientRect();
    if (box.height < least || box.width < least) small.push(thing.outerHTML.slice(0, 90));
  }
  return small;
}"""


@pytest.mark.parametrize(("touch", "least_px"), [(False, 24), (True, 44)])
def test_targets_are_as_large_as_what_points_at_them(browser, files, touch, least_px):
    """24 px for a mouse (WCAG 2.2, 2.5.8), 44 px for a finger (2.5.5), all folds open."""
    with opened(browser, files["gap"], width=360, height=740, touch=touch) as watched:
        watched.page.evaluate(OPEN_ALL)
        assert watched.page.evaluate(SMALL_TARGETS, least_px) == []


@pytest.mark.parametrize("dark", [False, True])
def test_in_the_readers_own_colours_nothing_is_lost(browser, files, dark):
    """Lines, signs and bars take system colours; width and dash still tell the verdicts apart."""
    with opened(browser, files["gap"], dark=dark, own_colours=True) as watched:
        drawn = watched.page.evaluate(
            """() => {
              const probe = document.body.appendChild(document.createElement("i"));
              probe.style.color = "CanvasText";
              const stroke = css => getComputedStyle(document.querySelector(css));
              const verdicts = ["clear", "into-reserve", "short-ration", "too-long"];
              const lines = verdicts.map(each => stroke(".leaflet-container path.line-" + each));
              return {
                text: getComputedStyle(probe).color,
                lines: lines.map(look => look.stroke),
                looks: lines.map(look => look.strokeWidth + " " + look.strokeDasharray),
                sign: stroke(".water-sign .face.full").fill,
                bar: stroke(".bar-have").fill,
                rail: getComputedStyle(document.querySelector(".verdict-too-long .rail"),
                  "::before").backgroundImage,
              };
            }"""
        )

        assert {*drawn["lines"], drawn["sign"], drawn["bar"]} == {drawn["text"]}
        assert len(set(drawn["looks"])) == 4
        assert drawn["text"] in drawn["rail"]
        assert axe_violations(watched.page) == []
