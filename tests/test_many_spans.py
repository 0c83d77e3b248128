"""Spans and litres of all stretches at once, against the clock and the needs of one at a time."""

from __future__ import annotations

import itertools

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st

from loaded import flat_heat
from longdry.computing.clock import Camp, Clock
from longdry.computing.many_needs import ManyNeeds
from longdry.computing.many_spans import spans_between
from longdry.computing.moving_hours import Moment, daily_windows
from longdry.computing.needs import no_heat
from longdry.computing.pace_profile import profile_by_sections
from longdry.computing.stretches import Going, span_between
from longdry.computing.use_rates import RATIONS
from longdry.model.dry_stretch import StretchEnd
from longdry.model.judgement import Judgement
from longdry.model.trip import PaceSection
from longdry.model.water_pass import WaterPass
from longdry.model.words import Accrual, Certainty, Ration
from make import pace, policy, source_at, trip, use

LENGTH_KM = 1000.0
USES = [
    [use("drinking", 4.1), use("cooking", 1.3, kept=Ration.LEAN)],
    [use("engine", 3.0, per=Accrual.PARTY_100KM), use("camp", 2.7, per=Accrual.PARTY_NIGHT)],
]
HEATS = [no_heat(), flat_heat(3.0, 2.0), flat_heat(23.0, 9.0)]
BREAKS = [None, (11.0, 15.0)]
kms = st.integers(0, 10_000).map(lambda n: n / 10.0)
camps = st.builds(Camp, kms, st.integers(1, 3), st.booleans(), st.booleans())
ends_inside = st.lists(st.tuples(kms, st.sampled_from([0.0, 1.3, 40.0])), max_size=8)


def end_at(km, way_km):
    judgement = Judgement(Certainty.LIKELY, 0.5, 0.2, "seen")
    return StretchEnd(
        km,
        WaterPass(source_at(km), km, way_km, way_km, 0.0, 0.0, counted=True, judgement=judgement),
    )


def going_of(its_camps, *, depart_h=8.0, break_h=None, uses=USES[0], heat=HEATS[0]):
    section = PaceSection(250.0, 400.0, 2.0)
    its_trip = trip(
        uses=uses, pace=pace(sections=(section,)), policy=policy(loss_percent=3.0, reserve_days=1.0)
    )
    clock = Clock(
        moving=daily_windows(start_hour=7.0, hours_per_day=6.5, break_h=break_h),
        profile=profile_by_sections(LENGTH_KM, its_trip.pace),
        depart=Moment(depart_h, 0),
        camps=tuple(sorted(its_camps, key=lambda camp: camp.km)),
    )
    return Going(its_trip, clock, heat, LENGTH_KM)


@example(
    inside=[(0.0, 0.0), (250.0, 1.3)],
    its_camps=[Camp(0.0, 1, at_water=True), Camp(250.0, 2, at_water=True)],
    camps_at_ends=False,
    depart_h=8.0,
    break_h=None,
    uses=USES[0],
    heat=HEATS[1],
)
@given(
    inside=ends_inside,
    its_camps=st.lists(camps, max_size=5),
    camps_at_ends=st.booleans(),
    depart_h=st.sampled_from([0.0, 8.0, 12.5, 23.0]),
    break_h=st.sampled_from(BREAKS),
    uses=st.sampled_from(USES),
    heat=st.sampled_from(HEATS),
)
def test_all_at_once_are_the_same_as_one_by_one(
    inside, its_camps, camps_at_ends, depart_h, break_h, uses, heat
):
    """To the last bit or two: with ways, camps pinned, at the water or lost, breaks and heat."""
    if camps_at_ends:
        its_camps = its_camps + [Camp(km, 1, at_water=True) for km, _ in inside[:2]]
    going = going_of(its_camps, depart_h=depart_h, break_h=break_h, uses=uses, heat=heat)
    ends = [StretchEnd(0.0), *(end_at(*one) for one in sorted(inside)), StretchEnd(LENGTH_KM)]
    each = [span_between(begin, end, going) for begin, end in itertools.pairwise(ends)]
    found = spans_between(ends, going)

    told = np.array([found.start_h, found.end_h, found.nights])
    expected = np.array([(span.start_h, span.end_h, span.nights) for span in each]).T
    assert np.allclose(told, expected, rtol=1e-14, atol=1e-12)

    length_km = np.full(len(each), 120.0)
    extra_days = np.linspace(0.0, 1.0, len(each))
    for ration in RATIONS:
        litres = [
            going.asking.need_l(ration, span, 120.0, extra_days=more)
            for span, more in zip(each, extra_days.tolist(), strict=True)
        ]
        at_once_l = ManyNeeds(found, length_km, going).litres(ration, extra_days)
        assert np.allclose(at_once_l, litres, rtol=1e-13, atol=1e-13)
