"""When and from where a party goes, and how far: the whole trip, or what is left of it."""

from __future__ import annotations

import datetime as dt

from longdry.model.plan.plan import Plan
from longdry.showing.words.amounts import day_name


def leaving_words(plan: Plan, between: str = " ") -> str:
    """Say when the party leaves, or goes on; empty where the trip names no departure."""
    depart = plan.trip.depart
    if depart is None:
        return ""
    if plan.trip.here is None:
        return f"leaving {day_name(depart.date())}{between}{depart:%H:%M}"
    midnight = dt.datetime.combine(depart.date(), dt.time())
    now = midnight + dt.timedelta(minutes=round(plan.trip.here.hour * 60.0))
    return f"going on {day_name(now.date())}{between}{now:%H:%M}"


def beginning_words(plan: Plan) -> str:
    """Say where the plan begins without water: at the start of the route, or where the party is."""
    return "the start" if plan.trip.here is None else "here"


def way_left_km(plan: Plan) -> float:
    """Return the length of the route that the plan is about."""
    if plan.trip.here is None:
        return plan.measured.length_km
    return plan.stretches[-1].end.km - plan.stretches[0].begin.km
