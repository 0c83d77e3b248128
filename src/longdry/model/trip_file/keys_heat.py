"""The part of the table of trip keys about the heat and the people in it."""

from __future__ import annotations

from longdry.model.trip.heat import (
    HIGHEST_MET,
    HOTTEST_SHADE_C,
    USUAL_BODY_MASS_KG,
    USUAL_DAY_RANGE_C,
    USUAL_HUMIDITY_PERCENT,
    USUAL_MOVING_MET,
    USUAL_SHADE_EXCESS_C,
    USUAL_SUN_EXCESS_C,
)
from longdry.model.trip_file.key import Kind, Range, TripKey, TripSection
from longdry.model.words import Travel

RANGE_KM = Range(0, 50_000)
_SHADE = Range(-40, HOTTEST_SHADE_C)
_MET = Range(1, HIGHEST_MET)
_MASS = Range(20, 250)
_STILL_OR_WINDY = "the worse of nearly still air and 3 m/s"
_AS_HEAT = "as in [heat]"

HEAT = TripSection(
    name="heat",
    help="The heat to expect. Each day's hours of moving, work and rest then tell what people "
    "lose by ISO 7933, and drinking is never planned lower. It makes no day safe: medical "
    "advice and local authorities come first.",
    keys=(
        TripKey("shade_max_c", Kind.NUMBER, "shade maximum",
                "Highest air temperature in the shade to expect on the trip; months and "
                "sections that are listed are believed before it.", 40.0,
                unit="°C", range=_SHADE),
        TripKey("humidity_percent", Kind.NUMBER, "humidity in the heat",
                "Relative humidity at the hottest hour.", 20.0,
                unit="%", range=Range(0, 100), default=USUAL_HUMIDITY_PERCENT,
                why="on the damp side for dry country; common practice, no source"),
        TripKey("day_range_c", Kind.NUMBER, "day's range of heat",
                "Shade maximum less night minimum.", 12.0,
                unit="K", range=Range(0, 40), default=USUAL_DAY_RANGE_C,
                why="dry country often has 15 K and more; a warmer night asks for more; common "
                    "practice, no source"),
        TripKey("wind_m_s", Kind.NUMBER, "wind in the heat", "Wind at the hottest hours.", 2.0,
                unit="m/s", range=Range(0, 40), if_absent=_STILL_OR_WINDY,
                why="not known, and unknown is worse"),
        TripKey("sun_excess_c", Kind.NUMBER, "heat of the sun",
                "Mean radiant temperature in the sun less the air's.", 25.0,
                unit="K", range=Range(0, 60), default=USUAL_SUN_EXCESS_C,
                why="common practice, no source; a radiation balance for a clear noon gives "
                    "about 30 K, the hours around it less"),
        TripKey("shade_excess_c", Kind.NUMBER, "heat of the ground in shade",
                "The same by day in shade beside hot ground.", 5.0,
                unit="K", range=Range(0, 60), default=USUAL_SHADE_EXCESS_C,
                why="common practice, no source"),
        TripKey("acclimatised", Kind.YES_NO, "acclimatised to the heat",
                "Whether everybody has had some ten days of work in such heat; it changes no "
                "litres, but how soon a body overheats.", sample=True, default=False,
                why="not known, so taken as not"),
        TripKey("working_h", Kind.NUMBER, "hours of work in the heat",
                "Hours of camp chores, digging out, fetching water each day, moving or not.", 2.0,
                unit="h", range=Range(0, 24), default=2.0, why="common practice, no source"),
        TripKey("resting_in_sun_h", Kind.NUMBER, "hours of rest in the sun",
                "Hours of rest each day without any shade; all other hours are rest in shade.",
                1.0,
                unit="h", range=Range(0, 24), default=0.0,
                why="the party is taken to find shade or to rig it"),
        TripKey("moving_in_sun", Kind.YES_NO, "moving in the sun in the heat",
                "Whether people move in the sun; false in a vehicle with a roof.", sample=True,
                default={Travel.VEHICLE: False, Travel.FOOT: True, Travel.BICYCLE: True},
                why="a vehicle has a roof, a walker or rider has none"),
        TripKey("working_in_sun", Kind.YES_NO, "work in the sun in the heat",
                "Whether the work is done in the sun.", sample=False, default=True,
                why="not known, and unknown is worse"),
        TripKey("moving_by_night", Kind.YES_NO, "moving by night in the heat",
                "Whether all moving is done in the cooler half of the day, without sun: the "
                "moving hours must then lie between 19 and 7 o'clock.", sample=False,
                default=False, why="not stated, so moving counts at the shade maximum"),
        TripKey("moving_met", Kind.NUMBER, "effort of moving in the heat",
                "How hard moving is: 1 met is rest, 58.15 W per square metre of skin.", 3.4,
                unit="met", range=_MET, default=dict(USUAL_MOVING_MET),
                why="ASHRAE 55, driving a car; ISO 8996, about 200 W/m2 on foot (from memory); "
                    "bicycle: common practice, no source"),
        TripKey("working_met", Kind.NUMBER, "effort of work in the heat",
                "How hard the work is.", 2.0,
                unit="met", range=_MET, default=2.0, why="ASHRAE 55, light work"),
        TripKey("body_mass_kg", Kind.NUMBER, "body mass in the heat", "Mean body mass.", 75.0,
                unit="kg", range=_MASS, default=USUAL_BODY_MASS_KG,
                why="the person of ISO 7933's check values"),
        TripKey("table", Kind.TEXT, "heat table",
                "A CSV file, found from the folder of the trip file, with the columns month, or "
                "from_km and to_km, then shade_max_c and any other key of [[heat_month]].",
                "heat.csv"),
    ),
)  # fmt: skip

_EXPECTED = (
    TripKey("shade_max_c", Kind.NUMBER, "shade maximum",
            "Highest air temperature in the shade to expect.", 38.0,
            unit="°C", range=_SHADE, required=True),
    TripKey("humidity_percent", Kind.NUMBER, "humidity in the heat",
            "Relative humidity at the hottest hour.", 25.0,
            unit="%", range=Range(0, 100), why=_AS_HEAT),
    TripKey("day_range_c", Kind.NUMBER, "day's range of heat",
            "Shade maximum less night minimum.", 15.0,
            unit="K", range=Range(0, 40), why=_AS_HEAT),
    TripKey("wind_m_s", Kind.NUMBER, "wind in the heat", "Wind at the hottest hours.", 2.0,
            unit="m/s", range=Range(0, 40), why=_AS_HEAT),
)  # fmt: skip

HEAT_MONTH = TripSection(
    name="heat_month",
    help="The heat to expect in a month; what is left out is as in [heat].",
    many=True,
    keys=(
        TripKey("month", Kind.WHOLE, "month", "Which month, 1 is January.", 11,
                range=Range(1, 12), required=True),
        *_EXPECTED,
    ),
)  # fmt: skip

HEAT_SECTION = TripSection(
    name="heat_section",
    help="The heat to expect on a part of the route, in any month; what is left out is as in "
    "[heat]. A day that touches several takes the one that asks for most.",
    many=True,
    keys=(
        TripKey("from_km", Kind.NUMBER, "begin", "Where on the route it begins.", 120.0,
                unit="km", range=RANGE_KM, required=True),
        TripKey("to_km", Kind.NUMBER, "end", "Where on the route it ends.", 180.0,
                unit="km", range=RANGE_KM, required=True),
        *_EXPECTED,
    ),
)  # fmt: skip

PERSON = TripSection(
    name="person",
    help="People of one sort whose body, effort or drinking differs from [heat]; the others of "
    "[party] people are as in [heat]. Only with heat.",
    many=True,
    keys=(
        TripKey("name", Kind.TEXT, "name", "Who they are.", "child", required=True),
        TripKey("count", Kind.WHOLE, "count", "How many of the party's people they are.", 1,
                unit="people", range=Range(1, 10_000), default=1,
                why="one table without a count is one person"),
        TripKey("litres_per_day", Kind.NUMBER, "litres a day",
                "A rate of their own for a day of this heat, for children and the ill: ask a "
                "doctor. It is believed; nothing is computed for them.", 3.0,
                unit="L per person and day", range=Range(0, 100, above=True)),
        TripKey("body_mass_kg", Kind.NUMBER, "body mass", "Body mass of each.", 60.0,
                unit="kg", range=_MASS, why=_AS_HEAT),
        TripKey("moving_met", Kind.NUMBER, "effort of moving", "How hard moving is for them.",
                3.0, unit="met", range=_MET, why=_AS_HEAT),
        TripKey("working_met", Kind.NUMBER, "effort of work", "How hard the work is for them.",
                2.4, unit="met", range=_MET, why=_AS_HEAT),
        TripKey("acclimatised", Kind.YES_NO, "acclimatised",
                "Whether they have had some ten days of work in such heat.", sample=True,
                why=_AS_HEAT),
    ),
)  # fmt: skip

HEAT_SECTIONS = (HEAT, HEAT_MONTH, HEAT_SECTION, PERSON)
