"""The numbers in the sentences of docs/why are those that are computed with.

Tables that are worked out are held elsewhere: heat, pace, certainty, calls, by hand, compare, the
attacks on the desk. What was measured stands with its date in docs/why/speed.md, tested by nobody.
"""

from __future__ import annotations

import pytest
from project_places import DOCS

from longdry.computing.calls import dry_lists, groups, lists, neighbours, preferences, search
from longdry.computing.clock import camps
from longdry.computing.fills import settled, sharing, verdicts
from longdry.computing.heat import drinking as heat_drinking
from longdry.computing.heat import hourly, iso_7933
from longdry.computing.mends import cache, confirmed, detour, headline, pace, trials
from longdry.computing.mends import search as mends
from longdry.computing.needs import drinking
from longdry.computing.pace import on_ground, slopes
from longdry.computing.plan import grave_warnings
from longdry.computing.plan import headline as plan_headline
from longdry.computing.road import least, rates
from longdry.computing.route import chainage, minima
from longdry.computing.setbacks import (
    chance,
    chance_passed,
    chance_tables,
    giving,
    turn_back,
    ways,
    what_ifs,
)
from longdry.computing.stretches import prepared
from longdry.computing.treating import treating
from longdry.computing.water import certainty, passes, priors
from longdry.desk import undo, uploads
from longdry.model.plan import heat_day
from longdry.model.plan import least as least_table
from longdry.model.trip import heat as trip_heat
from longdry.model.trip import party, trip, what_if
from longdry.model.water import source
from longdry.model.words import Travel
from longdry.showing.map import drawn_sources
from longdry.showing.page import way
from longdry.showing.terminal import layout

IN_WORDS = {2: "two", 3: "three", 5: "five", 6: "six", 8: "eight", 12: "twelve"}
TENTH, THIRD = {0.1: "a tenth"}, {1.0 / 3.0: "1/3"}
ONE, A_LITRE = {1.0: "one"}, {1.0: "a litre"}
PACE = {name: field.default for name, field in trip.Pace.__dataclass_fields__.items()}
POLICY = {name: field.default for name, field in trip.Policy.__dataclass_fields__.items()}
USES = {usual.use.name: usual.use.litres for usual in party.USUAL_USES}
CARRYING = trip.USUAL_LITRE_KM_PER_HOUR

SAID = {
    "calls": [
        (
            "less than {} km apart along the route, of sources within {} km",
            groups.ONE_STOP_KM,
            groups.ONE_STOP_KM,
        ),
        ("km and way of at most {} km together belong to the start", groups.AT_START_KM),
        ("a pinned camp with `at_water = true` within {} km of it", camps.SAID_AT_WATER_KM),
        ("its way out and back takes at most {} minutes", preferences.SHORT_WAY_H * 60),
        ("no worse, less than {} aside", A_LITRE[lists.MARGIN_L]),
        ("one of the first {} such stops", IN_WORDS[dry_lists.MOST_PASSED]),
        ("here less than {} of what is missing", TENTH[lists.MARGIN_IF_DRY]),
        ("no call for less than {} of the party's day", TENTH[preferences.LEAST_FILL_DAYS]),
        ("as much trouble as one: {} on foot", CARRYING[Travel.FOOT]),
        ("over 5 km), {} by bicycle", CARRYING[Travel.BICYCLE]),
        (
            "With more than {} stops the best two ways",
            IN_WORDS[neighbours.MOST_STOPS_FOR_NEIGHBOURS],
        ),
        ("where they are more than {} (common practice", ONE[grave_warnings.COSTLY_H]),
        ("With more than {} stops", search.MOST_STOPS),
        (
            "at most {} stops ahead, and to no more than {} beyond",
            search.MOST_AHEAD,
            IN_WORDS[search.BAD_AHEAD],
        ),
        ("the {} best ways to it are gone on with", IN_WORDS[search.KEPT_WAYS]),
    ],
    "certainty": [
        ("weighs as much as n = {} fresh visits", priors.PRIOR_VISITS),
        (
            "in them, a spring, dam, soak, pool, creek or unknown kind has {}",
            priors.MAPPED_PERMANENCE_RIGHT,
        ),
        ("outside them every kind has {}", priors.PERENNIAL_STREAMS),
        ("on the {} days after it", IN_WORDS[passes.LATE_DAYS]),
        ("the {} quantile", certainty.BELOW_THE_BOUND),
        ("`certain` from a lower bound of {}", certainty.CERTAIN_FROM),
        ("`likely` from a lower bound of {}", THIRD[certainty.LIKELY_FROM]),
        ("more than {} mg/L of dissolved solids", source.UNACCEPTABLE_MG_PER_L),
    ],
    "clock": [
        ("at most `longer_day_h` ({} h)", PACE["longer_day_h"]),
        ("at most {} minutes more whatever the reserve", prepared.LAST_MINUTES_H * 60),
        ("at most `shorter_day_h` ({} h)", PACE["shorter_day_h"]),
        ("opens within `longest_wait_h` ({} h)", POLICY["longest_wait_h"]),
        ("the larger of `fill_minutes` ({})", trip.USUAL_FILL_MINUTES),
        (
            "within {} km along the route of a call, or within {} km",
            camps.AT_WATER_KM,
            camps.SAID_AT_WATER_KM,
        ),
    ],
    "fill-plan": [
        ("more than {} sharings out", sharing.MOST_ASSIGNMENTS),
        ("more than {:,.0f} states at a stop", verdicts.FULL_WIDTH),
    ],
    "headline": [
        ("may run short in {} trip of 100 or more", plan_headline.MAY_RUN_SHORT * 100),
        ("fewer than {} trials", plan_headline.LEAST_TRIALS),
    ],
    "heat": [
        ("counted as the next {} % up", hourly.HUMIDITY_STEP_PERCENT),
        ("permeability index {}", iso_7933.PERMEABILITY),
        ("| {} clo, plain", hourly.CLOTHING_CLO),
        ("{} met = {} W per square metre", 1, iso_7933.W_M2_PER_MET),
        ("The basic need is {} L", heat_drinking.BASIC_L),
        ("sitting, {:.1f} met", heat_drinking.RESTING_MET),
        ("Moving by night ({} h at the most)", trip_heat.NIGHT_H),
        ("Cooler than {} °C: counts as {} °C", iso_7933.LOWEST_AIR_C, iso_7933.LOWEST_AIR_C),
        ("Hotter than {} °C", iso_7933.HIGHEST_AIR_C),
        ("windier than {} m/s", iso_7933.HIGHEST_WIND_M_S),
        ("the core is {} °C or more after eight hours", heat_day.RISING_CORE_C),
        ("1.5 US qt ({:.2f} L) in an hour", heat_day.HOURLY_CEILING_L),
        ("12 US qt ({:.1f} L) in a day", heat_day.DAILY_CEILING_L),
    ],
    "mends": [
        ("with {} of the missing litres less", TENTH[trials.LEAST_SHARE]),
        ("the {} worst are searched", IN_WORDS[mends.MOST_SEARCHED]),
        ("at most {} mends are told, one of a kind", IN_WORDS[mends.MOST_TOLD]),
        (
            "planned again at most {} times, and for one stretch at most {} times",
            trials.MOST_PLANS_AGAIN,
            IN_WORDS[mends.MOST_OF_A_KIND],
        ),
        ("more than {:,.0f} passes", settled.MANY_PASSES),
        ("of each 1/{} of the route", settled.PARTS_OF_ROUTE),
        ("up to {} changes are planned for it", IN_WORDS[headline.MOST_TRIED]),
        (
            "of the {} nearest the middle the {} that do most",
            IN_WORDS[confirmed.MOST_GUESSED],
            IN_WORDS[confirmed.MOST_PLANNED],
        ),
        (
            "of the {} that leave the shortest longest part {} are planned",
            IN_WORDS[detour.MOST_GUESSED],
            IN_WORDS[detour.MOST_PLANNED],
        ),
        ("moving hours in steps of {} h up to {} h a day", pace.STEP_H, pace.LONGEST_DAY_H),
        ("speeds in steps of {} % up to {} %", pace.STEP_PERCENT, pace.MOST_FASTER_PERCENT),
        (
            "At most {} journeys, together within {} days",
            cache.MOST_JOURNEYS,
            cache.MOST_LAYING_DAYS,
        ),
    ],
    "on-the-road": [
        (
            "({} km by vehicle, {} by bicycle, {} on foot, never",
            *(least.STEP_KM[travel] for travel in (Travel.VEHICLE, Travel.BICYCLE, Travel.FOOT)),
        ),
        ("Readings less than {} h apart", rates.LEAST_HOURS),
        ("ways of less than {} km tell no speed", rates.LEAST_KM),
        ("up to {} or {} h early", *(-hours for hours in least_table.LATE_H[:2])),
        ("up to {}, {}, {}, {} and {} h late", *least_table.LATE_H[4:]),
        ("spans of {} h ({} h for the early", least.SPAN_H, least.FAR_SPAN_H),
    ],
    "pace": [
        ("W = {} exp(-", slopes.TOBLER_FASTEST_KMH),
        ("over each {} m, on knots", slopes.WINDOW_KM * 1000),
        ("a reversal smaller than {} m", slopes.DEAD_BAND_M),
        ("looked at in pieces of {} km", on_ground.PIECE_KM),
        ("a line holds within {} m", on_ground.NEAR_LINE_KM * 1000),
        ("climb / {} m", PACE["climb_m_per_h"]),
    ],
    "page": [
        ("from {} sources on", drawn_sources.MOST_SIGNS),
        ("lines of {} columns", layout.LINE_LETTERS),
        (
            "a list of {} stops and more, runs of at least {} clear stops",
            way.FOLDS_FROM,
            IN_WORDS[way.LEAST_RUN],
        ),
    ],
    "stretches": [
        ("Legs longer than {} km are multiplied", chainage.STRAIGHT_LEG_KM),
        ("is at least `max({} km, its own offset)`", minima.LEAST_RISE_KM),
        ("above {} mg/L of dissolved solids", source.UNACCEPTABLE_MG_PER_L),
        ("has {} waking hours", drinking.WAKING_H),
        ("drinking {} L", USES["drinking"]),
        ("cooking {} L and washing {} L", USES["cooking"], USES["washing"]),
        ("from waking, {} hours before `start_hour`", IN_WORDS[drinking.WAKES_BEFORE_H]),
        ("`drink_l_per_moving_h` is {} L", PACE["drink_l_per_moving_h"]),
    ],
    "treatment": [
        ("of 3 minutes from {:,.0f} m up", treating.LONG_BOIL_FROM_M),
        ("Q | heat to the boil: {} V", treating.KJ_PER_L_K),
        ("{} drops a litre of household bleach", treating.BLEACH_DROPS_PER_L),
        ("in clear water, {} minutes", treating.BLEACH_WAIT_MINUTES),
    ],
    "what-ifs": [
        ("`turn_back_margin` ({}) of them more", TENTH[POLICY["turn_back_margin"]]),
        ("for at least {} a head more", A_LITRE[ways.LEAST_MARGIN_L_A_HEAD]),
        ("gives {} a head or more", A_LITRE[giving.LEAST_THERE_L_A_HEAD]),
        (
            "a day lost at the worst place, {} % slower, {} °C hotter",
            what_ifs.STANDARD_SLOWER_PERCENT,
            what_ifs.STANDARD_HOTTER_C,
        ),
        (
            "at one place a km of the stretch, at least {} and at most {} of them",
            turn_back.LEAST_LOOKS,
            turn_back.MOST_LOOKS,
        ),
        ("then by halving to {} m", turn_back.TURN_TO_WITHIN_KM * 1000),
        ("a turn within {} m before the next water", turn_back.NEAR_WATER_KM * 1000),
        ("within `emergency_km` ({} km, straight)", POLICY["emergency_km"]),
        ("standard normal, s = {}", chance_tables.USUAL_SPREAD.use),
        (
            "the same with {}, in {} equally likely steps",
            chance_tables.USUAL_SPREAD.pace,
            chance_tables.PACES,
        ),
        ("Poisson, {} for a day on the way", chance_tables.USUAL_SPREAD.delays_per_day),
        ("no more than {} such between two calls", chance_passed.MOST_BETWEEN_CALLS),
        ("*may run short* and {} standard errors", IN_WORDS[chance.STANDARD_ERRORS]),
        ("Usual are {:,.0f} trials", what_if.USUAL_TRIALS),
    ],
    "desk": [
        (
            "the last {} of each file, and no more than {} GB of each",
            undo.MOST_KEPT,
            undo.MOST_BYTES / 1e9,
        ),
        ("a file of more than {} MB", uploads.USUAL_LIMITS.most_bytes / 1e6),
    ],
}
"""By page: what it says, and the values that stand in it in the order of its braces."""


class Figure(float):
    """A number that is written without needless zeros, where nothing else is said."""

    def __format__(self, spec: str) -> str:
        """Return it as the pages write it."""
        return format(float(self), spec or "g")


@pytest.mark.parametrize("page", SAID)
def test_the_sentences_of_a_page_hold_the_values_of_the_code(page):
    """Each stands there as written here, with the value that is computed with."""
    text = " ".join((DOCS / "why" / f"{page}.md").read_text(encoding="utf-8").split())
    said = [
        words.format(*(one if isinstance(one, str) else Figure(one) for one in values))
        for words, *values in SAID[page]
    ]

    assert [one for one in said if one not in text] == []
