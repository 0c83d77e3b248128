"""The trip keys of the party: who goes, its uses, what carries the water, how it is made safe."""

from __future__ import annotations

from longdry.model.trip.treatment import Fuel, TreatMethod
from longdry.model.trip_file.key import Kind, Range, TripKey, TripSection
from longdry.model.words import Accrual, ContainerGrade, Grade, Ration

MOST_CONTAINERS = 1000
"""In all; no party is known to carry as many. Common practice, no source."""
_STRICTEST = "not known, so it is taken to need potable water"

PARTY = TripSection(
    name="party",
    help="Who goes.",
    keys=(
        TripKey("people", Kind.WHOLE, "people", "How many people drink from this water.", 2,
                unit="people", range=Range(1, 10_000), default=2,
                why="not stated; nobody should cross dry country alone"),
        TripKey("can_treat", Kind.YES_NO, "way of treating water",
                "Whether the party carries a way of making water safe to drink.", sample=True,
                default=False, why="not known, so untreated sources are not drunk from"),
    ),
)  # fmt: skip

ANIMAL = TripSection(
    name="animal",
    help="Animals of one sort, each at its own rate.",
    many=True,
    keys=(
        TripKey("name", Kind.TEXT, "name", "What they are.", "dog", required=True),
        TripKey("count", Kind.WHOLE, "count", "How many.", 1,
                unit="animals", range=Range(1, 100_000), default=1,
                why="one table without a count is one animal"),
        TripKey("litres_per_day", Kind.NUMBER, "litres a day",
                "What each drinks in a day in the heat to be met.", 3.0,
                unit="L per animal and day", range=Range(0, 1000, above=True), required=True),
        TripKey("grade", Kind.WORD, "lowest grade", "The lowest grade that it may drink.",
                "treat-before-drinking", words=tuple(Grade), default=Grade.POTABLE,
                why=_STRICTEST),
    ),
)  # fmt: skip

USE = TripSection(
    name="use",
    help="Something that water goes on. Without any, drinking, cooking and washing are assumed; "
    "a list that is given replaces them all.",
    many=True,
    keys=(
        TripKey("name", Kind.TEXT, "name",
                "What the water goes on; 'drinking' is the one that heat raises.", "drinking",
                required=True),
        TripKey("litres", Kind.NUMBER, "litres",
                "Litres a day for each person, or as 'per' counts them; with always, all that is "
                "kept. For drinking the "
                "South Australia parks authority asks for at least 6 a day, Parks Australia for "
                "at least 1 an hour of walking.",
                6.0,
                unit="L", range=Range(0, 10_000), required=True),
        TripKey("grade", Kind.WORD, "lowest grade", "The lowest grade that the use takes.",
                "potable", words=tuple(Grade), default=Grade.POTABLE, why=_STRICTEST),
        TripKey("per", Kind.WORD, "litres are counted by",
                "What the litres are counted by; always: they are carried all the way and never "
                "planned to be spent, for the engine or for wounds.", "person-day",
                 words=tuple(Accrual), default=Accrual.PERSON_DAY,
                why="not stated; the common way of giving a rate"),
        TripKey("kept", Kind.WORD, "ration it is kept down to",
                "The scarcest ration on which the use is still kept: bare is never given up, "
                "full is given up first.", "bare", words=tuple(Ration), default=Ration.BARE,
                why="not known, so it is never given up"),
    ),
)  # fmt: skip

CONTAINER = TripSection(
    name="container",
    help="Containers of one sort: cans, bladders, bottles, tanks. "
    "Without any there is no verdict.",
    many=True,
    keys=(
        TripKey("name", Kind.TEXT, "name", "What to call them in the plan.", "20 L can",
                is_told=False),
        TripKey("count", Kind.WHOLE, "count", "How many of them.", 4,
                unit="containers", range=Range(1, MOST_CONTAINERS), default=1,
                why="one table without a count is one container"),
        TripKey("rated_l", Kind.NUMBER, "rated litres", "What each is sold as.", 20.0,
                unit="L", range=Range(0, 100_000, above=True), required=True),
        TripKey("brimful_l", Kind.NUMBER, "brimful litres",
                "What each takes when filled to the brim, measured; without it no more than "
                "rated_l.", 23.0,
                unit="L", range=Range(0, 100_000, above=True),
                why="not measured, so no more than the rated litres"),
        TripKey("grade", Kind.WORD, "water it is kept for",
                "What it is kept for: potable water only, or any water.", "potable",
                words=tuple(ContainerGrade), default=ContainerGrade.ANY,
                why="not known, so it may have held other water"),
        TripKey("tare_kg", Kind.NUMBER, "empty weight", "Weight of each when empty.", 1.5,
                unit="kg", range=Range(0, 10_000), default=0.0,
                why="not stated, so weights are those of the water alone: too light"),
        TripKey("vehicle", Kind.TEXT, "carried by",
                "Name of the [[vehicle]] that carries it.", "wagon"),
        TripKey("holds_l", Kind.NUMBER, "litres at the start",
                "What each holds at the start; without it, as the start's water allows.", 0.5,
                unit="L", range=Range(0, 100_000)),
        TripKey("holds_grade", Kind.WORD, "grade at the start",
                "Grade of what it holds at the start.", "potable", words=tuple(Grade),
                why="not stated; a container kept for potable water holds potable water, "
                    "any other is taken not to"),
        TripKey("cleanable", Kind.YES_NO, "cleaned on the way",
                "Whether it may be cleaned on the way, so that potable water may follow "
                "other water.", sample=False, default=False,
                why="not known, so potable water never follows other water"),
        TripKey("drinking_only", Kind.YES_NO, "kept for drinking water",
                "Whether raw water never enters it, only potable or treated water; it then counts "
                "as kept for potable water.", sample=True, default=False, is_told=False,
                why="grade says what it is kept for"),
    ),
)  # fmt: skip

VEHICLE = TripSection(
    name="vehicle",
    help="What carries containers: a vehicle, a bicycle, a person's back.",
    many=True,
    keys=(
        TripKey("name", Kind.TEXT, "name", "What to call it.", "wagon", required=True),
        TripKey("payload_left_kg", Kind.NUMBER, "payload left",
                "Weight left for water and its containers, everything else loaded.", 150.0,
                unit="kg", range=Range(0, 100_000), required=True),
        TripKey("people", Kind.WHOLE, "people in it", "How many of the party travel in it.", 2,
                unit="people", range=Range(0, 10_000)),
    ),
)  # fmt: skip

PUMP = TripSection(
    name="pump",
    help="A pump that the party carries, to draw water with.",
    many=True,
    keys=(
        TripKey("name", Kind.TEXT, "name", "What to call it.", "12 V pump", required=True),
        TripKey("l_per_min", Kind.NUMBER, "flow of the pump",
                "Litres a minute, measured at the lift that it has to do; a source that gives less "
                "is the slower of the two.", 8.0,
                unit="L/min", range=Range(0, 10_000, above=True), required=True),
        TripKey("amp", Kind.NUMBER, "current of the pump",
                "Current that it draws; leave it out for a pump driven by hand.", 6.0,
                unit="A", range=Range(0, 1000, above=True)),
    ),
)  # fmt: skip

_NO_TOOL = "a tool that is not listed is taken as not carried"

KIT = TripSection(
    name="kit",
    help="Tools that the party carries: a source whose `access` asks for another one is told.",
    keys=(
        TripKey("tap_key", Kind.YES_NO, "tap key", "A key for taps without a handle.", sample=True,
                default=False, is_told=False, why=_NO_TOOL),
        TripKey("rope_m", Kind.NUMBER, "rope", "Length of rope to let a bucket down on.", 9.0,
                unit="m", range=Range(0, 1000), default=0.0, is_told=False, why=_NO_TOOL),
        TripKey("shovel", Kind.YES_NO, "shovel", "A shovel, to dig for water.", sample=True,
                default=False, is_told=False, why=_NO_TOOL),
        TripKey("pump", Kind.YES_NO, "pump", "A pump; [[pump]] says how much it lifts.",
                sample=True, default=False, is_told=False,
                why="without a [[pump]]; " + _NO_TOOL),
        TripKey("other", Kind.TEXTS, "other tools", "Whatever else a source may ask for.",
                ("bucket",)),
    ),
)  # fmt: skip

PARTY_SECTIONS = (PARTY, ANIMAL, USE, CONTAINER, VEHICLE, PUMP, KIT)


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
