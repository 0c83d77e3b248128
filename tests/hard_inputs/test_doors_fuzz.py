"""Whatever comes in by the doors of tally, desk, compare, mappings, KML and KMZ is answered.

Either there is a result or one of our refusals, which says what and how to mend it; never another
exception. Random text and bytes by hypothesis; ``tests/helpers/fuzzing.py`` says how to run them
for long.
"""

from __future__ import annotations

import csv
import io
import shutil
import tempfile
from pathlib import Path

import pytest
from fuzzing import answered, check_refusal, many
from hard_bombs import zipped
from hard_files import collection
from hard_routes import GOOD_KML
from hypothesis import example, given
from hypothesis import strategies as st
from open_desk import write_small_trip
from row import FIELDS, ROUTE, TABLE, TALLY, THEIRS, TRIP, ended_in

from longdry.desk.desk import Desk
from longdry.desk.outputs import output
from longdry.desk.route_view import where
from longdry.desk.server import CHANGES
from longdry.errors import InputError, LongdryError
from longdry.reading.road.tally_file import entry_from, line_of, tally_from_text
from longdry.reading.route.route_file import read_each_line, read_route
from longdry.reading.water.layer import read_water
from longdry.reading.water.mapping import PLACES, TABLES_OF_WORDS, read_field_mapping
from longdry.reading.water.source import READERS
from longdry.reading.water.values import RefusedValueError
from longdry.showing.exports.plan_csv import safe_csv

words = st.sampled_from(
    ["", " ", "w1", "Well", "t1", "potable", "dry", "flowing", "can", "2027-05-03T08:00", "5", "-1",
     "2025-05-09", "day 1 08:00", "\u202ex", "a\nb", "=1", "x" * 300, "../x", "\0", "NaN", "1e999"]
) | st.text(max_size=6)  # fmt: skip
numbers = st.integers() | st.floats() | st.sampled_from([0, -0.0, 1, 20, -25.0, 130.0, 10**400])
values = st.recursive(
    st.none() | st.booleans() | numbers | words,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(words, inner, max_size=3),
    max_leaves=6,
)


def changed_at(good: bytes, *more: bytes):
    """Return good bytes with some of them lost, changed or put in."""
    return st.builds(
        lambda start, length, piece: good[:start] + piece + good[start + length :],
        st.integers(0, len(good)),
        st.integers(0, 40),
        st.binary(max_size=12) | st.sampled_from([*more, b""]),
    )


tally_keys = st.sampled_from(
    ["at", "km", "left", "took_l", "source", "lost_l", "why", "found", "new_source", "note"]
)


class TestTally:
    """The tally file: written by the command, saved from the page, or by hand."""

    @many()
    @given(changed_at(TALLY.encode(), b'"', b"{", b"NaN", b"\xff", b"[" * 2000))
    def test_any_damage_to_a_tally_is_answered(self, content):
        """Bytes lost, changed or put in: readings or a refusal."""
        text = content.decode("utf-8", "surrogateescape")

        assert answered(lambda: tally_from_text(text, origin="t")) is not None

    @many()
    @given(st.dictionaries(tally_keys | words, values, max_size=6))
    @example({"at": "2027-05-03T08:00", "left": [{"litres": 1}, {"litres": 2}]})
    def test_any_reading_from_the_page_is_read_or_refused(self, item):
        """Whatever a page has saved in a line; what is read is read again as the same."""
        try:
            entry = entry_from({"at": "2027-05-03T08:00", **item})
        except RefusedValueError as refused:
            check_refusal(InputError.single("t", "", refused.what, refused.mend))
            return

        assert tally_from_text(line_of(entry), origin="t") == (entry,)


lines = st.sampled_from(
    [*(f"[{table}]" for table in TABLES_OF_WORDS), 'crs = "EPSG:3857"', 'crs = "x"', "crs = 1"]
) | st.builds(
    "{} = {}".format,
    st.sampled_from([*READERS, *PLACES, "visit_found", "visit_on", '"bore"', '""']),
    st.sampled_from(['"water_qual"', '"SITE"', '"lat"', '"potable"', '"dry"', '"4-9"', "1", "true",
                     '""', '"doubtful"', "[1]", "{}", "2027-05-03", "nan", '"=1"', '"X"']),
)  # fmt: skip


class TestMappings:
    """Mapping files, alone and upon a layer."""

    @many()
    @given(st.lists(lines, max_size=10).map("\n".join))
    def test_any_lines_of_a_mapping_are_answered(self, text):
        """Known tables and keys with any values: sources, or a refusal of mapping or layer."""
        with tempfile.TemporaryDirectory() as folder:
            layer, mapping = Path(folder, "theirs.csv"), Path(folder, "f.toml")
            layer.write_text(THEIRS)
            mapping.write_text(text)

            assert answered(lambda: read_water(layer, fields=[read_field_mapping(mapping)]))

    @many()
    @given(changed_at(FIELDS.encode(), b"[", b'"""', b"\xff", b"=", b"'"))
    def test_any_damage_to_a_mapping_is_answered(self, content):
        """Bytes lost, changed or put in: a mapping or a refusal."""
        with tempfile.TemporaryDirectory() as folder:
            mapping = Path(folder, "f.toml")
            mapping.write_bytes(content)

            assert answered(lambda: read_field_mapping(mapping)) is not None


tags = st.sampled_from(
    ["<kml>", "</kml>", "<Placemark>", "</Placemark>", "<Point>", "</Point>", "<LineString>",
     "</LineString>", "<coordinates>", "</coordinates>", "<name>", "</name>", "<Track>", "</Track>",
     "<coord>", "</coord>", "<when>", "</when>", "<MultiGeometry>", "</MultiGeometry>", "<Polygon>",
     "</Polygon>", "<a/>", "130,-25", " 130.1,-25 ", "130 -25 4", "1e999,5", ",", "&amp;", "x"]
)  # fmt: skip
kml = (
    st.lists(tags, max_size=12).map(lambda inside: f"<kml>{''.join(inside)}</kml>".encode())
    | changed_at(GOOD_KML.encode(), b"<", b"&", b"\xff", b"<Point>", b"</LineString>", b"<!DOCTYPE")
)  # fmt: skip


def kml_answers(content: bytes, name: str) -> list[object]:
    """Read a file as a route, as a route a line, and as water."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, name)
        path.write_bytes(content)
        reads = (read_route, read_each_line, read_water)
        return [answered(lambda read=read: read(path)) for read in reads]


class TestKml:
    """KML and KMZ, as a route and as water."""

    @many()
    @given(kml)
    def test_any_kml_is_answered(self, content):
        """Elements in any order, and bytes lost or changed."""
        assert None not in kml_answers(content, "k.kml")

    @many()
    @given(changed_at(zipped(("doc.kml", GOOD_KML), ("a.png", b"\x89PNG"))))
    @example(zipped(("doc.kml", GOOD_KML)).replace(b"\x08\x00", b"\x0c\x00"))
    @example(zipped(("doc.kml", GOOD_KML)).replace(b"\x08\x00", b"\x0e\x00"))
    def test_any_damage_to_a_kmz_is_answered(self, content):
        """Bytes of the archive lost, changed or put in."""
        for answer in kml_answers(content, "k.kmz"):
            assert answer is not None


LAYER = collection({"type": "Point", "coordinates": [130.1, -25]}, id="w1", name="Well")


@many(0.5)
@given(
    changed_at(zipped(("a/w.geojson", LAYER)), b"PK\5\6" + b"\3" * 18, b"PK\1\2"),
    st.sampled_from(["w.zip", "w.gpkg", "w"]),
)
def test_any_damage_to_a_zipped_layer_is_answered(content, name):
    """Bytes of an archive with a layer lost, changed or put in."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, name)
        path.write_bytes(content)

        assert answered(lambda: read_water(path)) is not None


names = st.sampled_from(
    ["changes", "section", "number", "key", "value", "values", "add", "remove", "id", "name",
     "file", "properties", "lat_deg", "lon_deg", "grade", "kind", "months", "on", "found", "litres",
     "why", "mapping", "fields", "grades", "kinds", "visits", "crs", "dry_run", "own", "route",
     "tracks", "water", "trip", "backdrop", "reverse", "version", "anyway", "better", "note",
     "tds_mg_per_l"]
)  # fmt: skip
pieces = (
    values
    | st.sampled_from(["water.geojson", "route.gpx", "trip.toml", "theirs.csv", "t.tally.json",
                       "page", "json", "pace", "container", "speed_kmh", "rated_l", "plan.txt"])
    | st.fixed_dictionaries({}, optional={
        "section": st.sampled_from(["", "pace", "container", "use", "heat"]) | values,
        "key": st.sampled_from(["name", "depart", "speed_kmh", "litres", "table"]) | values,
        "value": values, "number": st.integers(0, 2) | values, "add": st.booleans(),
        "remove": st.booleans(), "name": words, "grade": words,
    })
)  # fmt: skip
wishes = st.dictionaries(names, pieces | st.lists(pieces, max_size=2), max_size=5)


@pytest.fixture(scope="module")
def trip_folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("fuzzed")
    write_small_trip(folder)
    (folder / "theirs.csv").write_text(THEIRS)
    (folder / "t.tally.json").write_text(TALLY)
    return folder


@pytest.fixture(scope="module")
def desk(trip_folder):
    return Desk(trip_folder)


def granted(act) -> bool:
    """Return whether a wish was granted; a refusal must be a sentence."""
    try:
        act()
    except LongdryError as refused:
        told = str(refused)
    else:
        return True
    assert told.rstrip().endswith(".")
    return False


class TestDesk:
    """The desk's changes with any JSON, and its questions with any words."""

    @many()
    @given(st.sampled_from(sorted(CHANGES)), wishes)
    @example("trip", {"changes": [{"section": "pace", "key": [1]}]})
    @example("save", {"kinds": [["page"]]})
    def test_any_json_to_the_desk_is_granted_or_refused(self, trip_folder, name, wish):
        """Each change of the desk with any object: done, or one sentence."""
        with tempfile.TemporaryDirectory() as folder:
            copy = Path(folder, "trip")
            shutil.copytree(trip_folder, copy)
            desk = Desk(copy)

            assert granted(lambda: CHANGES[name](desk, wish)) in {True, False}

    @many()
    @given(st.dictionaries(st.sampled_from(["km", "lat_deg", "lon_deg"]), words), words)
    def test_any_question_to_the_desk_is_answered_or_refused(self, desk, asked, kind):
        """Any km, place, or name of an output."""
        assert granted(lambda: where(desk, asked)) in {True, False}
        assert not granted(lambda: output(desk, kind))

    @many(0.5)
    @given(changed_at(TRIP.encode(), b"[", b'"""', b"\xff", b"= =", b"[["), wishes)
    def test_any_trip_file_at_the_desk_is_shown_or_told(self, trip_folder, content, wish):
        """A damaged trip file, shown as a form and changed."""
        with tempfile.TemporaryDirectory() as folder:
            copy = Path(folder, "trip")
            shutil.copytree(trip_folder, copy)
            (copy / "trip.toml").write_bytes(content)
            change = {"section": "party", "key": "people", "value": 3, **wish}

            assert granted(lambda: CHANGES["trip"](Desk(copy), {"changes": [change]})) is not None


arguments = st.sampled_from(
    ["route.gpx", "--water=water.csv", "--water", "water.csv", "--trip=trip.toml", "--reverse",
     "--trials=0", "--trials=x", "--json", "--json=p.json", "--out=", "--call-at=Well", "--strict",
     "--pass-by=w1", "--what-if=drought", "--from-km=5", "--at=day 1 12:00", "--left=9", "#x", "",
     "--track=#1", "--tally=trip.tally.json", "--fields=fields.toml", "@plan.txt", "--units=us",
     "--full", "--watr=a", "--moved-h=2", "--backdrop=route.gpx", "--count-on=any"]
) | words  # fmt: skip


@pytest.fixture(scope="module")
def plan_folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("planned")
    for name, text in (("route.gpx", ROUTE), ("trip.toml", TRIP), ("trip.tally.json", TALLY),
                       ("fields.toml", FIELDS), ("water.csv", TABLE)):  # fmt: skip
        (folder / name).write_text(text)
    return folder


class TestWords:
    """Files of arguments, and the words of compare."""

    @many()
    @given(st.lists(arguments, max_size=7))
    def test_any_file_of_arguments_is_planned_or_refused(self, plan_folder, said):
        """Lines of any words: a plan, or one sentence and status 2."""
        (plan_folder / "plan.txt").write_bytes(
            "\n".join(said).encode("utf-8", "surrogatepass").replace(b"\r", b"\n")
        )
        status, _, err = ended_in(plan_folder, ["plan", "@plan.txt"])

        assert status in {0, 1} or (status == 2 and err.startswith("longdry"))

    @many(0.5)
    @given(
        st.lists(
            st.sampled_from(["--dates=2027-05-01..2027-05-02", "--dates=x", "--step=1", "--step=0",
                             "--trip=trip.toml", "--water=water.csv", "--both-ways", "--each-line",
                             "--csv=c.csv", "--json=c.json", "--gpkg-out=c.gpkg", "--plans=plans",
                             "--out=water.csv", "--units=us", "routes", "none.gpx", "trip.toml"]),
            max_size=4, unique=True,
        ),
        changed_at(ROUTE.encode(), b"<", b"&", b"\xff", b"NaN", b"</trkseg><trkseg>"),
    )  # fmt: skip
    def test_any_words_and_routes_to_compare_are_compared_or_refused(
        self, plan_folder, said, content
    ):
        """A folder with a damaged route, and any options: a comparison, or one sentence."""
        (plan_folder / "routes").mkdir(exist_ok=True)
        (plan_folder / "routes" / "a.gpx").write_bytes(content)
        (plan_folder / "routes" / "b.gpx").write_text(ROUTE)
        status, _, err = ended_in(plan_folder, ["compare", "--workers=1", *said, "routes/b.gpx"])

        assert status == 0 or (status == 2 and err.startswith("longdry"))


cells = st.text(max_size=12) | st.builds(
    "{}{}".format,
    st.sampled_from(
        ["=", "+", "-", "@", "\t=", " =", "\r=", "\n@", "a;=", ";-", "＝", "\x0b=", "'="]
    ),
    st.text(max_size=6),
)


@many()
@given(st.lists(st.tuples(cells, st.floats(allow_nan=False), cells), max_size=4))
def test_no_cell_of_a_table_begins_a_formula(rows):
    """Any names, read again with commas or with semicolons (RFC 4180): text, and numbers."""
    text = safe_csv(["name", "km", "note"], rows)
    for separator in (",", ";"):
        for line in csv.reader(io.StringIO(text.removeprefix("\ufeff")), delimiter=separator):
            for cell in line:
                assert not cell.lstrip(' \t\r\n"').startswith(("=", "+", "@", "＝", "＋", "＠"))

    read = list(csv.reader(io.StringIO(text.removeprefix("\ufeff"))))[1:]
    assert [row[1] for row in read] == [str(row[1]) for row in rows]
    assert all(not cell.startswith("-") for row in read for cell in (row[0], row[2]))
