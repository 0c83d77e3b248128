"""Phrases and figures for people: needs are rounded up, supplies down."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable

from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import Visit, WaterSource
from longdry.model.words import Certainty, Grade, Verdict
from longdry.showing.words.markup import clipped_text
from longdry.showing.words.measures import METRIC, Measures
from longdry.units import (
    HOURS_PER_DAY,
    KM_PER_MILE,
    L_PER_US_GALLON,
    M_PER_FOOT,
    rounded_down,
    rounded_up,
)

_TENTHS_BELOW = 10.0
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

GRADE_WORDS = {
    Grade.POTABLE: "potable",
    Grade.TREAT: "treat before drinking",
    Grade.NOT_FOR_DRINKING: "not for drinking",
}
CERTAINTY_WORDS = {
    Certainty.CERTAIN: "water is certain",
    Certainty.LIKELY: "water is likely",
    Certainty.DOUBTFUL: "water is doubtful",
}
VERDICT_MEANING = {
    Verdict.CLEAR: "need and reserve are within what can be carried",
    Verdict.INTO_RESERVE: "the need fits, but part of the reserve would be drunk",
    Verdict.SHORT_RATION: "the full need does not fit; it would do only with uses given up",
    Verdict.TOO_LONG: "not even the bare ration is within what can be carried",
    Verdict.NO_CONTAINERS: "the trip names no containers, so nothing can be said",
}


def need_words(litres: float, measures: Measures = METRIC) -> str:
    """Litres that somebody needs, rounded up: by 0.1 L below 10 L, else by 1 L.

    >>> from longdry.showing.words.measures import US
    >>> need_words(86.2), need_words(3.01), need_words(0), need_words(10.0, US)
    ('87 L', '3.1 L', '0 L', '2.7 US gal')
    """
    return _us_gal(litres, rounded_up) if measures.is_us else f"{_up(litres)} L"


def supply_words(litres: float, measures: Measures = METRIC) -> str:
    """Litres that are there, rounded down: by 0.1 L below 10 L, else by 1 L.

    >>> from longdry.showing.words.measures import US
    >>> supply_words(86.9), supply_words(3.09), supply_words(10.0, US)
    ('86 L', '3 L', '2.6 US gal')
    """
    if measures.is_us:
        return _us_gal(litres, rounded_down)
    step = 0.1 if litres < _TENTHS_BELOW else 1.0
    return f"{_plain(rounded_down(litres, step))} L"


def length_words(km: float, measures: Measures = METRIC) -> str:
    """Length of something to be got through, rounded up by 0.1.

    >>> from longdry.showing.words.measures import US
    >>> length_words(1214.21), length_words(3), length_words(16.1, US)
    ('1214.3 km', '3.0 km', '10.1 mi')
    """
    return measures.way(km)


def place_words(km: float, measures: Measures = METRIC) -> str:
    """Where on the route something is, to the nearest 0.1.

    >>> from longdry.showing.words.measures import US
    >>> place_words(1204.56), place_words(16.1, US)
    ('km 1204.6', 'mile 10.0')
    """
    return measures.mark(km)


def offset_words(km: float, measures: Measures = METRIC) -> str:
    """How far off the route something is, rounded up: in metres below 1 km, in feet below 1 mi.

    >>> from longdry.showing.words.measures import US
    >>> offset_words(0), offset_words(0.2341), offset_words(3.21), offset_words(0.2341, US)
    ('on the route', '240 m', '3.3 km', '800 ft')
    """
    if km < 0.0005:  # noqa: PLR2004 - half a metre
        return "on the route"
    if measures.is_us and km < KM_PER_MILE:
        return f"{rounded_up(km * 1000.0 / M_PER_FOOT, 50.0):,.0f} ft"
    if not measures.is_us and km < 1.0:
        return f"{rounded_up(km * 1000.0, 10.0):.0f} m"
    return length_words(km, measures)


def days_taken_words(days: float) -> str:
    """Elapsed days, rounded up to 0.1 day.

    >>> days_taken_words(2.01), days_taken_words(1)
    ('2.1 days', '1 day')
    """
    return _days_words(rounded_up(days, 0.1))


def time_taken_words(days: float) -> str:
    """Elapsed time that people can picture: hours below a day, else days; rounded up.

    >>> time_taken_words(0.051), time_taken_words(2.01)
    ('1 h 15 min', '2.1 days')
    """
    return hours_words(days * HOURS_PER_DAY) if days < 1.0 else days_taken_words(days)


def days_lasting_words(days: float) -> str:
    """Days that something lasts, rounded down to 0.1 day.

    >>> days_lasting_words(2.09), days_lasting_words(1)
    ('2 days', '1 day')
    """
    return _days_words(rounded_down(days, 0.1))


def hours_words(value: float) -> str:
    """Hours and minutes, rounded up to 5 minutes.

    >>> hours_words(6.52), hours_words(0.9), hours_words(0)
    ('6 h 35 min', '55 min', '0 h')
    """
    minutes = int(rounded_up(value * 60.0, 5.0))
    whole, rest = divmod(minutes, 60)
    if not whole and rest:
        return f"{rest} min"
    return f"{whole} h {rest} min" if rest else f"{whole} h"


def count_words(count: float, one: str, many: str = "") -> str:
    """Write how many there are, in the singular or the plural.

    >>> count_words(1, "stretch", "stretches"), count_words(1200, "point"), count_words(0.5, "day")
    ('1 stretch', '1,200 points', '0.5 days')
    """
    number = f"{count:,}" if isinstance(count, int) else f"{count:g}"
    return f"{number} {one if count == 1 else many or f'{one}s'}"


def flow_words(l_per_min: float, measures: Measures = METRIC) -> str:
    """How fast water comes, rounded down.

    >>> from longdry.showing.words.measures import US
    >>> flow_words(2.5), flow_words(10.0, US)
    ('2.5 L/min', '2.6 US gal/min')
    """
    shown = rounded_down(l_per_min / measures.l_per_volume, 0.1)
    return f"{_plain(shown)} {measures.volume}/min"


def opening_words(source: WaterSource) -> str:
    """Tell between which hours a source is open; empty where the layer says nothing.

    >>> opening_words(WaterSource("t", "Tap", 0.0, 0.0, open_from_hour=8.5, open_to_hour=17.0))
    'open 08:30 to 17:00'
    >>> opening_words(WaterSource("t", "Tap", 0.0, 0.0))
    ''
    """
    if source.open_from_hour is None and source.open_to_hour is None:
        return ""
    begins, ends = source.open_from_hour or 0.0, source.open_to_hour
    return f"open {_clock(begins, rounded_up)} to {_clock(HOURS_PER_DAY if ends is None else ends)}"


def _clock(hour: float, rounded: Callable[[float], float] = rounded_down) -> str:
    whole, minutes = divmod(int(rounded(hour * 60.0)), 60)
    return f"{whole:02d}:{minutes:02d}"


def minutes_words(minutes: float | None) -> str:
    """Minutes that drawing water takes, rounded up.

    >>> minutes_words(9.09), minutes_words(None), minutes_words(float("inf"))
    ('10 min', 'flow not known', 'never: no flow')
    """
    if minutes is None:
        return "flow not known"
    return f"{rounded_up(minutes):,.0f} min" if math.isfinite(minutes) else "never: no flow"


def charge_words(charge_ah: float) -> str:
    """Battery charge that a pump takes, rounded up by 0.1.

    >>> charge_words(1.14), charge_words(float("inf"))
    ('1.2 Ah', 'no end: no flow')
    """
    return f"{rounded_up(charge_ah, 0.1):.1f} Ah" if math.isfinite(charge_ah) else "no end: no flow"


def day_name(date: dt.date | None) -> str:
    """A date that nobody can misread.

    >>> import datetime as dt
    >>> day_name(dt.date(2027, 5, 3)), day_name(None)
    ('Mon 3 May 2027', '')
    """
    if date is None:
        return ""
    return f"{_WEEKDAYS[date.weekday()]} {date.day} {_MONTHS[date.month - 1]} {date.year}"


def grade_words(source: WaterSource) -> str:
    """Grade of a source in words; one that is not given says what it counts as."""
    if source.grade is None:
        return "grade not given: counts as not for drinking"
    return GRADE_WORDS[source.grade]


def salt_words(source: WaterSource) -> str:
    """Return what stands behind a grade where the dissolved solids are known, else nothing."""
    salt_mg_per_l = source.solids_mg_per_l
    return "" if salt_mg_per_l is None else f", {salt_mg_per_l:g} mg/L of salt"


def judged_words(passed: WaterPass, measures: Measures = METRIC) -> str:
    """Whether there will be water when the party comes by, and what that rests on."""
    certainty = CERTAINTY_WORDS[passed.judgement.certainty]
    why = clipped_text(measures.sentence(passed.judgement.why))
    return f"{certainty}: {why}" if why else certainty


def why_not_words(passed: WaterPass, measures: Measures = METRIC) -> str:
    """Why a pass does not count, where ``judged_words`` stand beside it: nothing is told twice."""
    judged = passed.judgement
    if passed.why_not == f"{judged.certainty}: {judged.why}":
        return CERTAINTY_WORDS[judged.certainty]
    if passed.source.retired is not None and passed.why_not == judged.why:
        return "retired"
    if passed.source.grade is None and passed.why_not.startswith("no grade given"):
        return "no grade given"
    return clipped_text(measures.sentence(passed.why_not)) or "no reason given"


def poured_words(litres: float, measures: Measures = METRIC) -> str:
    """Litres into one container, rounded up by 0.1 L.

    >>> poured_words(22.41), poured_words(20)
    ('22.5 L', '20 L')
    """
    if measures.is_us:
        return _us_gal(litres, rounded_up)
    return f"{_plain(rounded_up(litres, 0.1))} L"


def on_board_words(litres: float, measures: Measures = METRIC) -> str:
    """Litres on board, rounded down by 0.1 L.

    >>> on_board_words(22.49), on_board_words(20)
    ('22.4 L', '20 L')
    """
    if measures.is_us:
        return _us_gal(litres, rounded_down)
    return f"{_plain(rounded_down(litres, 0.1))} L"


def leaving_l(stretch: DryStretch) -> float:
    """Litres to leave with: of the fill plan where there is one, else need and reserve."""
    if stretch.on_board_l is not None:
        return stretch.on_board_l
    return stretch.need.total_l + stretch.reserve_l


def carried_words(stretch: DryStretch, measures: Measures = METRIC) -> str:
    """Tell what is carried by the fill plan, or can be where there is none."""
    if stretch.on_board_l is not None:
        return f"{supply_words(stretch.on_board_l, measures)} are carried"
    return f"{supply_words(stretch.available_l, measures)} can be carried"


def visit_words(visit: Visit, measures: Measures = METRIC) -> str:
    """Tell what a visit found, its note left out.

    >>> import datetime as dt
    >>> from longdry.model.water.source import Found
    >>> visit_words(Visit(dt.date(2027, 5, 3), Found.LOW, litres=12.0))
    'Mon 3 May 2027: low, 12 L taken'
    """
    taken = f", {supply_words(visit.litres, measures)} taken" if visit.litres is not None else ""
    return f"{day_name(visit.on)}: {visit.found}{taken}"


def certainty_words(source: WaterSource) -> str:
    """Whether there will be water, in words."""
    if source.certainty is None:
        return "not known whether there is water"
    return f"{CERTAINTY_WORDS[source.certainty]}: set by hand in the layer"


def end_words(end: StretchEnd) -> str:
    """Where a stretch begins or ends: a name, or the start or end of the route."""
    return end.label if end.water else f"{end.label} of the route"


def told_missing_l(stretch: DryStretch) -> float | None:
    """Litres missing for need and reserve; None where something else than litres is missing.

    Never 0 where the verdict is not clear: then grades, treating or a carrier hold it back.
    """
    if stretch.missing_l <= 0.0 and stretch.verdict is not Verdict.CLEAR:
        return None
    return stretch.missing_l


def dry_words(stretch: DryStretch, measures: Measures = METRIC) -> str:
    """Where and when the water of a stretch runs out, neither told too late; empty: it lasts."""
    dry = stretch.runs_dry
    if dry is None:
        return ""
    km = rounded_down(dry.km / measures.km_per_length, 0.1)
    day = int(dry.hour // HOURS_PER_DAY) + 1
    return (
        f"dry at {measures.mark_word} {km:.1f}, day {day}, about {_clock(dry.hour % HOURS_PER_DAY)}"
    )


HELD_BACK = "not litres alone, see what holds it back"
"""Of a stretch that is not clear although no litres are missing."""


def missing_words(stretch: DryStretch, measures: Measures = METRIC) -> str:
    """Litres missing to end a stretch with its reserve; not known where no containers are named."""
    if stretch.verdict is Verdict.NO_CONTAINERS:
        return "not known"
    missing_l = told_missing_l(stretch)
    if missing_l is None:
        return "not litres alone"
    return need_words(missing_l, measures) if missing_l > 0.0 else "none"


def alarm_words(stretch: DryStretch, measures: Measures = METRIC) -> str:
    """What must stand beside the litres to leave with; empty where they are enough."""
    if stretch.verdict in (Verdict.CLEAR, Verdict.NO_CONTAINERS):
        return ""
    missing_l = told_missing_l(stretch)
    why = HELD_BACK if missing_l is None else f"{need_words(missing_l, measures)} missing"
    head = ", ".join(filter(None, (str(stretch.verdict).upper(), dry_words(stretch, measures))))
    return f"{head}: {why}"


def gap_words(stretch: DryStretch, measures: Measures = METRIC) -> str:
    """Tell where the water of a stretch runs out, and what can be done about it."""
    dry = dry_words(stretch, measures)
    runs_out = f"{dry[0].upper()}{dry[1:]}. " if dry else ""
    return f"{runs_out}{what_to_do(stretch, measures)}"


def what_to_do(stretch: DryStretch, measures: Measures = METRIC) -> str:
    """Tell what can be done about a stretch that is not clear, in whole sentences."""
    if stretch.held_back:
        return (
            "The containers would hold what it asks for, but they cannot be filled so: "
            "what holds it back stands below."
        )
    bare_l = stretch.needs[-1].need.total_l
    carried = carried_words(stretch, measures)
    if stretch.verdict is Verdict.TOO_LONG:
        return (
            f"Not even the bare ration would do: it needs {need_words(bare_l, measures)}, and "
            f"{carried}. Carry more, find water on the way, or do not go."
        )
    if stretch.verdict is Verdict.SHORT_RATION and stretch.ration_that_does:
        return (
            f"It would do only on the {stretch.ration_that_does} ration, with nothing sure "
            f"left in reserve: {carried}."
        )
    if stretch.verdict is Verdict.INTO_RESERVE:
        return f"The full ration would do, but it drinks into the reserve: {carried}."
    return f"{VERDICT_MEANING[stretch.verdict].capitalize()}."


def _us_gal(litres: float, rounded: Callable[[float, float], float]) -> str:
    return f"{_plain(rounded(litres / L_PER_US_GALLON, 0.1))} US gal"


def _days_words(days: float) -> str:
    written = _plain(days)
    return f"{written} {'day' if written == '1' else 'days'}"


def _up(value: float) -> str:
    return _plain(rounded_up(value, 0.1 if value < _TENTHS_BELOW else 1.0))


def _plain(value: float) -> str:
    if math.isclose(value, round(value), abs_tol=1e-6):
        return f"{value:.0f}"
    return f"{value:.1f}"
