"""All answers together, and the plan as filled as where they start from."""

from __future__ import annotations

import dataclasses

import pytest
from loaded import afresh, loaded
from make import policy, source_at

from longdry.computing.setbacks.setbacks import Asked, setbacks_of, uncertain_ids
from longdry.computing.setbacks.supplied import loaded_as_planned
from longdry.computing.setbacks.what_ifs import what_if
from longdry.errors import TripFileError
from longdry.model.trip.what_if import Delay, LostContainer, MorePeople
from longdry.model.water.passes import Judgement
from longdry.model.words import Certainty, Verdict

WELLS = (source_at(200.0), source_at(400.0))


def judged(certainty, chance):
    return Judgement(certainty, chance, chance, "for the test")


def test_everything_is_answered():
    """Three stretches, three dry runs, the standard set and one change more.

    From km 200 (12:00) 3 L last 9 h: not the night before km 400. With that dry too, neither way.
    """
    plan = loaded(*WELLS, on_board_l=[20.0, 3.0, 20.0])
    judgements = {
        "s200": judged(Certainty.CERTAIN, 0.9), "s400": judged(Certainty.LIKELY, 0.6),
    }  # fmt: skip
    asked = Asked(changes=(MorePeople(1),), back_by_h=30.0, help_days=2.0, trials=500, seed=3)
    found = setbacks_of(plan, judgements, asked=asked)

    assert [one.words for one in found.dry] == ["dry s200", "dry s400", "dry s200 and dry s400"]
    assert [one.kind.value for one in found.changes] == ["delay", "pace", "container", "people"]
    assert (found.worst.words, found.worst.leaves_neither) == ("dry s400", True)
    assert len(found.turn_backs) == 3
    assert found.turn_backs[1].time_km == pytest.approx(300.0, abs=0.01)
    assert found.sit_out.help_days == 2.0
    assert (found.proof.least_l[0], found.proof.least_l[1] > 0.0) == (0.0, True)
    assert (found.chance.trials, found.chance.seed) == (500, 3)


def test_no_trials_no_chance():
    """Without trials nothing is said of chance; without judgements everything is uncertain."""
    plan = loaded(*WELLS)

    assert setbacks_of(plan, {}).chance is None
    assert uncertain_ids(plan, {}) == {"s200", "s400"}


def test_a_route_without_water_is_answered_too():
    """No source: nothing dry, one stretch to turn back on, nothing to prove."""
    found = setbacks_of(loaded(), {}, asked=Asked(trials=10))

    assert found.dry == ()
    assert len(found.turn_backs) == 1
    assert found.proof.holds
    assert found.chance.by_stretch[0].short == found.chance.short


def test_a_change_that_cannot_be_is_one_sentence():
    """It comes through from the change to the caller."""
    with pytest.raises(TripFileError, match='no container is called "urn"'):
        setbacks_of(loaded(), {}, asked=Asked(changes=(LostContainer("urn"),)))


def test_the_plan_as_filled_is_where_the_answers_start():
    """Ends, litres and verdicts are those of the plan's own stretches."""
    made = afresh(*WELLS, policy=policy(reserve_days=1.0))
    plan = loaded_as_planned(made.stretches, loaded(*WELLS).going)

    assert plan.ends == (made.stretches[0].begin, *(s.end for s in made.stretches))
    assert list(plan.on_board_l) == [
        s.available_l if s.on_board_l is None else s.on_board_l for s in made.stretches
    ]


def test_no_what_if_is_better_than_the_fill_plan():
    """The litres would do, but the fill plan, which knows grades, calls the stretch too long."""
    made = afresh(*WELLS)
    held = [dataclasses.replace(made.stretches[0], verdict=Verdict.TOO_LONG, on_board_l=90.0)]
    plan = loaded_as_planned([*held, *made.stretches[1:]], loaded(*WELLS).going)

    assert plan.stretch(0).verdict is Verdict.TOO_LONG
    assert what_if(plan, Delay(1, 500.0)).verdict is Verdict.TOO_LONG


def test_verdicts_must_be_one_for_each_stretch():
    """Three stretches and one verdict is a mistake of the caller."""
    with pytest.raises(ValueError, match="1 verdicts for 3 stretches"):
        dataclasses.replace(loaded(*WELLS), planned=(Verdict.CLEAR,))
