"""A visit as somebody tells it, checked before any book is opened."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from longdry.doing.book_transaction import today
from longdry.errors import UsageError
from longdry.model.water.source import Found, Visit
from longdry.reading.water.values import RefusedValueError
from longdry.reading.water.visits import visit_from


def told_visit(notes: Mapping[str, object], named: Mapping[str, str]) -> Visit:
    """Return the visit that the notes tell.

    Parameters
    ----------
    notes
        By the properties of a visit in a water book.
    named
        What each of them is called where it was told.

    Raises
    ------
    UsageError
        A value cannot be, the day is still to come, or water was taken where there was none.
    """
    try:
        visit = visit_from(notes)
    except RefusedValueError as refused:
        field, _, rest = refused.what.partition(" ")
        what = f"{named.get(field, field)} {rest}"
        raise UsageError.single("visit", "", what, refused.mend) from None
    if visit.on > today() + dt.timedelta(days=1):
        what = f"the visit of {visit.on.isoformat()} is still to come"
        raise UsageError.single(named["on"], "", what, "give the day on which somebody was there")
    if visit.litres and visit.found in {Found.DRY, Found.UNREACHABLE}:
        what = f"{visit.litres:g} L cannot be taken where it was found {visit.found.value}"
        mend = f"write {named['found']} low, or leave {named['litres']} out"
        raise UsageError.single(named["litres"], "", what, mend)
    return visit
