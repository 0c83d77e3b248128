"""What may go otherwise than planned, and what the user asks about it.

Each kind of change is a class of its own; an `Inquiry` is all that one plan is asked.
"""

from __future__ import annotations

from dataclasses import dataclass

MOST_DELAY_DAYS = 365
MOST_SLOWER_PERCENT = 95.0
MOST_HOTTER_C = 30.0
MOST_MORE_PEOPLE = 1000


def _within(name: str, value: float, lowest: float, highest: float) -> None:
    if not lowest <= value <= highest:
        raise ValueError(f"{name} is {value}, not {lowest:g} to {highest:g}")


@dataclass(frozen=True, slots=True)
class DrySource:
    """A source that turns out dry, at every pass."""

    name: str
    """Its name or its id."""

    @property
    def words(self) -> str:
        """How it is said.

        >>> DrySource("Old Bore").words
        'dry Old Bore'
        """
        return f"dry {self.name}"


@dataclass(frozen=True, slots=True)
class Delay:
    """Whole days lost at a km of the route.

    Raises
    ------
    ValueError
        Where the days or the km cannot be.
    """

    days: int
    km: float | None = None
    """None: at the worst place."""

    def __post_init__(self) -> None:
        _within("days", self.days, 1, MOST_DELAY_DAYS)
        if self.km is not None:
            _within("km", self.km, 0.0, 1e6)

    @property
    def words(self) -> str:
        """How it is said.

        >>> Delay(2, 410.0).words, Delay(1).words
        ('delay 2 days at km 410', 'delay 1 day')
        """
        unit = "day" if self.days == 1 else "days"
        where = "" if self.km is None else f" at km {_plain(self.km)}"
        return f"delay {self.days} {unit}{where}"


@dataclass(frozen=True, slots=True)
class SlowerPace:
    """Every speed, ways off the route included, lower by a share of it.

    Raises
    ------
    ValueError
        Where the share is none or nearly all.
    """

    percent: float

    def __post_init__(self) -> None:
        _within("percent", self.percent, 0.0, MOST_SLOWER_PERCENT)

    @property
    def words(self) -> str:
        """How it is said.

        >>> SlowerPace(25.0).words
        'pace 25 % slower'
        """
        return f"pace {_plain(self.percent)} % slower"


@dataclass(frozen=True, slots=True)
class Hotter:
    """Every day hotter than expected.

    Raises
    ------
    ValueError
        Where it is not hotter, or beyond all weather.
    """

    by_c: float

    def __post_init__(self) -> None:
        _within("by_c", self.by_c, 0.0, MOST_HOTTER_C)

    @property
    def words(self) -> str:
        """How it is said.

        >>> Hotter(5.0).words
        '5 C hotter'
        """
        return f"{_plain(self.by_c)} C hotter"


@dataclass(frozen=True, slots=True)
class LostContainer:
    """One container of a name, lost with all that it can hold."""

    name: str

    @property
    def words(self) -> str:
        """How it is said.

        >>> LostContainer("blue can").words
        'lose container blue can'
        """
        return f"lose container {self.name}"


@dataclass(frozen=True, slots=True)
class MorePeople:
    """People who join, with no water of their own.

    Raises
    ------
    ValueError
        Where nobody joins.
    """

    count: int

    def __post_init__(self) -> None:
        _within("count", self.count, 1, MOST_MORE_PEOPLE)

    @property
    def words(self) -> str:
        """How it is said.

        >>> MorePeople(1).words, MorePeople(2).words
        ('1 more person', '2 more people')
        """
        return f"{self.count} more {'person' if self.count == 1 else 'people'}"


@dataclass(frozen=True, slots=True)
class LostVehicle:
    """One vehicle, lost with what it carries; the others carry everybody."""

    name: str

    @property
    def words(self) -> str:
        """How it is said.

        >>> LostVehicle("wagon").words
        'lose vehicle wagon'
        """
        return f"lose vehicle {self.name}"


@dataclass(frozen=True, slots=True)
class TreatingFails:
    """No way of making water safe from the start on."""

    @property
    def words(self) -> str:
        """How it is said.

        >>> TreatingFails().words
        'treating fails'
        """
        return "treating fails"


@dataclass(frozen=True, slots=True)
class Drought:
    """All rain-fed sources dry together."""

    @property
    def words(self) -> str:
        """How it is said.

        >>> Drought().words
        'drought'
        """
        return "drought"


Change = (
    DrySource
    | Delay
    | SlowerPace
    | Hotter
    | LostContainer
    | MorePeople
    | LostVehicle
    | TreatingFails
    | Drought
)


def _plain(value: float) -> str:
    """Return the shortest plain decimal that reads back as ``value``.

    >>> _plain(410.0), _plain(0.00001)
    ('410', '0.00001')
    """
    text = f"{value:.17f}" if "e" in repr(value) else repr(value)
    return text.rstrip("0").rstrip(".") if "." in text else text


USUAL_TRIALS = 20_000
"""A chance of 1 in 100 then has a standard error below 0.1 %, one of one half below 0.4 %."""


@dataclass(frozen=True, slots=True)
class Inquiry:
    """What is to be found out beside the usual set."""

    changes: tuple[Change, ...] = ()
    """On top of those that the trip file names."""
    origin: str = "what if"
    """Where they were written, to be named where one asks for what is not there."""
    trials: int = USUAL_TRIALS
    """Of the simulation; 0: no chance is worked out."""
    seed: int = 1
    least_litres: bool = False
    """Whether the table of least litres is made, for the road."""
    mends: bool = True
    """Whether changes are searched that mend what is not clear: most of a plan's time."""
    costly_calls: bool = True
    """Whether calls that cost more hours than they save are looked for, to warn of them: up to a
    third of the rest."""


USUAL_INQUIRY = Inquiry()
