"""The plan as GPX, opened again by gpxpy and by GDAL, and held against the rules of GPX 1.1."""

from __future__ import annotations

from dataclasses import replace

import gpxpy
import numpy as np
import pyogrio
import pytest
from lxml import etree
from make import container, source_at, straight_route, trip
from plan_examples import HOSTILE_NAMES, Names, antimeridian_plan, bare_plan, gap_plan, make_plan
from project_places import REFERENCE
from sample_plans import planned

from longdry.computing.plan.planning import plan_trip
from longdry.model.plan.setbacks import TurnBack
from longdry.model.route import MeasuredRoute, Route
from longdry.model.words import Verdict
from longdry.showing.exports.plan_gpx import plan_gpx
from longdry.showing.words.markup import clipped_name
from longdry.showing.words.stretches import alarm_words

RULES = REFERENCE / "gpx_1_1_rules.xsd"
NUMBERS = [f"hostile {number}" for number in range(len(HOSTILE_NAMES))]
PLANS = {"gap": gap_plan, "bare": bare_plan, "antimeridian": antimeridian_plan}


def check(text: str) -> None:
    etree.XMLSchema(etree.parse(RULES)).assertValid(etree.fromstring(text.encode()))


def on_180_plan():
    """Make a plan whose route ends on the antimeridian and begins next to the equator."""
    lat, lon = np.array([0.00001, 0.5]), np.array([179.5, 180.0])
    route = Route("edge", "edge.gpx", lat, lon, np.full(2, np.nan), np.array([0]))
    measured = MeasuredRoute(route, np.array([78.6]), np.array([0.0, 78.6]), (), 78.6, 1.0)
    return make_plan((Verdict.CLEAR,), measured=measured)


@pytest.mark.parametrize("name", PLANS)
def test_file_follows_the_rules_of_gpx_1_1(name):
    """Order of children, limits of coordinates, nothing foreign: GPX 1.1 schema documentation."""
    check(plan_gpx(PLANS[name](), [TurnBack(1, 60.0), TurnBack(1, None)]))


def test_rules_bark():
    """The rules refuse what GPX 1.1 refuses: longitude 180, children out of order, own elements."""
    text = plan_gpx(gap_plan())
    swapped = text.replace("<trk>", "<trk><desc>x</desc>", 1)
    for wrong in (
        text.replace('lon="', 'lon="180.0" id="', 1),
        swapped,
        text.replace("<wpt ", "<water/><wpt ", 1),
    ):
        with pytest.raises(etree.DocumentInvalid):
            check(wrong)


def test_longitude_of_180_is_written_as_minus_180_and_small_numbers_without_exponent():
    """GPX 1.1: longitude is below 180; xs:decimal knows no exponent."""
    text = plan_gpx(on_180_plan())
    check(text)

    assert 'lon="-180.0"' in text
    assert "e-05" not in text


def test_gpxpy_reads_the_route_point_by_point():
    """The track is the route itself, unsimplified, within 1 cm."""
    plan = gap_plan()
    points = gpxpy.parse(plan_gpx(plan)).tracks[0].segments[0].points

    assert [p.latitude for p in points] == pytest.approx(plan.measured.route.lat_deg, abs=1e-7)
    assert [p.longitude for p in points] == pytest.approx(plan.measured.route.lon_deg, abs=1e-7)


def test_parts_of_the_route_stay_parts_and_heights_come_along():
    """A break of the route is a break of the track."""
    plan = gap_plan()
    route = replace(
        plan.measured.route, part_starts=np.array([0, 200]), height_m=np.linspace(1.0, 600.0, 600)
    )
    plan = replace(plan, measured=replace(plan.measured, route=route))
    segments = gpxpy.parse(plan_gpx(plan)).tracks[0].segments

    assert [len(segment.points) for segment in segments] == [200, 400]
    assert segments[1].points[0].elevation == pytest.approx(201.0)


def test_gdal_reads_every_waypoint():
    """GDAL finds counted sources, stretch begins, the end and turn-backs, each with its words."""
    plan = gap_plan()
    text = plan_gpx(plan, [TurnBack(2, 301.27)])
    rows = pyogrio.read_dataframe(text.encode(), layer="waypoints")
    counted = {passed.source.name for passed in plan.passes if passed.counted}

    assert counted <= set(rows["name"])
    assert len(rows) == len(counted) + len(plan.stretches) + 1 + 1
    assert rows["desc"].notna().all()
    assert rows["name"].iloc[-1] == "Turn back by km 301.2"


def test_source_tells_grade_certainty_km_and_access():
    """Whoever sees only the device knows how far to trust the water."""
    plan = gap_plan()
    passed = next(p for p in plan.passes if p.source.id == "w1")
    point = next(w for w in gpxpy.parse(plan_gpx(plan)).waypoints if w.name == passed.source.name)

    for told in ("treat before drinking", "likely", f"km {passed.km:.1f}", "hand pump"):
        assert told in point.description
    assert (point.latitude, point.longitude) == pytest.approx(
        (passed.source.lat_deg, passed.source.lon_deg), abs=1e-7
    )


def test_uncounted_sources_stay_away():
    """What does not count is no waypoint: a device shows no reason beside it."""
    names = {w.name for w in gpxpy.parse(plan_gpx(gap_plan())).waypoints}

    assert "Brackish Dam" not in names


def test_stretch_that_is_too_long_is_told_where_it_begins_and_on_top():
    """A party that sees the device only is warned before it enters the stretch."""
    gpx = gpxpy.parse(plan_gpx(gap_plan()))
    point = next(w for w in gpx.waypoints if "stretch 2 begins" in w.name)

    assert "too long" in point.name
    assert "Not even the bare ration would do" in point.description
    assert "stretch 2 begins, too long" in gpx.description
    assert "medical advice" in gpx.description


def test_stretch_that_is_not_clear_says_what_is_missing_on_the_device():
    """Of the loop some stretch drinks into its reserve: its name says so, its words how much."""
    plan = planned("saltbush_loop")
    gap = next(one for one in plan.stretches if one.verdict is Verdict.INTO_RESERVE)
    clear = next(one for one in plan.stretches if one.verdict is Verdict.CLEAR)
    points = {w.name: w.description for w in gpxpy.parse(plan_gpx(plan)).waypoints}
    name = next(name for name in points if f"stretch {gap.number} begins" in name)

    assert name.endswith(", into reserve")
    assert points[name].startswith(alarm_words(gap))
    quiet = [words for name, words in points.items() if f"stretch {clear.number} begins" in name]
    assert quiet
    assert not any("missing" in words for words in quiet)


def test_source_that_strands_and_gives_little_says_so_on_the_device():
    """Lastgate Tank: neither on nor back where it is dry, and at most 200 L, 8 L a minute."""
    text = plan_gpx(planned("saltbush_loop"))
    points = {w.name: w.description for w in gpxpy.parse(text).waypoints}

    assert points["Lastgate Tank"].startswith("IF DRY, NO WAY TO WATER; potable; ")
    assert "at most 200 L" in points["Lastgate Tank"]
    assert "8 L/min" in points["Lastgate Tank"]
    assert not points["Galah Spring"].startswith("IF DRY")


@pytest.mark.parametrize("name", HOSTILE_NAMES, ids=NUMBERS)
def test_hostile_name_is_inert_and_legible(name):
    """In every field: the file stays valid, both readers get the name as the page shows it."""
    names = Names(route=name, trip=name, wells=(name,), other=name)
    text = plan_gpx(gap_plan(names))
    check(text)
    gpx = gpxpy.parse(text)
    rows = pyogrio.read_dataframe(text.encode(), layer="waypoints")

    assert gpx.name == gpx.tracks[0].name == clipped_name(name)
    assert clipped_name(name) in {w.name for w in gpx.waypoints}
    assert clipped_name(name) in set(rows["name"])
    assert "\x00" not in text


def test_same_plan_gives_the_same_bytes():
    """No time of making, no random ids."""
    assert plan_gpx(gap_plan()) == plan_gpx(gap_plan())


def test_plan_brings_its_own_turn_back_points():
    """Planned with what may go wrong: each point is told, but for stretches that one may cross."""
    cans = container(rated_l=20.0, count=2)
    plan = plan_trip(
        straight_route(900.0, 19), [source_at(5.0), source_at(880.0)], trip(containers=[cans])
    )
    names = [w.name for w in gpxpy.parse(plan_gpx(plan)).waypoints if w.type == "turn back"]
    wanted = [
        turn
        for turn, stretch in zip(plan.setbacks.turn_backs, plan.stretches, strict=True)
        if turn.water_km is None or turn.water_km < stretch.end.km - 0.05
    ]

    assert len(names) == len(wanted) > 0
