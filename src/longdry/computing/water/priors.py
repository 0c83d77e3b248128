"""What is expected of a source before anybody looks: by kind and season, each with its source.

The published rates are of communities' water points and of whole stream networks, not of a
traveller's sources; where none fits, the figure is an assumption and says so.

The quantile of the Beta distribution stands here too, as a continued fraction of twenty lines: it
spares every plan the 150 ms that importing scipy.special costs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from longdry.model.water.source import WaterSource
from longdry.model.words import known_kind

WORKING_WATER_POINTS = 0.78
"""Water points that work, over 11 countries (Banks and Furey 2016)."""
WORKING_HAND_PUMPS = 0.64
"""Hand pumps that work: 36 % out of order (RWSN 2009); Foster and others (2019) found 25 % out of
order; the worse of the two is taken."""
PERENNIAL_STREAMS = 0.05
"""Of the stream network in hot dry regions 95 % dries each year (Messager and others 2021)."""
MAPPED_PERMANENCE_RIGHT = 0.805
"""Mapped permanence agreed with 80.5 % of 10,055 visits (Messager and others 2021)."""

PRIOR_VISITS = 2.0
"""How many fresh visits the prior weighs as much as. Assumption, no source."""

_BANKS = "78 % of water points work, Banks and Furey (2016)"
_RWSN = "36 % of hand pumps out of order, RWSN (2009); 25 %, Foster and others (2019)"
_MESSAGER = "95 % of streams in hot dry regions dry out each year, Messager and others (2021)"
_AGREEMENT = "mapped permanence agreed with 80.5 % of visits, Messager and others (2021)"
_EVERY_MONTH = frozenset(range(1, 13))
_ASSUMED = "assumption, no source"


@dataclass(frozen=True, slots=True)
class KindPrior:
    """What is expected of a kind of source."""

    chance: float
    """Chance that it holds water, nobody having looked."""
    half_life_days: float
    """After how long a visit tells half as much. Assumption, no source: longer for what is built
    and deep; for bores shorter than the 4.3 years that Banks and Furey's 15 % of failures in the
    first year would give."""
    why: str
    """Where the chance comes from."""
    natural: bool = False
    """Whether rain alone fills it."""


_YEAR_DAYS = 365.0

PRIOR_BY_KIND = {
    "tap": KindPrior(WORKING_WATER_POINTS, 2.0 * _YEAR_DAYS, _BANKS),
    "bore": KindPrior(WORKING_HAND_PUMPS, 2.0 * _YEAR_DAYS, _RWSN),
    "well": KindPrior(WORKING_HAND_PUMPS, 2.0 * _YEAR_DAYS, _RWSN),
    "tank": KindPrior(0.64, 1.0 * _YEAR_DAYS, f"taken as a bore: {_ASSUMED}"),
    "cache": KindPrior(0.8, 0.5 * _YEAR_DAYS, _ASSUMED),
    "spring": KindPrior(0.64, 1.0 * _YEAR_DAYS, f"taken as a well: {_ASSUMED}", natural=True),
    "dam": KindPrior(0.4, 90.0, _ASSUMED, natural=True),
    "soak": KindPrior(0.2, 60.0, _ASSUMED, natural=True),
    "pool": KindPrior(0.2, 60.0, _ASSUMED, natural=True),
    "creek": KindPrior(PERENNIAL_STREAMS, 60.0, _MESSAGER, natural=True),
}
"""One entry for each of ``SOURCE_KINDS``."""

UNKNOWN_KIND = KindPrior(0.5, 90.0, f"kind unknown, even odds: {_ASSUMED}", natural=True)
"""Where the layer names no kind."""

STRANGE_KIND = KindPrior(
    PERENNIAL_STREAMS, 60.0, f"kind not known, taken as the worst one, a creek: {_MESSAGER}"
)
"""Where the layer names a kind that is none of ours: never likelier than any that is."""

OUT_OF_SEASON = PERENNIAL_STREAMS
"""Outside the months when a source holds: as a stream that is not perennial."""


@dataclass(frozen=True, slots=True)
class Prior:
    """What is expected of one source on one date."""

    chance: float
    half_life_days: float
    why: str


def kind_prior(kind: str | None) -> KindPrior:
    """Return what is expected of a kind; case does not matter, no word of ours is the worst.

    >>> kind_prior("Waterhole").chance, kind_prior(None).chance, kind_prior("puddle").chance
    (0.2, 0.5, 0.05)
    """
    if not (kind or "").strip():
        return UNKNOWN_KIND
    return PRIOR_BY_KIND.get(known_kind(kind or "") or "", STRANGE_KIND)


def prior_of(source: WaterSource, month: int | None) -> Prior:
    """Return what is expected of ``source`` in ``month``; no month is the worst month.

    >>> source = WaterSource("b1", "Old Bore", -25.0, 131.0, kind="bore")
    >>> prior_of(source, 5).chance
    0.64
    """
    kind = kind_prior(source.kind)
    if source.months is None:
        return Prior(kind.chance, kind.half_life_days, kind.why)
    if not holds_in_month(source, month):
        words = "outside the months when it holds" if month else "months given, but no date"
        return Prior(OUT_OF_SEASON, kind.half_life_days, f"{words}: {_MESSAGER}")
    if kind.natural:
        words = f"in its months: {_AGREEMENT}"
        return Prior(MAPPED_PERMANENCE_RIGHT, kind.half_life_days, words)
    return Prior(kind.chance, kind.half_life_days, f"in its months: {kind.why}")


def holds_in_month(source: WaterSource, month: int | None) -> bool:
    """Whether the layer says that the source holds in ``month``; None asks for every month."""
    if source.months is None:
        return False
    return month in source.months if month else source.months >= _EVERY_MONTH


_NEVER_ZERO = 1e-300
_CONVERGED_WITHIN = 1e-14
_MOST_TERMS = 500
_QUANTILE_WITHIN = 1e-10


def beta_share_below(x: float, a: float, b: float) -> float:
    """Return the share of a Beta(a, b) distribution below ``x``: I_x(a, b) of DLMF 8.17.2.

    Valid for 0 <= x <= 1 and shapes from about 0.01 to 10,000.

    >>> round(beta_share_below(0.3, 1.0, 1.0), 12), beta_share_below(0.0, 2.0, 3.0)
    (0.3, 0.0)
    """
    if x <= 0.0 or x >= 1.0:
        return 0.0 if x <= 0.0 else 1.0
    if x > (a + 1.0) / (a + b + 2.0):
        return 1.0 - _share_by_fraction(1.0 - x, b, a)
    return _share_by_fraction(x, a, b)


def _share_by_fraction(x: float, a: float, b: float) -> float:
    log_front = (
        math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    )
    return math.exp(log_front) / a / _continued_fraction(x, a, b)


@lru_cache(maxsize=4096)
def beta_quantile(share: float, a: float, b: float) -> float:
    """Return where ``share`` of a Beta(a, b) distribution lies below, at most 1e-10 too low.

    A lower bound is never told too high: the lower end of the last bracket is returned.

    >>> round(beta_quantile(0.2, 1.0, 1.0), 6)
    0.2
    """
    low, high = 0.0, 1.0
    while high - low > _QUANTILE_WITHIN:
        middle = 0.5 * (low + high)
        if beta_share_below(middle, a, b) < share:
            low = middle
        else:
            high = middle
    return low


def _continued_fraction(x: float, a: float, b: float) -> float:
    """Return 1 + d1/(1 + d2/(1 + ...)) of DLMF 8.17.22 by the modified Lentz method."""
    value = numerators = 1.0
    denominators = 0.0
    for term in range(1, _MOST_TERMS):
        coefficient = _coefficient(term, x, a, b)
        denominators = 1.0 / (1.0 + coefficient * denominators or _NEVER_ZERO)
        numerators = 1.0 + coefficient / numerators or _NEVER_ZERO
        value *= numerators * denominators
        if abs(numerators * denominators - 1.0) < _CONVERGED_WITHIN:
            break
    return value


def _coefficient(term: int, x: float, a: float, b: float) -> float:
    """Return d of DLMF 8.17.23."""
    half = term // 2
    if term % 2 == 0:
        return half * (b - half) * x / ((a + term - 1.0) * (a + term))
    return -(a + half) * (a + b + half) * x / ((a + term - 1.0) * (a + term))
