"""What the user says about the trip, every default filled in."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

from longdry.model.assumption import Assumption
from longdry.model.trip.ground import GroundFeature
from longdry.model.trip.heat import TripHeat
from longdry.model.trip.here import Here
from longdry.model.trip.party import Animal, Container, Kit, Party, Pump, Use, Vehicle
from longdry.model.trip.treatment import Treatment
from longdry.model.trip.what_if import Change
from longdry.model.words import FillHabit, FillTo, IfDry, Ration, Travel

USUAL_FILL: Mapping[Travel, FillHabit] = {
    Travel.VEHICLE: FillHabit.TOP_UP,
    Travel.FOOT: FillHabit.SAFE,
    Travel.BICYCLE: FillHabit.SAFE,
}
"""How a party fills that does not say: who carries the water does not carry all that there is."""
USUAL_LITRE_KM_PER_HOUR: Mapping[Travel, float] = {Travel.FOOT: 50.0, Travel.BICYCLE: 200.0}
"""Litres times km that are as much trouble as an hour; a vehicle is not troubled by its load.

Common practice, no source: the reason stands in ``docs/why/calls.md``."""
USUAL_FILL_MINUTES = 15.0
"""Common practice, no source."""


@dataclass(frozen=True, slots=True)
class PaceSection:
    """A part of the route with a speed of its own."""

    from_km: float
    to_km: float
    speed_kmh: float


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast and how long the party moves each day."""

    travel: Travel
    speed_kmh: float
    hours_per_day: float
    start_hour: float
    """Hour of the day, 0 to 24, at which moving begins."""
    off_route_kmh: float
    """Speed on the ways to sources."""
    detour_factor: float
    """Length of the way to a source over its offset."""
    winding_factor: float
    """What straight legs longer than 2 km are lengthened by."""
    sections: tuple[PaceSection, ...] = ()
    break_h: tuple[float, float] | None = None
    """Hours of the day between which nobody moves."""
    fill_minutes: float = USUAL_FILL_MINUTES
    """What each call takes at least: time of the clock, not of the moving hours."""
    climb_m_per_h: float = 400.0
    """By bicycle: an hour on top for so many metres climbed."""
    unknown_ground_percent: float = 0.0
    """On foot and by bicycle: hours on top where the heights are not known."""
    ground: tuple[GroundFeature, ...] = ()
    """The user's layer of areas and lines with a surface or a speed."""
    longer_day_h: float = 1.0
    """By how much a day may be longer to reach a call, a pinned camp or the end; 0: never."""
    shorter_day_h: float = 0.5
    """At a call with no more than this left of the day's moving hours the party camps."""
    drink_l_per_moving_h: float = 1.0
    """Litres that a person drinks for each hour of walking or riding.

    Parks Australia: at least 1 L per person per hour of walking."""
    after_dark: bool = False
    """Whether the party moves after dark."""


@dataclass(frozen=True, slots=True)
class PinnedCamp:
    """A night (or more) at a place that the trip names: by km, by waypoint, or by coordinates."""

    rest_days: int = 0
    """Whole days of rest there, beyond the night."""
    km: float | None = None
    waypoint: str | None = None
    lat_deg: float | None = None
    lon_deg: float | None = None
    at_water: bool | None = None
    """Whether its nights and rest days draw on water there; None: not said."""


@dataclass(frozen=True, slots=True)
class Policy:
    """How careful the party wants to be."""

    max_detour_km: float
    """Farthest offset of a source that is looked at."""
    reserve_days: float
    reserve_ration: Ration
    fill_to: FillTo
    loss_percent: float
    """Spill and evaporation on top of every need."""
    longest_ok_km: float | None = None
    longest_ok_days: float | None = None
    start_on_board_l: float | None = None
    """Litres of drinking water at the start; None: enough to fill all containers."""
    days_after_end: float = 0.0
    """Days that the water carried must last beyond the end of the route."""
    help_days: float | None = None
    """Days until help can be there; None: not known."""
    back_by_days: float | None = None
    """Days after departure by which a party that turns round must be back; None: no limit."""
    longest_wait_h: float = 2.0
    """Longest wait at a call for its opening."""
    turn_back_margin: float = 0.1
    """Share of the litres of the way back that must be left over, 0 to 1."""
    fill: FillHabit | None = None
    """How the party fills; None: as is usual by its way of travel."""
    if_dry: IfDry = IfDry.ON_OR_BACK
    """What must still be possible at an uncertain source that turns out dry."""
    call_at: tuple[str, ...] = ()
    """Sources that the plan calls at: each a SOURCE, or SOURCE@KM for one of its passes."""
    pass_by: tuple[str, ...] = ()
    """Sources that the plan passes by, written like `call_at`."""
    litre_km_per_hour: float | None = None
    """Litres carried times km that trouble the party like an hour; None: as usual by its travel."""
    emergency_km: float = 25.0
    """Distance from the route within which water that does not count is named for an emergency."""


_NO_CALL = {"0", "none", "no", "nothing", "nobody", "nil", "n/a", "na", "unknown", "not known"}
"""What people write who have no means of calling for help, or do not know of any."""


@dataclass(frozen=True, slots=True)
class Contact:
    """How help is called, and who waits at home."""

    call: str = ""
    """The means of calling for help, such as a satellite telephone; empty: none is said."""
    check_in_days: float = 0.0
    """Days between two words to the person at home."""
    due_back: dt.date | None = None
    search_days: float | None = None
    """Days from a search being raised to being found; None: not said."""
    on_overdue: str = ""
    """Whom the person at home rings when nobody is back."""

    @property
    def can_call(self) -> bool:
        """Whether a means of calling is named; "none" and the like name none, nor do signs alone.

        A number may be a telephone's.

        >>> [Contact(call=call).can_call for call in ("radio", "112", "None.", "n/a", "?", "0")]
        [True, True, False, False, False, False]
        """
        call = self.call.strip().strip(".!").casefold()
        return any(sign.isalnum() for sign in call) and call not in _NO_CALL


@dataclass(frozen=True, slots=True)
class Trip:
    """Everything that the plan needs beside the route and the sources."""

    name: str
    origin: str
    """The trip file, for messages; empty where none was given."""
    depart: dt.datetime | None
    """Local time of departure; None: at the start hour of an unnamed day."""
    party: Party
    animals: tuple[Animal, ...]
    uses: tuple[Use, ...]
    containers: tuple[Container, ...]
    vehicles: tuple[Vehicle, ...]
    pace: Pace
    camps: tuple[PinnedCamp, ...]
    policy: Policy
    heat: TripHeat | None = None
    """None: no heat is given, and drinking follows the party's own rates alone."""
    treatment: Treatment | None = None
    """How water is made safe, where ``party.can_treat``; None: not said."""
    utc_offset_h: float | None = None
    """How far the clocks of the trip are ahead of UTC; None: not named."""
    what_ifs: tuple[Change, ...] = ()
    """What may go wrong, beside the usual set."""
    contact: Contact = field(default_factory=Contact)
    pumps: tuple[Pump, ...] = ()
    kit: Kit = field(default_factory=Kit)
    here: Here | None = None
    """Where the party is on its way; None: it has not left yet."""
    defaults: tuple[Assumption, ...] = ()
    """Every default that was filled in; ``Assumption.key`` names the trip key."""

    def is_default(self, key: str) -> bool:
        """Whether a trip key was filled in by default, such as 'policy.reserve_days'."""
        return any(one.key == key for one in self.defaults)
