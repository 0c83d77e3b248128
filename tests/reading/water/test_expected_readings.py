"""What a hundred and more layers of other people's are read as: conservative everywhere.

Every row is written by us, invented: not for navigation. Tags follow the OpenStreetMap wiki (pages
on amenity, man_made, natural, drinking_water, drinking_water:legal, intermittent, seasonal, pump,
operational_status, lifecycle prefixes), columns the WPDx data standard (from memory), usual names
and words common practice, no source.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import json

import geopandas as gpd
import pytest
import shapely
from reading_table import ROWS

from longdry.computing.water.certainty import judge_source
from longdry.model.words import Grade
from longdry.reading.water.layer import read_water
from longdry.reading.water.mapping import read_field_mapping

ON = dt.date(2027, 5, 7)
"""The day that certainty is judged for."""
PLACE = (131.25, -25.5)


def as_csv(folder, values, separator=","):
    columns = {"lat": PLACE[1], "lon": PLACE[0]} if not has_place(values) else {}
    text = io.StringIO()
    writer = csv.writer(text, delimiter=separator)
    writer.writerow([*values, *columns])
    writer.writerow([*values.values(), *columns.values()])
    path = folder / "layer.csv"
    path.write_text(text.getvalue())
    return path


def has_place(values):
    return bool(
        {"latitude", "y", "lat_wgs84", "coordinates", "#lat_deg"} & set(map(str.lower, values))
    )


def as_geojson(folder, values):
    point = {"type": "Point", "coordinates": list(PLACE)}
    feature = {"type": "Feature", "geometry": point, "properties": values}
    path = folder / "layer.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": [feature]}))
    return path


def as_gdal(folder, values, ending):
    frame = gpd.GeoDataFrame([values], geometry=[shapely.Point(PLACE)], crs=4326)
    path = folder / f"layer{ending}"
    frame.to_file(path)
    return path


def as_gpx(folder, values):
    inside = "".join(f"<{key}>{value}</{key}>" for key, value in values.items())
    path = folder / "layer.gpx"
    path.write_text(
        '<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1">'
        f'<wpt lat="{PLACE[1]}" lon="{PLACE[0]}">{inside}</wpt></gpx>'
    )
    return path


def as_kml(folder, values):
    data = "".join(
        f'<Data name="{key}"><value>{value}</value></Data>' for key, value in values.items()
    )
    path = folder / "layer.kml"
    path.write_text(
        '<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark>'
        f"<ExtendedData>{data}</ExtendedData><Point><coordinates>{PLACE[0]},{PLACE[1]}"
        "</coordinates></Point></Placemark></Document></kml>"
    )
    return path


WRITERS = {
    "csv": as_csv,
    "tsv": lambda folder, values: as_csv(folder, values, "\t"),
    "geojson": as_geojson,
    "gpkg": lambda folder, values: as_gdal(folder, values, ".gpkg"),
    "shp": lambda folder, values: as_gdal(folder, values, ".shp"),
    "fgb": lambda folder, values: as_gdal(folder, values, ".fgb"),
    "gpx": as_gpx,
    "kml": as_kml,
}


def read(folder, form, values, mapping):
    path = WRITERS[form](folder, values)
    if not mapping:
        return read_water(path).sources
    fields = folder / "fields.toml"
    fields.write_text(mapping)
    return read_water(path, fields=[read_field_mapping(fields)]).sources


def test_the_table_is_long_enough():
    """At least 120 rows, in eight formats."""
    assert len(ROWS) >= 120
    assert {row.form for row in ROWS} == set(WRITERS)


@pytest.mark.filterwarnings("ignore:Column names longer than 10:UserWarning")
@pytest.mark.filterwarnings("ignore:Normalized.laundered field name:RuntimeWarning")
@pytest.mark.parametrize("row", ROWS, ids=[f"{n}-{row.form}" for n, row in enumerate(ROWS, 1)])
def test_a_layer_is_read_as_the_table_says(tmp_path, row):
    """Kind, grade, certainty and visits of a source are those of the table's row."""
    sources = read(tmp_path, row.form, row.values, row.mapping)
    (source,) = sources

    assert (source.kind, source.grade) == (row.kind, row.grade and Grade(row.grade))
    assert judge_source(source, ON).certainty == row.certainty
    assert tuple((v.on.isoformat(), v.found.value) for v in source.visits) == row.visits
    assert (source.retired is not None) is row.retired
    assert row.months is None or tuple(sorted(source.months or ())) == row.months
    assert (source.lon_deg, source.lat_deg) == pytest.approx(PLACE, abs=1e-6)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.form}-{row.grade}")
def test_no_strangers_word_makes_potable_water_but_a_law_or_the_users_own(row):
    """Potable stands in the table only by our own word, by a mapping, or by law."""
    if row.grade == "potable":
        own = row.values.get("grade") or row.values.get("Grade") or row.values.get("type")
        assert own == "potable" or row.mapping or row.values.get("drinking_water:legal") == "yes"
