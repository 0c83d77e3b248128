"""Check figures in US units against NIST SP 811 (2008), and their rounding."""

from __future__ import annotations

import datetime as dt
import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from longdry.cli.main import main
from longdry.computing.water.certainty import judge_source
from longdry.model.water.book import ListedSource
from longdry.model.water.source import WaterSource
from longdry.model.words import Grade, Units
from longdry.showing.terminal.sources import source_list_text
from longdry.showing.words.measures import Measures

US, METRIC = Measures(Units.US), Measures()
GALLON_L = 3.785411784
MILE_KM = 1.609344


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("87 L are missing", "87 L (23 US gal) are missing"),
        ("at km 160.9 of", "at km 160.9 (mile 100.0) of"),
        ("100 km long", "100 km (62.1 mi) long"),
        ("30 km/h", "30 km/h (18.6 mph)"),
        ("11 L/min", "11 L/min (2.91 US gal/min)"),
        ("2 m/s", "2 m/s (4.47 mph)"),
        ("1000 m climbed", "1000 m (3281 ft) climbed"),
        ("40 °C", "40 °C (104 °F)"),
        ("12 K", "12 K (21.6 °F apart)"),
        ("75 kg", "75 kg (165 lb)"),
        ("0 L", "0 L (0 US gal)"),
        ("1.5 US qt (1.42 L) as", "1.5 US qt (1.42 L) as"),
        ("200 W/m2, 5 h, 3 days, 10 %", "200 W/m2, 5 h, 3 days, 10 %"),
        ("Karney (2013), km along", "Karney (2013), km along"),
    ],
)
def test_each_figure_of_a_sentence_gets_its_us_value(text, shown):
    """The metric figure stands, its US value behind it; what is no figure stays."""
    assert US.sentence(text) == shown
    assert METRIC.sentence(text) == text


@given(st.floats(1e-6, 1e5))
def test_needs_round_up_and_supplies_down_in_either_unit(litres):
    """What is shown of a need is never less than it, of a supply never more, but for noise.

    Noise is a tenth of a millilitre, of amounts below 10 L a hundredth; of gallons four of these.
    """
    for measures, unit_l in ((METRIC, 1.0), (US, GALLON_L)):
        noise_l = (1e-4 if litres >= 10.0 and unit_l == 1.0 else 1e-5) * unit_l + litres * 1e-8
        assert float(measures.need_figure(litres)) * unit_l >= litres - noise_l
        assert float(measures.supply_figure(litres)) * unit_l <= litres + noise_l


def test_ways_round_up():
    """A way of 10 miles and a little more is 10.1 miles to be got through."""
    assert US.way(10.0 * MILE_KM + 0.01) == "10.1 mi"
    assert US.mark(100.0 * MILE_KM) == "mile 100.0"


@pytest.mark.parametrize(("km", "told"), [(100.000001, "100.0"), (100.001, "100.1")])
def test_noise_adds_no_step_and_a_metre_does(km, told):
    """A way of 100 km and a millimetre is 100.0 km, one of 100 km and a metre is 100.1 km."""
    assert Measures().way_figure(km) == told


def test_heat_is_rounded_up():
    """39.2 degrees are told as 40, or as 103 Fahrenheit (102.56)."""
    assert (METRIC.heat(39.2), US.heat(39.2)) == ("40 °C", "103 °F")


def test_plan_in_us_units_leaves_files_metric(tmp_path, capsys):
    """The terminal speaks in gallons and miles, the document stays as it is."""
    route = tmp_path / "route.geojson"
    line = {"type": "LineString", "coordinates": [[130, -25], [132, -25]]}
    route.write_text(json.dumps({"type": "Feature", "properties": {}, "geometry": line}))
    water = tmp_path / "water.geojson"
    water.write_text('{"type": "FeatureCollection", "features": []}')
    told = {}
    for units in Units:
        out = tmp_path / f"{units}.json"
        words = ["plan", str(route), "--water", str(water), "--json", str(out)]
        assert main([*words, "--units", units]) == 0
        told[units] = capsys.readouterr().out
    documents = {(tmp_path / f"{units}.json").read_text() for units in Units}

    assert len(documents) == 1
    assert "Most to carry" in told[Units.US]
    assert "US gal" in told[Units.US]
    assert not re.search(r"\d (?:L|km)\b(?! \()", told[Units.US])
    assert "gal" not in told[Units.METRIC]


def test_sources_near_a_route_in_us_units():
    """A source 100 miles along and a little off is listed by mile."""
    water = WaterSource("a", "Bore", -25.0, 130.0, Grade.POTABLE, limit_l=GALLON_L)
    listed = ListedSource(
        0, water, judge_source(water, None), km=100.0 * MILE_KM, offset_km=MILE_KM
    )
    told = source_list_text([listed], on=dt.date(2027, 5, 3), of=1, measures=US)

    assert told.split()[0] == "mile"
    assert "100.0" in told
    assert "(1 US gal)" in told
