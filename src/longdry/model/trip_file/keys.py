"""Every key of a trip file, in one table: reading, checking, schema, help and docs follow it."""

from __future__ import annotations

from longdry.model.trip.ground import SURFACES
from longdry.model.trip.trip import USUAL_FILL, USUAL_FILL_MINUTES, USUAL_LITRE_KM_PER_HOUR
from longdry.model.trip_file.key import Kind, Range, TripKey, TripSection
from longdry.model.trip_file.keys_heat import HEAT_SECTIONS, RANGE_KM
from longdry.model.trip_file.keys_party import PARTY_SECTIONS, TREATMENT
from longdry.model.words import FillHabit, FillTo, IfDry, Ration, Travel

_COMMON = "common practice, no source"

TOP = TripSection(
    name="",
    help="Keys that stand before all tables.",
    keys=(
        TripKey("name", Kind.TEXT, "name", "Name of the trip, shown on top of the plan.",
                "Dry Lakes loop", is_told=False),
        TripKey("depart", Kind.MOMENT, "departure",
                "Local date and time of departure at the place, without an offset, seconds or not; "
                "a date alone means the start hour of that day.",
                "2027-05-03T08:00",
                if_absent="the start hour of an unnamed day",
                why="no departure in the trip file, so no dates can be told"),
        TripKey("utc_offset_h", Kind.NUMBER, "offset from UTC",
                "How far the clocks of the trip are ahead of UTC, for sunrise and sunset; "
                "without it the nearest whole hour by the longitude.", 9.5,
                unit="h", range=Range(-12, 14)),
    ),
)  # fmt: skip

PACE = TripSection(
    name="pace",
    help="How fast and how long the party moves each day.",
    keys=(
        TripKey("travel", Kind.WORD, "way of travel", "How the party moves.", "vehicle",
                words=tuple(Travel), default=Travel.FOOT,
                why="not known, so the slowest way is taken"),
        TripKey("speed_kmh", Kind.NUMBER, "speed",
                "Mean speed while moving, short halts included.", 30.0,
                unit="km/h", range=Range(0.1, 150),
                default={Travel.VEHICLE: 30.0, Travel.BICYCLE: 10.0, Travel.FOOT: 4.0},
                why="common practice for tracks in dry country, no source"),
        TripKey("hours_per_day", Kind.NUMBER, "moving hours a day",
                "Hours of moving each day, before camp is made.", 6.0,
                unit="h", range=Range(0.25, 24), default=6.0,
                why="common practice, no source"),
        TripKey("start_hour", Kind.NUMBER, "hour before which nobody moves, on any day",
                "Hour of the day at which moving begins; 8.5 is half past eight. An earlier "
                "departure waits for it.", 8.0,
                unit="h after midnight", range=Range(0, 23.99), default=8.0,
                why="common practice is 07:00 to 09:00, no source"),
        TripKey("off_route_kmh", Kind.NUMBER, "speed off the route",
                "Speed on the ways from the route to a source and back.", 15.0,
                unit="km/h", range=Range(0.1, 150),
                default={Travel.VEHICLE: 15.0, Travel.BICYCLE: 6.0, Travel.FOOT: 3.0},
                why="slower than on the route, and never faster; common practice, no source"),
        TripKey("detour_factor", Kind.NUMBER, "detour factor",
                "How much longer the way to a source is than the straight line to it.", 1.3,
                range=Range(1, 20), default=1.3, why="common practice, no source"),
        TripKey("winding_factor", Kind.NUMBER, "winding factor",
                "What straight legs longer than 2 km are lengthened by, "
                "for a route that was drawn by hand.", 1.0,
                range=Range(1, 20), default=1.0,
                why="the route is taken as drawn; a line drawn with long straight legs is "
                    "shorter than the way on the ground"),
        TripKey("break_from_hour", Kind.NUMBER, "begin of the heat break",
                "Hour of the day from which nobody moves; without both hours no break is kept.",
                11.0,
                unit="h after midnight", range=Range(0, 24),
                why="only its end is stated; common practice, no source"),
        TripKey("break_to_hour", Kind.NUMBER, "end of the heat break",
                "Hour of the day at which moving goes on.", 15.5,
                unit="h after midnight", range=Range(0, 24),
                why="only its begin is stated; common practice, no source"),
        TripKey("fill_minutes", Kind.NUMBER, "minutes for a fill",
                "What a call takes at least, by the clock and not of the moving hours; where the "
                "litres run slower than that, it takes as long as they do.", 30.0,
                unit="min", range=Range(0, 600), default=USUAL_FILL_MINUTES, why=_COMMON),
        TripKey("longer_day_h", Kind.NUMBER, "longer day",
                "By how much a day of moving may be longer where that reaches the next call, a "
                "pinned camp or the end before dark; 0: never.", 0.5,
                unit="h", range=Range(0, 12), default=1.0, why=_COMMON),
        TripKey("shorter_day_h", Kind.NUMBER, "shorter day",
                "At a call with no more than this left of the day's moving hours the party camps.",
                1.0,
                unit="h", range=Range(0, 12), default=0.5, why=_COMMON),
        TripKey("drink_l_per_moving_h", Kind.NUMBER, "drinking while moving",
                "On foot and by bicycle: what each person drinks in an hour of moving, taken from "
                "the day's litres.", 1.0,
                unit="L", range=Range(0, 5), default=1.0,
                why="Parks Australia asks for at least 1 L a person and hour of walking"),
        TripKey("after_dark", Kind.YES_NO, "moving after dark",
                "Whether the party moves after dark; without it hours not used by then are lost.",
                sample=True, default=False,
                why="not stated; ways to water and hazards are missed in the dark"),
        TripKey("climb_m_per_h", Kind.NUMBER, "climb penalty",
                "By bicycle, where heights are known: metres of climb that cost an hour on top.",
                400.0,
                unit="m", range=Range(50, 100_000), default=400.0,
                why="common practice, no source; 110 kg lifted by 400 m is 48 minutes of 150 W"),
        TripKey("unknown_ground_percent", Kind.NUMBER, "margin for unknown heights",
                "On foot and by bicycle: hours on top where the route has no heights.", 10.0,
                unit="%", range=Range(0, 500), default=0.0,
                why="speed_kmh is taken for the party's mean on such ground"),
        TripKey("ground", Kind.TEXT, "ground layer",
                "A file of areas or lines (GeoJSON or any layer that GDAL reads), found from the "
                "folder of the trip file, each with a `surface` or a `speed_kmh`.",
                "ground.geojson"),
    ),
)  # fmt: skip

PACE_SECTION = TripSection(
    name="section",
    help="A part of the route with a speed of its own, or a surface that slows the speed of "
    "[pace], which then counts as that on a paved road; elsewhere the speed of [pace] holds.",
    many=True,
    any_of=("speed_kmh", "surface"),
    keys=(
        TripKey("from_km", Kind.NUMBER, "begin", "Where on the route it begins.", 120.0,
                unit="km", range=RANGE_KM, required=True),
        TripKey("to_km", Kind.NUMBER, "end", "Where on the route it ends.", 180.0,
                unit="km", range=RANGE_KM, required=True),
        TripKey("speed_kmh", Kind.NUMBER, "speed", "Mean speed while moving there.", 3.0,
                unit="km/h", range=Range(0.1, 150)),
        TripKey("surface", Kind.WORD, "surface",
                "What the ground is like there, where no speed is given.", "sand", words=SURFACES),
    ),
)  # fmt: skip

CAMP = TripSection(
    name="camp",
    help="A night at a fixed place: give km, or waypoint, or lat and lon.",
    many=True,
    one_of=(("km",), ("waypoint",), ("lat", "lon")),
    keys=(
        TripKey("km", Kind.NUMBER, "km", "Where on the route the camp is.", 180.0,
                unit="km", range=RANGE_KM),
        TripKey("waypoint", Kind.TEXT, "waypoint",
                "Name of a waypoint in the route's file.", "Gidgee camp"),
        TripKey("lat", Kind.NUMBER, "latitude", "Latitude, south is negative.", -27.5,
                unit="degrees", range=Range(-90, 90)),
        TripKey("lon", Kind.NUMBER, "longitude", "Longitude, west is negative.", 138.25,
                unit="degrees", range=Range(-180, 180)),
        TripKey("rest_days", Kind.WHOLE, "rest days",
                "Whole days of rest there, beyond the night.", 1,
                unit="days", range=Range(0, 365), default=0,
                why="none in the trip file"),
        TripKey("at_water", Kind.YES_NO, "water at the camp",
                "Whether its nights and rest days draw on the water there: true makes that water "
                "a call, false leaves it alone.", sample=True,
                if_absent="only where a day ends at a call",
                why="not stated, so a camp anywhere else is dry"),
    ),
)  # fmt: skip

POLICY = TripSection(
    name="policy",
    help="How careful the party wants to be.",
    keys=(
        TripKey("max_detour_km", Kind.NUMBER, "farthest source",
                "Farthest straight-line distance from the route at which a source is "
                "looked at.", 5.0,
                unit="km", range=Range(0, 200),
                default={Travel.VEHICLE: 5.0, Travel.BICYCLE: 3.0, Travel.FOOT: 2.0},
                why="a source farther off often costs more than it saves; "
                    "common practice, no source"),
        TripKey("reserve_days", Kind.NUMBER, "reserve",
                "Days of water that must still be carried at the end of each stretch; the South "
                "Australia parks authority asks for 3 to 4 in remote areas.", 3.0,
                unit="days", range=Range(0, 60),
                default={Travel.VEHICLE: 3.0, Travel.BICYCLE: 1.0, Travel.FOOT: 1.0},
                why="the South Australia parks authority asks remote-area travellers for a "
                    "3-4 day reserve; on foot and by bicycle, where more can seldom be carried, "
                    "one day is " + _COMMON),
        TripKey("reserve_ration", Kind.WORD, "ration of the reserve",
                "Ration that the reserve is counted on.", "full",
                words=tuple(Ration), default=Ration.BARE,
                why="whoever lives on the reserve gives up what can be given up; " + _COMMON),
        TripKey("fill", Kind.WORD, "way of filling",
                "safe: the least with which any one uncertain source may be dry; least: only what "
                "is needed to the next water; top-up: everything, wherever the plan calls.", "safe",
                words=tuple(FillHabit), default=dict(USUAL_FILL),
                why="a vehicle fills all that it has; whoever carries the water takes the least "
                    "that is safe; " + _COMMON),
        TripKey("if_dry", Kind.WORD, "way from a dry source",
                "What must be possible where an uncertain source is found dry: to go on, to go on "
                "or back, or nothing.", "on",
                words=tuple(IfDry), default=IfDry.ON_OR_BACK,
                why="not stated; from a dry source there must be a way to other water"),
        TripKey("fill_to", Kind.WORD, "mark to fill to",
                "Whether containers are filled to their rated litres or to the brim.", "rated",
                words=tuple(FillTo), default=FillTo.RATED,
                why="the smaller of the two marks, as not known"),
        TripKey("loss_percent", Kind.NUMBER, "losses",
                "Spill, leaks and evaporation on top of every need.", 10.0,
                unit="%", range=Range(0, 100), default=5.0,
                why=_COMMON + "; US Army planning once counted 10 % of carried water as lost to "
                    "spills and waste: set it where containers are open or rough"),
        TripKey("call_at", Kind.TEXTS, "sources to call at",
                "Sources that the plan calls at, by name or id, or SOURCE@KM where the route "
                "passes one twice.", ("Old Bore", "Gum Well@182")),
        TripKey("pass_by", Kind.TEXTS, "sources to pass by",
                "Sources that the plan passes by, written like those of call_at.", ("Salt Tank",)),
        TripKey("litre_km_per_hour", Kind.NUMBER, "trouble of carrying water",
                "Litres carried times km that trouble the party like an hour of way: where the "
                "plan chooses between two calls, it weighs hours against what is carried.", 100.0,
                unit="L times km", range=Range(1, 1_000_000),
                default=dict(USUAL_LITRE_KM_PER_HOUR),
                why="ten litres over 5 km on foot, over 20 km by bicycle, are as much trouble as "
                    "an hour; a vehicle is not troubled by them; " + _COMMON),
        TripKey("longest_wait_h", Kind.NUMBER, "longest wait for an opening",
                "How long the party waits at a call that is closed and opens later.", 1.0,
                unit="h", range=Range(0, 24), default=2.0, why=_COMMON),
        TripKey("turn_back_margin", Kind.NUMBER, "margin for turning back",
                "Share of the litres of the way back that must be left on arriving there; 0.1 is "
                "10 %.", 0.2,
                unit="of the litres", range=Range(0, 1), default=0.1, why=_COMMON),
        TripKey("emergency_km", Kind.NUMBER, "water for an emergency",
                "How far from the route water that does not count is named for an emergency; it "
                "changes no figure.", 40.0,
                unit="km", range=Range(0, 500), default=25.0, why=_COMMON),
        TripKey("longest_ok_km", Kind.NUMBER, "longest stretch accepted",
                "The party's own limit for a dry stretch: a warning beyond it.", 300.0,
                unit="km", range=Range(0, 50_000, above=True)),
        TripKey("longest_ok_days", Kind.NUMBER, "longest stretch accepted",
                "The party's own limit for a dry stretch: a warning beyond it.", 4.0,
                unit="days", range=Range(0, 3650, above=True)),
        TripKey("start_on_board_l", Kind.NUMBER, "water at the start",
                "Litres of drinking water at the start, carried or to be had there, where they "
                "are not enough to fill the containers.", 12.0,
                unit="L", range=Range(0, 1_000_000),
                if_absent="enough drinking water to fill all containers before leaving",
                why="the trip file does not say what is carried; how much of it to take is told "
                    "by the fills"),
        TripKey("days_after_end", Kind.NUMBER, "days after the end",
                "Days that the water carried must last beyond the end of the route.", 1.0,
                unit="days", range=Range(0, 365), default=0.0,
                why="the end of the route counts as the end of the need unless the trip file "
                    "says otherwise"),
        TripKey("help_days", Kind.NUMBER, "days until help",
                "Days from a call for help until help can be there.", 3.0,
                unit="days", range=Range(0, 365)),
        TripKey("back_by_days", Kind.NUMBER, "days to be back by",
                "Days after departure by which the party must be back at the start if it turns "
                "round.", 10.0,
                unit="days", range=Range(0, 1000, above=True)),
    ),
)  # fmt: skip

CONTACT = TripSection(
    name="contact",
    help="How help is called, and what the person at home knows.",
    keys=(
        TripKey("call", Kind.TEXT, "means of calling for help",
                "What help can be called with from anywhere on the route.", "satellite telephone",
                if_absent="none",
                why="not stated, so help sets out only when somebody misses the party"),
        TripKey("check_in_days", Kind.NUMBER, "days between check-ins",
                "Days between two words to the person at home.", 1.0,
                unit="days", range=Range(0, 365), default=0.0,
                why="not stated, so nothing is added to the days until help can be there"),
        TripKey("due_back", Kind.DAY, "day due back",
                "Day on which the person at home expects the party back.", "2027-05-17"),
        TripKey("search_days", Kind.NUMBER, "days of a search",
                "Days from the day due back until a search has found the party.", 4.0,
                unit="days", range=Range(0, 365)),
        TripKey("on_overdue", Kind.TEXT, "whom to ring when overdue",
                "Whom the person at home rings when the party is not back.", "the police"),
    ),
)  # fmt: skip

WHAT_IF = TripSection(
    name="what_if",
    help="Something that may go wrong, to be looked at beside the usual set.",
    many=True,
    keys=(
        TripKey("change", Kind.TEXT, "what goes wrong",
                "In plain words: 'delay 2 days at km 410', 'pace 25 % slower', '5 C hotter', "
                "'lose container NAME', 'lose vehicle NAME', '2 more people', 'dry NAME', "
                "'treating fails', 'drought'.",
                "delay 2 days at km 410", required=True),
    ),
)  # fmt: skip

SECTIONS: tuple[TripSection, ...] = (
    TOP,
    *PARTY_SECTIONS,
    TREATMENT,
    PACE,
    PACE_SECTION,
    CAMP,
    *HEAT_SECTIONS,
    POLICY,
    CONTACT,
    WHAT_IF,
)
"""In the order in which the reference lists them."""


def section_called(name: str) -> TripSection | None:
    """Return the section called ``name``, None where there is none."""
    return next((section for section in SECTIONS if section.name == name), None)


def sections_with(key: str) -> tuple[TripSection, ...]:
    """Return the sections that know a key called ``key``."""
    return tuple(section for section in SECTIONS if key in section.key_names)
