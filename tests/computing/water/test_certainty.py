"""Whether there will be water, judged from kind, season and visits.

References: scipy.stats.beta for the posterior; the published rates named in each test. The
sources are invented: not for navigation.
"""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import beta

from longdry.computing.water.certainty import certainty_for, judge_source, visit_weight
from longdry.computing.water.priors import PRIOR_BY_KIND, kind_prior
from longdry.model.water.source import Found, Visit, WaterSource
from longdry.model.words import SOURCE_KINDS, Certainty

DAY = dt.date(2027, 5, 3)


def source(**known) -> WaterSource:
    return WaterSource("s1", "Fork", -25.0, 131.0, **known)


def visit(found: str, days_before: int = 0) -> Visit:
    return Visit(DAY - dt.timedelta(days=days_before), Found(found))


kinds = st.sampled_from([*SOURCE_KINDS, None, "fountain"])
visit_lists = st.lists(
    st.builds(visit, st.sampled_from(list(Found)), st.integers(0, 3000)), max_size=6
)


def test_every_kind_has_a_prior():
    """No word of the kinds is left without a stated expectation."""
    assert set(PRIOR_BY_KIND) == set(SOURCE_KINDS)


@pytest.mark.parametrize(
    ("kind", "chance"),
    [
        ("tap", 0.78),  # Banks and Furey (2016): 78 % of water points work
        ("bore", 0.64),  # RWSN (2009): 36 % of hand pumps out of order
        ("well", 0.64),  # the same
        ("creek", 0.05),  # Messager and others (2021): 95 % dries each year in hot dry regions
    ],
)
def test_chance_before_any_visit_is_the_published_rate(kind, chance):
    """A source that nobody visited has the published chance of its kind."""
    assert judge_source(source(kind=kind), DAY).chance == pytest.approx(chance)


def test_built_sources_are_never_taken_better_than_the_best_published_rate():
    """No kind that the literature covers is expected to work more often than it found."""
    assert all(PRIOR_BY_KIND[kind].chance <= 0.78 for kind in ("tap", "bore", "well", "tank"))


@given(kind=kinds, wet=st.integers(0, 20), dry=st.integers(0, 20))
def test_posterior_agrees_with_scipy(kind, wet, dry):
    """Mean and bound are those of scipy's Beta distribution, with each visit by its weight."""
    visits = tuple(visit("flowing", 1 + day) for day in range(wet)) + (visit("dry"),) * dry
    prior, half_life = kind_prior(kind).chance, kind_prior(kind).half_life_days
    weight = sum(0.5 ** ((1 + day) / half_life) for day in range(wet))
    posterior = beta(2 * prior + weight, 2 * (1 - prior) + dry)

    judged = judge_source(source(kind=kind, visits=visits), DAY)

    assert judged.chance == pytest.approx(posterior.mean())
    assert judged.lower_bound == pytest.approx(posterior.ppf(0.2), abs=1e-8)


def test_visit_of_two_half_lives_ago_weighs_a_quarter():
    """A visit weighs half for every half-life of its kind: 0.5 ** (age / half-life)."""
    half_life = kind_prior("creek").half_life_days
    posterior = beta(2 * 0.05 + 0.25, 2 * 0.95)
    visits = (visit("flowing", round(2 * half_life)),)

    judged = judge_source(source(kind="creek", visits=visits), DAY)

    assert visit_weight(2 * half_life, half_life) == 0.25
    assert judged.chance == pytest.approx(posterior.mean())


@pytest.mark.parametrize(
    ("bound", "word"),
    [
        (0.90, "certain"),
        (0.89, "likely"),
        (0.34, "likely"),
        (0.33, "doubtful"),
        (0.0, "doubtful"),
    ],
)
def test_words_follow_the_stated_bounds(bound, word):
    """From 0.9 up certain, from one third up likely, below it doubtful."""
    assert certainty_for(bound).value == word


def test_own_source_of_which_nothing_is_known_is_likely_on_the_users_word():
    """The user's own layer is believed, and it is told that it stands on that alone."""
    judged = judge_source(source(), DAY)

    assert (judged.certainty, judged.on_word_alone) == (Certainty.LIKELY, True)
    assert "word of your own layer alone" in judged.why


@pytest.mark.parametrize(
    "known",
    [
        {"kind": "bore"},
        {"months": frozenset({5})},
        {"visits": (visit("low"),)},
        {"certainty": Certainty.LIKELY},
        {"own": False},
    ],
)
def test_what_is_known_of_a_source_ends_standing_on_the_word_alone(known):
    """A kind, months, a visit, a word set by hand or somebody else's data: not on word alone."""
    assert not judge_source(source(**known), DAY).on_word_alone


@given(kind=kinds, months=st.sampled_from([None, frozenset(range(1, 13))]))
def test_somebody_elses_source_without_a_visit_is_doubtful(kind, months):
    """What nobody of the party has seen is doubtful, whatever it is said to be."""
    judged = judge_source(source(kind=kind, months=months, own=False), DAY)

    assert judged.certainty is Certainty.DOUBTFUL
    assert "somebody else's data" in judged.why


def test_somebody_elses_source_becomes_likely_by_a_fresh_visit_only():
    """A visit of last week lifts it; one of ten years ago does not."""
    fresh = source(kind="bore", own=False, visits=(visit("flowing", 7),))
    old = source(kind="bore", own=False, visits=(visit("flowing", 3650),))

    assert judge_source(fresh, DAY).certainty is Certainty.LIKELY
    assert judge_source(old, DAY).certainty is Certainty.DOUBTFUL


def test_somebody_elses_source_is_likely_at_best_until_one_has_been_there():
    """However often others found it flowing, certain is a word for what the party has seen."""
    visits = tuple(visit("flowing", 30 * number) for number in range(1, 13))

    theirs, ours = (
        judge_source(source(kind="tap", own=own, visits=visits), DAY) for own in (False, True)
    )

    assert (theirs.certainty, ours.certainty) == (Certainty.LIKELY, Certainty.CERTAIN)
    assert "by somebody else's visits alone" in theirs.why


@pytest.mark.parametrize("found", ["dry", "unreachable"])
def test_fresh_visit_without_water_has_the_last_word(found):
    """However often it flowed before, found without water last month is doubtful."""
    wet_visits = (visit("flowing", 400 - day) for day in range(20))
    visits = (*wet_visits, visit(found, 30))

    judged = judge_source(source(kind="tap", visits=visits), DAY)

    assert judged.certainty is Certainty.DOUBTFUL
    assert f"found it {found}" in judged.why


def test_unreachable_is_no_water_for_the_party():
    """Water behind a locked gate is no water: unreachable weighs as dry."""
    dry = judge_source(source(kind="bore", visits=(visit("dry", 90),)), DAY)
    unreachable = judge_source(source(kind="bore", visits=(visit("unreachable", 90),)), DAY)

    assert unreachable.chance == dry.chance < 0.64


def test_low_is_water_and_is_told():
    """Low counts as water, with a caution."""
    low = judge_source(source(kind="bore", visits=(visit("low"),)), DAY)
    flowing = judge_source(source(kind="bore", visits=(visit("flowing"),)), DAY)

    assert low.chance == flowing.chance
    assert "found it low: little is left" in low.why


def test_what_the_user_set_stands_and_the_visit_is_told_beside_it():
    """A word set by hand is not overruled by a dry visit; both are shown."""
    judged = judge_source(source(certainty=Certainty.CERTAIN, visits=(visit("dry"),)), DAY)

    assert (judged.certainty, judged.by_hand) == (Certainty.CERTAIN, True)
    assert judged.why == "set by hand in the layer; last visit 2027-05-03 found it dry"


@pytest.mark.parametrize(
    ("on", "word"),
    [
        (dt.date(2027, 8, 31), Certainty.CERTAIN),
        (dt.date(2027, 9, 1), Certainty.DOUBTFUL),
        (None, Certainty.DOUBTFUL),
    ],
)
def test_word_set_by_hand_holds_in_the_months_of_its_own_layer(on, word):
    """A creek that holds until 31 August counts for nothing on 1 September, nor with no date."""
    creek = source(kind="creek", certainty=Certainty.CERTAIN, months=frozenset({6, 7, 8}))

    assert judge_source(creek, on).certainty is word
    assert judge_source(dataclasses.replace(creek, months=None), on).certainty is Certainty.CERTAIN


def test_retired_source_has_no_water():
    """A retired source is doubtful with no chance at all, even where certain was set by hand."""
    judged = judge_source(source(retired="caved in", certainty=Certainty.CERTAIN), DAY)

    assert (judged.certainty, judged.chance) == (Certainty.DOUBTFUL, 0.0)
    assert judged.why == "retired: caved in"


def test_creek_in_its_months_is_likely_and_outside_them_doubtful():
    """Mapped permanence agreed with 80.5 % of visits (Messager and others 2021) in its months."""
    unseen = source(kind="creek", months=frozenset({4, 5, 6}))
    creek = source(kind="creek", months=frozenset({4, 5, 6}), visits=(visit("flowing", 0),))

    assert judge_source(unseen, DAY).chance == pytest.approx(0.805)
    assert judge_source(unseen, DAY).certainty is Certainty.DOUBTFUL
    assert judge_source(creek, DAY).certainty is Certainty.LIKELY
    assert judge_source(creek, dt.date(2027, 10, 3)).certainty is Certainty.DOUBTFUL


def test_water_found_in_season_says_nothing_of_the_dry_season():
    """Ten visits in May do not make the creek flow in July."""
    visits = tuple(visit("flowing", day) for day in range(3))
    creek = source(kind="creek", months=frozenset({4, 5}), visits=visits)

    judged = judge_source(creek, dt.date(2027, 7, 1))

    assert judged.chance == pytest.approx(0.05)
    assert judged.certainty is Certainty.DOUBTFUL


@given(kind=kinds, visits=visit_lists)
def test_trip_without_a_date_is_never_judged_better(kind, visits):
    """Not knowing when the party comes is never better than the day of the last visit."""
    place = source(kind=kind, visits=tuple(visits), months=frozenset({5, 6}))

    assert judge_source(place, None).chance <= judge_source(place, DAY).chance + 1e-12


def test_trip_without_a_date_tells_that_visits_say_nothing():
    """Nobody takes a visit for a comfort that the figures do not take from it."""
    flowed = source(kind="bore", visits=(visit("flowing"),))

    assert "no date of the trip, so visits that found water say" in judge_source(flowed, None).why
    assert "no date" not in judge_source(flowed, DAY).why
    assert "no date" not in judge_source(source(kind="bore"), None).why


@given(kind=kinds, visits=visit_lists)
def test_one_more_dry_visit_never_raises_the_chance(kind, visits):
    """Dry visits never make water likelier, flowing ones never less likely."""
    before = judge_source(source(kind=kind, visits=tuple(visits)), DAY)
    drier = judge_source(source(kind=kind, visits=(*visits, visit("dry", 3))), DAY)
    wetter = judge_source(source(kind=kind, visits=(*visits, visit("flowing", 3))), DAY)

    assert drier.chance <= before.chance <= wetter.chance
    assert drier.lower_bound <= before.lower_bound <= wetter.lower_bound


@given(visits=visit_lists)
def test_order_of_the_visits_in_the_book_does_not_matter(visits):
    """Visits written down late count by their date."""
    forwards = source(kind="bore", visits=tuple(visits))
    backwards = source(kind="bore", visits=tuple(reversed(visits)))

    assert judge_source(forwards, DAY).chance == pytest.approx(
        judge_source(backwards, DAY).chance, abs=1e-12
    )


@given(kind=kinds, wet=st.integers(1, 9))
def test_water_found_on_one_day_counts_once(kind, wet):
    """Ten people at one bore on one day are no ten visits."""
    noted = tuple(Visit(DAY, Found.FLOWING, litres=float(number)) for number in range(wet))

    one, many = (judge_source(source(kind=kind, visits=v), DAY) for v in (noted[:1], noted))

    assert (many.chance, many.certainty) == (one.chance, one.certainty)


@pytest.mark.parametrize("found", ["dry", "unreachable"])
def test_worst_of_a_day_holds_in_whatever_order_it_was_written(found):
    """Where one found water and another none on one day, there was none to count on."""
    both = (visit(found, 3), visit("flowing", 3))

    judged = [judge_source(source(kind="bore", visits=v), DAY) for v in (both, both[::-1])]

    assert judged[0] == judged[1]
    assert judged[0].certainty is Certainty.DOUBTFUL


@given(kind=kinds, months=st.sampled_from([None, frozenset({5}), frozenset({6})]))
def test_water_found_after_the_planned_day_says_nothing_of_it(kind, months):
    """A date to come, or a slip of the year, makes no source more certain, and is told."""
    later = tuple(visit("flowing", -days) for days in range(1, 200, 20))

    plain = judge_source(source(kind=kind, months=months), DAY)
    judged = judge_source(source(kind=kind, months=months, visits=later), DAY)

    assert (judged.chance, judged.certainty) == (plain.chance, plain.certainty)
    assert f"visits dated after {DAY} left out, the latest of 2027-10-31" in judged.why


def test_none_found_after_the_planned_day_still_speaks_against_it():
    """What may be a slip of the year is left out only where it would make things better."""
    judged = judge_source(source(kind="tap", visits=(visit("dry", -1),)), DAY)

    assert judged.certainty is Certainty.DOUBTFUL


@given(days=st.lists(st.integers(0, 3000), max_size=4), kind=st.none())
def test_source_that_always_flowed_is_no_worse_than_one_nobody_visited(days, kind):
    """Writing down that it flowed never takes a source of one's own out of the plan."""
    visits = tuple(visit("flowing", number) for number in days)

    judged = judge_source(source(kind=kind, visits=visits), DAY)

    assert judged.certainty in {Certainty.LIKELY, Certainty.CERTAIN}


@pytest.mark.parametrize("found", ["low", "dry", "unreachable"])
def test_word_alone_ends_with_a_visit_that_found_little_or_none(found):
    """An old visit that found no plenty is judged by the figures, not by the user's word."""
    judged = judge_source(source(visits=(visit(found, 400),)), DAY)

    assert not judged.on_word_alone
    assert judged.certainty is Certainty.DOUBTFUL


@pytest.mark.parametrize(("days", "word"), [(700, Certainty.DOUBTFUL), (760, Certainty.CERTAIN)])
def test_last_word_of_a_dry_visit_lasts_one_half_life(days, word):
    """A tap's half-life is 730 days: until then a dry last visit decides, then the figures do."""
    visits = (*(visit("flowing", days + number) for number in range(1, 41)), visit("dry", days))

    assert judge_source(source(kind="tap", visits=visits), DAY).certainty is word


def test_none_found_in_season_speaks_against_the_dry_season_too():
    """A soak that was dry in its months is no better outside them."""
    months = frozenset({4})
    dry = source(kind="soak", months=months, visits=(visit("dry", 20),))

    plain = judge_source(source(kind="soak", months=months), DAY)

    assert judge_source(dry, DAY).chance < plain.chance


def test_months_count_as_missed_where_the_trip_has_no_date():
    """Months help only a trip that says when; all twelve of them need no date."""
    some = source(kind="spring", months=frozenset(range(1, 12)))
    all_year = source(kind="spring", months=frozenset(range(1, 13)))

    assert judge_source(some, None).chance == pytest.approx(0.05)
    assert judge_source(all_year, None).chance == pytest.approx(0.805)
