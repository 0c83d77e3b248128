"""Making water safe, against published physics and published advice."""

from __future__ import annotations

import math

import pytest

from longdry.computing.treating.treating import (
    HEATING_KJ_PER_G,
    air_pressure_pa,
    boil_minutes,
    boiling_point_c,
    effort_of,
    heat_to_boil_kj,
    limits_of,
    saturation_k,
    treatable_l,
)
from longdry.model.trip.treatment import Fuel, Stove, Treatment, TreatMethod

# Boiling point and heat to bring 1 L from 20 °C to the boil, by height: computed with IAPWS-IF97
# and the ICAO standard atmosphere, not with this program.
PHYSICS = (
    (0.0, 99.97, 334.4),
    (1000.0, 96.65, 320.4),
    (2000.0, 93.32, 306.4),
    (3000.0, 89.97, 292.3),
    (4000.0, 86.62, 278.3),
    (5000.0, 83.26, 264.2),
)


@pytest.mark.parametrize(("height_m", "boils_c", "heat_kj"), PHYSICS)
def test_boiling_follows_the_published_physics(height_m, boils_c, heat_kj):
    """Boiling point within 0.02 °C; heat within 0.5 % and never below the published figure."""
    assert boiling_point_c(height_m) == pytest.approx(boils_c, abs=0.02)
    assert heat_kj <= heat_to_boil_kj(1.0, height_m) <= heat_kj * 1.005


@pytest.mark.parametrize(
    ("pressure_mpa", "boils_k"), [(0.1, 372.755919), (1.0, 453.035632), (10.0, 584.149488)]
)
def test_saturation_meets_the_check_values_of_its_release(pressure_mpa, boils_k):
    """IAPWS-IF97 (2007), table 36 (from memory): three check values to 1e-5 K."""
    assert saturation_k(pressure_mpa) == pytest.approx(boils_k, abs=1e-5)


def test_air_pressure_meets_the_standard_atmosphere():
    """ISO 2533 (from memory): 1013.25 hPa at sea level, 898.746 at 1,000 m, 540.199 at 5,000 m."""
    assert air_pressure_pa(0.0) == pytest.approx(101_325.0)
    assert air_pressure_pa(1000.0) == pytest.approx(89_874.6, rel=1e-4)
    assert air_pressure_pa(5000.0) == pytest.approx(54_019.9, rel=1e-4)


def test_a_height_outside_the_atmosphere_is_refused():
    """The formula holds up to 11,000 m."""
    with pytest.raises(ValueError, match="12000 m is outside"):
        air_pressure_pa(12_000.0)


def fuel_to_the_boil_g(stove, litres):
    """Fuel at sea level less that of the boil: a minute for each pot at the stove's power."""
    boil = Treatment(TreatMethod.BOIL, stove=stove)
    pots = math.ceil(litres / stove.pot_l)
    of_boil_g = pots * 60.0 * stove.power_kw / HEATING_KJ_PER_G[stove.fuel]
    return effort_of(boil, litres, height_m=0.0).fuel_g - of_boil_g


@pytest.mark.parametrize(("efficiency", "propane_g"), [(1.0, 7.2), (0.5, 14.4), (0.3, 24.0)])
def test_propane_for_a_litre_meets_the_published_figures(efficiency, propane_g):
    """7.2 g at 100 %, 14.4 g at 50 %, 24 g at 30 %: 46.35 MJ/kg and IAPWS-IF97, from 20 °C."""
    stove = Stove(efficiency, power_kw=2.0, pot_l=2.0)

    assert fuel_to_the_boil_g(stove, 1.0) == pytest.approx(propane_g, rel=0.01)


def test_butane_is_needed_a_little_more():
    """45.75 against 46.35 MJ/kg."""
    propane, butane = (fuel_to_the_boil_g(Stove(0.5, 2.0, 2.0, fuel), 10.0) for fuel in Fuel)

    assert butane / propane == pytest.approx(46.35 / 45.75)


@pytest.mark.parametrize(
    ("height_m", "minutes"), [(0.0, 1.0), (999.9, 1.0), (1000.0, 3.0), (4000.0, 3.0), (None, 3.0)]
)
def test_the_rolling_boil_is_longer_from_1000_m_up(height_m, minutes):
    """1 min; 3 min from 1,000 m up satisfies CDC, EPA (2017) and WHO (2015); unknown is worse."""
    assert boil_minutes(height_m) == minutes


def test_boiling_counts_the_boil_of_every_pot():
    """Worked by hand: 5 L in pots of 2 L are three pots, 3 min each at 2 kW beside the heating."""
    stove = Stove(0.5, power_kw=2.0, pot_l=2.0)
    boil = Treatment(TreatMethod.BOIL, stove=stove)

    effort = effort_of(boil, 5.0, height_m=2000.0)

    heating_kj = heat_to_boil_kj(5.0, 2000.0) / 0.5
    assert effort.minutes == pytest.approx(heating_kj / 2.0 / 60.0 + 9.0)
    assert effort.fuel_g == pytest.approx((heating_kj + 9.0 * 60.0 * 2.0) / 46.35)


def test_boiling_at_an_unknown_height_takes_no_less_than_anywhere():
    """Unknown is worse: the long boil, and the heat of sea level."""
    boil = Treatment(TreatMethod.BOIL, stove=Stove(0.4, 2.0, 2.0))

    unknown = effort_of(boil, 7.0)

    for height_m in (0.0, 1000.0, 3000.0):
        assert unknown.fuel_g >= effort_of(boil, 7.0, height_m=height_m).fuel_g


def test_boiling_without_a_stated_stove_tells_only_the_boil():
    """No fuel is made up where no stove is stated."""
    effort = effort_of(Treatment(TreatMethod.BOIL), 5.0, height_m=0.0)

    assert (effort.fuel_g, effort.minutes, effort.boil_minutes) == (None, None, 1.0)


@pytest.mark.parametrize(("is_cloudy_or_cold", "drops"), [(False, 20), (True, 40)])
def test_bleach_follows_the_published_dose(is_cloudy_or_cold, drops):
    """EPA: 2 drops a litre of 6 % or 8.25 %, 30 min; double if cloudy, coloured or very cold."""
    bleach = Treatment(TreatMethod.BLEACH, is_cloudy_or_cold=is_cloudy_or_cold)

    effort = effort_of(bleach, 10.0)

    assert (effort.drops, effort.minutes) == (drops, 30.0)


def test_tablets_are_rounded_up():
    """9 L with a tablet for every 2 L take five; their standing time is that of the label."""
    tablets = Treatment(TreatMethod.CHLORINE_TABLETS, litres_per_tablet=2.0, wait_minutes=30.0)

    effort = effort_of(tablets, 9.0)

    assert (effort.tablets, effort.minutes) == (5, 30.0)


def test_a_filter_takes_the_time_of_its_flow():
    """12 L at 0.5 L a minute take 24 minutes."""
    pump = Treatment(TreatMethod.FILTER, filter_l_per_min=0.5)

    assert effort_of(pump, 12.0).minutes == 24.0


def test_a_lamp_takes_its_time_for_every_litre():
    """6 L at a minute and a half a litre take 9 minutes."""
    lamp = Treatment(TreatMethod.UV, wait_minutes=1.5)

    assert effort_of(lamp, 6.0).minutes == 9.0


@pytest.mark.parametrize("method", list(TreatMethod))
def test_no_method_is_told_to_remove_salts_or_metals(method):
    """None of them removes salts, metals, most chemicals or cyanotoxins (CDC, EPA)."""
    limits = limits_of(method)

    assert {"salts", "metals", "most chemicals"} <= set(limits.not_removed)
    assert limits.source


@pytest.mark.parametrize(
    "method", [TreatMethod.CHLORINE_TABLETS, TreatMethod.IODINE_TABLETS, TreatMethod.BLEACH]
)
def test_chlorine_and_iodine_are_told_not_to_stop_cryptosporidium(method):
    """Chlorine and iodine do not stop Cryptosporidium (CDC)."""
    assert "Cryptosporidium" in limits_of(method).not_removed


def test_a_filter_is_told_not_to_stop_viruses():
    """Filters of 1 micron absolute stop protozoa, not viruses (CDC)."""
    assert "viruses" in limits_of(TreatMethod.FILTER).not_removed


def test_what_can_be_treated_goes_with_the_days():
    """8 L a day for two and a half days are 20 L; no method treats nothing."""
    assert treatable_l(Treatment(TreatMethod.FILTER, litres_per_day=8.0), 2.5) == 20.0
    assert treatable_l(Treatment(TreatMethod.FILTER), 2.5) is None
    assert treatable_l(None, 2.5) == 0.0
