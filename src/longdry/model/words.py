"""The closed sets of words that a user may write and reads back, and the caution of every copy."""

from __future__ import annotations

from enum import StrEnum
from functools import lru_cache

CAUTION = (
    "A planning aid: check every figure, ask the local authorities and land managers,"
    " and take medical advice. Water that was there may be gone."
)
"""Stands in the help of every command and in every file for other programs."""


class Grade(StrEnum):
    """How far the water of a source can be trusted; also the lowest grade that a use takes."""

    POTABLE = "potable"
    TREAT = "treat-before-drinking"
    NOT_FOR_DRINKING = "not-for-drinking"


class Certainty(StrEnum):
    """Whether there will be water at all."""

    CERTAIN = "certain"
    LIKELY = "likely"
    DOUBTFUL = "doubtful"


class CountOn(StrEnum):
    """How certain a source must be to be counted."""

    CERTAIN = "certain"
    LIKELY = "likely"
    ANY = "any"

    def takes(self, certainty: Certainty) -> bool:
        """Whether a source of this certainty is counted.

        >>> CountOn.LIKELY.takes(Certainty.DOUBTFUL), CountOn.ANY.takes(Certainty.DOUBTFUL)
        (False, True)
        """
        order = (Certainty.DOUBTFUL, Certainty.LIKELY, Certainty.CERTAIN)
        least = (CountOn.ANY, CountOn.LIKELY, CountOn.CERTAIN).index(self)
        return order.index(certainty) >= least


class Ration(StrEnum):
    """Which uses are kept: all of them, those of a lean day, or what life needs."""

    FULL = "full"
    LEAN = "lean"
    BARE = "bare"


class Accrual(StrEnum):
    """What a use goes on with."""

    PERSON_DAY = "person-day"
    PARTY_DAY = "party-day"
    PERSON_NIGHT = "person-night"
    PARTY_NIGHT = "party-night"
    PARTY_100KM = "party-100km"
    ALWAYS = "always"
    """Carried all the way and never planned to be spent: for the engine, for wounds."""


class ContainerGrade(StrEnum):
    """What a container is kept for."""

    POTABLE = "potable"
    ANY = "any"


class Travel(StrEnum):
    """How the party moves."""

    VEHICLE = "vehicle"
    FOOT = "foot"
    BICYCLE = "bicycle"


class Units(StrEnum):
    """What people read figures in; files stay metric."""

    METRIC = "metric"
    US = "us"


class FillTo(StrEnum):
    """Which mark the containers are filled to."""

    RATED = "rated"
    BRIMFUL = "brimful"


class FillHabit(StrEnum):
    """How the party fills wherever it calls."""

    SAFE = "safe"
    """The least with which any one uncertain source may turn out dry."""
    LEAST = "least"
    """Only what is needed to the next water."""
    TOP_UP = "top-up"
    """Everything, wherever there is water."""


class IfDry(StrEnum):
    """What a party must still be able to do at a source that it finds dry."""

    ON = "on"
    ON_OR_BACK = "on-or-back"
    NONE = "none"
    """Nothing: a dry source may leave no way to water."""


class Verdict(StrEnum):
    """What becomes of a stretch with what the containers hold."""

    CLEAR = "clear"
    INTO_RESERVE = "into reserve"
    SHORT_RATION = "short ration"
    TOO_LONG = "too long"
    NO_CONTAINERS = "no containers given"


VERDICTS_WORST_FIRST = (
    Verdict.NO_CONTAINERS,
    Verdict.TOO_LONG,
    Verdict.SHORT_RATION,
    Verdict.INTO_RESERVE,
    Verdict.CLEAR,
)

SOURCE_KINDS = (
    "tap", "tank", "bore", "well", "spring", "creek", "pool", "dam", "soak", "cache",
)  # fmt: skip

_USUAL_WORDS = {
    "tap": (
        "water tap", "faucet", "spigot", "standpipe", "stand pipe", "hydrant", "drinking fountain",
        "bubbler", "drinking water", "water point", "kiosk", "public tap",
    ),
    "tank": (
        "water tank", "storage tank", "rainwater tank", "rain tank", "cistern", "trough",
        "water trough", "stock trough", "guzzler",
    ),
    "bore": (
        "borehole", "bore hole", "water bore", "windmill", "windpump", "wind pump", "tube well",
        "tubewell", "hand pump", "handpump", "drilled well", "artesian bore",
    ),
    "well": ("water well", "dug well", "hand dug well"),
    "spring": ("hot spring", "mound spring", "water spring"),
    "creek": ("river", "stream", "brook", "wadi", "arroyo", "wash", "riverbed", "creek bed"),
    "pool": (
        "waterhole", "water hole", "rockhole", "rock hole", "rock pool", "billabong", "claypan",
        "clay pan", "lagoon", "lake", "pan", "gnamma hole", "gnamma", "tinaja", "plunge pool",
        "pond", "wetland", "swamp",
    ),
    "dam": ("farm dam", "stock dam", "ground tank", "earth tank", "turkey nest", "reservoir"),
    "soak": ("soakage", "seep", "native well", "sand soak"),
    "cache": ("drum", "depot", "water drop", "water cache"),
}  # fmt: skip
"""Words that people and open data use, by the kind that they are taken as: of two kinds that a word
may mean, the one that holds water less surely. Common practice, no source."""
_KIND_OF = {word: kind for kind, words in _USUAL_WORDS.items() for word in (kind, *words)}


KINDS_WORST_LAST = (
    "cache", "tap", "tank", "bore", "well", "spring", "dam", "soak", "pool", "creek",
)  # fmt: skip
"""By the chance that nobody finds it dry, see `longdry.computing.water.priors`."""


def worst_kind(one: str | None, other: str | None) -> str | None:
    """Return the kind that holds water less surely; a word that is not known is the worst.

    >>> worst_kind("tank", "creek"), worst_kind("puddle", "tap"), worst_kind(None, "tap")
    ('creek', 'puddle', 'tap')
    """
    told = [kind for kind in (one, other) if kind]
    order = dict(zip(KINDS_WORST_LAST, range(len(KINDS_WORST_LAST)), strict=True))
    return max(told, key=lambda kind: order.get(known_kind(kind) or "", len(order)), default=None)


@lru_cache(maxsize=1024)
def known_kind(word: str) -> str | None:
    """Return the kind of source that a usual word means; None for a word that is not known.

    Case, hyphens, underscores and a plural do not matter.

    >>> known_kind("Waterhole"), known_kind("rock_holes"), known_kind("bore"), known_kind("puddle")
    ('pool', 'pool', 'bore', None)
    """
    plain = _plain(word)
    return _KIND_OF.get(plain) or _KIND_OF.get(plain.removesuffix("s"))


_ROCK_HOLES = frozenset({"rockhole", "rock hole", "gnamma hole", "gnamma", "tinaja"})


def is_rock_hole(word: str) -> bool:
    """Whether a usual word means a hollow in rock, which holds little and is filled by rain alone.

    >>> is_rock_hole("Rock holes"), is_rock_hole("waterhole")
    (True, False)
    """
    return bool(_ROCK_HOLES & {_plain(word), _plain(word).removesuffix("s")})


def _plain(word: str) -> str:
    return " ".join(word.replace("-", " ").replace("_", " ").lower().split())
