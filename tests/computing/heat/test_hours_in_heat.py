"""The tables of an hour's loss: plain clothes, damp air, and how soon a body overheats."""

from dataclasses import astuple, replace
from functools import cache

import numpy as np
import pytest
from fuzzing import many
from hypothesis import given
from hypothesis import strategies as st
from project_places import DOCS
from strain_by_hand import Surroundings, saturated_kpa, strain

from longdry.computing.heat.drinking import (
    OWN_MOTION_M_S,
    STILL_AIR_M_S,
    HeatCase,
    drinking_in_heat,
    resting_case,
)
from longdry.computing.heat.hourly import HourKind, hour_table
from longdry.computing.heat.iso_7933 import Posture
from longdry.model.plan.heat_day import Phase, RemarkKind
from longdry.model.trip.heat import DayHours, Effort, HeatExpectation
from longdry.reading.trip.trip_file import trip_from_text
from longdry.units import rounded_up

REST = HourKind(
    humidity_percent=20.0,
    radiant_excess_c=5.0,
    in_sun=False,
    met=1.0,
    posture=Posture.SITTING,
    resting=True,
    stillest_m_s=STILL_AIR_M_S,
    wind_m_s=None,
    body_mass_kg=75.0,
    acclimatised=False,
)
SUN = replace(REST, radiant_excess_c=25.0, in_sun=True)
WORK = replace(SUN, resting=False, met=2.0, posture=Posture.STANDING)
WALK = replace(WORK, met=3.4, stillest_m_s=OWN_MOTION_M_S)
DRIVE = replace(WALK, met=1.5, radiant_excess_c=5.0, in_sun=False)
NIGHT_WALK = replace(WALK, radiant_excess_c=0.0, in_sun=False)
RIDE = replace(WALK, met=5.0)
KINDS = {
    "rest": REST,
    "sun": SUN,
    "work": WORK,
    "walk": WALK,
    "drive": DRIVE,
    "night walk": NIGHT_WALK,
    "ride": RIDE,
}
DEGREES = np.arange(15.0, 51.0)
PERCENTS = (5.0, 20.0, 60.0)


@cache
def by_hand_of_all(edition, *, acclimatised):
    """Ask an edition for every kind of hour whose effort it knows, by the second writing, at once.

    Shapes are (percents, winds, degrees), with still air and 3 m/s; of the highest core (minutes,
    percents, winds, degrees).
    """
    known = [name for name, kind in KINDS.items() if edition == 2023 or kind.met * 58.15 >= 100.0]
    around = [_surroundings(KINDS[name], edition) for name in known]
    shape = around[0].air_c.shape
    columns = zip(*(astuple(each) for each in around), strict=True)
    asked = strain(
        Surroundings(*(np.concatenate(column, axis=None) for column in columns)),
        edition=edition,
        posture=np.repeat([KINDS[name].posture.value for name in known], np.prod(shape)),
        acclimatised=acclimatised,
    )
    waters = np.split(asked.water_g, len(known))
    cores = np.split(asked.highest_core_by, len(known), axis=1)
    return {
        name: (water_g.reshape(shape), highest.reshape(-1, *shape))
        for name, water_g, highest in zip(known, waters, cores, strict=True)
    }


def _surroundings(kind, edition):
    """Return what an edition is asked for a kind of hour, within its limits."""
    percent, wind_m_s, air_c = np.meshgrid(
        PERCENTS, (kind.stillest_m_s, 3.0), DEGREES, indexing="ij"
    )
    metabolic = min(kind.met * 58.15, 250.0) if edition == 2023 else kind.met * 58.15
    return Surroundings(
        air_c,
        np.clip(saturated_kpa(air_c) * percent / 100.0, 0.5 if edition == 2023 else 0.0, 4.5),
        air_c + kind.radiant_excess_c,
        wind_m_s,
        np.full(air_c.shape, metabolic),
        np.full(air_c.shape, 0.5),
    )


def by_hand(name, *, acclimatised):
    """Return the answers of the editions that know the effort of a kind of hour."""
    editions = (by_hand_of_all(year, acclimatised=acclimatised) for year in (2004, 2023))
    return [answers[name] for answers in editions if name in answers]


@pytest.mark.parametrize("name", KINDS)
def test_every_hour_is_at_least_that_of_plain_clothes(name):
    """No degree of a table is below either edition in plain clothes, in still air or wind.

    Nor is a whole table more than a tenth above them, for what cooler and drier hours lift.
    """
    found = by_hand(name, acclimatised=True)
    plain_l = np.max([water_g.max(axis=1) / 8000.0 for water_g, _ in found], axis=0)

    for percent, plain in zip(PERCENTS, plain_l, strict=True):
        litres = hour_table(replace(KINDS[name], humidity_percent=percent)).litres[: DEGREES.size]
        assert (litres >= plain * 0.995).all()
        assert litres.sum() <= plain.sum() * 1.10


@pytest.mark.parametrize("name", KINDS)
def test_minutes_are_those_of_the_stricter_edition(name):
    """38 degrees are told no later than either edition passes them, in still air or in wind.

    Who is not acclimatised; 0.05 degrees are the two writings' own difference.
    """
    found = by_hand(name, acclimatised=False)
    cores = np.max([highest.max(axis=2) for _, highest in found], axis=0)

    for case, percent in enumerate(PERCENTS):
        told_min = hour_table(replace(KINDS[name], humidity_percent=percent)).core_limit_min
        minutes = told_min[: DEGREES.size].astype(int)
        before = cores[minutes - 2, case, np.arange(DEGREES.size)]
        assert (before <= 38.05).all()
        assert minutes[-1] == pytest.approx((cores[:, case, -1] < 38.0).sum() + 1, abs=2)


WEATHER = st.integers(0, 100)


@many(0.03)
@given(
    drier=WEATHER,
    damper=WEATHER,
    met=st.sampled_from([1.5, 2.5, 3.4, 4.5]),
    in_sun=st.booleans(),
    shade_max_c=st.floats(10.0, 58.0),
)
def test_damper_never_asks_for_less(drier, damper, met, in_sun, shade_max_c):
    """At any heat, effort and sun damper air asks for no less in any hour, and overheats no later.

    ISO 7933 alone lets a body that sweats all it can lose less in damper air.
    """
    drier, damper = sorted((drier, damper))
    hours = DayHours(moving_h=6.0, working_h=2.0, moving_in_sun=in_sun, working_in_sun=in_sun)

    less, more = drinking_in_heat(
        [
            HeatCase(HeatExpectation(shade_max_c, float(percent), wind_m_s=1.0), hours, Effort(met))
            for percent in (drier, damper)
        ]
    )

    for dry, damp in zip(less.phases, more.phases, strict=True):
        assert damp.litres >= dry.litres - 1e-12
        assert damp.worst_l_per_h >= dry.worst_l_per_h - 1e-12
        assert damp.core_limit_min <= dry.core_limit_min


def test_saturated_air_asks_for_no_less():
    """Walking at 33 degrees: 4.5 kPa, where ISO 7933 ends, is 89 %; 100 % asks for no less."""
    hours = DayHours(moving_h=8.0)

    litres = [
        answer.litres
        for answer in drinking_in_heat(
            [HeatCase(HeatExpectation(33.0, percent), hours, Effort(3.4)) for percent in (89, 100)]
        )
    ]

    assert litres[1] >= litres[0] > 13.0


def told(shade_max_c, hours, met, **weather):
    expected = HeatExpectation(shade_max_c, **weather)
    (answer,) = drinking_in_heat([HeatCase(expected, hours, Effort(met))])
    return answer, {remark.kind: remark for remark in answer.remarks}


def test_digging_at_45_degrees():
    """Two hours of work in the sun: 26 minutes by the edition of 2004, which knows them in wind.

    The edition of 2023 alone gives 86. It is told, gravely, with the plain rule before it.
    """
    hours = DayHours(moving_h=5.0, working_h=2.0, moving_in_sun=False)
    answer, kinds = told(45.0, hours, 1.5)
    work = next(phase for phase in answer.phases if phase.phase is Phase.WORKING)

    assert work.core_limit_min == pytest.approx(26.0, abs=1.0)
    assert "38 °C" in kinds[RemarkKind.CORE_RISES].text
    assert "26 minutes of working" in kinds[RemarkKind.CORE_RISES].text
    assert "Medical advice" in kinds[RemarkKind.CORE_RISES].text
    assert kinds[RemarkKind.CORE_RISES].grave
    assert answer.remarks[0].text.startswith("45 °C: do not work by day.")


def test_a_core_that_settles_is_told_without_alarm():
    """Walking at 35 degrees: 38.1 degrees is past the standard's limit, and goes no further."""
    _, kinds = told(35.0, DayHours(moving_h=5.0), 3.4, acclimatised=True)

    assert "settles near 38.1 °C" in kinds[RemarkKind.CORE_SETTLES_HIGH].text
    assert not kinds[RemarkKind.CORE_SETTLES_HIGH].grave


def test_a_short_walk_does_not_overheat():
    """What is over before the core passes 38 degrees is not told."""
    _, kinds = told(35.0, DayHours(moving_h=0.5), 3.4, acclimatised=True)

    assert not {RemarkKind.CORE_RISES, RemarkKind.CORE_SETTLES_HIGH} & set(kinds)


@pytest.mark.parametrize(
    ("hours", "rule"),
    [
        (DayHours(moving_h=8.0), "46 °C: do not move by day. Rest in the shade, move by night"),
        (DayHours(moving_h=6.0, working_h=2.0), "46 °C: do not move or work by day."),
        (DayHours(moving_h=8.0, moving_by_night=True), "46 °C: do not move. Do not go."),
        (DayHours(resting_in_sun_h=6.0), "46 °C: do not rest in the sun by day. Rest in the shade"),
    ],
)
def test_the_rule_is_plain(hours, rule):
    """The first thing told of a deadly day is what not to do, in plain words."""
    answer, _ = told(46.0, hours, 3.4)

    assert answer.remarks[0].kind is RemarkKind.KEEP_STILL
    assert answer.remarks[0].grave
    assert answer.remarks[0].text.startswith(rule)


def test_a_mild_day_tells_nothing():
    """At 25 degrees a drive and two hours of work pass no limit."""
    answer, kinds = told(25.0, DayHours(moving_h=6.0, working_h=2.0, moving_in_sun=False), 1.5)

    assert kinds == {}
    assert not answer.passes_daily_ceiling
    assert not answer.passes_work_rest


def test_work_and_rest_of_a_day():
    """Walking in the sun at 42 degrees is past TB MED 507's 20 minutes of moderate work an hour.

    A walk of ten minutes is not, nor is driving in shade at 38, nor a day in camp.
    """
    walk, kinds = told(42.0, DayHours(moving_h=5.0), 3.4)
    stroll, _ = told(42.0, DayHours(moving_h=1.0 / 6.0), 3.4)
    drive, _ = told(38.0, DayHours(moving_h=8.0, moving_in_sun=False), 1.5)
    camp, _ = told(42.0, DayHours(working_h=1.0), 3.4)

    assert walk.work_rest.most_min_per_h == 20.0
    assert walk.work_rest.moving_min_per_h == 60.0
    assert walk.passes_work_rest
    assert "move no more than 20 minutes of an hour" in kinds[RemarkKind.WORK_REST].text
    assert stroll.work_rest.moving_min_per_h == pytest.approx(10.0)
    assert not stroll.passes_work_rest
    assert not drive.passes_work_rest
    assert camp.work_rest is None


@pytest.mark.parametrize(("shade_max_c", "passes"), [(35.0, False), (43.0, True)])
def test_daily_ceiling_of_a_day(shade_max_c, passes):
    """Walking 8 h: 12 US qt are 11.36 L (TB MED 507); 43 degrees ask for more, 35 for less."""
    answer, _ = told(shade_max_c, DayHours(moving_h=8.0), 3.4)

    assert answer.passes_daily_ceiling is passes
    assert (answer.litres > 11.36) is passes


def usual_person(travel, shade_max_c):
    """Return the heat of a trip file that says nothing but how it goes and how hot it is."""
    text = f'[pace]\ntravel = "{travel}"\n[heat]\nshade_max_c = {shade_max_c}\n'
    heat = trip_from_text(text, origin="trip.toml").heat
    return heat, heat.outlook.on(None, 0.0, 1.0)


def test_who_moves_all_day_has_no_hours_left_for_work_nor_a_night_for_it():
    """Told on the road: of 24 h, 23 h moved leave one of the two of work; a night has 12."""
    heat, _ = usual_person("foot", 35.0)
    by_night = replace(heat, moving_by_night=True)

    assert (heat.hours(6.0).working_h, heat.hours(23.0).working_h) == (2.0, 1.0)
    assert heat.hours(24.0).busy_h == 24.0
    assert (by_night.hours(12.0).moving_by_night, by_night.hours(13.0).moving_by_night) == (
        True,
        False,
    )


def documented_day(travel, shade_max_c, *, moving_h, **changes):
    heat, expected = usual_person(travel, shade_max_c)
    hours = replace(heat.hours(moving_h), **changes)
    return HeatCase(expected, hours, heat.usual.effort, heat.usual.body_mass_kg)


DOCUMENTED = {
    "driving 6 h": ("vehicle", {"moving_h": 6.0}),
    "walking 6 h": ("foot", {"moving_h": 6.0}),
    "walking 6 h by night": ("foot", {"moving_h": 6.0, "moving_by_night": True}),
    "cycling 6 h": ("bicycle", {"moving_h": 6.0}),
}


def documented_litres():
    """Write the table of a day's litres of docs/why/heat.md from the defaults of a trip file."""
    rows = [["shade maximum °C", "resting in shade", *DOCUMENTED]]
    for air_c in range(20, 50, 5):
        cases = [resting_case(usual_person("foot", air_c)[1])]
        cases += [documented_day(travel, air_c, **how) for travel, how in DOCUMENTED.values()]
        answers = drinking_in_heat(cases)
        rows.append([str(air_c), *(f"{rounded_up(day.litres, 0.1):.1f}" for day in answers)])
    return as_markdown(rows)


def documented_minutes():
    """Write the table of minutes to 38 degrees from the same."""
    rows = [["shade maximum °C", *DOCUMENTED, "work in the sun 2 h"]]
    for air_c in range(20, 50, 5):
        cases = [documented_day(travel, air_c, **how) for travel, how in DOCUMENTED.values()]
        days = drinking_in_heat(cases)
        phases = [day.phases[0] for day in days] + [days[0].phases[1]]
        rows.append([str(air_c), *map(minutes_told, phases)])
    return as_markdown(rows)


def as_markdown(rows):
    lines = [f"| {' | '.join(row)} |" for row in rows]
    return "\n".join([lines[0], "|---" * len(rows[0]) + "|", *lines[1:]])


def minutes_told(phase):
    if not phase.passes_core_limit:
        return "-"
    return f"{phase.core_limit_min:.0f}" + (", rising" if phase.rises else "")


@pytest.mark.parametrize("table", [documented_litres, documented_minutes])
def test_docs_tell_what_is_computed(table):
    """Both tables of docs/why/heat.md are those of a trip file that gives the heat alone."""
    page = (DOCS / "why" / "heat.md").read_text(encoding="utf-8")

    assert table() in page
