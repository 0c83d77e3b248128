"""The desk's page as a person uses it: with a mouse, with keys alone, on a narrow screen.

The plan shown is held against ``longdry plan`` on the same folder; every request that is not the
desk's own fails the test.
"""

from __future__ import annotations

import datetime as dt
import json
import math
import re
import tomllib

import pytest
from desk_in_browser import BOOK, ROUTE, TRIP, desk_page, feature, served, whole
from gpx_writing import gpx
from page_in_browser import axe_violations, settled
from playwright.sync_api import expect

from longdry.cli.main import main

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    """Run one desk for all tests; each lays its folder out anew."""
    with served(tmp_path_factory.mktemp("desk")) as running:
        yield running


def unexpected(messages):
    """Leave out what Chromium itself notes of each answer that refuses a change."""
    return [one for one in messages if not re.search("status of (409|422)", one)]


@pytest.fixture
def watched(browser, desk):
    """Open the desk on the small trip; it asks nobody else and its console stays empty."""
    desk.lay_out()
    with desk_page(browser, desk) as page:
        yield page
        assert page.requests == []
        assert unexpected(page.messages) == []


@pytest.fixture
def page(watched):
    return watched.page


@pytest.fixture
def route(tmp_path):
    file = tmp_path / "route.gpx"
    file.write_text(ROUTE)
    return file


def will_choose(page, file):
    """Answer the next question for a file; said before, as the browser asks at once."""
    page.once("filechooser", lambda chooser: chooser.set_files(file))


def answered(page, act):
    """Do something that changes the plan, and wait until the answer to it is shown."""
    with page.expect_response(re.compile("/api/plan[?]")) as response:
        act()
    number = response.value.json()["number"]
    page.locator(f'#desk-see[data-plan="{number}"]').wait_for(state="attached")
    settled(page)


def printed(page):
    """Return what would stand on paper."""
    page.emulate_media(media="print")
    words = page.locator("main").inner_text()
    page.emulate_media(media="screen")
    return words


DROPPED = """([name, text]) => {
  const dropped = new DataTransfer();
  dropped.items.add(new File([text], name));
  return dropped;
}"""


def test_a_departure_a_year_later_is_written_with_the_day_due_back(browser, desk):
    """It cannot be before that is mended: told where it was typed, and not lost then."""
    desk.lay_out(trip_toml=TRIP + "[contact]\ndue_back = 2027-06-04\n")
    with desk_page(browser, desk) as watched:
        page = watched.page
        page.locator("#ask-when > summary").click()
        page.locator("#trip-top-depart").fill("2028-06-01")
        told = page.locator("#trip-top-depart-fault")
        expect(told).to_contain_text('first mend "Day due back"')
        before = (desk.folder / "trip.toml").read_text()
        answered(page, lambda: page.locator("#trip-contact-due_back").fill("2028-06-04"))

        assert "depart = 2027-06-01" in before
        assert "depart = 2028-06-01" in (desk.folder / "trip.toml").read_text()
        assert "due_back = 2028-06-04" in (desk.folder / "trip.toml").read_text()
        expect(told).to_be_empty()
        assert unexpected(watched.messages) == []


def test_from_an_empty_folder_to_a_printed_sheet_with_the_mouse(browser, desk):
    """Route dropped, a source tapped onto the map, people and cans said: the sheet is printed."""
    desk.empty()
    with desk_page(browser, desk) as watched:
        page = watched.page
        page.evaluate("window.print = () => { window.printed = true }")
        dropped = page.evaluate_handle(DROPPED, ["way.gpx", ROUTE])
        page.dispatch_event("#desk-start", "drop", {"dataTransfer": dropped})
        page.locator("#answer").wait_for()
        page.locator("#desk-map").click(position={"x": 300, "y": 150})
        page.get_by_role("button", name="Mark a source here").click()
        page.locator("#mark-name").fill("Tapped Well")
        page.locator("#mark-grade").select_option("potable")
        answered(page, lambda: page.get_by_role("button", name="Mark it").click())
        page.locator("#ask-who > summary").click()
        people = page.locator("#trip-party-people")
        people.fill("2")
        answered(page, lambda: people.press("Tab"))
        page.locator("#trip-add-container").click()
        litres = page.locator("#trip-container-1-rated_l")
        litres.fill("60")
        answered(page, lambda: litres.press("Tab"))
        whole(page)
        page.get_by_role("button", name="Save the page").click()
        page.get_by_text("Saved in the folder: plan.html").wait_for()
        page.get_by_role("button", name="Print the sheet to carry").click()

        assert "Tapped Well" in (desk.folder / "plan.html").read_text()
        assert page.evaluate("window.printed")
        assert "Tapped Well" in printed(page)
        assert "people = 2" in (desk.folder / "trip.toml").read_text()
        assert watched.requests == watched.messages == []


def tab_to(page, css):
    """Press Tab until what is looked for has the focus, as somebody without a mouse does."""
    for _ in range(150):
        if page.evaluate("css => document.activeElement.matches(css)", css):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"{css} cannot be reached by Tab")


def test_from_an_empty_folder_to_a_printed_sheet_with_keys_alone(browser, desk, route):
    """Route chosen, a source marked by its km, people and cans said, the sheet printed."""
    desk.empty()
    with desk_page(browser, desk) as watched:
        page, keys = watched.page, watched.page.keyboard
        page.evaluate("window.print = () => { window.printed = true }")
        will_choose(page, route)
        tab_to(page, "#desk-start-choose")
        keys.press("Enter")
        page.locator("#answer").wait_for()
        tab_to(page, "#water-mark")
        keys.press("Enter")
        tab_to(page, "#mark-km")
        keys.type("12.4")
        tab_to(page, "#mark-name")
        keys.type("Keyed Tank")
        tab_to(page, "#mark-grade")
        keys.type("potable")
        tab_to(page, "#water-work .work > .tools-row button.main")
        answered(page, lambda: keys.press("Enter"))
        tab_to(page, "#ask-who > summary")
        keys.press("Enter")
        tab_to(page, "#trip-party-people")
        keys.type("2")
        tab_to(page, "#trip-add-container")
        answered(page, lambda: keys.press("Enter"))
        expect(page.locator("#trip-container-1-name")).to_be_focused()
        tab_to(page, "#trip-container-1-rated_l")
        keys.type("60")
        answered(page, lambda: keys.press("Tab"))
        whole(page)
        tab_to(page, "#take-sheet")
        keys.press("Enter")

        assert page.evaluate("window.printed")
        assert "Keyed Tank" in printed(page)
        assert watched.requests == watched.messages == []


def rounded_up(value, step):
    """Round as every need is rounded where it is shown, worked out here anew."""
    return math.ceil(round(value / step, 6)) * step


def test_plan_shown_is_the_plan_of_the_command_line(page, desk, tmp_path):
    """Headline, most to carry and longest without water are those of ``longdry plan`` there."""
    named = [str(desk.folder / name) for name in ("route.gpx", "book.geojson", "trip.toml")]
    written = tmp_path / "plan.json"
    main(["plan", named[0], "--water", named[1], "--trip", named[2], "--json", str(written)])
    plan = json.loads(written.read_text())
    facts = page.locator(".facts").inner_text()

    assert plan["headline"]["words"].rstrip(".") in page.locator(".say").inner_text()
    assert f"{rounded_up(plan['longest_without_water']['length_km'], 0.1):.1f} km" in facts
    assert f"{rounded_up(plan['most_to_carry']['litres'], 1.0):.0f} L" in facts


def test_key_that_the_answer_names_leads_to_its_field(page):
    """What is still to be said is one press away from the sentence that asks for it."""
    page.locator("#answer").get_by_role("link", name="help_days").click()

    expect(page.locator("#trip-policy-help_days")).to_be_focused()


def test_source_is_marked_moved_visited_retired_and_each_is_undone(page, desk):
    """What is done with a source stands in the book, and Undo takes it out again."""
    before = (desk.folder / "book.geojson").read_bytes()
    page.locator("#water-mark").click()
    page.locator("#mark-by-degrees").check()
    page.locator("#mark-lat").fill("-25.02")
    page.locator("#mark-lon").fill("133.45")
    page.locator("#mark-name").fill("Dust Tank")
    answered(page, lambda: page.get_by_role("button", name="Mark it").click())
    assert desk.book()["Dust Tank"]["geometry"]["coordinates"] == [133.45, -25.02]

    page.get_by_role("button", name="Dust Tank", exact=True).click()
    page.get_by_text("Write a visit").click()
    page.locator("#visit-on").fill("2026-05-09")
    page.locator("#visit-found").select_option("dry")
    answered(page, lambda: page.get_by_role("button", name="Write the visit").click())
    assert [one["found"] for one in desk.book()["Dust Tank"]["properties"]["visits"]] == ["dry"]

    page.get_by_role("button", name="Dust Tank", exact=True).click()
    page.get_by_text("Nobody should count on it").click()
    page.locator("#retire-why").fill("it leaks")
    answered(page, lambda: page.get_by_role("button", name="Retire it").click())
    assert desk.book()["Dust Tank"]["properties"]["retired"] == "it leaks"

    for _ in range(3):
        answered(
            page, lambda: page.get_by_role("button", name="Undo the last change of book").click()
        )
    assert (desk.folder / "book.geojson").read_bytes() == before


def test_dragged_source_moves_only_when_it_is_kept(browser, desk):
    """A slip of the hand moves no water: the page asks first, also where it has a newer plan.

    The source is in the second of two books, and the newer plan has one fewer before it.
    """
    hollow, red = BOOK["features"]
    far = feature("Far Tank", 133.1, -25.05, grade="potable")
    first, second, fewer = (
        json.dumps({**BOOK, "features": each}) for each in ([hollow], [far, red], [red])
    )
    desk.lay_out(book_geojson=first, second_geojson=second)
    file = desk.folder / "second.geojson"
    with desk_page(browser, desk) as watched:
        page = watched.page
        sign = page.locator(".leaflet-marker-draggable[aria-label^='Red Bore']")
        frame = page.locator("#desk-map").bounding_box()

        def drag(meanwhile=lambda: None):
            sign.hover()
            page.mouse.down()
            page.mouse.move(frame["x"] + 330, frame["y"] + 220, steps=4)
            meanwhile()
            page.mouse.up()
            page.locator(".leaflet-popup").get_by_text("Red Bore").wait_for()

        drag(lambda: answered(page, lambda: file.write_text(fewer)))
        page.get_by_role("button", name="Put it back").click()
        assert file.read_text() == fewer
        drag()
        answered(page, page.get_by_role("button", name="Keep it there").click)

        (moved,) = json.loads(file.read_text())["features"]
        lon_deg, lat_deg = moved["geometry"]["coordinates"]
        assert 133.0 < lon_deg < 133.35
        assert lat_deg < -25.05


def test_others_file_is_mapped_tried_and_brought(page, desk, tmp_path):
    """Columns are chosen from lists; nothing is written before it was shown."""
    file = tmp_path / "shire.csv"
    file.write_text("SITE,quality,Y,X\nShire Bore,bore water,-25.02,133.15\n")
    before = (desk.folder / "book.geojson").read_bytes()
    will_choose(page, file)
    page.locator("#water-bring").click()
    page.get_by_role("button", name="Choose a file").click()
    page.locator("#bring-try").wait_for()
    for place, ours in enumerate(("name", "grade")):
        page.locator(f"#bring-column-{place}").select_option(ours)
    page.locator("#bring-grade-0").select_option("treat-before-drinking")
    page.locator("#bring-try").click()
    page.locator("#bring-write").wait_for()
    assert (desk.folder / "book.geojson").read_bytes() == before

    answered(page, page.locator("#bring-write").click)
    assert desk.book()["Shire Bore"]["properties"]["grade"] == "treat-before-drinking"


def test_wrong_value_is_told_at_its_field_and_not_written(page, desk):
    """The reader's sentence stands at the field; the file keeps what was right and comments."""
    page.locator("#ask-who > summary").click()
    people = page.locator("#trip-party-people")
    people.fill("many")
    people.press("Tab")
    page.locator("#trip-party-people[aria-invalid]").wait_for()

    assert "people" in page.locator("#trip-party-people-fault").inner_text()
    assert (desk.folder / "trip.toml").read_text() == TRIP

    people.fill("3")
    answered(page, lambda: people.press("Tab"))
    assert page.locator("#trip-party-people-fault").inner_text() == ""
    assert "people = 3  # the two of us" in (desk.folder / "trip.toml").read_text()
    assert page.locator("#desk-change").inner_text() != ""


def test_date_typed_by_keys_is_written_once_it_stands(page, desk):
    """At each digit of a year it would be of the years 2 to 202, which are refused."""
    page.locator("#ask-when > summary").click()
    page.locator("#trip-top-depart").focus()
    page.keyboard.type("07152028")
    assert (desk.folder / "trip.toml").read_text() == TRIP

    answered(page, lambda: page.locator("#trip-top-depart-hour").focus())
    written = tomllib.loads((desk.folder / "trip.toml").read_text())
    assert written["depart"] == dt.datetime(2028, 7, 15, 8)


HELD = """() => {
  const ask = window.fetch;
  window.held = [];
  window.fetch = async (path, given) => {
    if (given.method === "POST") await new Promise((go) => window.held.push(go));
    return ask(path, given);
  };
}"""


def test_value_typed_while_the_list_changes_is_not_written_to_another_item(browser, desk):
    """A number that means another container by its turn changes nothing, and that is said."""
    more = (
        '[[container]]\nname = "bag"\nrated_l = 9.0\n\n[[container]]\nname = "jar"\nrated_l = 5.0\n'
    )
    desk.lay_out(trip_toml=f"{TRIP}\n{more}")
    with desk_page(browser, desk) as watched:
        page = watched.page
        page.locator("#ask-who > summary").click()
        answered(page, lambda: page.get_by_role("button", name="Remove can").dblclick())
        page.get_by_role("button", name=re.compile("^Undo: ")).wait_for()
        page.evaluate(HELD)
        page.get_by_role("button", name=re.compile("^Undo: ")).click()
        page.locator("#trip-container-1-rated_l").fill("7")
        page.locator("#trip-container-1-rated_l").press("Tab")
        answered(page, lambda: page.evaluate("window.held[0]()"))
        page.locator("#desk-alarm").get_by_text("nothing was written").wait_for()

    written = tomllib.loads((desk.folder / "trip.toml").read_text())
    assert [one["rated_l"] for one in written["container"]] == [20.0, 9.0, 5.0]


def test_file_changed_by_somebody_else_is_shown_and_never_overwritten(page, desk):
    """What another program wrote stands, is shown within seconds, and is said."""
    (desk.folder / "trip.toml").write_text(TRIP.replace("people = 2", "people = 7"))
    page.locator("#ask-who > summary").click()
    page.locator("#desk-alarm").get_by_text("trip.toml").wait_for()
    expect(page.locator("#trip-party-people")).to_have_value("7")

    assert "people = 7" in (desk.folder / "trip.toml").read_text()


def test_change_on_an_older_file_is_refused(page, desk):
    """Between two looks of the page another program wrote: nothing is written over it."""
    page.locator("#ask-who > summary").click()
    older = page.evaluate("fetch('/api/folder').then(answer => answer.text())")
    page.route("**/api/folder", lambda route: route.fulfill(body=older))
    newer = TRIP.replace("people = 2", "people = 7")
    (desk.folder / "trip.toml").write_text(newer)
    people = page.locator("#trip-party-people")
    people.fill("3")
    people.press("Tab")
    page.locator("#desk-alarm").get_by_text("nothing was written").wait_for()
    page.unroute("**/api/folder")

    assert (desk.folder / "trip.toml").read_text() == newer


def test_names_with_markup_stay_text(browser, desk):
    """A source may be called as it likes: no element and no script comes of it."""
    name = "<img src=x onerror=alert(1)><b>Well</b>"
    book = {**BOOK, "features": [*BOOK["features"], feature(name, 133.1, -25.05, grade="potable")]}
    desk.lay_out(book_geojson=json.dumps(book))
    with desk_page(browser, desk) as watched:
        page = watched.page
        page.get_by_role("button", name=name, exact=True).click()

        assert page.locator("#water-work h3").inner_text() == name
        assert page.locator("img, .sources b b, h3 b").count() == 0
        assert watched.messages == []


def test_axe_finds_nothing_and_nothing_is_wider_than_360_px(browser, desk):
    """At 360 px with everything open, light and dark: no finding, no scrolling to the side."""
    desk.lay_out()
    with desk_page(browser, desk, width=360, height=740) as watched:
        page = watched.page
        for ask in ("way", "water", "who", "when", "after"):
            page.locator(f"#ask-{ask} > summary").click()
        page.locator("#water-mark").click()
        whole(page)

        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        assert axe_violations(page) == []
        page.emulate_media(color_scheme="dark")
        assert axe_violations(page) == []


def test_everything_that_a_finger_taps_is_44_px(browser, desk):
    """A sample is tapped in an empty folder; WCAG 2.5.5 (AAA): targets at least 44 px high."""
    desk.empty()
    with desk_page(browser, desk, width=360, height=740, touch=True) as watched:
        page = watched.page
        page.get_by_role("button", name="Old Stock Route Ride").tap()
        page.locator("#answer").wait_for()
        page.locator("#ask-water > summary").tap()
        page.locator("#water-mark").tap()
        small = page.evaluate(
            """() => [...document.querySelectorAll("button, select, summary, [type=text], .tick")]
              .filter(one => one.offsetParent && !one.closest("#shown-before, #shown-way, #more"))
              .filter(one => one.getBoundingClientRect().height < 43.5)
              .map(one => one.outerHTML.slice(0, 90))"""
        )

        assert small == []
        assert watched.requests == watched.messages == []


def test_broken_route_is_told_and_a_camp_is_pinned_at_the_slider(browser, desk):
    """A gap stands in the first question; a night is put where the slider is, by its km."""
    there = '<trkpt lat="-25.0" lon="133.5"/>'
    apart = ROUTE.replace(there, f"{there}</trkseg><trkseg>{there.replace('133.5', '133.55')}")
    desk.lay_out(route_gpx=apart)
    with desk_page(browser, desk) as watched:
        page = watched.page
        page.locator("#ask-way > summary").click()
        told = page.locator("#ask-way-in").inner_text()
        assert "1 gap or jump" in told
        assert "breaks off" in told
        assert page.locator("path.break-line").count() == 2

        page.locator("#place").focus()
        for _ in range(4):
            page.keyboard.press("PageUp")
        answered(page, page.locator("#desk-camp-here").click)
        km = re.search(r"\[\[camp\]\]\nkm = (\d+)", (desk.folder / "trip.toml").read_text())
        assert f"km {int(km[1])}" in page.locator("#place-words").inner_text()
        assert watched.messages == []


def test_what_was_found_is_offered_and_taken_one_by_one(page, desk, tmp_path):
    """Of a recording two sources are offered; the one that is taken stands in the book."""
    recorded = tmp_path / "recorded.gpx"
    points = ['<wpt lat="-25.0" lon="133.52"><name>Late Tank</name></wpt>',
              '<wpt lat="-25.03" lon="133.56"><name>Left Well</name></wpt>']  # fmt: skip
    recorded.write_text(gpx(*points))
    will_choose(page, recorded)
    page.locator("#ask-after > summary").click()
    page.locator("#after-choose").click()
    take = page.get_by_role("button", name=re.compile("Take it: Late Tank"))
    answered(page, take.click)
    page.get_by_role("button", name=re.compile("Leave it: Left Well")).click()

    expect(page.locator("#after-count")).to_have_text("Nothing more to look at.")
    assert "Late Tank" in desk.book()
    assert "Left Well" not in desk.book()


def test_table_of_sources_is_searched_filtered_and_sorted(page):
    """What is typed, chosen and pressed tells which sources stand in which order."""
    names = page.locator(".sources tbody th")
    assert names.all_inner_texts() == ["Hollow Well", "Red Bore"]

    page.locator("#water-by-name").click()
    page.locator("#water-by-name").click()
    assert names.all_inner_texts() == ["Red Bore", "Hollow Well"]
    page.locator("#water-search").fill("hollow")
    assert names.all_inner_texts() == ["Hollow Well"]
    page.locator("#water-filter").select_option("not")
    assert names.all_inner_texts() == []
