"""The page as a text: what it says, what it holds, and that it stays the same."""

from __future__ import annotations

import base64
import doctest
import hashlib
import importlib
import itertools
import json
import os
import pkgutil
import re
import subprocess
import sys
from dataclasses import replace

import numpy as np
import plan_examples
import pyproj
import pytest
import shapely
from lxml import html
from project_places import HELPERS
from sample_plans import NAMES, page_of, planned

import longdry.showing
from longdry.model.plan.headline import Headline, HeadlineLevel
from longdry.model.plan.plan import PlanWarning
from longdry.model.route import MeasuredRoute, Route
from longdry.model.words import Verdict
from longdry.showing.map.line import (
    MOST_DEVIATION_M,
    cut_lines,
    drawn_track,
    mercator_m,
    simplified,
)
from longdry.showing.page.page import leaflet_file, own_asset, page_html
from longdry.showing.signs.signs import LINE_SIGNS
from longdry.showing.terminal.plan import plan_text
from longdry.showing.words.amounts import poured_words
from longdry.showing.words.headline import HEADLINES, headline_words
from longdry.showing.words.markup import clipped_text
from longdry.showing.words.measures import METRIC
from longdry.showing.words.mends import turned_words
from longdry.showing.words.stops import fills_by_stretch, leave_words, sizes_l

GEOD = pyproj.Geod(ellps="WGS84")


@pytest.fixture(scope="module")
def gap_page():
    return page_html(plan_examples.gap_plan())


@pytest.fixture(scope="module")
def gap_tree(gap_page):
    return html.document_fromstring(gap_page)


def _words(tree, css_id):
    return " ".join(" ".join(tree.get_element_by_id(css_id).itertext()).split())


def test_same_plan_gives_same_bytes_in_another_process(gap_page):
    """Two runs, with other seeds of hashing, give one page."""
    code = (
        "import hashlib, plan_examples; from longdry.showing.page.page import page_html;"
        "print(hashlib.sha256(page_html(plan_examples.gap_plan()).encode()).hexdigest())"
    )
    env = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join([str(HELPERS), *sys.path]),
        "PYTHONHASHSEED": "7",
    }
    run = subprocess.run(
        [sys.executable, "-c", code], env=env, capture_output=True, text=True, check=True
    )

    assert run.stdout.strip() == hashlib.sha256(gap_page.encode()).hexdigest()


@pytest.mark.parametrize(
    ("name", "published"),
    [
        # Leaflet 1.9.4, integrity values on the 'Quick Start' page of the project; from memory.
        ("leaflet.js", "sha256-20nQCchB9co0qIjJZRGuk2/Z9VM+kNiyxNV1lvTlZBo="),
        ("leaflet.css", "sha256-p4NxAoJBhIIN+hmNHrzRCf9tD/miZyoHS5obTRR9BMY="),
    ],
)
def test_leaflet_is_the_published_one(name, published):
    """The packaged file is, byte for byte, the one that the project publishes."""
    digest = base64.b64encode(hashlib.sha256(leaflet_file(name)).digest()).decode()

    assert f"sha256-{digest}" == published


def test_the_answer_is_the_headline_and_its_first_reason(gap_tree):
    """First the words of the plan's own headline, then why, before any figure."""
    plan = plan_examples.gap_plan()

    assert _words(gap_tree, "answer").startswith(
        f"{headline_words(plan)} {plan.headline.because[0]}"
    )


@pytest.mark.parametrize("level", HeadlineLevel)
def test_page_sheet_and_terminal_say_one_headline(level):
    """The same words in all three, whatever the level."""
    plan = plan_examples.gap_plan()
    plan = replace(plan, headline=Headline(level, ("Because of this.", "And of that.")))
    tree = html.document_fromstring(page_html(plan))
    said = f"{headline_words(plan)} Because of this."

    assert _words(tree, "answer").startswith(said)
    assert said in _words(tree, "sheet")
    assert f"{headline_words(plan).upper()} Because of this." in " ".join(plan_text(plan).split())


def test_headlines_of_all_levels_differ():
    """Nobody takes one for the other."""
    assert len(set(HEADLINES.values())) == len(HEADLINES) == len(HeadlineLevel)


@pytest.mark.parametrize("name", NAMES)
def test_answer_tells_the_worst_stretch_the_most_to_carry_and_the_longest(name):
    """From where to where, litres needed, carried and missing; needs and lengths rounded up."""
    plan = planned(name)
    words = _words(html.document_fromstring(page_of(name)), "answer")
    worst = plan.stretches[plan.longest.worst - 1]
    longest_km = plan.longest_without_water.length_km

    assert f"{worst.begin.label} to {worst.end.label}" in words
    in_tenths = worst.verdict is Verdict.CLEAR and worst.spare_l < 5.0
    step = 0.1 if in_tenths else 1.0
    need_l, reserve_l = (
        np.ceil(litres / step - 1e-6) * step for litres in (worst.need.total_l, worst.reserve_l)
    )
    fill = fills_by_stretch(plan)[worst.number - 1][-1].fill
    leave = leave_words(fill, sizes_l(plan), METRIC)[0].removesuffix(", all full")
    assert f"{need_l:.4g} L and {reserve_l:.4g} L of reserve" in words
    assert f"You carry {leave} " in words
    assert f"leave with {leave} " in _words(html.document_fromstring(page_of(name)), "way")
    assert "A plan is not water" in words
    assert f"{METRIC.need(plan.most_to_carry.litres)} the most to carry" in words
    assert f"{np.ceil(longest_km * 10) / 10:.1f} km the longest without water" in words
    if worst.missing_l:
        assert f"{METRIC.need(worst.missing_l)} missing" in words


def test_the_easiest_mend_stands_with_what_must_be_sure_first():
    """On the first screen, folded behind its own line: never the change without the caution."""
    mend = planned("saltbush_loop").mends[0]
    words = _words(html.document_fromstring(page_of("saltbush_loop")), "answer")

    assert all(sentence in words for sentence in mend.change.split(". "))
    assert clipped_text(mend.caution) in words


@pytest.mark.parametrize("number", [2, 3, 4])
def test_each_gap_stands_open_with_its_figures(gap_tree, number):
    """Verdict, km and litres missing on the line; what would still do below it."""
    stretch = plan_examples.gap_plan().stretches[number - 1]
    item = gap_tree.get_element_by_id(f"stretch-{number}")
    words = " ".join(item.text_content().split())

    assert item.xpath("./details[@open]")
    assert words.startswith(str(stretch.verdict).capitalize())
    assert f"{np.ceil(stretch.length_km * 10) / 10:.1f} km, " in words
    assert f"{np.ceil(stretch.short_l):.0f} L missing" in words


def test_gap_says_which_ration_would_still_do(gap_tree):
    """A short ration names the ration, a gap too long says that none would do."""
    assert "Not even the bare ration would do" in _words(gap_tree, "stretch-2")
    assert "It would do only on the lean ration" in _words(gap_tree, "stretch-4")


def test_warnings_of_the_plan_are_all_there(gap_tree):
    """No warning is lost; the grave ones stand in sight, the others fold."""
    words = _words(gap_tree, "warnings")
    grave = gap_tree.xpath("//section[@id='warnings']/ul/li[@class='grave']")

    assert all(warning.text in words for warning in plan_examples.gap_plan().warnings)
    assert [one.text_content().startswith("Kestrel Bore is passed") for one in grave] == [True]


def test_a_plan_that_lasts_still_promises_nothing():
    """Its cautions stand on the page; a grave warning tempers the first sentence."""
    plan = plan_examples.clear_plan()
    tree = html.document_fromstring(page_html(plan))
    warned = replace(plan, warnings=(PlanWarning("The only tap is locked.", grave=True),))
    tempered = _words(html.document_fromstring(page_html(warned)), "answer")

    assert "dry up, are locked" in _words(tree, "cautions")
    assert not tree.xpath("//*[@id='warnings']")
    assert "But first read 1 grave warning below" in tempered
    assert "grave warning" not in _words(tree, "answer")


def test_plan_without_containers_is_never_clear():
    """Without containers nobody can say; a plan without water, days or assumptions still shows."""
    tree = html.document_fromstring(page_html(plan_examples.bare_plan()))

    assert "whether it can be carried is not known" in _words(tree, "answer")
    assert "L missing" not in tree.text_content()
    assert "to spare" not in _words(tree, "way")
    assert "The layers hold no water" in _words(tree, "water")


def test_needs_round_up_and_supplies_round_down():
    """A reserve of 87.2 L shows as 88 L, 87.9 L that are carried as 87 L."""
    plan = plan_examples.make_plan((Verdict.CLEAR,))
    first = replace(plan.stretches[0], reserve_l=87.2, on_board_l=87.9)
    words = _words(html.document_fromstring(page_html(replace(plan, stretches=(first,)))), "answer")

    assert "88 L of reserve" in words
    assert "You carry 87 L" in words


def test_mends_stand_with_what_must_be_sure_first():
    """Every mend of the plan: verdicts before and after, what to do, its caution."""
    plan = planned("saltbush_loop")
    items = html.document_fromstring(page_of("saltbush_loop")).xpath("//ol[@class='mends']/li")

    assert len(items) == len(plan.mends) > 0
    for item, mend in zip(items, plan.mends, strict=True):
        words = " ".join(item.text_content().split())
        before, after = turned_words(mend)
        assert before in words
        assert f"to {after}" in words
        assert clipped_text(mend.change) in words
        assert clipped_text(mend.caution) in words


def test_what_a_verdict_says_stands_once():
    """A warning that only repeats the verdict of a stretch is not told a second time."""
    words = _words(html.document_fromstring(page_of("saltbush_loop")), "warnings")

    assert "too long" not in words
    assert "party's own limits of 400 km and 4 days" in words


def test_uncounted_water_stands_with_its_reason(gap_tree):
    """A source that is not counted is listed with the reason, one far off in a list of its own."""
    assert "grade not given" in _words(gap_tree, "aside-table")
    assert "Windmill 9" in _words(gap_tree, "far-table")


def test_assumptions_tell_value_reason_and_key(gap_tree):
    """Everything taken for granted can be traced and changed."""
    words = _words(gap_tree, "assumption-table")

    assert "speed 25 km/h no speed in the trip; common practice, no source pace.speed_kmh" in words


def test_cautions_defer_to_those_who_know(gap_tree):
    """The page is an aid: authorities, land managers and doctors come first."""
    words = _words(gap_tree, "cautions")

    for said in ("planning aid", "local authorities, land managers", "doctor", "call for help"):
        assert said in words


def test_page_names_nothing_outside_itself(gap_page, gap_tree):
    """No address of the network is in any place that a browser would fetch or follow."""
    targets = gap_tree.xpath("//@src | //@href | //@action | //@data | //@srcset | //@poster")

    assert targets
    assert all(target.startswith("#") for target in targets)
    assert not re.findall(r"url\((?!data:|#)[^)V]", gap_page.replace("url(#default#VML)", ""))
    assert "sourceMappingURL" not in gap_page


def test_policy_forbids_the_network(gap_tree):
    """The policy (W3C CSP Level 3) allows our own hashes and inline data, nothing else."""
    policy = gap_tree.xpath("//meta[@http-equiv='Content-Security-Policy']/@content")[0]
    parts = dict(part.split(" ", 1) for part in policy.split("; "))

    assert parts["default-src"] == "'none'"
    assert parts["img-src"] == "data:"
    assert parts["base-uri"] == parts["form-action"] == "'none'"
    assert "unsafe" not in policy
    assert set(parts) == {
        "default-src", "script-src", "style-src", "img-src", "base-uri", "form-action",
    }  # fmt: skip


def test_tables_say_what_their_headers_head(gap_tree):
    """Every table has a caption, and every header cell a scope."""
    tables = gap_tree.xpath("//table")

    assert len(tables) == 5
    assert all(table.xpath("./caption") for table in tables)
    assert not gap_tree.xpath("//th[not(@scope)]")


def test_every_id_is_there_once_and_every_link_lands(gap_tree):
    """Links inside the page land on something."""
    ids = gap_tree.xpath("//@id")

    assert len(ids) == len(set(ids))
    assert {link[1:] for link in gap_tree.xpath("//a/@href")} <= set(ids)


def test_large_route_stays_small():
    """A route of 20,000 points with 200 stretches stays below 2.5 MB."""
    assert len(page_html(plan_examples.large_plan()).encode()) <= 2_500_000


def _measured(lat, lon):
    leg_km = np.array(GEOD.inv(lon[:-1], lat[:-1], lon[1:], lat[1:])[2]) / 1000.0
    route = Route("r", "r.gpx", lat, lon, np.full(lat.size, np.nan), np.array([0]))
    return MeasuredRoute(route, leg_km, np.concatenate([[0.0], np.cumsum(leg_km)]), (), 0.0, 1.0)


def _noisy_track():
    rng = np.random.default_rng(3)
    lat = 61.0 + np.linspace(0.0, 0.3, 900) + rng.normal(0.0, 0.00008, 900)
    return _measured(lat, 20.0 + 0.2 * np.sin(np.linspace(0.0, 9.0, 900)))


def _long_legs():
    return _measured(np.array([68.0, 68.1, 68.0]), np.array([20.0, 21.2, 22.0]))


@pytest.mark.parametrize("measured", [_noisy_track(), _long_legs()], ids=["noisy", "long legs"])
def test_drawn_line_leaves_the_true_one_by_10_m_at_most(measured):
    """Geodesic points of the route (Karney, through pyproj) lie within 10 m of what is drawn."""
    track = drawn_track(measured)
    drawn = np.array(simplified(cut_lines(track, track.km[[0, -1]]))[0])
    x, y = mercator_m(drawn[:, 0], drawn[:, 1])
    dense = shapely.get_coordinates(shapely.segmentize(shapely.LineString(np.c_[x, y]), 200.0))
    lon0 = float(np.mean(measured.route.lon_deg))
    local = pyproj.Proj(proj="tmerc", lon_0=lon0, lat_0=64, ellps="WGS84")
    web = pyproj.Transformer.from_crs(3857, 4326, always_xy=True)
    line = shapely.LineString(np.c_[local(*web.transform(dense[:, 0], dense[:, 1]))])
    true = []
    for a, b in zip(range(measured.leg_km.size), range(1, measured.leg_km.size + 1), strict=True):
        ends = [measured.route.lon_deg[a], measured.route.lat_deg[a]]
        ends += [measured.route.lon_deg[b], measured.route.lat_deg[b]]
        true += [tuple(ends[:2]), *GEOD.npts(*ends, 1 + int(measured.leg_km[a] * 10))]
    points = shapely.points(np.c_[local(*np.array(true).T)])

    assert len(drawn) < len(true) / 2
    assert shapely.distance(line, points).max() <= MOST_DEVIATION_M


def test_parts_of_a_line_meet_where_it_is_cut_and_leave_no_point_out():
    """Cut at a point, between two points and twice at one place: numpy's union of all km."""
    track = drawn_track(_noisy_track())
    cuts_km = np.array([track.km[0], track.km[7], 1.23, 1.23, track.km[-1]])
    parts = [shapely.get_coordinates(line) for line in cut_lines(track, cuts_km)]
    km = np.union1d(track.km, cuts_km)
    whole = np.column_stack(
        mercator_m(np.interp(km, track.km, track.lat_deg), np.interp(km, track.km, track.lon_deg))
    )
    joined = np.concatenate([parts[0], *(part[1:] for part in parts[1:])])

    assert len(parts[0]) == 8
    assert all((a[-1] == b[0]).all() for a, b in itertools.pairwise(parts))
    assert parts[2].tolist() == [parts[2][0].tolist()] * 2
    assert np.unique(joined, axis=0).tolist() == np.unique(whole, axis=0).tolist()


def test_line_across_the_antimeridian_does_not_jump():
    """Longitudes run on beyond 180 where the route does, and the water goes with them."""
    track = drawn_track(plan_examples.antimeridian_plan().measured)

    assert np.abs(np.diff(track.lon_deg)).max() < 1.0
    assert track.lon_deg.max() > 180.0
    assert track.nearest_lon(-178.0, track.km[-1]) == 182.0


def _theme(css, dark):
    blocks = re.findall(r":root \{(.*?)\}", css, flags=re.DOTALL)
    found = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", blocks[0]))
    if dark:
        found.update(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", blocks[1]))
    return found


def _luminance(colour):
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _contrast(a, b):
    light, dark = sorted((_luminance(a), _luminance(b)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_colours_keep_their_contrast(dark):
    """Text 4.5 to 1 and signs 3 to 1, as WCAG 2.2 asks for (1.4.3 and 1.4.11, with its formula)."""
    theme = _theme(own_asset("page.css"), dark)
    texts = [(ink, back) for ink in ("ink", "quiet", "link") for back in ("paper", "sheet")]
    texts += [("ink", "ground"), ("quiet", "ground"), ("grid-ink", "ground"), ("ink", "shown")]
    low = {pair for pair in texts if _contrast(theme[pair[0]], theme[pair[1]]) < 4.5}
    verdicts = ("clear", "into-reserve", "short-ration", "too-long", "no-containers")
    for verdict in verdicts:
        against = max(_contrast(theme[verdict], theme[b]) for b in ("casing", "ground"))
        around = max(_contrast(theme["casing"], theme["ground"]), against)
        low |= {(verdict, "map")} if min(against, around) < 3.0 else set()
    low |= {("edge", "ground")} if _contrast(theme["edge"], theme["ground"]) < 3.0 else set()

    assert not low


def test_verdicts_differ_by_width_and_dash_and_not_by_colour_alone():
    """Printed in grey, no two verdicts look alike, and worse is wider."""
    order = (Verdict.CLEAR, Verdict.INTO_RESERVE, Verdict.SHORT_RATION, Verdict.TOO_LONG)
    widths = [LINE_SIGNS[verdict].width_px for verdict in order]

    assert widths == sorted(set(widths))
    assert len({sign.dash for sign in LINE_SIGNS.values()}) == len(Verdict)


def _showing_modules():
    found = pkgutil.walk_packages(longdry.showing.__path__, "longdry.showing.")
    return [module.name for module in found if not module.ispkg]


def test_examples_in_the_docs_hold():
    """Every example in a docstring of what is shown gives what it says."""
    results = [doctest.testmod(importlib.import_module(name)) for name in _showing_modules()]

    assert sum(result.attempted for result in results) >= 20
    assert not sum(result.failed for result in results)


def test_us_page_gives_every_figure_in_us_units():
    """Read in US units, litres and km stand nowhere but before their US value."""
    tree = html.document_fromstring(page_of("saltbush_loop", is_us=True))
    parts = ("answer", "warnings", "way", "sheet", "papers", "water", "days", "assumptions")
    words = " ".join(_words(tree, part) for part in parts)
    metric_alone = re.findall(r"[\d.]+ (?:L|km)(?![\w/])(?! \()", words)

    assert metric_alone == []
    assert not re.findall(r"\bkm \d+(?:\.\d+)?(?![\d.]| \(|, mile )", words)
    assert "US gal" in words
    assert "mile " in words
    assert json.loads(tree.get_element_by_id("map-data").text)["unit"] == "mile"


@pytest.mark.parametrize("name", NAMES)
def test_popup_of_a_call_tells_the_litres_to_take(name):
    """Each fill of more than nothing, at the source that it comes from."""
    data = json.loads(html.document_fromstring(page_of(name)).get_element_by_id("map-data").text)
    told = {one["title"]: str(one["calls"]) for one in data["waters"] if one.get("calls")}
    fills = [one for one in planned(name).fills.fills if one.take_l > 0.05 and one.water]

    assert fills
    for one in fills:
        assert f"take {poured_words(one.take_l)}" in told[one.water.source.name]
