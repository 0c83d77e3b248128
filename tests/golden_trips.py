"""The cases of the golden outputs: samples, made trips, water books, bad input. All invented."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from golden_files import (
    INVENTED,
    Content,
    Place,
    Source,
    beside,
    collection,
    feature,
    gpx,
    gpx_route,
    lat_lon,
    line_geojson,
    line_kml,
    line_layer,
    mbtiles,
    pmtiles,
    point,
    positions,
    track,
    water_csv,
    water_geojson,
    water_gpx,
    water_kml,
    water_layer,
    waypoint,
    winding,
)

SAMPLES = Path(__file__).parent.parent / "sample_routes"
OUT_FILES = {
    "--out": "page.html",
    "--json": "plan.json",
    "--gpx-out": "plan.gpx",
    "--geojson-out": "plan.geojson",
    "--csv-out": "stretches.csv",
    "--csv-fills-out": "fills.csv",
    "--csv-days-out": "days.csv",
}
OUT = tuple(word for option in OUT_FILES.items() for word in option)
"""Every file that a plan can be written to."""


@dataclass(frozen=True)
class Case:
    """Files, and the commands that are run beside them one after the other."""

    name: str
    files: Mapping[str, Content]
    steps: Sequence[Sequence[str]]

    def write_files(self, folder: Path) -> int:
        """Write the files into a folder."""
        for name, content in self.files.items():
            place = folder / name
            if callable(content):
                content(place)
            else:
                place.write_bytes(content.encode() if isinstance(content, str) else content)
        return 0


def plan(
    name: str,
    route: Content,
    water: Content | Mapping[str, Content],
    trip: str | None = None,
    words: Sequence[str] = (),
    *,
    route_name: str = "route.gpx",
    more: Mapping[str, Content] | None = None,
) -> Case:
    """Make a case of one plan with every output."""
    layers = water if isinstance(water, Mapping) else {"water.geojson": water}
    files: dict[str, Content] = {route_name: route, **layers, **(more or {})}
    asked = ["plan", route_name]
    for layer in layers:
        if not layer.endswith((".dbf", ".shx", ".prj")):
            asked += ["--water", layer]
    if trip is not None:
        files["trip.toml"] = f"# {INVENTED}\n{trip}"
        asked += ["--trip", "trip.toml"]
    return Case(name, files, [[*asked, *words, *OUT]])


SAMPLE_WAYS: dict[str, list[str]] = {
    "plain": [],
    "reversed": ["--reverse"],
    "top-up": ["--fill", "top-up"],
    "whole-containers": ["--whole-containers"],
    "us": ["--units", "us"],
    "certain": ["--count-on", "certain"],
    "any": ["--count-on", "any"],
    "survive-dry": ["--survive-dry", "1"],
    "no-trials": ["--trials", "0"],
    "seed": ["--seed", "7", "--trials", "500"],
    "strict": ["--strict"],
    "what-if": [
        "--what-if", "delay 2 days at km 40", "--what-if", "pace 25 % slower",
        "--what-if", "2 more people", "--what-if", "delay 1 day",
    ],
    "all-at-once": [
        "--reverse", "--units", "us", "--fill", "top-up", "--whole-containers",
        "--survive-dry", "1", "--count-on", "any", "--what-if", "1 more person", "--strict",
    ],
}  # fmt: skip
SAMPLE_WHAT_IF = {
    "saltbush_loop": ["lose container jerrycan", "dry Fork Well"],
    "gorge_walk": ["lose container bladder"],
    "stock_route_ride": ["5 C hotter", "lose container bag"],
}


def samples() -> Iterator[Case]:
    """Yield the samples, each asked in many ways."""
    for sample, own in SAMPLE_WHAT_IF.items():
        folder = SAMPLES / sample
        held = {path.name: path.read_bytes() for path in sorted(folder.iterdir())}
        route, trip = held.pop("route.gpx"), held.pop("trip.toml").decode()
        ways = {**SAMPLE_WAYS, "own-what-if": [w for what in own for w in ("--what-if", what)]}
        for way, words in ways.items():
            yield plan(f"{sample}-{way}", route, held, trip, words)
        yield plan(f"{sample}-no-trip", route, held)


# What trips are put together from.

LINE = winding(160.0)
SHORT = winding(24.0, step_km=0.2, swing_km=1.5)
ROUTE = gpx(
    waypoint("Camp at the Bend", beside(LINE, 0.35, 0.1)),
    waypoint("Camp of Stones", beside(LINE, 0.7, 0.1)),
    track(LINE),
)
WALK = gpx(track(SHORT))


def source(name: str, at: Place, grade: str | None = "potable", **more: object) -> Source:
    """Make a source; its id is made from its name."""
    made = {"id": "".join(letter for letter in name.lower() if letter.isalnum()), "name": name}
    return {**made, "at": at, **({"grade": grade} if grade else {}), **more}


def four(line: Sequence[Place] = LINE) -> list[Source]:
    """Make four sources along a line."""
    return [
        source("First Tank", beside(line, 0.2), kind="tank", access="tap", flow_l_per_min=8),
        source("Second Well", beside(line, 0.45, -0.4), "treat-before-drinking", kind="well"),
        source("Third Bore", beside(line, 0.6, 0.8), kind="bore", certainty="certain"),
        source("Fourth Soak", beside(line, 0.85, -0.3), None, kind="soak"),
    ]


WATER = water_geojson(four())
WALK_WATER = water_geojson(four(SHORT))
DEPART = "name = 'Made trip'\ndepart = 2027-05-03T08:00:00\n"
PARTY = "[party]\npeople = 3\ncan_treat = true\n"
CANS = "[[container]]\nname = 'can'\ncount = 4\nrated_l = 20\nbrimful_l = 22\ntare_kg = 1.4\n"
BOTTLES = "[[container]]\nname = 'bottle'\ncount = 6\nrated_l = 2\ngrade = 'potable'\n"
USES = """[[use]]
name = "drinking"
litres = 5
[[use]]
name = "cooking"
litres = 1.5
grade = "treat-before-drinking"
kept = "lean"
[[use]]
name = "evening wash"
litres = 4
grade = "not-for-drinking"
per = "party-night"
kept = "full"
[[use]]
name = "radiator"
litres = 3
grade = "not-for-drinking"
per = "party-100km"
"""
VEHICLE = "[pace]\ntravel = 'vehicle'\nspeed_kmh = 18\nhours_per_day = 4\n"
FOOT = "[pace]\ntravel = 'foot'\nhours_per_day = 5\nspeed_kmh = 3.5\n"
BICYCLE = "[pace]\ntravel = 'bicycle'\nhours_per_day = 4\n"
POLICY = "[policy]\nreserve_days = 1\nreserve_ration = 'lean'\nmax_detour_km = 3\n"
DRIVE = DEPART + PARTY + USES + CANS + VEHICLE + POLICY
WALKING = DEPART + PARTY + USES + BOTTLES + FOOT + POLICY
RIDE = DEPART + PARTY + USES + BOTTLES + CANS + BICYCLE + POLICY


def ways_of_travel() -> Iterator[Case]:
    """Yield plain trips of each way of travel."""
    yield plan("made-drive", ROUTE, WATER, DRIVE)
    yield plan("made-walk", WALK, WALK_WATER, WALKING)
    yield plan("made-ride", ROUTE, WATER, RIDE)
    yield plan("made-no-trip", ROUTE, WATER)
    yield plan("made-empty-trip", ROUTE, WATER, "")
    yield plan(
        "made-no-heights",
        gpx(track(SHORT, heights=False)),
        WALK_WATER,
        WALKING.replace("speed_kmh = 3.5", "speed_kmh = 3.5\nunknown_ground_percent = 25"),
    )
    yield plan("made-no-date", ROUTE, WATER, DRIVE.removeprefix(DEPART))
    yield plan("made-no-containers", ROUTE, WATER, DEPART + PARTY + VEHICLE)
    yield plan(
        "made-detours",
        ROUTE,
        WATER,
        DRIVE + "longest_ok_km = 30\nlongest_ok_days = 1\nloss_percent = 8\n"
        "fill_to = 'brimful'\nstart_on_board_l = 35\ndays_after_end = 1.5\n"
        "help_days = 3\nback_by_days = 9\n",
    )
    yield plan(
        "made-winding-factor",
        gpx(track(LINE[::20])),
        WATER,
        DRIVE.replace(
            "speed_kmh = 18",
            "speed_kmh = 18\nwinding_factor = 1.2\ndetour_factor = 1.6\n"
            "off_route_kmh = 9\nfill_minutes = 30\nstart_hour = 6.5",
        ),
    )
    yield plan(
        "made-what-ifs-in-trip",
        ROUTE,
        WATER,
        DRIVE
        + "".join(
            f"[[what_if]]\nchange = '{change}'\n"
            for change in (
                "dry First Tank",
                "dry thirdbore",
                "lose container can",
                "delay 3 days",
                "pace 40 % slower",
                "2 more people",
            )
        ),
    )


def formats() -> Iterator[Case]:
    """Yield routes and water layers in each format."""
    bare = [{**each, "certainty": "likely"} for each in four()]
    for name, content in {
        "water.csv": water_csv(bare),
        "semicolons.csv": water_csv(bare, ";"),
        "water.gpx": water_gpx(bare),
        "water.kml": water_kml(bare),
        "water.gpkg": water_layer(bare),
        "metres.gpkg": water_layer(bare, "EPSG:32728"),
        "water.shp": water_layer(
            [
                {k: v for k, v in each.items() if k in {"id", "name", "at", "grade", "kind"}}
                for each in bare
            ]
        ),
    }.items():
        yield plan(f"water-{name.replace('.', '-')}", ROUTE, {name: content}, DRIVE)
    yield plan(
        "water-three-layers",
        ROUTE,
        {
            "one.geojson": water_geojson(bare[:2]),
            "two.csv": water_csv(bare[2:3]),
            "three.kml": water_kml(bare[3:]),
        },
        DRIVE,
    )
    for name, content in {
        "line.geojson": line_geojson(LINE),
        "parts.geojson": line_geojson(LINE[:120], LINE[121:]),
        "line.kml": line_kml(LINE),
        "line.gpkg": line_layer(LINE, "EPSG:32728"),
        "line.shp": line_layer(LINE),
        "legs.gpx": gpx(gpx_route(LINE[::10])),
        "gaps.gpx": gpx(track(LINE[:80], LINE[81:160], LINE[168:240], LINE[243:])),
    }.items():
        yield plan(f"route-{name.replace('.', '-')}", content, WATER, DRIVE, route_name=name)
    days = gpx(track(LINE[:150], name="Day one"), track(LINE[150:], name="Day two"))
    apart = gpx(track(LINE[:150], name="Day one"), track(LINE[240:], name="Day two"))
    yield plan("route-two-tracks", days, WATER, DRIVE)
    yield plan("route-one-of-two", apart, WATER, DRIVE, ["--track", "Day two"])
    yield plan("route-unnamed-of-two", apart, WATER, DRIVE)


HEAT = "[heat]\nshade_max_c = 41\nhumidity_percent = 15\nacclimatised = true\nworking_h = 3\n"
HEAT_TABLE = (
    f"# {INVENTED}\nmonth,from_km,to_km,shade_max_c,humidity_percent,wind_m_s\n"
    "5,,,36,25,2\n6,,,33,,\n,30,80,43,10,\n"
)


def heat_and_hours() -> Iterator[Case]:
    """Yield trips in heat, with breaks, sections, ground and camps."""
    walk = WALKING + HEAT
    yield plan("heat-drive", ROUTE, WATER, DRIVE + HEAT, ["--what-if", "5 C hotter"])
    yield plan("heat-walk", WALK, WALK_WATER, walk + "resting_in_sun_h = 1\nwind_m_s = 2\n")
    yield plan("heat-ride-us", ROUTE, WATER, RIDE + HEAT, ["--units", "us"])
    yield plan(
        "heat-table",
        ROUTE,
        WATER,
        DRIVE + "[heat]\nshade_max_c = 38\ntable = 'heat.csv'\n",
        more={"heat.csv": HEAT_TABLE},
    )
    yield plan(
        "heat-months",
        ROUTE,
        WATER,
        DRIVE + HEAT + "[[heat_month]]\nmonth = 5\nshade_max_c = 34\nday_range_c = 16\n"
        "[[heat_section]]\nfrom_km = 40\nto_km = 90\nshade_max_c = 44\n",
    )
    yield plan(
        "heat-people",
        ROUTE,
        WATER,
        DRIVE + HEAT + "[[person]]\nname = 'driver'\nbody_mass_kg = 95\nmoving_met = 2\n"
        "[[person]]\nname = 'child'\nlitres_per_day = 3.5\n",
    )
    by_night = FOOT.replace("hours_per_day = 5", "hours_per_day = 4") + "start_hour = 19\n"
    yield plan(
        "heat-by-night", WALK, WALK_WATER, walk.replace(FOOT, by_night) + "moving_by_night = true\n"
    )
    yield plan(
        "heat-deadly",
        WALK,
        WALK_WATER,
        WALKING + "[heat]\nshade_max_c = 52\n"
        "humidity_percent = 60\nsun_excess_c = 35\nmoving_met = 6\n",
    )
    hours = "start_hour = 6\nbreak_from_hour = 9\nbreak_to_hour = 15.5\nfill_minutes = 40\n"
    yield plan(
        "hours-break", ROUTE, WATER, "utc_offset_h = -1\n" + DRIVE.replace(VEHICLE, VEHICLE + hours)
    )
    yield plan(
        "hours-till-dark",
        ROUTE,
        WATER,
        DRIVE.replace(VEHICLE, VEHICLE.replace("4\n", "11\n") + "start_hour = 9\n"),
    )
    sections = (
        "[[section]]\nfrom_km = 20\nto_km = 50\nspeed_kmh = 9\n"
        "[[section]]\nfrom_km = 50\nto_km = 70\nsurface = 'sand'\n"
    )
    yield plan("sections", ROUTE, WATER, DRIVE + sections)
    yield plan("sections-reversed", ROUTE, WATER, DRIVE + sections, ["--reverse"])
    ring = positions([(30, -9), (70, -9), (70, 9), (30, 9), (30, -9)])
    ground = collection(
        feature("Polygon", [ring], surface="sand"),
        feature("LineString", positions(LINE[200:260]), speed_kmh=7.5),
    )
    for name, trip in {"drive": DRIVE, "ride": RIDE}.items():
        yield plan(
            f"ground-{name}",
            ROUTE,
            WATER,
            trip.replace("[pace]\n", "[pace]\nground = 'ground.geojson'\n"),
            more={"ground.geojson": ground},
        )
    lat, lon = lat_lon(beside(LINE, 0.45, 0.0))
    camps = (
        "[[camp]]\nwaypoint = 'Camp at the Bend'\nrest_days = 1\n"
        f"[[camp]]\nlat = {lat}\nlon = {lon}\nat_water = true\nrest_days = 2\n"
        "[[camp]]\nkm = 130.5\n"
    )
    yield plan("camps", ROUTE, WATER, DRIVE + camps)
    yield plan("camps-reversed-heat", ROUTE, WATER, DRIVE + HEAT + camps, ["--reverse"])
    yield plan(
        "climbs",
        gpx(track(winding(90, swing_km=6))),
        WATER,
        RIDE.replace(BICYCLE, BICYCLE + "climb_m_per_h = 250\n"),
    )


def parties() -> Iterator[Case]:
    """Yield animals, payloads, containers of each kind, ways of treating."""
    animals = (
        "[[animal]]\nname = 'camel'\ncount = 3\nlitres_per_day = 20\n"
        "grade = 'not-for-drinking'\n[[animal]]\nname = 'dog'\nlitres_per_day = 3\n"
    )
    yield plan("animals", ROUTE, WATER, DRIVE + animals)
    yield plan("animals-heat", ROUTE, WATER, DRIVE + animals + HEAT)
    yield plan(
        "payload",
        ROUTE,
        WATER,
        DRIVE + "[[vehicle]]\nname = 'wagon'\npayload_left_kg = 70\n"
        "[[vehicle]]\nname = 'trailer'\npayload_left_kg = 200\n"
        "[[container]]\nname = 'wagon tank'\nrated_l = 60\ntare_kg = 8\nvehicle = 'wagon'\n"
        "[[container]]\nname = 'drum'\ncount = 2\nrated_l = 50\nbrimful_l = 54\n"
        "vehicle = 'trailer'\ntare_kg = 4\n",
        ["--fill", "top-up"],
    )
    yield plan(
        "holdings",
        ROUTE,
        WATER,
        DRIVE + "[[container]]\nname = 'bag'\ncount = 2\nrated_l = 10\nholds_l = 6\n"
        "holds_grade = 'treat-before-drinking'\ncleanable = true\n"
        + BOTTLES
        + "holds_l = 1\nholds_grade = 'potable'\n",
        ["--whole-containers"],
    )
    for name, keys in {
        "boil": "method = 'boil'\nstove_efficiency = 0.4\npot_l = 2\nlitres_per_day = 12\n",
        "chlorine": "method = 'chlorine tablets'\nlitres_per_tablet = 2\nwait_minutes = 30\n",
        "iodine": "method = 'iodine tablets'\nlitres_per_tablet = 1\nlitres_per_day = 8\n",
        "bleach": "method = 'bleach'\ncloudy_or_cold = true\n",
        "filter": "method = 'filter'\nfilter_l_per_min = 0.6\nlitres_per_day = 20\n",
        "uv": "method = 'uv'\nwait_minutes = 1.5\n",
        "unnamed": "litres_per_day = 5\n",
    }.items():
        wells = [{**each, "grade": "treat-before-drinking"} for each in four()[:3]]
        yield plan(
            f"treat-{name}",
            ROUTE,
            water_geojson(wells),
            DRIVE + f"[treatment]\n{keys}",
            ["--survive-dry", "1"],
        )
    yield plan("crowd", ROUTE, WATER, DRIVE.replace("people = 3", "people = 24"))
    yield plan("alone", WALK, WALK_WATER, WALKING.replace("people = 3", "people = 1"))


def kinds_of_water() -> Iterator[Case]:
    """Yield water that is hard to count on."""
    hours = [
        {**each, "open_from_hour": 8.5, "open_to_hour": 16, "months": [4, 5, 6, 7]}
        for each in four()
    ]
    hours[0] |= {"open_from_hour": 20, "open_to_hour": 4, "cost_per_l": 0.5}
    hours[2] |= {"months": [11, 12, 1], "limit_l": 30, "tds_mg_per_l": 1400}
    yield plan("water-hours-and-months", ROUTE, water_geojson(hours), DRIVE)
    yield plan("water-hours-no-date", ROUTE, water_geojson(hours), DRIVE.removeprefix(DEPART))
    limited = [
        {**each, "limit_l": 12 + 9 * n, "flow_l_per_min": 0.4} for n, each in enumerate(four())
    ]
    yield plan("water-limits", ROUTE, water_geojson(limited), DRIVE, ["--survive-dry", "1"])
    doubtful = [{**each, "certainty": "doubtful"} for each in four()]
    yield plan("water-doubtful", ROUTE, water_geojson(doubtful), DRIVE)
    yield plan(
        "water-doubtful-counted",
        ROUTE,
        water_geojson(doubtful),
        DRIVE,
        ["--count-on", "any", "--survive-dry", "1"],
    )
    yield plan("water-none", ROUTE, water_geojson([]), DRIVE)
    far = [source("Far Tank", (80, 60)), source("Farther Tank", (900, 900))]
    yield plan("water-far-off", ROUTE, water_geojson(far), DRIVE)
    salt = [{**each, "grade": "not-for-drinking", "tds_mg_per_l": 9000} for each in four()]
    yield plan("water-salt", ROUTE, water_geojson(salt), DRIVE)
    doubles = [*four(), {**source("First Tank", beside(LINE, 0.2, 0.21)), "id": "again"}]
    yield plan("water-doubles", ROUTE, water_geojson(doubles), DRIVE)
    pumps = [
        {**each, "kind": "bore", "access": access}
        for each, access in zip(four(), ("hand pump", "solar pump", "windmill", "dig"), strict=True)
    ]
    yield plan("water-pumps", ROUTE, water_geojson(pumps), DRIVE)
    there_and_back = gpx(track([*LINE[:160], *reversed(LINE[:159])]))
    passed_twice = [{**four()[0], "limit_l": 40}, *four()[1:]]
    yield plan("water-passed-twice", there_and_back, water_geojson(passed_twice), DRIVE)
    long_line = winding(600, step_km=2.0)
    two = [source("Near Tap", beside(long_line, 0.1)), source("Last Tap", beside(long_line, 0.97))]
    long_route = gpx(track(long_line))
    yield plan("stretch-too-long", long_route, water_geojson(two), DRIVE)
    yield plan(
        "stretch-too-long-heat",
        long_route,
        water_geojson(two),
        DRIVE + HEAT,
        ["--survive-dry", "1", "--what-if", "delay 2 days at km 300"],
    )
    many_line = winding(400, step_km=1.0)
    many = [
        source(
            f"Stop {n}",
            beside(many_line, (n + 1) / 42, 0.1 + n % 4),
            ("potable", "treat-before-drinking", "not-for-drinking")[n % 3],
            kind=("tank", "bore", "well", "dam", "creek")[n % 5],
            **({"limit_l": 25.0} if n % 6 == 0 else {}),
        )
        for n in range(40)
    ]
    many_route = gpx(track(many_line, heights=False))
    yield plan("forty-stops", many_route, water_geojson(many), DRIVE)
    yield plan(
        "forty-stops-us",
        many_route,
        water_geojson(many),
        DRIVE + HEAT,
        ["--units", "us", "--fill", "top-up", "--trials", "500"],
    )
    for name, origin in {"antimeridian": (-45.0, 179.3), "far-north": (83.0, -20.0)}.items():
        there = winding(120)
        yield plan(
            name, gpx(track(there, origin=origin)), water_geojson(four(there), origin), DRIVE
        )


ODD_NAMES = (
    "<b>Bold</b> & \"quoted\" 'Tank'",
    "</script><script>alert(1)</script>",
    "بئر الرمل",
    "באר \u202eהפוך",
    "=1+1",
    "Well\u200b of 井戸 ⛲",
    "x" * 120,
    "]]> --> %s {0} \\n",
)


def names_and_backdrops() -> Iterator[Case]:
    """Yield names that are hard to write, and backdrops."""
    odd = [
        {**source(name, beside(LINE, (n + 1) / 10)), "id": f"odd-{n}"}
        for n, name in enumerate(ODD_NAMES)
    ]
    hostile = DRIVE.replace("'Made trip'", "'<i>Trip</i> & رحلة'").replace("'can'", "'<can> \"1\"'")
    named = gpx(track(LINE, name=ODD_NAMES[0]), waypoint(ODD_NAMES[1], beside(LINE, 0.5)))
    yield plan("odd-names", named, water_geojson(odd), hostile)
    yield plan(
        "odd-names-csv",
        named,
        {"water.csv": water_csv(odd, "\t")},
        hostile,
        ["--count-on", "any", "--what-if", "dry بئر الرمل"],
    )
    drawn = collection(
        feature("LineString", positions(winding(150, swing_km=8)), name="Side track <1>"),
        feature("Polygon", [positions([(20, 2), (50, 2), (50, 12), (20, 2)])], name="Made pan"),
        feature("Point", positions([(75, 4)])[0], label="Made hill"),
        feature("Point", positions([(75, 900)])[0], label="Far hill"),
    )
    lines = {"lines.geojson": drawn}
    yield plan("backdrop-lines", ROUTE, WATER, DRIVE, ["--backdrop", "lines.geojson"], more=lines)
    yield plan(
        "backdrop-small",
        ROUTE,
        WATER,
        DRIVE,
        ["--backdrop", "lines.geojson", "--backdrop-mb", "0.001"],
        more=lines,
    )
    yield plan(
        "backdrop-tiles",
        ROUTE,
        WATER,
        DRIVE,
        ["--backdrop", "made.mbtiles", "--backdrop", "lines.geojson"],
        more={**lines, "made.mbtiles": mbtiles},
    )
    yield plan(
        "backdrop-pmtiles",
        ROUTE,
        WATER,
        DRIVE,
        ["--backdrop", "made.pmtiles"],
        more={"made.pmtiles": pmtiles},
    )
    online = "https://tiles.example/{z}/{x}/{y}.png"
    yield plan(
        "backdrop-online",
        ROUTE,
        WATER,
        DRIVE,
        ["--online-tiles", online, "--online-attribution", "© <nobody>"],
    )
    yield plan("backdrop-missing", ROUTE, WATER, DRIVE, ["--backdrop", "none.mbtiles"])


OSM = collection(
    feature("Point", positions([(10, 3)])[0], amenity="drinking_water", name="Made Tap"),
    feature("Point", positions([(40, 1)])[0], man_made="water_well", pump="manual",
            drinking_water="no", name="Made Well"),
    feature("Point", positions([(60, 1)])[0], natural="spring", intermittent="yes"),
    feature("Point", positions([(80, 1)])[0],
            **{"disused:man_made": "water_tap", "drinking_water:legal": "yes"}),
    feature("Point", positions([(81, 1)])[0], shop="none"),
)  # fmt: skip
WPDX = "#lat_deg,#lon_deg,#status_id,#report_date,#water_source,#water_tech,row_id\n" + "".join(
    f"{lat},{lon},{status},2024-03-0{n + 1},{kind},{tech},{n}\n"
    for n, ((lat, lon), status, kind, tech) in enumerate(
        (
            (lat_lon((20, 2)), "Yes", "Borehole", "Hand Pump"),
            (lat_lon((50, 2)), "No", "Protected Spring", ""),
            (lat_lon((90, 2)), "Unknown", "Rainwater", "Tank"),
        )
    )
)
SHIRE = "SITE,Y,X,water_qual,type,sort\n" + "".join(
    f"{name},{lat_lon(at)[0]},{lat_lon(at)[1]},{grade},{kind},9\n"
    for name, at, grade, kind in (
        ("Shire Bore", (30, 3), "bore water", "windmill"),
        ("Shire Tank", (70, 3), "mains", "tank"),
        ("Shire Pit", (71, 3), "unheard of", "pit"),
    )
)
FIELDS = (
    f"# {INVENTED}\n[fields]\nname = 'SITE'\ngrade = 'water_qual'\nkind = 'type'\nlat = 'Y'\n"
    "lon = 'X'\n[grades]\n'bore water' = 'treat-before-drinking'\n'mains' = 'potable'\n"
    "[kinds]\n'windmill' = 'bore'\n[always]\naccess = 'pump'\n"
)


def books() -> Iterator[Case]:
    """Yield water books that are made, changed, listed and planned with."""
    book = "book.geojson"
    lat, lon = lat_lon(beside(LINE, 0.2))
    mark = ["mark", book, "--grade", "treat-before-drinking"]
    on = ["--on", "2025-06-01"]
    last = ["plan", "route.gpx", "--water", book, "--trip", "trip.toml", *OUT]
    files: dict[str, Content] = {"route.gpx": ROUTE, "trip.toml": f"# {INVENTED}\n{DRIVE}"}
    tank = "Hollow Tank"
    yield Case("book-life", {**files, "found.gpx": gpx(waypoint(tank, beside(LINE, 0.6)))}, [
        [*mark, "--name", "Fork Bore", "--at", f"{lat},{lon}", "--kind", "bore", "--access",
         "pump", "--flow", "4", "--limit", "90", "--note", "made <bore>"],
        ["mark", book, "--from-gpx", "found.gpx", "--waypoint", tank, "--grade", "potable"],
        ["mark", book, "--route", "route.gpx", "--km", "120.4", "--name", "Track Soak", "--kind",
         "soak", "--months", "Apr-Sep", "--certainty", "doubtful", "--tds", "800"],
        [*mark, "--name", "Too Near", "--at", f"{lat},{lon}"],
        [*mark, "--name", "Too Near", "--at", f"{lat},{lon}", "--anyway"],
        ["visit", book, "Fork Bore", "--on", "2025-05-09", "--found", "low", "--litres", "40"],
        ["visit", book, "hollow-tank", "--on", "2025-05-10", "--found", "dry", "--note", "empty"],
        ["visit", book, "hollow-tank", "--on", "2025-05-11", "--found", "flowing", "--grade",
         "not-for-drinking"],
        ["visit", book, "Fork Bore", "--on", "2025-05-12", "--found", "flowing", "--grade",
         "potable"],
        ["visit", book, "Fork Bore", "--on", "2025-05-12", "--found", "flowing", "--grade",
         "potable", "--better"],
        ["sources", book, *on],
        ["sources", book, *on, "--json"],
        ["sources", book, *on, "--geojson"],
        ["sources", book, *on, "--near", "route.gpx", "--within", "5", "--units", "us"],
        ["sources", book, *on, "--certainty", "doubtful", "--grade", "potable"],
        last,
        ["retire", book, "Too Near", "--why", "was the same one"],
        ["retire", book, "No Such", "--why", "nothing"],
        ["sources", book, "--on", "2026-02-01"],
        last,
    ])  # fmt: skip
    brought: dict[str, Content] = {
        **files, "osm.geojson": OSM, "wpdx.csv": WPDX, "shire.csv": SHIRE,
        "mended.csv": SHIRE.replace("unheard of", ""),
        "shire.toml": FIELDS,
        "ours.geojson": WATER, "other.geojson": water_geojson(
            [{**four()[0], "grade": "not-for-drinking", "limit_l": 5, "owner": "nobody"},
             {**four()[1], "id": "elsewhere", "visits": [{"on": "2025-01-02", "found": "dry"}]}]),
        "recorded.gpx": water_gpx(four()[1:3]),
    }  # fmt: skip
    yield Case("book-bring", brought, [
        ["bring", book, "ours.geojson", "--own", "--dry-run"],
        ["bring", book, "ours.geojson", "--own"],
        ["bring", book, "osm.geojson"],
        ["bring", book, "wpdx.csv"],
        ["bring", book, "shire.csv", "--fields", "shire.toml"],
        ["bring", book, "mended.csv", "--fields", "shire.toml"],
        ["bring", book, "shire.csv"],
        ["bring", book, "other.geojson"],
        ["bring", book, "recorded.gpx", "--own"],
        ["bring", book, "ours.geojson", "--own"],
        ["sources", book, *on],
        ["sources", book, *on, "--near", "route.gpx", "--json"],
        ["sources", book, *on, "--kind", "bore", "--kind", "well"],
        last,
    ])  # fmt: skip
    yield Case("book-by-hand", {book: EDITED_BOOK}, [
        ["sources", book, *on],
        ["visit", book, "Old Bore", "--on", "2025-05-09", "--found", "unreachable"],
        ["mark", book, "--name", "New", "--at", "-25.9,-14.2"],
        ["sources", book, *on, "--geojson"],
    ])  # fmt: skip


EDITED_BOOK = """{
  "type": "FeatureCollection",
  "name": "invented: not for navigation",
  "features": [
    { "type": "Feature", "id": 7, "bbox": [-14.0, -25.50, -14.0, -25.50],
      "geometry": {"type": "Point", "coordinates": [-14.00, -25.50, 412.70]},
      "properties": {"name": "Old Bore", "Grade": "treat-before-drinking", "kind": "bore",
        "owner": "nobody \\u00fc", "depth_m": 45.50, "big": 12345678901234567890, "e": 1e2,
        "visits": [{"on": "2024-05-02", "found": "flowing", "by": "R", "litres": 20.0}]},
      "styled": {"colour": "none"} },
    {"type":"Feature","geometry":{"type":"LineString","coordinates":[[-14,-25.5],[-14.1,-25.5]]},
     "properties":{"name":"fence"}},
    {"type":"Feature","geometry":null,"properties":null}
  ],
  "made": {"by": ["hand", 1.50]}
}
"""


def bad_input() -> Iterator[Case]:
    """Yield what is refused, and the words of the commands themselves."""
    cut = ROUTE[: len(ROUTE) // 2]
    yield plan("bad-route-cut", cut, WATER, DRIVE)
    yield plan("bad-route-empty", "", WATER, DRIVE)
    yield plan("bad-route-one-point", gpx(track(LINE[:1])), WATER, DRIVE)
    yield plan("bad-route-waypoints", gpx(waypoint("Only", (1, 1))), WATER, DRIVE)
    swapped = gpx(track(LINE[:3], origin=(130.0, -25.0)))
    yield plan("bad-route-swapped", swapped, WATER, DRIVE)
    yield plan("bad-route-apart", gpx(track(LINE[:20], LINE[200:])), WATER, DRIVE)
    yield plan("bad-route-page", "<!DOCTYPE html><html></html>", WATER, DRIVE)
    yield plan(
        "bad-point",
        gpx("<trk><trkseg>", point("trkpt", (0, 0)), '<trkpt lat="1,5" lon="x"/></trkseg></trk>'),
        WATER,
        DRIVE,
    )
    yield plan("bad-water-cut", ROUTE, WATER[:300], DRIVE)
    yield plan(
        "bad-water-grades",
        ROUTE,
        water_geojson([{**each, "grade": "fine", "limit_l": -3} for each in four()]),
        DRIVE,
    )
    yield plan("bad-water-ids", ROUTE, water_geojson([*four(), *four()]), DRIVE)
    yield plan("bad-water-csv", ROUTE, {"water.csv": "name,north\nx,1\n"}, DRIVE)
    yield plan("water-unknown-ending", ROUTE, {"water.xyz": WATER}, DRIVE)
    yield plan("bad-trip-toml", ROUTE, WATER, DRIVE + "[party\n")
    yield plan(
        "bad-trip-keys",
        ROUTE,
        WATER,
        "[party]\npeople = 0\npeopel = 3\n[pace]\ntravel = 'boat'\nspeed_kmh = 'fast'\n"
        "[[camp]]\n[[container]]\nrated_l = -1\n[polcy]\nx = 1\n",
    )
    yield plan("bad-trip-camp", ROUTE, WATER, DRIVE + "[[camp]]\nwaypoint = 'Camp at the Bent'\n")
    yield plan(
        "sections-beyond-the-end",
        ROUTE,
        WATER,
        DRIVE + "[[section]]\nfrom_km = 900\nto_km = 950\nspeed_kmh = 5\n",
    )
    yield plan("bad-trip-heat-table", ROUTE, WATER, DRIVE + "[heat]\ntable = 'none.csv'\n")
    yield plan("bad-what-if", ROUTE, WATER, DRIVE, ["--what-if", "rain"])
    yield plan("bad-what-if-source", ROUTE, WATER, DRIVE, ["--what-if", "dry Frist Tank"])
    yield plan("bad-track-name", ROUTE, WATER, DRIVE, ["--track", "No Such"])
    yield plan("bad-option", ROUTE, WATER, DRIVE, ["--units", "furlongs"])
    yield plan("bad-trials", ROUTE, WATER, DRIVE, ["--trials", "-1"])
    yield plan("bad-online", ROUTE, WATER, DRIVE, ["--online-tiles", "http://tiles.example/a.png"])
    base = {"route.gpx": ROUTE, "water.geojson": WATER, "book.geojson": WATER, "no.geojson": "{"}
    words = ["plan", "visit", "mark", "retire", "bring", "sources", "new-trip", "trip-schema",
             "compare"]  # fmt: skip
    visit = ["visit", "book.geojson", "First Tank"]
    yield Case("bad-words", base, [
        [], ["--help"], ["--version"], ["dig"], *([word, "--help"] for word in words),
        ["plan"],
        ["plan", "route.gpx"],
        ["plan", "none.gpx", "--water", "water.geojson"],
        ["plan", "route.gpx", "--water", "none.geojson"],
        ["plan", "route.gpx", "--water", "water.geojson", "--trip", "none.toml"],
        ["plan", "route.gpx", "--water", "water.geojson", "--out", "none/page.html"],
        ["plan", "route.gpx", "--water", "water.geojson", "--json", "route.gpx"],
        ["plan", "route.gpx", "--water", "water.geojson", "--json", "a", "--csv-out", "a"],
        ["trip-schema"],
        ["new-trip", "foot", "foot.toml"],
        ["new-trip", "bicycle", "bicycle.toml"],
        ["new-trip", "vehicle", "vehicle.toml"],
        ["new-trip", "vehicle", "vehicle.toml"],
        ["new-trip", "boat", "boat.toml"],
        ["plan", "route.gpx", "--water", "water.geojson", "--trip", "vehicle.toml"],
        ["sources", "no.geojson", "--on", "2025-06-01"],
        ["sources", "none.geojson", "--on", "2025-06-01"],
        ["sources", "book.geojson", "--on", "yesterday"],
        ["sources", "book.geojson", "--on", "2025-06-01", "--kind", "bor"],
        [*visit, "--on", "2999-01-01", "--found", "dry"],
        [*visit, "--on", "2025-01-01", "--found", "wet"],
        [*visit, "--on", "2025-01-01", "--found", "dry", "--litres", "5"],
        ["visit", "book.geojson", "Frist Tank", "--on", "2025-01-01", "--found", "dry"],
        ["mark", "book.geojson", "--name", "Nowhere"],
        ["mark", "book.geojson", "--name", "Nowhere", "--at", "130,-25,1"],
        ["mark", "book.geojson", "--name", "Nowhere", "--at=-25,131", "--grade", "nice"],
        ["bring", "book.geojson", "none.csv"],
        ["bring", "no.geojson", "water.geojson"],
    ])  # fmt: skip


def comparisons() -> Iterator[Case]:
    """Many plans side by side; a file that is no route is a row of its own."""
    base = {"route.gpx": ROUTE, "bad.gpx": "no route", "water.geojson": WATER, "a.toml": DRIVE}
    words = ["compare", "route.gpx", "bad.gpx", "--water", "water.geojson", "--trip", "a.toml"]
    outputs = ["--out", "page.html", "--json", "rows.json", "--csv", "rows.csv"]
    days = ["--dates", "2027-04-01..2027-06-01", "--step", "30", "--both-ways", "--workers", "1"]
    yield Case("compare", base, [
        [*words, *days, *outputs],
        [*words, "--units", "us"],
        [*words, "--step", "7"],
        ["compare", "bad.gpx", "--water", "water.geojson"],
    ])  # fmt: skip


def all_cases() -> list[Case]:
    """Return every case, the slow ones first; each name comes once."""
    groups = (samples, kinds_of_water, books, parties, heat_and_hours, ways_of_travel, formats,
              names_and_backdrops, bad_input, comparisons)  # fmt: skip
    cases = [case for group in groups for case in group()]
    names = [case.name for case in cases]
    if len(set(names)) != len(names):
        raise ValueError("a name of a case comes twice")
    return cases
