"""The text of a new trip file: some 40 lines, with a blank for all that only the party knows."""

from __future__ import annotations

from longdry.model.trip_file.key import BLANK
from longdry.model.words import Travel

_DRINKING = {
    Travel.VEHICLE: "a day for each; South Australia's parks authority: at least 6",
    Travel.FOOT: "a day for each; Parks Australia: at least 1 for each hour of walking",
    Travel.BICYCLE: "a day for each; at least 6, and 1 for each hour of riding",
}
_TEXT = """\
# Trip file of longdry, for travel by {travel}: write what is yours in place of each "{blank}".
# What you leave out is assumed and told with the plan. More keys: docs/reference/trip-file.md
# How much people drink depends on heat, work and health: ask the land manager, the local
# authorities and, where health is in question, a doctor.
depart = "{blank}"          # local day and hour, such as 2027-05-03T08:00

[party]
people = "{blank}"          # how many drink from this water
# can_treat = true      # take the # away if you carry a way of making water safe to drink

[[use]]                 # one such table for each thing that water goes on, as you measured it
name = "drinking"
litres = "{blank}"          # {drinking}

[[use]]
name = "cooking and washing"
litres = "{blank}"          # a day for each
kept = "lean"           # given up when drinking is all that is left

[[container]]           # one such table for each sort
name = "container"
count = 1               # how many of them
rated_l = "{blank}"         # litres that each is sold as

[pace]
travel = "{travel}"
speed_kmh = "{blank}"       # mean while moving, short halts included
hours_per_day = "{blank}"   # hours on the move each day

[heat]
shade_max_c = "{blank}"     # °C, the highest in the shade to be expected there at that time

[policy]
# help_days =           # days from your call until help can be there: ask those who would come

[contact]
call = "{blank}"            # what you call for help with anywhere; none: take this line out
due_back = "{blank}"        # day on which somebody at home expects you, such as 2027-05-17
"""


def new_trip_text(travel: Travel) -> str:
    """Return a trip file for a way of travel, to be filled in.

    Examples
    --------
    >>> text = new_trip_text(Travel.FOOT)
    >>> 'travel = "foot"' in text, text.count('= "___"')
    (True, 10)
    """
    return _TEXT.format(travel=travel, blank=BLANK, drinking=_DRINKING[travel])
