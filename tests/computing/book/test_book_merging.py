"""Another layer brought into the water book. The sources are invented: not for navigation."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json

import pytest
from book_examples import edited_book
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st

from longdry.computing.book.changes import visit_change
from longdry.computing.book.merging import merge_change
from longdry.computing.water.certainty import judge_source
from longdry.model.water.book import BroughtSource
from longdry.model.water.source import Found, Visit, WaterSource
from longdry.model.words import Certainty, Grade
from longdry.reading.book.book_file import book_from_text
from longdry.showing.exports.book_geojson import changed_book_text

DAY = dt.date(2027, 5, 3)
VISIT = Visit(DAY, Found.DRY)


def other(identity="x1", name="Old Bore", lat_deg=-25.5003, lon_deg=131.0, **known):
    return BroughtSource(WaterSource(identity, name, lat_deg, lon_deg, **known))


def change_by(*sources, own=False, book=None):
    return merge_change(book or edited_book(), sources, origin="other.gpx", own=own)


def after(change, book=None):
    book = book or edited_book()
    return book_from_text(changed_book_text(book, change.features), origin=book.origin)


def test_new_source_comes_in_as_somebody_elses():
    """What nobody of the party has seen is marked so, with the file that it came from."""
    book = after(change_by(other(lat_deg=-24.0)))

    assert [source.id for source in book.sources] == ["7", "fork", "x1"]
    assert not book.sources[2].own
    assert '"brought_from": "other.gpx"' in book.text
    assert judge_source(book.sources[2], DAY).certainty is Certainty.DOUBTFUL


def test_own_recording_comes_in_as_ones_own():
    """With --own a brought source counts like one that was marked."""
    assert after(change_by(other(lat_deg=-24.0), own=True)).sources[2].own


def test_word_of_another_hand_is_not_the_users():
    """A certainty that somebody else set is left out; one's own is kept."""
    sure = other(lat_deg=-24.0, certainty=Certainty.CERTAIN)

    assert after(change_by(sure)).sources[2].certainty is None
    assert after(change_by(sure, own=True)).sources[2].certainty is Certainty.CERTAIN


@pytest.mark.parametrize(
    ("found", "stays"), [(Found.LOW, Certainty.DOUBTFUL), (Found.DRY, None), (None, None)]
)
def test_a_doubt_stays_where_the_same_file_found_water(found, stays):
    """Water that a file saw does not lift what it doubts, whether told at once or later."""
    visits = () if found is None else (Visit(DAY, found),)
    doubted = other(lat_deg=-24.0, certainty=Certainty.DOUBTFUL, visits=visits)
    before = after(change_by(other(lat_deg=-24.0)))

    assert after(change_by(doubted)).sources[2].certainty is stays
    assert after(change_by(doubted, book=before), before).sources[2].certainty is stays
    assert judge_source(after(change_by(doubted)).sources[2], DAY).certainty is Certainty.DOUBTFUL


def test_a_certainty_that_does_not_come_in_is_told():
    """Who mapped a column as certainty reads that a book takes it only from the party."""
    sure = other(lat_deg=-24.0, certainty=Certainty.CERTAIN)

    assert "calls one source certain or likely" in change_by(sure).notes[0]
    assert not any("certain" in note for note in change_by(sure, own=True).notes)


def test_a_cache_that_somebody_else_laid_is_not_ours():
    """A cache "laid by us" in a stranger's file is their word; in the party's own it is kept."""
    cache = other(lat_deg=-24.0, kind="cache", laid_by_us=True, laid_on=DAY)
    theirs, ours = (after(change_by(cache, own=own)).sources[2] for own in (False, True))

    assert (theirs.laid_by_us, theirs.laid_on) == (False, None)
    assert (ours.laid_by_us, ours.laid_on) == (True, DAY)


def test_foreign_properties_come_along():
    """What longdry does not know of a brought source is kept in the book."""
    one = BroughtSource(
        WaterSource("x1", "Tap", -24.0, 131.0), foreign={"depth": 4.5, "tags": {"a": [1]}}
    )

    properties = json.loads(after(change_by(one)).text)["features"][-1]["properties"]

    assert (properties["depth"], properties["tags"]) == (4.5, {"a": [1]})


def test_source_near_and_of_like_name_is_known():
    """33 m away and called alike is the same source: filled in, not doubled."""
    change = change_by(other(name="Old Bore (north)", access="pump", visits=(VISIT,)))
    bore = after(change).sources[0]

    assert len(after(change).sources) == 2
    assert (bore.access, bore.visits[-1]) == ("pump", VISIT)
    assert any(words.startswith('Filled in: "Old Bore": access "pump"') for words in change.notes)


def test_source_near_of_another_name_is_new_and_told():
    """A tap beside the bore comes in as a source of its own, and the user hears of the bore."""
    change = change_by(other(name="Shed Tap"))

    assert len(after(change).sources) == 3
    assert any('near "Old Bore", which has another name' in words for words in change.notes)


def test_two_new_sources_of_one_place_are_told():
    """A well that the other file has twice comes in twice, and the user is told which."""
    first, far = other("", "Far Tap", lat_deg=-24.0), other("", "Far Tap", lat_deg=-23.0)
    twin = other("", "far tap", lat_deg=-24.0004)
    made = [dataclasses.replace(one, made_id=True) for one in (first, far, twin)]

    news = [words for words in change_by(*made).notes if words.startswith("New")]

    assert news[2] == (
        'New: "far tap", id "far-tap-3", near "Far Tap", new too: retire one where both are the'
        " same."
    )
    assert "near" not in news[0] + news[1]


def test_conflict_is_told_and_the_book_stands():
    """Where the two files differ, nothing is overwritten, and a worse grade is pointed out."""
    change = change_by(other("7", "Old Bore", -25.5, grade=Grade.NOT_FOR_DRINKING, kind="well"))

    assert change.features == ()
    assert any("kind" in words and "the book stands" in words for words in change.notes)
    assert any("That is worse: check it." in words for words in change.notes)


def test_same_id_far_away_is_a_conflict():
    """An id that means another place is not brought, and the distance is told."""
    change = change_by(other("7", "Old Bore", -25.6))

    assert change.features == ()
    assert any("11.1 km away; not brought" in words for words in change.notes)


def test_id_twice_in_the_other_file_is_a_conflict():
    """Of two sources with one id the first comes in and the second is told."""
    change = change_by(other(lat_deg=-24.0), other(lat_deg=-23.0))

    assert len(after(change).sources) == 3
    assert any("comes twice in other.gpx" in words for words in change.notes)


def test_made_id_is_no_identity():
    """Where the other file has no ids, one is made from the name."""
    one = BroughtSource(WaterSource("7", "Second Tank", -24.0, 131.0), made_id=True)

    assert after(change_by(one)).sources[2].id == "second-tank"


def test_retired_elsewhere_is_told_and_not_done():
    """Somebody else's retiring does not retire a source of the book; the user is told."""
    change = change_by(other("7", "Old Bore", -25.5, retired="caved in"))

    assert change.features == ()
    assert any("has it retired (caved in)" in words for words in change.notes)


def test_own_recording_of_a_known_source_makes_it_ones_own():
    """A source once brought from elsewhere, now recorded by the party, is no longer hearsay."""
    theirs = after(change_by(other(lat_deg=-24.0)))
    change = merge_change(theirs, [other(lat_deg=-24.0)], origin="mine.gpx", own=True)

    assert after(change, theirs).sources[2].own


def told(found, identity="brought#1", name="Old Bore", place=-24.0, note=""):
    visit = Visit(DAY, found, note=note)
    return other(identity, name, place, visits=(visit,))


def test_a_file_read_otherwise_has_one_visit_a_day():
    """Same place and origin is the same source, whatever its id and name; its visit is one."""
    first = after(change_by(told(Found.FLOWING, note="Full")))
    change = change_by(told(Found.LOW, "B1", "Mill Seven", note="Full"), book=first)
    (mill,) = after(change, first).sources[2:]

    assert (mill.name, [visit.found for visit in mill.visits]) == ("Mill Seven", [Found.LOW])
    assert any("visit of 2027-05-03, low instead of flowing" in words for words in change.notes)


def test_visits_of_others_on_that_day_stand():
    """What the party, or another file, found on the same day is another visit, and is kept."""
    first = after(change_by(told(Found.FLOWING)))
    elsewhere = merge_change(first, [told(Found.DRY, "Z")], origin="shire.csv")
    seen = visit_change(after(elsewhere, first), "brought#1", Visit(DAY, Found.UNREACHABLE))
    book = after(seen, after(elsewhere, first))
    again = after(change_by(told(Found.LOW), book=book), book).sources[2]

    assert {visit.found for visit in again.visits} == {Found.DRY, Found.UNREACHABLE, Found.LOW}
    assert len(again.visits) == 3


def test_two_sources_of_one_place_are_told_apart():
    """A tap and a tank on one spot stay two when their file is read by other columns."""
    both = [told(Found.DRY, "brought#1", "Tap"), told(Found.LOW, "brought#2", "Tank")]
    first = after(change_by(*both))
    again = [told(Found.DRY, "T1", "north"), told(Found.FLOWING, "T2", "south")]
    book = after(change_by(*again, book=first), first)

    assert [(one.name, *[v.found for v in one.visits]) for one in book.sources[2:]] == [
        ("north", Found.DRY),
        ("south", Found.FLOWING),
    ]


sources = st.lists(
    st.builds(
        other,
        st.sampled_from(["7", "fork", "x1", "x2"]),
        st.sampled_from(["Old Bore", "Fork", "Shed Tap", "水"]),
        st.sampled_from([-25.5, -25.5003, -25.6, -24.0]),
        st.sampled_from([131.0, 131.2]),
        grade=st.sampled_from([None, *Grade]),
        kind=st.sampled_from([None, "bore"]),
        visits=st.sampled_from([(), (VISIT,)]),
    ),
    max_size=6,
)


@drawn_proof(400)
@given(sources, st.booleans())
def test_bringing_twice_changes_nothing_the_second_time(many, own):
    """A file brought again finds everything there already."""
    book = after(change_by(*many, own=own))
    again = change_by(*many, own=own, book=book)

    assert [change for change in again.features if change.number is None] == []
    assert after(
        change_by(*many, own=own, book=after(again, book)), after(again, book)
    ).sources == (after(again, book).sources)


@drawn_proof(400)
@given(sources)
def test_nothing_that_the_book_knew_is_lost(many):
    """Every value and visit that stood in the book stands there after bringing anything."""
    for old, new in zip(edited_book().sources, after(change_by(*many)).sources, strict=False):
        for field in dataclasses.fields(WaterSource):
            value = getattr(old, field.name)
            if field.name == "visits":
                assert new.visits[: len(value)] == value
            elif value not in (None, ""):
                assert getattr(new, field.name) == value


@pytest.mark.parametrize("count", [0, 1])
def test_counts_are_told_first(count):
    """The first sentence counts new, known, filled in and conflicts."""
    notes = change_by(*[other(lat_deg=-24.0)] * count).notes

    assert notes[0] == f"other.gpx: {count} new, 0 known (0 filled in), 0 conflicts."
