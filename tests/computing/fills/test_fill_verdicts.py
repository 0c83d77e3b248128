"""The search for the best of bad verdicts, against the same search without any bound."""

from __future__ import annotations

import pytest
from fill_cases import random_problem
from how_many import proof

from longdry.computing.fills.bound import IMPOSSIBLE, best_cost, bounds_of
from longdry.computing.fills.terms import terms_of
from longdry.computing.fills.verdicts import (
    _best_found,
    _improved,
    _SearchState,
    best_steps,
    cost_in_tiers,
)
from longdry.model.plan.fills import FillProblem, GradeNeed, Leg, Stop, Vessel
from longdry.model.trip.party import Vehicle
from longdry.model.words import ContainerGrade, Grade

WIDE = 10**6
"""States kept at each stop: more than there ever are, so nothing is left out."""


def _first(terms):
    return _SearchState(terms.start, terms.start_tainted, 0, 0, None)


def _steps(end):
    found = []
    while end.step:
        found.append(end.step)
        end = end.before
    return found[::-1]


@proof(240)
def test_the_bound_never_asks_more_than_the_rest_really_costs(cases):
    """All along the best way found without a bound, the bound is no more than what follows costs.

    The cases have payloads, treatments that fall behind and containers that can be cleaned or not.
    """
    for seed in cases:
        terms = terms_of(random_problem(seed))
        end, is_proved = _best_found(terms, _first(terms), None, WIDE)
        bounds = bounds_of(terms, IMPOSSIBLE)
        rest = end.cost
        assert is_proved
        assert best_cost(bounds[0], terms.start, terms.start_tainted) <= rest
        tainted = terms.start_tainted
        for step, at_stop in zip(_steps(end), bounds[1:], strict=True):
            rest -= cost_in_tiers(step.result)
            tainted = step.assignment.lasting if step.assignment else tainted
            board = step.result.arriving(step.leaving)
            assert best_cost(at_stop, board, tainted) <= rest, f"seed {seed}"


@proof(120)
@pytest.mark.parametrize("width", [1, 2, 16])
def test_a_narrow_search_never_loses_the_end_it_was_given_nor_claims_too_much(cases, width):
    """However few states are kept: no worse than the end known, and proved only where it is best.

    Where only states that look best are kept, all of them may end above the ceiling.
    """
    for seed in cases:
        terms = terms_of(random_problem(seed))
        first = _first(terms)
        best, _ = _best_found(terms, first, None, WIDE)
        known, _ = _best_found(terms, first, None, 4)
        found, is_proved = _improved(terms, first, (bounds_of(terms, known.cost), known), width)
        assert (best.cost, best.order) <= (found.cost, found.order), f"seed {seed}"
        assert (found.cost, found.order) <= (known.cost, known.order), f"seed {seed}"
        assert not is_proved or (found.cost, found.order) == (best.cost, best.order)


@proof(200)
def test_the_search_with_a_bound_comes_to_the_same_as_the_one_without(cases):
    """Verdicts proved best cost what the search without a ceiling costs."""
    for seed in cases:
        terms = terms_of(random_problem(seed))
        best, _ = _best_found(terms, _first(terms), None, WIDE)
        found = best_steps(terms)
        assert found.is_proved
        assert sum(cost_in_tiers(step.result) for step in found.steps) == best.cost, f"seed {seed}"


def _behind_with_treating():
    """Invented: after the tap only creeks, where less can be treated than each leg asks for."""
    treatable_l = (30.1, 23.7, 53.9, 30.1, 18.2, 0.0)
    asked = ((72.5, 16.1, 48.4), (45.2, 10.0, 30.1), (35.6, 7.9, 23.7), (80.8, 18.0, 53.9),
             (45.2, 10.0, 30.1), (27.3, 6.1, 18.2), (27.0, 6.0, 18.0))  # fmt: skip
    creeks = [
        Stop(100.0 * n, f"creek {n}", Grade.TREAT, treat_l=most_l)
        for n, most_l in enumerate(treatable_l, 1)
    ]
    legs = [
        Leg(
            km=100.0,
            days=1.0,
            full=GradeNeed(potable_l, 0.0, any_l),
            lean=GradeNeed(potable_l),
            bare=GradeNeed(bare_l),
            reserve=GradeNeed(18.0, 0.0, 4.0),
            treat_l=0.0,
            reserve_treat_l=12.0,
        )
        for potable_l, any_l, bare_l in asked
    ]
    bottles = [Vessel(f"bottle {n}", 2.0, ContainerGrade.ANY, "second", 0.2, cleanable=True)
               for n in range(5)]  # fmt: skip
    bags = [Vessel(f"bag {n}", 5.0, ContainerGrade.ANY, "second") for n in range(9)]
    cans = [Vessel(f"can {n}", 5.0, ContainerGrade.POTABLE, "first", 1.5) for n in range(6)]
    return FillProblem(
        (Stop(0.0, None, Grade.POTABLE), *creeks, Stop(700.0, None)),
        tuple(legs),
        (*bottles, *bags, *cans),
        (Vehicle("first", 20.0), Vehicle("second", 300.0)),
    )


def test_a_narrow_search_that_comes_to_nothing_leaves_the_best_verdicts_to_the_wide_one():
    """Two payloads, treating that falls behind: the 16 states that look best all end too dear."""
    terms = terms_of(_behind_with_treating())
    best, _ = _best_found(terms, _first(terms), None, WIDE)

    found = best_steps(terms)

    assert found.is_proved
    assert sum(cost_in_tiers(step.result) for step in found.steps) == best.cost
