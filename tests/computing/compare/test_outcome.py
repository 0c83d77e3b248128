"""The figures of a plan that are compared, where they are more than copied."""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest
from astral import Observer
from astral.sun import dusk
from make import container, pace, policy, source_at, straight_route, trip

from longdry.api import plan_trip
from longdry.computing.compare.outcome import outcome_of
from longdry.model.compare.combination import HeatVerdict
from longdry.model.trip.what_if import Inquiry
from longdry.model.water.source import WaterSource

QUIET = Inquiry(trials=0, mends=False)


def outcome(*sources: WaterSource, month: int = 6, hours_per_day: float = 10.5, km: float = 1200.0):
    """Plan a drive from 8 o'clock along the straight route, leaving on the 20th of a month."""
    its_trip = dataclasses.replace(
        trip(
            pace=pace(hours_per_day=hours_per_day, longer_day_h=0.0, speed_kmh=40.0),
            containers=[container(count=20)],
            policy=policy(),
        ),
        depart=dt.datetime(2027, month, 20, 8),
        utc_offset_h=8.6667,
    )
    return outcome_of(plan_trip(straight_route(km), sources, its_trip, inquiry=QUIET))


@pytest.mark.parametrize(("month", "is_cut"), [(6, True), (12, False)])
def test_days_that_dark_cuts_short_are_those_on_which_it_comes_before_the_hours_end(month, is_cut):
    """In June it is dark at that place before half past six, in December not (astral)."""
    found = outcome(month=month)
    place = Observer(-25.0, 130.0)
    zone = dt.timezone(dt.timedelta(hours=8.6667))
    dark = dusk(place, date=dt.date(2027, month, 20), tzinfo=zone)

    assert (dark.hour + dark.minute / 60.0 < 18.5) is is_cut
    assert found.days >= 3
    assert found.dark_days == (found.days - 1 if is_cut else 0), "the last day ends before dark"


def test_who_moves_few_hours_is_cut_short_by_no_dark():
    """Six hours from eight o'clock end in daylight in every month."""
    assert outcome(month=6, hours_per_day=6.0).dark_days == 0


def test_a_source_counts_as_out_only_for_the_sake_of_the_day():
    """What is not for drinking on any day is no matter of the day; a cache laid too late is."""
    bad = source_at(100.0, grade=None, id="bad")
    late = dataclasses.replace(
        source_at(200.0, id="late"),
        kind="cache", laid_by_us=True, laid_on=dt.date(2027, 7, 1),
    )  # fmt: skip
    found = outcome(bad, late, source_at(300.0, id="good"))

    assert [one.source.id for one in found.not_counted] == ["late"]
    assert "laid on 2027-07-01" in found.not_counted[0].why


def test_without_heat_and_trials_nothing_is_known_of_them():
    """Unknown stays unknown."""
    found = outcome(source_at(500.0))

    assert (found.heat, found.hottest, found.chances) == (HeatVerdict.NOT_GIVEN, None, None)
