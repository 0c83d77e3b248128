"""The part of the table of trip keys about making water safe to drink."""

from __future__ import annotations

from longdry.model.treat_method import Fuel, TreatMethod
from longdry.model.trip_key import Kind, Range, TripKey, TripSection

TREATMENT = TripSection(
    name="treatment",
    help="How the party makes water safe; with it, can_treat need not be written.",
    keys=(
        TripKey("method", Kind.WORD, "method of treating",
                "What the party treats water with. None removes salts, metals or most chemicals.",
                "filter", words=tuple(TreatMethod),
                if_absent="not named",
                why="so what it takes, and what more it leaves in the water, cannot be told"),
        TripKey("litres_per_day", Kind.NUMBER, "litres treated a day",
                "What the party can treat in a day, all hands and pauses counted.", 24.0,
                unit="L", range=Range(0, 100_000, above=True),
                if_absent="as many litres as are wanted",
                why="not stated, so the plan does not see where treating falls behind"),
        TripKey("filter_l_per_min", Kind.NUMBER, "flow of the filter",
                "Litres a minute through the filter, measured with water of the place.", 0.8,
                unit="L/min", range=Range(0, 10_000, above=True)),
        TripKey("litres_per_tablet", Kind.NUMBER, "litres a tablet",
                "Litres that one tablet treats, from its label.", 1.0,
                unit="L", range=Range(0, 10_000, above=True)),
        TripKey("wait_minutes", Kind.NUMBER, "waiting time",
                "Standing time of tablets from the label; minutes for a litre with a UV lamp.",
                30.0, unit="min", range=Range(0, 1440)),
        TripKey("cloudy_or_cold", Kind.YES_NO, "cloudy or very cold water",
                "Whether the water is cloudy, coloured or very cold, so that bleach is doubled.",
                sample=True, default=False,
                why="not stated, so taken as clear; EPA (2017) doubles bleach in water that is "
                    "cloudy, coloured or very cold"),
        TripKey("stove_efficiency", Kind.NUMBER, "efficiency of the stove",
                "For boiling: share of the fuel's heat that reaches the water, measured out of "
                "the wind or in it as it will be; without it no fuel is told.", 0.4,
                range=Range(0, 1, above=True)),
        TripKey("stove_kw", Kind.NUMBER, "heat of the stove",
                "For boiling: heat of the fuel that it burns.", 2.0,
                unit="kW", range=Range(0, 100, above=True), default=2.0,
                why="a small gas stove; common practice, no source"),
        TripKey("pot_l", Kind.NUMBER, "litres of the pot",
                "For boiling: litres boiled at a time.", 1.5,
                unit="L", range=Range(0, 1000, above=True), default=1.0,
                why="not stated; a small pot means more boils and more fuel"),
        TripKey("fuel", Kind.WORD, "fuel", "For boiling: what the stove burns.", "propane",
                words=tuple(Fuel), default=Fuel.BUTANE,
                why="of the two the one that more grams are needed of"),
    ),
)  # fmt: skip
