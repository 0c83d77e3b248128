"""On the road: can you move, where are you, what is left; looked up on a phone with no network."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator

from longdry.model.plan.least import LeastTable
from longdry.model.plan.plan import Plan
from longdry.model.words import Travel
from longdry.showing.figures.figure import Json
from longdry.showing.page.least_json import least_json
from longdry.showing.sheet.boxes import STAY
from longdry.showing.words.amounts import count_words, need_words
from longdry.showing.words.in_need import COUNT_NOTHING, in_need_words
from longdry.showing.words.markup import Attributes, Markup, clipped_name, joined, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.sources import opening_words
from longdry.showing.words.stops import sizes_l
from longdry.showing.words.way import date_of, way_of
from longdry.units import HOURS_PER_DAY, rounded_up

STYLES = ("here.css",)
SCRIPTS = ("here.js", "here_answer.js", "here_tally.js")
_LATEST_DAYS = 3
"""Beyond the last day of the plan that can be chosen."""
_MOST_NAMED = 200
_FOUND = ("flowing", "low", "dry", "unreachable")
_SAVING = (
    "Save washing first, then cooking. Never save on drinking: water helps in you, not in the can."
)
_UNCERTAIN = (
    "Never stake your life on one uncertain source. Dry there: do not wait for rain. Past a"
    " turn-back place you cannot come back: count the cans there."
)
_FIRST = (
    "These figures rest on the plan and on what you type. Rescuers, local authorities, land"
    " managers and doctors come first."
)
_KEPT = (
    "Kept on this device alone; nothing is sent. At home the desk, longdry tally and longdry bring"
    " read the saved file."
)
_FIGURE: Attributes = {"type": "number", "step": "any", "inputmode": "decimal"}
_LITRES: Attributes = {**_FIGURE, "min": "0"}


def here_data(plan: Plan, table: LeastTable, measures: Measures) -> Json:
    """Gather what the script looks up: plain figures and plain text, never markup."""
    depart = plan.trip.depart
    last_h = max(row.hour for row in table.rows)
    days = range(int(last_h // HOURS_PER_DAY) + 1 + _LATEST_DAYS)
    dates = [date_of(plan, day * HOURS_PER_DAY) for day in days]
    return {
        **least_json(table),
        "name": clipped_name(plan.trip.name or plan.measured.route.name),
        "key": f"{depart or ''} {plan.measured.length_km:.3f}",
        "length_km": round(plan.measured.length_km, 3),
        "first_km": round(plan.stretches[0].begin.km, 3),
        "dates": [str(one) for one in dates if one],
        "stops": list(_stops(plan)),
        "holds_l": round(sum(sizes_l(plan).values()), 3),
        "need": [
            [clipped_name(need.source.name), round(need.km, 3), round(need.way_km, 3),
             in_need_words(need, measures)]
            for need in (plan.setbacks.in_need if plan.setbacks else ())
        ],
        "unit": measures.mark_word,
        "km_per_length": measures.km_per_length,
        "volume": measures.volume,
        "l_per_volume": measures.l_per_volume,
    }  # fmt: skip


def _stops(plan: Plan) -> Iterator[list[object]]:
    """Yield name, km, hours, and up to where the way back is open on the stretch before it."""
    turns = plan.setbacks.turn_backs if plan.setbacks else ()
    for number, stop in enumerate(way_of(plan)):
        end, turn = stop.end, turns[number - 1].water_km if 0 < number <= len(turns) else None
        label = clipped_name(end.label) if end.water else end.label
        hours = opening_words(end.water.source) if end.water else ""
        yield [label, round(end.km, 3), hours, None if turn is None else round(turn, 3)]


def here_section(plan: Plan, measures: Measures) -> Markup:
    """Build the panel, closed; nothing where the plan has no table."""
    if plan.least is None:
        return Markup()
    head = tag("summary", None, tag("h2", {"id": "here-heading"}, "On the road: do we go on?"),
               " ", tag("span", None, "where you are, what is left, what you found"))  # fmt: skip
    inside = [
        _can_you_move(plan.trip.pace.travel),
        tag("p", {"class": "stay how-to-wait"}, *_stay(plan, measures)),
        *_asked(plan, measures),
        tag("div", {"id": "here-answer", "aria-live": "polite"}),
        tag("ul", {"class": "q here-cautions"}, *(tag("li", None, one) for one in _cautions(plan))),
        _write_it_down(plan, measures),
    ]
    fold = tag("details", {"id": "here", "class": "here"}, head, tag("div", None, *inside))
    return tag(
        "section",
        {"class": "on-the-road needs-script", "aria-labelledby": "here-heading"},
        fold,
    )


def here_link() -> Markup:
    """Build the link that leads there from the head of the page."""
    return tag("a", {"href": "#here", "class": "needs-script to-here"}, "On the road? Do we go on?")


def here_button(km: float, where: str) -> Markup:
    """Build the button of a stop or a camp that opens the panel there."""
    given: Attributes = {
        "type": "button", "class": "to-map", "data-here": f"{km:.3f}",
        "aria-label": f"We are here: {where}",
    }  # fmt: skip
    return tag("button", given, "we are here")


def _can_you_move(travel: Travel) -> Markup:
    why_not = "hurt or lost" if travel is Travel.FOOT else "broken down, hurt or lost"
    choices = [("yes", "Yes, we can move"), ("no", f"No: {why_not}")]
    return tag(
        "fieldset",
        {"id": "can-move"},
        tag("legend", None, "Can you move?"),
        *(
            tag("label", None, tag("input", {"type": "radio", "name": "can-move", "value": value}),
                f" {words}")
            for value, words in choices
        ),
    )  # fmt: skip


def _stay(plan: Plan, measures: Measures) -> Iterator[Markup]:
    """Tell how to wait, whom to call, and what a day of waiting takes."""
    head, rule = STAY[plan.trip.pace.travel]
    yield tag("b", None, f"{head} {rule} ")
    contact, table = plan.trip.contact, plan.least
    if contact.call:
        yield joined(["Call: ", tag("b", None, tag("bdi", None, contact.call)), ". "])
    else:
        yield joined(["Call for help by whatever you have. "])
    if contact.on_overdue:
        yield joined(["Home rings ", tag("bdi", None, contact.on_overdue), ". "])
    if table is None:
        return
    day = need_words(table.waiting.l_per_day, measures)
    yield joined([tag("b", None, f"{day} a day for all"), ", at rest in shade, bare ration. "])
    if table.waiting.help_days is not None:
        days = count_words(rounded_up(table.waiting.help_days, 0.1), "day")
        yield joined([f"Help may take {days} from your call. "])


def _asked(plan: Plan, measures: Measures) -> list[Markup]:
    volume = measures.volume
    return [
        _where(plan, measures),
        tag(
            "fieldset",
            {"class": "asked"},
            tag("legend", None, "What day and hour is it now?"),
            _labelled("here-day", "Day", tag("select", {"id": "here-day"}, *_days(plan))),
            _typed("here-time", "Hour", {"type": "time"}),
        ),
        tag(
            "fieldset",
            {"class": "asked"},
            tag("legend", None, f"What is left, in {volume}? Read it off every container"),
            _typed("here-left", "To drink, or to treat", _LITRES),
            _typed("here-other", "Other water, never counted", _LITRES),
        ),
    ]


def _where(plan: Plan, measures: Measures) -> Markup:
    unit = measures.mark_word
    first, last = (
        f"{km / measures.km_per_length:.1f}"
        for km in (plan.stretches[0].begin.km, plan.measured.length_km)
    )
    ends: Attributes = {"min": first, "max": last}
    slide: Attributes = {"id": "here-slide", "type": "range", "step": "0.1", "value": first,
                         "aria-label": "Place along the way"}  # fmt: skip
    hint = "Or tap the route on the map while this stands open."
    told: Attributes = {"class": "q", "id": "here-place-words", "role": "status"}
    places = tag("select", {"id": "here-stop"}, *_places(plan, measures))
    return tag(
        "fieldset",
        {"class": "asked"},
        tag("legend", None, "Where are you?"),
        _labelled("here-stop", "Stop or camp", places),
        _typed("here-km", f"or {unit}", {**_FIGURE, **ends}),
        tag("button", {"type": "button", "id": "here-position"}, "Find my place"),
        tag("input", {**slide, **ends}),
        tag("p", {"class": "q moving"}, hint),
        tag("p", told),
    )


def _typed(id_: str, words: str, given: Attributes) -> Markup:
    return _labelled(id_, words, tag("input", {"id": id_, **given}))


def _labelled(id_: str, words: str, control: Markup) -> Markup:
    return tag("span", {"class": "field"}, tag("label", {"for": id_}, words), control)


def _places(plan: Plan, measures: Measures) -> Iterator[Markup]:
    yield tag("option", {"value": ""}, "choose")
    stops = [(clipped_name(stop.end.label), stop.end.km) for stop in way_of(plan)[:-1]]
    camps = [
        (day.camp_name or f"camp of day {day.number}", day.to_km)
        for day in plan.days
        if day.camp and not day.at_water
    ]
    for label, km in sorted((*stops, *camps), key=lambda one: one[1]):
        words = f"{measures.mark(km)}, {label}"
        yield tag("option", {"value": f"{km:.3f}"}, words)


def _days(plan: Plan) -> Iterator[Markup]:
    if plan.least is None:
        return
    last_h = max(row.hour for row in plan.least.rows)
    for number in range(int(last_h // HOURS_PER_DAY) + 1 + _LATEST_DAYS):
        date = date_of(plan, number * HOURS_PER_DAY)
        words = f"day {number + 1}{_date_words(date)}"
        yield tag("option", {"value": number}, words)


def _date_words(date: dt.date | None) -> str:
    return f", {date:%a} {date.day} {date:%b}" if date else ""


def _cautions(plan: Plan) -> list[str]:
    never = "Radiator water and urine" if plan.trip.pace.travel is Travel.VEHICLE else "Urine"
    return [_FIRST, _UNCERTAIN, _SAVING, COUNT_NOTHING.format(never=never)]


def _write_it_down(plan: Plan, measures: Measures) -> Markup:
    """Build the tally: what was read off and found, kept in the browser until it is taken home."""
    buttons = (("keep", "Keep this reading"), ("undo", "Take the last one out"),
               ("save", "Save for home"))  # fmt: skip
    text: Attributes = {"id": "note-text", "readonly": "", "rows": 3, "spellcheck": "false"}
    return tag(
        "details",
        {"id": "note", "class": "fold"},
        tag("summary", None, tag("h3", None, "Write it down")),
        _found_here(plan, measures),
        tag("p", {"class": "tools"}, *(
            tag("button", {"type": "button", "id": f"note-{id_}"}, words) for id_, words in buttons
        )),
        tag("p", {"id": "note-says", "class": "q", "role": "status"}),
        tag("ol", {"id": "note-list"}),
        tag("label", {"for": "note-text"}, "All readings as text, to copy"),
        tag("textarea", text),
        tag("p", {"class": "q"}, _KEPT),
    )  # fmt: skip


def _found_here(plan: Plan, measures: Measures) -> Markup:
    choices = [("", "-"), ("new", "new water at this place")]
    waters = [tag("option", {"value": value}, words) for value, words in choices]
    waters += [
        tag("option", {"value": value, "data-km": round(km, 3)}, words)
        for value, words, km in _waters(plan, measures)
    ]
    found = [tag("option", {"value": word}, word or "-") for word in ("", *_FOUND)]
    date = () if plan.trip.depart else (_typed("note-date", "Date", {"type": "date"}),)
    words: Attributes = {"type": "text", "maxlength": "300"}
    return tag(
        "div",
        {"class": "asked"},
        *date,
        _labelled("note-water", "At water", tag("select", {"id": "note-water"}, *waters)),
        _labelled("note-found", "Found", tag("select", {"id": "note-found"}, *found)),
        _typed("note-took", f"Taken, {measures.volume}", _LITRES),
        _typed("note-words", "Note", words),
        tag(
            "span",
            {"id": "note-new", "class": "asked", "hidden": ""},
            _typed("note-name", "Name of the new water", {"type": "text", "maxlength": "80"}),
            _typed("note-lat", "Latitude, south is -", _FIGURE),
            _typed("note-lon", "Longitude, west is -", _FIGURE),
        ),
    )


def _waters(plan: Plan, measures: Measures) -> Iterator[tuple[str, str, float]]:
    """Yield the water along the way, by km: how the tally names it, how people do, and its km."""
    names = Counter(source.name.strip().casefold() for source in plan.sources)
    passes = sorted(plan.passes, key=lambda one: (not one.call, not one.counted, one.offset_km))
    few = sorted(passes[:_MOST_NAMED], key=lambda one: one.km)
    needs = plan.setbacks.in_need if plan.setbacks else ()
    places = [(one.source, one.km) for one in few]
    passed = {source.id for source, _ in places}
    places += [(one.source, one.km) for one in needs if one.source.id not in passed]
    for source, km in places:
        name = source.name.strip()
        is_known = names[name.casefold()] == 1
        words = f"{measures.mark(km)}, {clipped_name(name)}"
        yield name if name and is_known else source.id, words, km
