"""All answers together, and the plan as filled as where they start from."""

from __future__ import annotations

import dataclasses

import pytest
from loaded import DATED, SURE, bore_at, loaded, under
from make import policy, straight_route, trip

from longdry.computing.plan.grave_warnings import warnings_of_setbacks
from longdry.computing.plan.planning import plan_trip
from longdry.computing.route.mirrored import mirrored_trip
from longdry.computing.setbacks.dry import dry_sources
from longdry.computing.setbacks.setbacks import setbacks_of_plan
from longdry.computing.setbacks.supplied import as_planned
from longdry.computing.setbacks.what_ifs import what_if
from longdry.errors import TripFileError
from longdry.model.trip.what_if import Delay, Inquiry, LostContainer, MorePeople, SlowerPace
from longdry.model.words import Certainty, Verdict

WELLS = (bore_at(200.0, **SURE), bore_at(400.0, certainty=Certainty.LIKELY))


def as_filled(plan):
    """Return the stretches of a plan as if its litres had come from fills."""
    return tuple(
        dataclasses.replace(stretch, on_board_l=litres)
        for stretch, litres in zip(plan.stretches(), plan.carried_l, strict=True)
    )


def answers(plan, inquiry=None):
    return setbacks_of_plan(plan.journey, as_filled(plan), inquiry or Inquiry(trials=0))


def test_everything_is_answered():
    """Three stretches, three dry runs, the standard set and one change more.

    From km 200 (12:00) 4 L last 8 h: not the night before km 400. With that dry too, neither way.
    """
    rules = policy(back_by_days=1.25, help_days=2.0)
    plan = loaded(*WELLS, carried_l=[20.0, 4.0, 20.0], policy=rules, more=DATED)
    found = answers(plan, Inquiry(changes=(MorePeople(1),), trials=500, seed=3))

    assert [one.words for one in found.dry] == ["dry s200", "dry s400", "dry s200 and dry s400"]
    assert [one.kind.value for one in found.changes] == ["delay", "pace", "container", "people"]
    assert (found.worst.words, found.worst.leaves_neither) == ("dry s400", True)
    assert len(found.turn_backs) == 3
    assert found.turn_backs[1].time_km == pytest.approx(300.0, abs=0.02)
    assert found.sit_out.help_days == 2.0
    assert (found.proof.least_l[0], found.proof.least_l[1] > 0.0) == (0.0, True)
    assert (found.chance.trials, found.chance.seed) == (500, 3)
    texts = [warning.text for warning in warnings_of_setbacks(found)]
    assert "neither on nor back: s400." in texts[0]
    assert len(texts) == 1


def test_what_the_trip_asks_comes_before_what_is_asked_beside():
    """One of each."""
    plan = loaded(*WELLS, more={"what_ifs": (MorePeople(1),)})
    found = answers(plan, Inquiry(changes=(MorePeople(2),), trials=0))

    assert [one.words for one in found.changes[-2:]] == ["1 more person", "2 more people"]


def test_what_is_asked_and_usual_is_answered_once():
    """A day lost and 25 % slower are always asked; asked again, nothing is told twice."""
    plan = loaded(*WELLS)
    usual = answers(plan)
    again = answers(plan, Inquiry(changes=(SlowerPace(25.0), Delay(1)), trials=0))

    assert [one.words for one in again.changes] == [one.words for one in usual.changes]


def test_a_delay_of_the_trip_turns_with_the_route():
    """A day lost at km 100 of 600 is lost at km 500 of the route reversed."""
    turned = mirrored_trip(dataclasses.replace(trip(), what_ifs=(Delay(1, 100.0), Delay(2))), 600.0)

    assert turned.what_ifs == (Delay(1, 500.0), Delay(2))


def test_no_trials_no_chance():
    """Without trials nothing is said of chance."""
    assert answers(loaded(*WELLS)).chance is None


def test_a_route_without_water_is_answered_too():
    """No source: nothing dry, one stretch to turn back on, nothing to prove."""
    found = answers(loaded(), Inquiry(trials=10))

    assert found.dry == ()
    assert len(found.turn_backs) == 1
    assert found.proof.holds
    assert found.chance.by_stretch[0].short == found.chance.short


@pytest.mark.parametrize("origin", ["trip.toml", "--what-if"])
def test_a_change_that_cannot_be_is_one_sentence_that_names_where_it_was_written(origin):
    """In the trip file or on the command line."""
    urn = (LostContainer("urn"),)
    more = {"what_ifs": urn} if origin == "trip.toml" else {}
    asked = Inquiry(changes=() if more else urn, origin="--what-if", trials=0)
    with pytest.raises(TripFileError, match='no container is called "urn"') as caught:
        answers(loaded(more=more), asked)

    assert origin in str(caught.value)


def test_the_plan_as_filled_is_where_the_answers_start():
    """Ends, litres and verdicts are those of the plan's own stretches."""
    rules = policy(reserve_days=1.0, call_at=("s200", "s400"))
    made = plan_trip(straight_route(600.0, points=7), WELLS, trip(policy=rules))
    plan = as_planned(loaded(*WELLS, policy=rules).journey, made.stretches)

    assert list(plan.carried_l) == [stretch.on_board_l for stretch in made.stretches]
    assert list(plan.planned) == [stretch.verdict for stretch in made.stretches]
    assert [one.go_on for one in dry_sources(plan)] == [one.go_on for one in made.setbacks.dry]


def test_no_what_if_is_better_than_the_fill_plan():
    """The litres would do, but the fill plan, which knows grades, calls the stretch too long."""
    plan = loaded(*WELLS)
    first, *others = as_filled(plan)
    held = dataclasses.replace(first, verdict=Verdict.TOO_LONG, on_board_l=90.0)
    plan = as_planned(plan.journey, [held, *others])

    assert plan.stretch(0).verdict is Verdict.TOO_LONG
    assert what_if(under(plan), Delay(1, 500.0)).verdict is Verdict.TOO_LONG


def test_verdicts_must_be_one_for_each_stretch():
    """Three stretches and one verdict is a mistake of the caller."""
    with pytest.raises(ValueError, match="1 verdicts for 3 stretches"):
        dataclasses.replace(loaded(*WELLS), planned=(Verdict.CLEAR,))
