"""Litres for a day of heat: published bands, the army's table, and what may never happen."""

import math
from itertools import pairwise

import pytest
from how_many import PART_OF_SLOW, drawn_proof
from hypothesis import given
from hypothesis import strategies as st

from longdry.computing.heat.drinking import (
    BASIC_L,
    HeatCase,
    drinking_in_heat,
    ranked_c,
    resting_case,
)
from longdry.computing.heat.tb_med_507 import (
    Work,
    careful_l_per_h,
    most_moving_min_per_h,
    shade_wbgt_c,
    simplified_wbgt_c,
    table_l_per_h,
    work_class,
)
from longdry.model.plan.heat_day import DAILY_CEILING_L, HOURLY_CEILING_L, Phase, RemarkKind
from longdry.model.trip.heat import (
    DayHours,
    Effort,
    HeatExpectation,
    HeatOutlook,
    HeatSection,
    hottest,
)
from longdry.model.words import Travel
from longdry.units import L_PER_US_QUART

ON_FOOT = Effort.usual(Travel.FOOT)


def day(shade_max_c, hours=None, *, effort=ON_FOOT, mass_kg=75.0, **weather):
    expected = HeatExpectation(shade_max_c, **weather)
    (answer,) = drinking_in_heat([HeatCase(expected, hours or DayHours(), effort, mass_kg)])
    return answer


def litres(cases):
    return [answer.litres for answer in drinking_in_heat(cases)]


# TB MED 507 (2003): WBGT in Fahrenheit -> US qt per hour for easy, moderate and hard work.
TB_MED_507 = [
    ((78.0, 81.9), (0.5, 0.75, 0.75)),
    ((82.0, 84.9), (0.5, 0.75, 1.0)),
    ((85.0, 87.9), (0.75, 0.75, 1.0)),
    ((88.0, 89.9), (0.75, 0.75, 1.0)),
    ((90.0, 110.0), (1.0, 1.0, 1.0)),
]


@pytest.mark.parametrize(("band_f", "quarts"), TB_MED_507)
def test_army_table(band_f, quarts):
    """Both ends of every band of TB MED 507 give its quarts for each class of work."""
    for wbgt_f in band_f:
        wbgt_c = (wbgt_f - 32.0) / 1.8 + 1e-9
        found = [table_l_per_h(wbgt_c, work) for work in Work]

        assert found == pytest.approx([0.946353 * quart for quart in quarts], rel=1e-5)


def test_army_ceilings():
    """TB MED 507 (2003): at most 1.5 US qt in an hour and 12 US qt in a day; 1 qt = 0.946353 L."""
    ceilings = (HOURLY_CEILING_L, DAILY_CEILING_L)

    assert ceilings == pytest.approx((1.4195, 11.3562), abs=1e-3)


def test_army_figure_is_below_its_own_ceiling():
    """The figure that stands in for the standard never passes the army's hourly ceiling."""
    worst = careful_l_per_h(air_c=60.0, humidity_percent=100.0, met=7.5, in_sun=True)

    assert worst <= HOURLY_CEILING_L


def test_simplified_wbgt():
    """Bureau of Meteorology's table (from memory): 30 degrees at 50 % is a WBGT of about 29."""
    assert simplified_wbgt_c(30.0, 50.0) == pytest.approx(29.3, abs=0.7)


@pytest.mark.parametrize("air_c", [20.0, 35.0, 45.0])
@pytest.mark.parametrize("percent", [10.0, 30.0, 80.0])
def test_wbgt_in_shade(air_c, percent):
    """ISO 7243 with the wet bulb of a psychrometer: never below it, and at most 2 K above.

    The psychrometer's balance e = es(Tw) - 0.000662 p (T - Tw) (WMO no. 8), solved by halving.
    """

    def saturated_kpa(at_c):
        return 0.6112 * math.exp(17.62 * at_c / (243.12 + at_c))  # WMO no. 8, annex 4.B

    low, high = 0.0, air_c
    for _ in range(50):
        middle = (low + high) / 2.0
        vapour = saturated_kpa(middle) - 0.000662 * 101.325 * (air_c - middle)
        low, high = (
            (middle, high) if vapour < percent / 100.0 * saturated_kpa(air_c) else (low, middle)
        )
    exact_c = 0.7 * low + 0.3 * (air_c + 5.0)

    assert exact_c <= shade_wbgt_c(air_c, percent, 5.0) <= exact_c + 2.0


@pytest.mark.parametrize(("met", "minutes"), [(1.5, 50), (3.4, 20), (5.0, 10)])
def test_work_and_rest(met, minutes):
    """TB MED 507 (2003), row of 90 F and more: easy 50/10, moderate 20/40, hard 10/50 minutes.

    90 degrees Fahrenheit are 32.2 Celsius.
    """
    assert most_moving_min_per_h(32.3, met) == minutes
    assert most_moving_min_per_h(32.1, met) == 60.0


def test_classes_of_work():
    """TB MED 507: driving is easy; walking at 6.4 km/h, 3.8 met by ASHRAE 55, is moderate."""
    assert work_class(1.5) is Work.EASY
    assert work_class(3.8) is Work.MODERATE
    assert work_class(6.0) is Work.HARD


def test_iom_rest():
    """IOM (2005), p. 129: about 4.5 L at rest in the shade at a daily mean of 30 degrees."""
    asked = day(36.0, day_range_c=12.0)

    assert asked.litres == pytest.approx(4.5, rel=0.20)


def test_iom_work():
    """IOM (2005), p. 129: about 9.5 L with 8 h of work at a daily mean of 30 degrees."""
    asked = day(36.0, DayHours(moving_h=8.0), day_range_c=12.0)

    assert asked.litres == pytest.approx(9.5, rel=0.20)


def test_iom_extreme():
    """IOM (2005), p. 129: above 15 L only in extreme heat and work."""
    assert day(45.0, DayHours(moving_h=10.0)).litres > 15.0
    assert day(33.0, DayHours(moving_h=8.0)).litres < 15.0


def test_temperate_rest():
    """WHO: about 2 L in temperate climates; a mild day of rest asks for little more."""
    assert 2.0 <= day(20.0).litres <= 2.5


def test_manual_work_in_heat():
    """WHO: about 4.5 L for people doing manual work in heat; at 30 degrees we ask for no less."""
    assert day(30.0, DayHours(working_h=8.0)).litres >= 4.5


def test_an_hour_of_walking():
    """Parks Australia: at least 1 L per person for an hour of walking, whatever the weather.

    On a hot day, 38 degrees, ours is above or within a tenth of it.
    """
    moving = next(
        phase for phase in day(38.0, DayHours(moving_h=1.0)).phases if phase.phase is Phase.MOVING
    )

    assert moving.litres >= 0.9


SWEEP_C = [10.0 + 0.5 * step for step in range(101)]
KINDS_OF_DAY = {
    "rest": DayHours(),
    "walk": DayHours(moving_h=8.0, working_h=1.5),
    "drive": DayHours(moving_h=7.0, working_h=2.0, moving_in_sun=False),
    "wait in the sun": DayHours(resting_in_sun_h=10.0),
    "all day": DayHours(moving_h=24.0),
    "by night": DayHours(moving_h=9.5, working_h=2.0, moving_by_night=True),
}


@pytest.mark.parametrize("hours", KINDS_OF_DAY.values(), ids=KINDS_OF_DAY)
@pytest.mark.parametrize("humidity", [3.0, 20.0, 70.0])
def test_hotter_never_needs_less(hours, humidity):
    """From 10 to 60 degrees no step asks for less, nor where the standard begins and ends."""
    asked = litres(
        [HeatCase(HeatExpectation(air_c, humidity), hours, ON_FOOT) for air_c in SWEEP_C]
    )

    assert all(cooler <= hotter + 1e-12 for cooler, hotter in pairwise(asked))


@pytest.mark.parametrize("more", ["moving_h", "working_h", "resting_in_sun_h"])
@pytest.mark.parametrize("shade_max_c", [12.0, 33.0, 44.5, 51.0, 58.0])
@pytest.mark.parametrize("sun", [True, False])
def test_an_hour_more_never_needs_less(more, shade_max_c, sun):
    """An hour of rest in the shade turned into moving, work or sun never asks for less."""
    days = []
    for hour in range(17):
        hours = {"moving_h": 3.0, "working_h": 2.5, "resting_in_sun_h": 1.0}
        hours[more] += hour
        days.append(DayHours(**hours, moving_in_sun=sun, working_in_sun=sun))
    expected = HeatExpectation(shade_max_c)

    asked = litres([HeatCase(expected, hours, Effort(1.2)) for hours in days])

    assert all(fewer <= more_h + 1e-12 for fewer, more_h in pairwise(asked))


def test_an_hour_more_by_night_never_needs_less():
    """The same for moving by night, hour by hour from none to all of the night."""
    expected = HeatExpectation(41.0)
    nights = [DayHours(moving_h=0.5 * step, moving_by_night=True) for step in range(25)]

    asked = litres([HeatCase(expected, hours, ON_FOOT) for hours in nights])

    assert all(fewer < more_h for fewer, more_h in pairwise(asked))


def test_moving_by_night_spares_water():
    """At 41 degrees the same walk by night spares over 1.5 L, yet asks for more than no walk."""
    rest, night, by_day = (
        day(41.0, hours).litres
        for hours in (
            DayHours(),
            DayHours(moving_h=8.0, moving_by_night=True),
            DayHours(moving_h=8.0),
        )
    )

    assert rest < night < by_day - 1.5


@drawn_proof(160, PART_OF_SLOW)
@given(
    shade_max_c=st.floats(-10, 60),
    humidity=st.floats(0, 100),
    met=st.floats(1, 7.5),
    moving_h=st.floats(0, 12),
    working_h=st.floats(0, 12),
    mass_kg=st.floats(40, 130),
    wind=st.none() | st.floats(0, 15),
)
def test_always_an_answer(shade_max_c, humidity, met, moving_h, working_h, mass_kg, wind):
    """Whatever the day, the answer is finite, above the basic need, and at least that of rest."""
    expected = HeatExpectation(shade_max_c, humidity, wind_m_s=wind)
    hours = DayHours(moving_h=moving_h, working_h=working_h)

    busy, rest = litres(
        [HeatCase(expected, hours, Effort(met), mass_kg), resting_case(expected, mass_kg)]
    )

    assert BASIC_L < rest <= busy + 1e-12 < 60.0


def test_harder_never_needs_less():
    """More effort never asks for less, nor where the 2023 edition ends at 250 W/m2 (4.3 met)."""
    expected, hours = HeatExpectation(35.0), DayHours(moving_h=8.0)

    efforts_met = (1.0, 1.5, 2.5, 3.5, 4.25, 4.35, 5.5, 7.5)

    asked = litres([HeatCase(expected, hours, Effort(met)) for met in efforts_met])

    assert all(easier <= harder + 1e-9 for easier, harder in pairwise(asked))


def test_heavier_needs_more():
    """A heavier body has more skin (DuBois) and loses more."""
    hours = DayHours(moving_h=8.0)

    assert day(40.0, hours, mass_kg=95.0).litres > day(40.0, hours, mass_kg=60.0).litres


def test_acclimatised_asks_for_no_less():
    """Who is not acclimatised is asked for the same water, and never told less danger."""
    hours = DayHours(moving_h=8.0)
    used, new = (day(40.0, hours, acclimatised=flag) for flag in (True, False))

    assert used.litres == new.litres
    assert new.phases[0].core_limit_min <= used.phases[0].core_limit_min


def test_unknown_wind_is_the_worse():
    """Where the wind is not given, no wind within the standard asks for more by over 1 %."""
    hours = DayHours(moving_h=8.0)
    known = [day(41.0, hours, wind_m_s=wind).litres for wind in (0.0, 0.5, 1.0, 2.0, 3.0)]

    assert day(41.0, hours).litres >= 0.99 * max(known)


@pytest.mark.parametrize(
    ("weather", "words"),
    [
        ({"shade_max_c": 53.0}, "above 50 °C"),
        ({"shade_max_c": 44.0, "humidity_percent": 80.0}, "vapour pressure"),
        ({"shade_max_c": 40.0, "wind_m_s": 12.0}, "wind above 3 m/s"),
    ],
)
def test_outside_is_told(weather, words):
    """Outside ISO 7933 the sentence names the limit and TB MED 507, and the army's hour holds."""
    answer = day(**weather, hours=DayHours(moving_h=8.0))

    told = [r.text for r in answer.remarks if r.kind is RemarkKind.OUTSIDE_STANDARD]
    assert words in told[0]
    assert "TB MED 507" in told[0]
    assert answer.phases[0].worst_l_per_h >= 1.0 * L_PER_US_QUART


def test_cool_day_is_told():
    """Below 15 degrees, where ISO 7933 begins, the day counts as 15 and says so."""
    cold, edge = day(5.0), day(15.0, day_range_c=0.0)

    assert [remark.kind for remark in cold.remarks] == [RemarkKind.COOLER_THAN_STANDARD]
    assert cold.litres <= edge.litres


def test_daily_ceiling_is_told():
    """More than 12 US qt a day (TB MED 507): more water will not make that day safe."""
    answer = day(42.0, DayHours(moving_h=9.0))

    told = {remark.kind: remark for remark in answer.remarks}
    assert answer.litres > 11.36
    assert told[RemarkKind.DAILY_CEILING].grave
    assert "will not make that day safe" in told[RemarkKind.DAILY_CEILING].text


def test_hourly_ceiling_is_told():
    """More than 1.5 US qt an hour (TB MED 507) is told; a mild day tells nothing."""
    fierce = day(50.0, DayHours(moving_h=2.0))

    assert RemarkKind.HOURLY_CEILING in {remark.kind for remark in fierce.remarks}
    assert day(25.0, DayHours(moving_h=5.0)).remarks == ()


def test_hours_make_the_day():
    """The phases of a day are its 24 hours, and their litres with the basic need its litres."""
    answer = day(40.0, DayHours(moving_h=5.5, working_h=1.25, resting_in_sun_h=0.5))

    assert sum(phase.hours for phase in answer.phases) == pytest.approx(24.0)
    total = answer.basic_l + sum(phase.litres for phase in answer.phases)
    assert answer.litres == pytest.approx(total)


def test_equal_days_are_equal():
    """The same day asked for twice, among others, gives the same answer each time."""
    case = HeatCase(HeatExpectation(37.0), DayHours(moving_h=6.0), ON_FOOT)
    other = resting_case(HeatExpectation(48.0))

    first, _, third = drinking_in_heat([case, other, case])

    assert first == third == drinking_in_heat([case])[0]


def test_day_curve():
    """The coolest hour is the night minimum, the mean of the day lies halfway."""
    expected = HeatExpectation(40.0, day_range_c=14.0)
    temperatures = [ranked_c(expected, rank + 0.5) for rank in range(24)]

    assert ranked_c(expected, 24.0) == pytest.approx(40.0 - 14.0)
    assert sum(temperatures) / 24 == pytest.approx(33.0)


MILD, WARM, FIERCE = HeatExpectation(25.0), HeatExpectation(35.0), HeatExpectation(45.0)


@pytest.mark.parametrize(
    ("outlook", "month", "expected"),
    [
        (HeatOutlook(WARM), 7, WARM),
        (HeatOutlook(WARM, months=((7, MILD),)), 7, MILD),
        (HeatOutlook(WARM, months=((7, MILD),)), 8, WARM),
        (HeatOutlook(months=((7, MILD), (8, WARM))), None, WARM),
        (HeatOutlook(months=((7, MILD), (8, WARM))), 1, WARM),
        (HeatOutlook(MILD, sections=(HeatSection(0, 200, FIERCE),)), 7, FIERCE),
        (HeatOutlook(FIERCE, sections=(HeatSection(0, 200, MILD),)), 7, MILD),
        (HeatOutlook(FIERCE, sections=(HeatSection(0, 120, MILD),)), 7, FIERCE),
        (HeatOutlook(WARM, sections=(HeatSection(0, 120, FIERCE),)), 7, FIERCE),
        (HeatOutlook(WARM, sections=(HeatSection(300, 400, FIERCE),)), 7, WARM),
    ],
)
def test_outlook(outlook, month, expected):
    """On km 100 to 150 a section is believed before the month, the month before the whole."""
    assert outlook.on(month, 100.0, 150.0) == expected


def test_hottest_of_equals_is_the_dampest():
    """Of two days equally hot the damper one holds."""
    damp = HeatExpectation(35.0, 60.0)

    assert hottest([WARM, damp, MILD]) == damp


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: HeatExpectation(61.0),
        lambda: HeatExpectation(float("nan")),
        lambda: HeatExpectation(35.0, humidity_percent=101.0),
        lambda: HeatExpectation(35.0, shade_excess_c=30.0),
        lambda: HeatExpectation(35.0, wind_m_s=-1.0),
        lambda: DayHours(moving_h=20.0, working_h=5.0),
        lambda: DayHours(moving_h=-1.0),
        lambda: DayHours(moving_h=13.0, moving_by_night=True),
        lambda: Effort(0.5),
        HeatOutlook,
        lambda: HeatOutlook(months=((13, MILD),)),
    ],
)
def test_what_cannot_be_is_refused(wrong):
    """A figure that cannot be is refused where it is made."""
    with pytest.raises(ValueError, match=r"is|needs"):
        wrong()
