"""Two layers that tell one place, and words that become kinds. All sources are invented."""

from __future__ import annotations

import datetime as dt
import json

import pytest
from geographiclib.geodesic import Geodesic

from longdry.computing.water.certainty import judge_source
from longdry.computing.water.priors import PRIOR_BY_KIND, STRANGE_KIND, kind_prior
from longdry.model.words import KINDS_WORST_LAST, SOURCE_KINDS, Certainty, Grade, known_kind
from longdry.reading.water.layer import read_water


@pytest.fixture
def layers(tmp_path):
    def write(*told):
        paths = []
        for number, features in enumerate(told):
            path = tmp_path / f"layer{number}.geojson"
            items = [
                {
                    "type": "Feature",
                    "geometry": {"type": "Point", "coordinates": list(place)},
                    "properties": properties,
                }
                for place, properties in features
            ]
            path.write_text(json.dumps({"type": "FeatureCollection", "features": items}))
            paths.append(path)
        return read_water(paths)

    return write


HERE = (131.0, -25.0)


def beside(metres):
    at = Geodesic.WGS84.Direct(HERE[1], HERE[0], 40.0, metres)
    return at["lon2"], at["lat2"]


@pytest.mark.parametrize(("metres", "count"), [(0.0, 1), (149.0, 1), (151.0, 2)])
def test_like_names_within_150_m_are_one_place(layers, metres, count):
    """By geodesic distance (geographiclib, Karney 2013)."""
    found = layers(
        [(HERE, {"id": "a", "name": "Old Bore", "grade": "potable"})],
        [(beside(metres), {"id": "b", "name": "Old Bore (N)", "grade": "potable"})],
    )

    assert len(found.sources) == count
    assert any("taken as one source at its worst" in one for one in found.remarks) is (count == 1)


def test_the_same_id_near_by_is_one_place_whatever_its_name(layers):
    """An id that both layers know is the party's own word that it is one place."""
    found = layers(
        [(HERE, {"id": "a", "name": "Old Bore"})], [(beside(60.0), {"id": "a", "name": "Windmill"})]
    )

    assert [source.name for source in found.sources] == ["Old Bore"]


def test_another_name_near_by_stays_another_source(layers):
    """A tap beside a tank is two."""
    found = layers(
        [(HERE, {"id": "a", "name": "Roadhouse tap"})], [(HERE, {"id": "b", "name": "Fork Well"})]
    )

    assert len(found.sources) == 2


def test_of_each_fact_the_worse_holds(layers):
    """What one layer leaves open the other tells; where both tell, the worse is taken."""
    one = {"id": "a", "name": "Old Bore", "grade": "potable", "kind": "tap", "flow_l_per_min": 9,
           "months": "Apr-Sep", "certainty": "likely", "note": "good"}  # fmt: skip
    two = {"id": "b", "name": "Old Bore", "grade": "treat-before-drinking", "kind": "creek",
           "flow_l_per_min": 4, "limit_l": 40, "months": "Aug-Dec", "tds_mg_per_l": 900,
           "certainty": "doubtful", "note": "locked"}  # fmt: skip
    for told in ([(HERE, one)], [(HERE, two)]), ([(HERE, two)], [(HERE, one)]):
        (source,) = layers(*told).sources

        assert (source.grade, source.kind) == (Grade.TREAT, "creek")
        assert (source.flow_l_per_min, source.limit_l) == (4, 40)
        assert (source.months, source.tds_mg_per_l) == (frozenset({8, 9}), 900)
        assert source.certainty is Certainty.DOUBTFUL
        assert set(source.note.split("; ")) == {"good", "locked"}


def test_a_later_visit_outweighs_an_earlier_word(layers):
    """Found unreachable in 2019 in one layer, flowing three weeks ago in the other: likely."""
    theirs = {"id": "a", "name": "Old Bore", "grade": "potable", "kind": "bore",
              "visits": [{"on": "2019-03-01", "found": "unreachable"}]}  # fmt: skip
    ours = theirs | {"id": "b", "visits": [{"on": "2027-04-16", "found": "flowing"}]}
    on = dt.date(2027, 5, 7)
    (source,) = layers([(HERE, theirs)], [(HERE, ours)]).sources

    assert len(source.visits) == 2
    assert judge_source(source, on).certainty is Certainty.LIKELY
    late = theirs | {"visits": [{"on": "2027-05-01", "found": "dry"}]}
    (dry,) = layers([(HERE, ours)], [(HERE, late)]).sources
    assert judge_source(dry, on).certainty is Certainty.DOUBTFUL


@pytest.mark.parametrize(
    ("word", "found", "judged"),
    [("certain", "dry", "doubtful"), ("likely", "unreachable", "doubtful"),
     ("certain", "flowing", "certain"), ("doubtful", "flowing", "doubtful")],
)  # fmt: skip
@pytest.mark.parametrize("is_word_first", [True, False])
def test_an_undated_word_is_earlier_than_any_visit(layers, word, found, judged, is_word_first):
    """Whichever layer is read first; water found makes no doubtful source better."""
    place = {"id": "a", "name": "Old Bore", "grade": "potable", "kind": "bore"}
    told = [[(HERE, place | {"certainty": word})],
            [(HERE, place | {"visits": [{"on": "2027-05-01", "found": found}]})]]  # fmt: skip
    read = layers(*(told if is_word_first else told[::-1]))

    assert judge_source(read.sources[0], dt.date(2027, 5, 7)).certainty.value == judged
    is_outweighed = any("outweighed by a visit" in remark for remark in read.remarks)
    assert is_outweighed is (word != judged)


def test_whoever_retired_it_is_believed(layers):
    """Retired in one layer is retired."""
    found = layers(
        [(HERE, {"id": "a", "name": "Old Bore"})],
        [(HERE, {"id": "b", "name": "Old Bore", "retired": "cracked"})],
    )

    assert found.sources[0].retired == "cracked"


def test_kinds_are_ordered_by_their_priors():
    """The order that a joined source's kind is taken by is that of the published rates."""
    chances = [PRIOR_BY_KIND[kind].chance for kind in KINDS_WORST_LAST]

    assert sorted(KINDS_WORST_LAST) == sorted(SOURCE_KINDS)
    assert chances == sorted(chances, reverse=True)


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("waterhole", "pool"), ("rockhole", "pool"), ("billabong", "pool"), ("claypan", "pool"),
        ("lagoon", "pool"), ("river", "creek"), ("windmill", "bore"), ("borehole", "bore"),
        ("standpipe", "tap"), ("trough", "tank"), ("cistern", "tank"), ("Water-Holes", "pool"),
        ("puddle", None), ("", None),
    ],
)  # fmt: skip
def test_usual_words_are_known(word, kind):
    """The words that people use, and no others."""
    assert known_kind(word) == kind


def test_no_unknown_word_is_likelier_than_a_known_kind():
    """Whatever is known of it: no date, a fresh visit, months, one's own layer."""
    assert kind_prior("puddle") is STRANGE_KIND
    assert all(STRANGE_KIND.chance <= prior.chance for prior in PRIOR_BY_KIND.values())
    assert all(STRANGE_KIND.half_life_days <= p.half_life_days for p in PRIOR_BY_KIND.values())


def test_what_was_read_and_what_was_not_is_told_once(layers):
    """Columns under usual names, and those that nobody knows; a book is left in peace."""
    theirs = {"Title": "A", "Owner": "Shire", "Quality": "stock only", "depth": 12}
    told = layers([(HERE, theirs)]).remarks
    book = layers([(HERE, theirs | {"brought_from": "shire.csv", "name": "A"})]).remarks

    assert 'layer0.geojson: read by usual names: "Title" as name, "Quality" as grade.' in told
    (unread,) = [one for one in told if "not read" in one]
    assert unread.startswith("layer0.geojson: not read: Owner, depth (longdry bring --propose-")
    assert not any("not read" in one or "usual names" in one for one in book)


def test_words_that_sound_potable_are_read_as_to_treat_and_told(layers):
    """No column of a stranger's makes potable water; the way to say so is told."""
    found = layers([(HERE, {"name": "A", "quality": "Potable"})])

    assert found.sources[0].grade is Grade.TREAT
    assert any(
        '"Potable" in "quality" is read as treat-before-drinking' in r for r in found.remarks
    )
