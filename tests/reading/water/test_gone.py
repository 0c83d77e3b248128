"""Columns that say that a source is gone: it is retired, or doubtful, and never counted on."""

from __future__ import annotations

import csv
import datetime as dt
import json

import pytest

from longdry.computing.book.changes import properties_of
from longdry.computing.water.certainty import judge_source
from longdry.model.words import Certainty
from longdry.reading.water.layer import read_water
from longdry.reading.water.mapping import read_field_mapping

ON = dt.date(2027, 5, 7)
USUAL = {"NAME": "Old Bore", "TYPE": "Bore", "POTABILITY": "yes", "COMMENTS": "by the road"}
OURS = {"name": "Old Bore", "kind": "bore", "grade": "potable", "certainty": "certain"}


def read(folder, values, fields=""):
    path = folder / "layer.csv"
    row = values | {"lat": -25.5, "lon": 131.25}
    with path.open("w", newline="") as file:
        csv.writer(file).writerows([row.keys(), row.values()])
    if not fields:
        return read_water(path)
    (folder / "fields.toml").write_text(fields)
    return read_water(path, fields=[read_field_mapping(folder / "fields.toml")])


@pytest.mark.parametrize("layer", [USUAL, OURS], ids=["usual", "ours"])
@pytest.mark.parametrize(
    ("column", "word"),
    [
        ("disused", "yes"), ("ABANDONED", "Y"), ("is_demolished", "true"), ("removed", "1"),
        ("destroyed", "yes"), ("DECOMMISSI", "2019-03-01"), ("date_abandoned", "1998"),
        ("historic", "yes"), ("disused:hydrant", "yes"),
        ("status", "abandoned"), ("STATUS", "Disused"), ("status", "dry"),
        ("Condition", "No longer exists"), ("bore_state", "removed"), ("status", "destroyed"),
        ("status", "capped 2011"), ("OPER_STATU", "decommissioned"), ("status", "Not in use"),
        ("STATUS_DES", "Well abandoned, filled in"),
    ],
)  # fmt: skip
def test_a_source_that_a_column_says_is_gone_is_retired(tmp_path, layer, column, word):
    """It is not counted on, whatever certainty is set by hand, and the plan is told."""
    found = read(tmp_path, layer | {column: word})

    assert found.sources[0].retired == f"{column}: {word}"
    assert judge_source(found.sources[0], ON).chance == 0.0
    assert any("not counted on" in remark and word in remark for remark in found.remarks)


@pytest.mark.parametrize(
    ("column", "word"),
    [
        ("disused", "no"), ("abandoned", "0"), ("historic", "monument"), ("status", "in use"),
        ("status", "not abandoned"), ("state", "NT"), ("silt_removed", "yes"), ("owner", "shire"),
        ("NOTES", "the gate was removed"), ("status", "never dry"),
    ],
)  # fmt: skip
def test_other_columns_change_nothing(tmp_path, column, word):
    """A source of our own words stays certain beside a column that says nothing of the sort."""
    source = read(tmp_path, OURS | {column: word}).sources[0]

    assert source.retired is None
    assert judge_source(source, ON).certainty == "certain"


@pytest.mark.parametrize(
    ("column", "word"),
    [("WB_CODE", "Disused"), ("survey", "dry"), ("status", "dry in summer"),
     ("condition", "not working")],
)  # fmt: skip
def test_such_a_word_elsewhere_makes_doubtful(tmp_path, column, word):
    """Where the column is no usual one, or the word is not the last, the source is doubtful."""
    found = read(tmp_path, OURS | {column: word})

    assert found.sources[0].retired is None
    assert judge_source(found.sources[0], ON).certainty == "doubtful"
    assert any("doubtful, for a column" in remark and word in remark for remark in found.remarks)


def test_a_word_that_a_table_lacks_retires_and_one_that_it_has_is_read_by_it(tmp_path):
    """A mapping has the word for what it names, and only for that."""
    fields = (
        '[fields]\nvisit_found = "status"\nvisit_on = "day"\n[visits]\n"No water" = "dry"\n'
        '"Capped" = "unreachable"\n'
    )
    row = {"name": "Old Bore", "day": "2027-05-01"}

    assert read(tmp_path, row | {"status": "Abandoned"}, fields).sources[0].retired
    known = read(tmp_path, row | {"status": "Capped"}, fields).sources[0]
    assert known.retired is None
    assert known.visits[0].found == "unreachable"


def test_what_was_heeded_is_not_told_as_not_read(tmp_path):
    """A column that retired a source, or could have, stands in one remark, not in two."""
    told = " ".join(read(tmp_path, OURS | {"disused": "yes", "owner": "shire"}).remarks)

    assert '"disused: yes"' in told
    assert "not read: owner (" in told


@pytest.mark.parametrize(
    ("properties", "mapping"),
    [
        ({"grade": "potable", "Condition": "Broken"}, None),
        ({"grade": "potable", "state": "Broken"}, '[fields]\ncertainty = "state"\n'),
    ],
)
def test_the_word_of_a_column_is_the_reason_for_the_doubt(tmp_path, properties, mapping):
    """Nobody set it by hand: the column and its word are told, in a book too."""
    column = next(key for key in properties if key != "grade")
    place = {"type": "Point", "coordinates": [131.0, -25.0]}
    feature = {"type": "Feature", "geometry": place, "properties": properties}
    path, fields = tmp_path / "water.geojson", tmp_path / "fields.toml"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": [feature]}), "utf-8")
    fields.write_text(f'{mapping or ""}\n[certainty]\nBroken = "doubtful"\n', "utf-8")
    used = [read_field_mapping(fields)] if mapping else []
    source = read_water(path, fields=used).sources[0]

    assert source.certainty is Certainty.DOUBTFUL
    assert judge_source(source, ON).why == f'for "{column}: Broken"'
    assert ("certainty_why", f"{column}: Broken") in properties_of(source)
