"""What becomes of the water book. The sources are invented: not for navigation."""

from __future__ import annotations

import datetime as dt
import json

import pytest
from book_examples import edited_book
from geographiclib.geodesic import Geodesic
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st

from longdry.computing.book.changes import mark_change, retire_change, visit_change
from longdry.errors import BookError
from longdry.geodesy import NearPlaces
from longdry.like_names import id_from_name, names_alike
from longdry.model.water.source import SAME_PLACE_M, Found, Visit, WaterSource
from longdry.model.words import Grade
from longdry.reading.book.book_file import book_from_text
from longdry.showing.exports.book_geojson import EMPTY_BOOK_TEXT, changed_book_text

DAY = dt.date(2027, 5, 3)


def after(book, change):
    return book_from_text(changed_book_text(book, change.features), origin=book.origin)


def new(**known) -> WaterSource:
    known = {"name": "Dune Tap", "lat_deg": -24.0, "lon_deg": 132.0} | known
    return WaterSource("", **known)


def test_marked_source_is_read_back_as_it_was_told():
    """All that was said of a source stands in the book."""
    source = new(
        grade=Grade.POTABLE, kind="tap", access="tap key", flow_l_per_min=9.0, limit_l=40.0,
        months=frozenset({4, 5}), tds_mg_per_l=500.0, note="behind the shed",
    )  # fmt: skip

    book = after(edited_book(), mark_change(edited_book(), source))
    known = book.sources[-1]

    assert known.id == "dune-tap"
    for name in (
        "name", "lat_deg", "lon_deg", "grade", "kind", "access", "flow_l_per_min", "limit_l",
        "months", "tds_mg_per_l", "note",
    ):  # fmt: skip
        assert getattr(known, name) == getattr(source, name)


def test_first_source_of_an_empty_book_stands_on_a_line_of_its_own():
    """A book grows line by line, so that two versions of it can be compared."""
    empty = book_from_text(EMPTY_BOOK_TEXT, origin="book.geojson")

    one = after(empty, mark_change(empty, new()))
    two = after(one, mark_change(one, new(name="Second", lat_deg=-24.5)))

    assert [line.count('"Feature"') for line in two.text.splitlines()] == [0, 0, 0, 0, 1, 1, 0, 0]
    assert json.loads(two.text)["features"][1]["properties"]["name"] == "Second"


def test_empty_list_on_one_line_takes_a_source():
    """A book written without a line break takes its first source too."""
    empty = book_from_text('{"features":[],"type":"FeatureCollection"}', origin="b")

    assert len(after(empty, mark_change(empty, new())).sources) == 1


@pytest.mark.parametrize(("metres", "refused"), [(149.0, True), (151.0, False)])
@pytest.mark.parametrize("azimuth_deg", [0.0, 90.0, 200.0])
def test_source_within_150_m_is_refused_by_geodesic_distance(metres, refused, azimuth_deg):
    """149 m is near and 151 m is not, measured by geographiclib (Karney 2013)."""
    place = Geodesic.WGS84.Direct(-25.5, 131.0, azimuth_deg, metres)
    source = new(lat_deg=place["lat2"], lon_deg=place["lon2"])

    if refused:
        with pytest.raises(BookError, match=r'"Old Bore" \(id "7"\) is 149 m .*--anyway'):
            mark_change(edited_book(), source)
    else:
        assert mark_change(edited_book(), source).features


def test_anyway_overrules_nearness():
    """Who knows that it is another source says so."""
    change = mark_change(edited_book(), new(lat_deg=-25.5, lon_deg=131.0), anyway=True)

    assert len(after(edited_book(), change).sources) == 3


def test_source_across_the_antimeridian_is_near():
    """180 and -180 degrees are one meridian."""
    places = NearPlaces([10.0], [179.9999])

    assert places.within(10.0, -179.9999, metres=SAME_PLACE_M)[0].distance_m == pytest.approx(
        21.9, abs=0.1
    )


@drawn_proof(240)
@given(
    places=st.lists(st.tuples(st.floats(-0.01, 0.01), st.floats(-0.01, 0.01)), max_size=20),
    metres=st.floats(1.0, 2000.0),
)
def test_near_places_are_all_found_and_sorted(places, metres):
    """Against geographiclib, place by place."""
    lat, lon = [60.0 + dlat for dlat, _ in places], [10.0 + dlon for _, dlon in places]
    all_m = [Geodesic.WGS84.Inverse(60.0, 10.0, a, b)["s12"] for a, b in zip(lat, lon, strict=True)]

    found = NearPlaces(lat, lon).within(60.0, 10.0, metres=metres)

    assert {one.index for one in found} == {n for n, m in enumerate(all_m) if m <= metres}
    assert [one.distance_m for one in found] == sorted(one.distance_m for one in found)


def test_taken_id_is_refused_and_a_made_one_steps_aside():
    """An id that the user gives must be free; one made from the name gets a number."""
    with pytest.raises(BookError, match='the id "fork" is taken'):
        mark_change(edited_book(), WaterSource("fork", "Other", -20.0, 131.0))

    assert "fork-2" in mark_change(edited_book(), new(name="Fork")).notes[0]


def test_source_without_grade_is_told_to_count_as_not_for_drinking():
    """Unknown is worst, and the user hears it when the source is marked."""
    assert "counts as not for drinking" in mark_change(edited_book(), new()).notes[1]


@pytest.mark.parametrize("wanted", ["7", "Old Bore", "old bore", " OLD BORE "])
def test_source_is_found_by_id_or_name(wanted):
    """Id first, then name, case aside."""
    book = edited_book()

    assert visit_change(book, wanted, Visit(DAY, Found.DRY)).features[0].number == 0


def test_name_that_two_sources_have_asks_for_the_id():
    """Which of two Forks was dry is not guessed."""
    book = after(edited_book(), mark_change(edited_book(), new(name="Fork")))

    with pytest.raises(BookError, match='name one by its id: "fork", "fork-2"'):
        visit_change(book, "Fork", Visit(DAY, Found.DRY))


def test_unknown_name_is_answered_with_the_nearest():
    """A slip of the finger is answered with the name that was meant."""
    with pytest.raises(BookError, match='did you mean "Old Bore"'):
        retire_change(edited_book(), "Old Boer", "gone")


def test_worse_grade_takes_effect_at_once():
    """Water found worse is worse from now on."""
    visit = Visit(DAY, Found.FLOWING, grade=Grade.NOT_FOR_DRINKING)
    change = visit_change(edited_book(), "7", visit)

    assert after(edited_book(), change).sources[0].grade is Grade.NOT_FOR_DRINKING
    assert any("worse, not-for-drinking instead of treat" in words for words in change.notes)


def test_better_grade_is_told_and_waits():
    """Water found better is noted in the visit; the book's grade stands until --better."""
    visit = Visit(DAY, Found.FLOWING, grade=Grade.POTABLE)
    change = visit_change(edited_book(), "7", visit)
    book = after(edited_book(), change)
    sure = visit_change(book, "7", visit, better=True)

    assert book.sources[0].grade is Grade.TREAT
    assert book.sources[0].visits[-1].grade is Grade.POTABLE
    assert any("repeat the command with --better" in words for words in change.notes)
    assert after(book, sure).sources[0].grade is Grade.POTABLE
    assert len(after(book, sure).sources[0].visits) == 2


def test_first_known_grade_is_taken_and_told():
    """Where nothing was known, what was found is known now."""
    change = visit_change(edited_book(), "fork", Visit(DAY, Found.FLOWING, grade=Grade.TREAT))

    assert after(edited_book(), change).sources[1].grade is Grade.TREAT


def test_more_salt_takes_effect_and_less_waits():
    """Dissolved solids follow the same rule: worse at once, better only told."""
    salty = after(
        edited_book(),
        visit_change(edited_book(), "7", Visit(DAY, Found.FLOWING, tds_mg_per_l=1500.0)),
    )
    fresher = visit_change(salty, "7", Visit(DAY, Found.FLOWING, tds_mg_per_l=300.0))

    assert salty.sources[0].tds_mg_per_l == 1500.0
    assert after(salty, fresher).sources[0].tds_mg_per_l == 1500.0


def test_same_visit_is_not_written_twice():
    """Who repeats a command by mistake does not count a visit double."""
    visit = Visit(DAY, Found.DRY)
    once = after(edited_book(), visit_change(edited_book(), "7", visit))
    again = visit_change(once, "7", visit)

    assert again.features == ()
    assert "in the book already" in again.notes[0]


def test_hand_set_certainty_is_told_to_stand():
    """A dry visit does not overrule the user's own word, and says so."""
    told = visit_change(edited_book(), "fork", Visit(DAY, Found.DRY)).notes

    assert any('set by hand to "likely" and stands' in words for words in told)


def test_visit_makes_somebody_elses_source_ones_own():
    """After a visit of the party a source is no longer hearsay."""
    book = after(edited_book(), mark_change(edited_book(), new(own=False)))
    assert not book.sources[2].own

    assert after(book, visit_change(book, "dune-tap", Visit(DAY, Found.LOW))).sources[2].own


def test_retiring_twice_changes_nothing():
    """The first reason stands."""
    book = after(edited_book(), retire_change(edited_book(), "fork", "fenced off"))
    again = retire_change(book, "fork", "other")

    assert book.sources[1].retired == "fenced off"
    assert again.features == ()
    assert "retired already: fenced off" in again.notes[0]


@given(st.text(max_size=30))
def test_made_id_is_plain_and_free(name):
    """Any name gives an id of plain letters, digits and hyphens that nobody has."""
    first = id_from_name(name, ())
    second = id_from_name(name, {first})

    assert first != second
    assert all(letter in "abcdefghijklmnopqrstuvwxyz0123456789-" for letter in first)
    assert 0 < len(first) <= 40


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ("Böhm Well", "BOHM WELL", True),
        ("Twelve Mile", "Twelve Mile Bore", True),
        ("Sandy Tank", "Sandi Tank", True),
        ("North Tank", "South Tank", False),
        ("水", "Fork", False),
    ],
)
def test_names_are_alike_or_not(one, other, alike):
    """Spelling may differ a little; another word is another name."""
    assert names_alike(one, other) is alike
    assert names_alike(other, one) is alike


def test_better_grade_of_an_older_visit_never_overrules_a_later_worse_one():
    """An old note of good water changes nothing once somebody found it worse, --better or not."""
    later = Visit(DAY, Found.FLOWING, grade=Grade.NOT_FOR_DRINKING)
    book = after(edited_book(), visit_change(edited_book(), "7", later))
    older = Visit(DAY - dt.timedelta(days=400), Found.FLOWING, grade=Grade.POTABLE)

    change = visit_change(book, "7", older, better=True)

    assert after(book, change).sources[0].grade is Grade.NOT_FOR_DRINKING
    assert any("the later visit of 2027-05-03 found it not-for-drinking" in w for w in change.notes)


@pytest.mark.parametrize(("tds_mg_per_l", "told"), [(1200.0, False), (1200.5, True)])
def test_salt_beyond_what_people_accept_is_told_at_once(tds_mg_per_l, told):
    """Above 1200 mg/L water is unacceptable to drink (WHO/SDE/WSH/03.04/16)."""
    change = visit_change(
        edited_book(), "fork", Visit(DAY, Found.FLOWING, tds_mg_per_l=tds_mg_per_l)
    )

    assert any("Above 1200 mg/L is unacceptable" in words for words in change.notes) is told


def test_two_findings_of_one_day_are_told():
    """Who writes down that it flowed, where the book has it dry that day, is told what holds."""
    book = after(edited_book(), visit_change(edited_book(), "7", Visit(DAY, Found.DRY)))

    told = visit_change(book, "7", Visit(DAY, Found.FLOWING)).notes

    assert "The book has another visit of that day, found dry: the worst of a day holds." in told
