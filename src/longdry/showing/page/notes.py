"""Words that stand on every page: how to read the figures, where they come from, cautions."""

from __future__ import annotations

from longdry.model.words import Travel
from longdry.showing.sheet.boxes import STAY
from longdry.showing.words.markup import Markup, joined, tag
from longdry.showing.words.stretches import VERDICT_MEANING

_CAUTIONS = (
    (
        "This is a planning aid. It is no authority: follow local authorities, land managers and "
        "rangers, and ask them about water, tracks, permits and fire before leaving."
    ),
    (
        "The figures are only as good as the route and the water layers. Water sources "
        "dry up, are locked, fouled or moved; a source nobody has seen lately may hold nothing."
    ),
    (
        "How much a person needs differs with heat, work, health and age. Ask a doctor where "
        "somebody is ill, old, pregnant or very young."
    ),
    (
        "Treating makes water safe from germs only as far as its method goes; salt, metals and "
        "poisons stay in it."
    ),
    (
        "Carry a means to call for help that works without a phone network, tell somebody the way "
        "and the day to expect you, and carry more than the need."
    ),
    "Never leave a source on the last water to look for another.",
)
_FORMULAS = (
    (
        "Lengths",
        (
            "Every length is measured on the WGS 84 ellipsoid along the route of the file. "
            "The line on the map is simplified by at most 10 m; no figure is taken from it."
        ),
        "C. F. F. Karney (2013), Algorithms for geodesics, Journal of Geodesy 87, 43-55.",
    ),
    (
        "Longest without water",
        (
            "The longest way along the route between two neighbouring passes that count, called at "
            "or not, start and end included; its days are the plan's."
        ),
        "By the clock of the plan; a fact of the country, not of the containers.",
    ),
    (
        "Most to carry",
        "Need and reserve of the stretch that asks for most, whatever the containers hold.",
        "Need and Reserve, below.",
    ),
    (
        "Chance",
        (
            "The trip is gone many times with sources dry, days lost and use spread at random; who "
            "finds a source dry goes on or turns back by what is left."
        ),
        "By simulation with a fixed seed; what it rests on stands under When it goes wrong.",
    ),
    (
        "Length of a stretch",
        (
            "Way back from the water behind + along the route + way out to the water ahead. "
            "The way to a source is its offset times the detour factor."
        ),
        "Common practice, no source.",
    ),
    (
        "Days of a stretch",
        "Hours from its beginning to its end, camps included, divided by 24.",
        "By the pace, the hours a day and the camps of the trip.",
    ),
    (
        "Need",
        "Each use at its rate, per day, per night or per distance, plus losses.",
        "Rates of the trip, or the assumptions below with their sources.",
    ),
    (
        "Reserve",
        (
            "Days of reserve times what a day and a night ask for on the reserve ration; by "
            "vehicle not less than waiting for help asks for, where the trip sets no reserve."
        ),
        "Set in the trip, or in the assumptions.",
    ),
    (
        "Missing",
        "Need on the full ration + reserve - what is carried on leaving, never below zero.",
        "What is carried is what the fills leave with; where a start is not full, it may be less.",
    ),
    (
        "Fills",
        (
            "Of all ways to fill: first no verdict worse than need be, then the least litres times "
            "way carried, then the fewest stops. Potable water never follows other water without "
            "cleaning; limits of sources and what the containers hold are kept."
        ),
        "An exact search over the stops; the reserve is kept where it can be.",
    ),
    (
        "Days and drinking",
        (
            "Each day's drinking is the larger of the party's own rate and of what the heat asks "
            "for: sweat loss in the hours of moving, working and resting, and a basic need."
        ),
        (
            "ISO 7933 (2004, 2023), Predicted heat strain; TB MED 507 (2003) outside its limits. "
            "Walking speed by slope: W. Tobler (1993)."
        ),
    ),
    (
        "Certainty of water",
        (
            "A chance for each kind of source, changed by each visit, newer ones weighing more; "
            "the word rests on the bound above which it lies with a credibility of 80 %."
        ),
        "Beta and binomial distributions; the published rates behind each kind stand beside it.",
    ),
    (
        "What goes wrong",
        (
            "The trip is worked out again with one thing changed, with what the plan carries "
            "there. Turning back: the last place from which what is left takes the party back on "
            "the bare ration. Waiting: what is carried over what a day of rest in shade asks for."
        ),
        "Worked out by this plan; the chance by repeated trials, with what it rests on beside it.",
    ),
    (
        "Rounding",
        "Needs, lengths and days are rounded up, supplies are rounded down.",
        "Only where they are shown; the plan itself keeps every digit.",
    ),
)


def formula_id(head: str) -> str:
    """Return where on the page a formula stands.

    >>> formula_id("Length of a stretch")
    'formula-length-of-a-stretch'
    """
    return f"formula-{head.lower().replace(' ', '-')}"


def formula_sign(head: str) -> Markup:
    """Lead from a figure to its formula and its source, by one small sign."""
    return tag(
        "a",
        {
            "class": "how",
            "href": f"#{formula_id(head)}",
            "aria-label": f"{head}: formula and source",
        },
        "?",
    )


def verdict_meanings() -> Markup:
    """Tell what each verdict means."""
    parts: list[Markup] = []
    for verdict, meaning in VERDICT_MEANING.items():
        parts += [tag("dt", None, str(verdict)), tag("dd", None, meaning)]
    summary = tag("summary", None, "What the verdicts mean")
    return tag("details", None, summary, tag("dl", {"class": "meanings"}, *parts))


def formulas() -> Markup:
    """Tell the formula and the source of each kind of figure."""
    blocks = [
        tag(
            "details",
            {"id": formula_id(head)},
            tag("summary", None, head),
            tag("p", None, formula),
            tag("p", {"class": "source"}, source),
        )
        for head, formula, source in _FORMULAS
    ]
    return joined(blocks)


def cautions(travel: Travel) -> Markup:
    """Tell what no figure can promise, and how to wait for help by the way of travel."""
    told = [*_CAUTIONS, " ".join(STAY[travel])]
    return tag("ul", {"class": "cautions"}, *(tag("li", None, text) for text in told))
