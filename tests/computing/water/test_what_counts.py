"""Salts, caches, unknown kinds and notes: what counts, and what is quoted."""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest
from make import source_at, straight_route, trip
from without_mends import plan_without_mends

from longdry.computing.water.certainty import judge_source
from longdry.computing.water.passes import why_not_counted, worst_judgement
from longdry.model.water.notes import doubts_in
from longdry.model.water.source import Found, Visit
from longdry.model.words import Certainty, Grade

BORE = dataclasses.replace(source_at(10.0, id="Old Bore"), kind="bore")
CACHE = dataclasses.replace(BORE, kind="cache", laid_by_us=True, laid_on=dt.date(2027, 4, 1))


@pytest.mark.parametrize(("solids", "counts"), [(None, True), (1200.0, True), (1200.1, False)])
def test_salts_above_1200_do_not_count_as_drinkable(solids, counts):
    """WHO/SDE/WSH/03.04/16: above 1200 mg/L of dissolved solids water is unacceptable."""
    source = dataclasses.replace(BORE, tds_mg_per_l=solids)

    assert (why_not_counted(source, can_treat=True) == "") is counts


def test_salts_that_a_visit_measured_count_too():
    """The layer's word of 300 does not outweigh a visit that measured 2400."""
    visit = Visit(dt.date(2026, 5, 1), Found.FLOWING, tds_mg_per_l=2400.0)
    source = dataclasses.replace(BORE, tds_mg_per_l=300.0, visits=(visit,))

    assert "2400 mg/L" in why_not_counted(source, can_treat=True)


@pytest.mark.parametrize(
    "missing",
    [
        {"laid_by_us": False},
        {"laid_on": None},
        {"laid_by_us": False, "laid_on": None},
        {"own": False},
    ],
)
def test_a_cache_that_nobody_laid_does_not_count(missing):
    """Both are asked for: that the party laid it, and when."""
    assert why_not_counted(CACHE, can_treat=True) == ""
    assert "laid_by_us and laid_on" in why_not_counted(
        dataclasses.replace(CACHE, **missing), can_treat=True
    )


MAY_TO_JULY = dataclasses.replace(BORE, months=frozenset({5, 6, 7}))


@pytest.mark.parametrize(
    "source", [MAY_TO_JULY, dataclasses.replace(MAY_TO_JULY, certainty=Certainty.CERTAIN)]
)
@pytest.mark.parametrize(
    ("day", "late"),
    [
        (29, ""),
        (30, "if the party comes 2 days late, on 2027-08-01: "),
        (31, "if the party comes a day late, on 2027-08-01: "),
    ],
)
def test_the_words_name_the_day_for_which_a_source_does_not_count(source, day, late):
    """A bore that holds to 31 July, and the first day outside, which is 1 August.

    A source is judged at the worst of the planned day and the two after it.
    """
    judged = worst_judgement(source, dt.date(2027, 7, day))

    assert (judged.certainty is Certainty.DOUBTFUL) is bool(late)
    assert judged.why.startswith(late)
    assert ("if the party" in judged.why) is bool(late)
    assert ("outside the months" in judged.why) is bool(late)


@pytest.mark.parametrize("month", [4, 8])
def test_the_words_of_a_planned_day_outside_the_months_name_no_other(month):
    """29 April lies outside itself, though 1 May does not; of 29 August all three days do."""
    judged = worst_judgement(MAY_TO_JULY, dt.date(2027, month, 29))

    assert judged.certainty is Certainty.DOUBTFUL
    assert judged.why.startswith("no visit known; outside the months when it holds")


def test_the_words_name_the_day_of_a_party_that_comes_later_with_other_calls():
    """24 wells, each 1.17 h there and back: who calls at all goes 33 h of 6 a day to the bore.

    That is its sixth day, 1 August. The plan passes most of them by and is there on its second,
    28 July, and a party that is 2 days late on 30 July: by that day alone the bore would count.
    """
    wells = [source_at(10.0 * number, offset_km=4.5) for number in range(1, 25)]
    bore = dataclasses.replace(source_at(250.0), months=MAY_TO_JULY.months)
    july = dt.datetime(2027, 7, 27, 8)
    made = plan_without_mends(
        straight_route(600.0, 7),
        [*wells, bore],
        dataclasses.replace(trip(), depart=july),
    )
    (passed,) = (one for one in made.passes if one.source.id == bore.id)

    assert passed.on == dt.date(2027, 7, 28)
    assert passed.judgement.certainty is Certainty.LIKELY
    assert passed.why_not.startswith("with other calls the party comes on 2027-08-01: doubtful: ")


@pytest.mark.parametrize("certainty", [None, *Certainty])
def test_a_cache_is_never_better_than_likely(certainty):
    """Not by hand, and not by any number of visits."""
    visits = tuple(Visit(dt.date(2027, 4, day), Found.FLOWING) for day in range(1, 29))
    source = dataclasses.replace(CACHE, certainty=certainty, visits=visits)

    assert judge_source(source, dt.date(2027, 5, 1)).certainty is not Certainty.CERTAIN


def test_a_cache_counts_in_a_plan_from_the_day_it_is_laid():
    """A cache laid after the party comes by is no water yet."""
    route, party = straight_route(20.0), trip()
    (passed,) = plan_without_mends(route, [CACHE], party).passes
    assert passed.counted


def test_an_unknown_kind_is_doubtful_and_told_with_its_word():
    """The word that was written stands in the reason."""
    judged = judge_source(dataclasses.replace(BORE, kind="puddle"), dt.date(2027, 5, 1))

    assert judged.certainty is Certainty.DOUBTFUL
    assert 'the kind "puddle" is not known' in judged.why


@pytest.mark.parametrize(
    ("note", "quoted"),
    [
        ("dry in May", ("dry in May",)),
        ("Ask at homestead. Nice shade.", ("Ask at homestead",)),
        ("$1/L", ("$1/L",)),
        ("gate locked; key at the shop", ("gate locked", "key at the shop")),
        ("not drinkable", ("not drinkable",)),
        ("does not dry out, they say", ("does not dry out, they say",)),
        ("good water, good camp", ()),
        ("monkey business", ()),
        ("", ()),
    ],
)
def test_notes_are_read_as_questions(note, quoted):
    """What may speak of drought, locks or money is quoted, for better or worse, never reckoned."""
    assert doubts_in(note) == quoted


def test_notes_of_counted_sources_are_raised_once():
    """One warning for all, with their own words; nothing else changes."""
    noted = dataclasses.replace(BORE, note="dry in May; ask at homestead")
    plain = plan_without_mends(straight_route(20.0), [BORE], trip())
    plan = plan_without_mends(straight_route(20.0), [noted], trip())
    told = [warning.text for warning in plan.warnings if "One note speaks" in warning.text]

    assert len(told) == 1
    assert '"dry in May; ask at homestead"' in told[0]
    assert [s.need for s in plan.stretches] == [s.need for s in plain.stretches]
    assert plan.passes[0].source.grade is Grade.POTABLE


def test_what_was_drunk_of_a_cache_is_not_there_a_year_later():
    """Of ten litres laid 4.4 were taken since: 5.6 are left; a tank is filled again."""
    taken = [Visit(dt.date(2027, month, 1), Found.LOW, litres=4.4) for month in (3, 5)]
    cache = dataclasses.replace(CACHE, limit_l=10.0, visits=tuple(taken))
    tank = dataclasses.replace(BORE, kind="tank", limit_l=10.0, visits=tuple(taken))
    plans = [plan_without_mends(straight_route(20.0), [one], trip()) for one in (cache, tank)]
    left_l = [plan.passes[0].source.limit_l for plan in plans]

    assert left_l == [pytest.approx(5.6), 10.0]
    assert "took 4.4 L of the 10 L" in " ".join(one.text for one in plans[0].warnings)
