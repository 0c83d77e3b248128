"""Trip files that cannot be: a bad value of every key, and values that contradict each other."""

from __future__ import annotations

import itertools

from hard_files import TRIPS
from row import Row, plan_words
from trip_text import EVERY_KEY, as_toml, companions

from longdry.model.trip_file.key import Kind, TripKey, TripSection

_WORDS = plan_words("--trip", "trip.toml")
_BAD_TEXTS = itertools.cycle(["5", "true", '""', '"two\\nlines"', f'"{"x" * 201}"', '"___"'])
_BAD_WORDS = itertools.cycle(['"sometimes"', "1", '""', '"___"', "true"])
_BAD_SWITCHES = itertools.cycle(['"yes"', "1", '""', '"___"', '"false"'])
_BAD_LISTS = itertools.cycle(['"Old Bore"', "[1]", '["", "x"]', '["a\\nb"]'])
_BAD_DAYS = itertools.cycle(['"3.5.2027"', "2027", "1850-01-01", "07:00:00", '"___"', "true"])
_BAD_NUMBERS = itertools.cycle(
    ['"4"', "nan", "true", "[4]", "2027-05-03", "inf", "{low}", "{high}", '"___"', '""', "07:00:00"]
)


def _bad_value(key: TripKey) -> str:
    """Return a value that the key cannot have: each time another kind of one."""
    if key.kind in (Kind.NUMBER, Kind.WHOLE):
        if key.kind is Kind.WHOLE:
            return next(_BAD_WHOLES)
        low = key.range.low if key.range.above else key.range.low - 1
        return next(_BAD_NUMBERS).format(low=low, high=key.range.high * 10 + 1)
    kinds = {
        Kind.TEXT: _BAD_TEXTS, Kind.WORD: _BAD_WORDS, Kind.YES_NO: _BAD_SWITCHES,
        Kind.TEXTS: _BAD_LISTS, Kind.MOMENT: _BAD_DAYS, Kind.DAY: _BAD_DAYS,
    }  # fmt: skip
    return next(kinds[key.kind])


_BAD_WHOLES = itertools.cycle(["1.5", "-1", '"two"', "1e9", '"___"', "nan"])


def _with_bad_key(section: TripSection, key: TripKey, bad: str) -> str:
    lines = [section.heading] if section.heading else []
    lines += [
        f"{name} = {_written(name, value)}" for name, value in companions(section, key).items()
    ]
    return "\n".join([*lines, f"{key.name} = {bad}", ""])


def _written(name: str, value: object) -> str:
    return str(value) if name == "due_back" else as_toml(value)


def _key_rows() -> list[Row]:
    rows = []
    for section, key in EVERY_KEY:
        bad = _bad_value(key)
        shown = bad if len(bad) < 40 else f"{bad[:20]}...{bad[-3:]}"
        given = f"{section.heading} {key.name} = {shown}".lstrip()
        rows.append(Row(given, _WORDS, {"trip.toml": _with_bad_key(section, key, bad)}))
    return rows


_CAN = '[[container]]\nname = "can"\nrated_l = 20\n'
_TOGETHER = {
    "two uses of one name": '[[use]]\nname = "a"\nlitres = 1\n[[use]]\nname = "a"\nlitres = 2\n',
    "a container that takes less to the brim": f"{_CAN}brimful_l = 18\n",
    "a container that holds more than it takes": f"{_CAN}holds_l = 40\n",
    "raw water in a container kept for potable": (
        f'{_CAN}grade = "potable"\nholds_grade = "not-for-drinking"\n'),
    "a container of a vehicle that is not there": (
        f'{_CAN}vehicle = "waggon"\n[[vehicle]]\nname = "wagon"\npayload_left_kg = 90\n'),
    "water at the start said twice": f"{_CAN}holds_l = 5\n[policy]\nstart_on_board_l = 5\n",
    "more at the start than the containers take": f"{_CAN}[policy]\nstart_on_board_l = 500\n",
    "a use without its litres": '[[use]]\nname = "drinking"\n',
    "a table in place of a list of tables": '[use]\nname = "drinking"\nlitres = 5\n',
    "a list of tables in place of a table": "[[party]]\npeople = 2\n",
    "a number in place of a table": "party = 2\n",
    "a list of numbers in place of tables": "container = [1, 2]\n",
    "a table that nobody knows": "[weather]\nrain = true\n",
    "a table inside a table": "[party.people]\nhow_many = 2\n",
    "a key of another table": "[party]\nspeed_kmh = 5\n",
    "a section that ends before it begins": "[[section]]\nfrom_km = 5\nto_km = 2\nspeed_kmh = 9\n",
    "a section without a speed or ground": "[[section]]\nfrom_km = 0\nto_km = 2\n",
    "one source called at and passed by": (
        '[policy]\ncall_at = ["Well"]\npass_by = ["Well"]\n'),
    "a source to call at that is not there": '[policy]\ncall_at = ["Wel"]\n',
    "a source to pass by that is not there": '[policy]\npass_by = ["Nowhere Bore"]\n',
    "a source@km that is not passed there": '[policy]\ncall_at = ["Well@900"]\n',
    "a camp at a source that is not there": "[[camp]]\nkm = -1\n",
    "a what-if that says nothing": '[[what_if]]\nchange = "it rains"\n',
    "a what-if that loses a container of nobody":
        f'{_CAN}[[what_if]]\nchange = "lose container tin"\n',
    "a what-if behind the end": f'{_CAN}[[what_if]]\nchange = "delay 2 days at km 900"\n',
    "due back before the departure": "depart = 2027-05-03\n[contact]\ndue_back = 2027-05-01\n",
    "more people in vehicles than go": (
        '[party]\npeople = 1\n[[vehicle]]\nname = "a"\npayload_left_kg = 9\npeople = 4\n'),
    "heat without any figure": "[heat]\nacclimatised = true\n",
    "one month of heat twice": (
        "[heat]\nshade_max_c = 40\n[[heat_month]]\nmonth = 5\nshade_max_c = 30\n"
        "[[heat_month]]\nmonth = 5\nshade_max_c = 31\n"),
    "a break that ends before it begins": (
        "[pace]\nbreak_from_hour = 15\nbreak_to_hour = 12\n"),
    "a heat table that is not there": '[heat]\ntable = "gone.csv"\n',
    "ground that is not there": '[pace]\nground = "gone.geojson"\n',
    "a heat table that is a folder": '[heat]\ntable = "."\n',
    "ground that is a table": '[pace]\nground = "water.csv"\n',
    "a byte order mark of UTF-16": "\ufeffname = 1\n".encode("utf-16-le"),
    "JSON": '{"party": {"people": 2}}\n',
    "a web page": "<!DOCTYPE html><html></html>\n",
    "a tab inside a name without quotes": "[party]\npeo\tple = 2\n",
    "a decimal comma": "[pace]\nspeed_kmh = 4,5\n",
    "a number with its unit": "[pace]\nspeed_kmh = 50 km/h\n",
    "an open quote": 'name = "Loop\n',
    "a name of three lines": 'name = """a\nb\nc"""\n',
    "more than 1 MB": "# " + "x" * 1_000_001,
}  # fmt: skip
_HEAT_TABLES = {
    "without columns": ("a,b\n1,2\n"),
    "empty": "",
    "with a month too many": "month,shade_max_c\n13,40\n",
    "with one month twice": "month,shade_max_c\n5,40\n5,41\n",
    "with a text for a number": "month,shade_max_c\n5,hot\n",
    "with a cell too many": "month,shade_max_c\n5,40,41\n",
    "with a stretch that ends before it begins": "from_km,to_km,shade_max_c\n9,2,40\n",
    "that is binary": bytes(range(256)),
    "without the heat itself": "month,humidity_percent\n5,20\n",
}
_AREA = (
    '{{"type": "Feature", "properties": {{{0}}}, "geometry": {{"type": "Polygon", "coordinates":'
    " [[[130,-26],[131,-26],[131,-24],[130,-26]]]}}}}"
)
_GROUNDS = {
    "with a surface that nobody knows": _AREA.format('"surface": "sandd"'),
    "with a speed of nothing": _AREA.format('"speed_kmh": 0'),
    "that tells nothing": _AREA.format('"note": "rough"'),
    "that is a point": (
        '{"type": "Feature", "properties": {"surface": "sand"}, "geometry":'
        ' {"type": "Point", "coordinates": [130, -25]}}'),
    "without a geometry": (
        '{"type": "Feature", "properties": {"surface": "sand"}, "geometry": null}'),
    "that is cut short": '{"type": "Feature", "properties": {"surf',
    "that is empty": "",
    "whose outline crosses itself": (
        '{"type": "Feature", "properties": {"surface": "sand"}, "geometry": {"type": "Polygon",'
        ' "coordinates": [[[130,-26],[131,-25],[131,-26],[130,-25],[130,-26]]]}}'),
    "in metres without a reference system": (
        '{"type": "Feature", "properties": {"surface": "sand"}, "geometry": {"type": "LineString",'
        ' "coordinates": [[500000,7200000],[500100,7200000]]}}'),
}  # fmt: skip


def rows() -> list[Row]:
    """Return the rows of the trip file and of the files that it names."""
    broken = [Row(given, _WORDS, {"trip.toml": text}) for given, (text, _) in TRIPS.items()]
    together = [Row(given, _WORDS, {"trip.toml": text}) for given, text in _TOGETHER.items()]
    heat = '[heat]\ntable = "heat.csv"\n'
    heat_tables = [
        Row(f"a heat table {given}", _WORDS, {"trip.toml": heat, "heat.csv": text})
        for given, text in _HEAT_TABLES.items()
    ]
    ground = '[pace]\nground = "ground.geojson"\n'
    grounds = [
        Row(f"ground {given}", _WORDS, {"trip.toml": ground, "ground.geojson": text})
        for given, text in _GROUNDS.items()
    ]
    return [*_key_rows(), *broken, *together, *heat_tables, *grounds]
