"""The closed sets of words that a user may write and reads back."""

from __future__ import annotations

from enum import StrEnum


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
    """Only what the way on needs."""
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
