"""``longdry tally``, what it tells, and what becomes of it in a plan and in the water book.

All trips and sources are invented.
"""

from __future__ import annotations

import datetime as dt
import json
import random
import signal
from concurrent.futures import ThreadPoolExecutor

import pytest
from how_many import proof
from killed_writer import killed_writer
from make import pace, policy, trip, use
from project_places import SAMPLES

from longdry.cli.main import main
from longdry.computing.road.rates import true_rates, true_speeds, use_times
from longdry.errors import TallyError
from longdry.model.trip.tally import LitresLeft, TallyEntry
from longdry.reading.book.book_file import read_book
from longdry.reading.road.tally_file import line_of, read_tally, tally_from_text
from longdry.reading.trip.trip_file import read_trip

FOLDER = SAMPLES / "saltbush_loop"
PLAN = [
    "plan",
    str(FOLDER / "route.gpx"),
    "--water",
    str(FOLDER / "water.geojson"),
    "--trip",
    str(FOLDER / "trip.toml"),
    "--trials",
    "0",
]


@pytest.fixture
def tally(tmp_path):
    return tmp_path / "trip.tally.json"


def run(*words):
    return main([str(word) for word in words])


def at(day, hour, minute=0):
    return dt.datetime(2027, 5, day, hour, minute)


def test_true_rates_by_hand():
    """90 L, a day later 70 L; then 40 taken, 5 lost, 75 left after 12 hours: 20, then 60 a day."""
    entries = [
        TallyEntry(at(3, 8), 0.0, (LitresLeft(90.0),)),
        TallyEntry(at(4, 8), 100.0, (LitresLeft(50.0, "a"), LitresLeft(20.0, "b"))),
        TallyEntry(at(4, 12), took_l=40.0, source="Fork Well"),
        TallyEntry(at(4, 20), 150.0, (LitresLeft(75.0),), lost_l=5.0, why="split"),
    ]

    first, second = true_rates(entries)

    assert (first.used_l, first.l_per_day) == (20.0, 20.0)
    assert (second.used_l, second.l_per_day) == (30.0, 60.0)


def test_the_planned_rate_beside_the_true_one_by_hand():
    """Two people, 4 L each a day, no losses: 8 L from one 8:00 to the next; 20 L were used."""
    its_trip = trip(people=2, uses=[use("drinking", 4.0)], policy=policy(loss_percent=0.0))
    entries = [
        TallyEntry(at(3, 8), left=(LitresLeft(90.0),)),
        TallyEntry(at(4, 8), left=(LitresLeft(70.0),)),
    ]

    rates = true_rates(entries, its_trip)

    assert rates[0].planned_l == pytest.approx(8.0)
    assert use_times(rates) == pytest.approx(2.5)


def test_true_speed_by_hand():
    """40 km from 10:00 to 15:00 with a break of an hour between: 10 km in each of four hours."""
    entries = [TallyEntry(at(3, 10), 100.0), TallyEntry(at(3, 15), 140.0)]

    (speed,) = true_speeds(entries, pace(break_h=(12.0, 13.0)))

    assert speed.kmh == pytest.approx(10.0)


def test_an_evening_in_camp_is_no_slower_way():
    """105 km read off at 8:00 and 19:00; the trip moves 3.5 h a day: 30 km/h, not 9.5."""
    entries = [TallyEntry(at(3, 8), 0.0), TallyEntry(at(3, 19), 105.0)]

    (speed,) = true_speeds(entries, pace(hours_per_day=3.5))

    assert speed.kmh == pytest.approx(30.0)


def test_readings_come_back_as_they_were_written():
    """Every field of a reading, through its line."""
    (entry,) = tally_from_text(
        '{"at": "2027-05-06T14:00", "km": 3, "left": [{"litres": 2, "container": "can 1",'
        ' "grade": "potable"}], "took_l": 4, "source": "Böhm", "lost_l": 1, "why": "split",'
        ' "found": "low", "note": "x", "new_source": {"name": "n", "lat": -25, "lon": 131}}\n',
        origin="t",
    )

    assert tally_from_text(line_of(entry), origin="t") == (entry,)


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("{", "no reading"),
        ("[1]", "no reading"),
        ('{"km": 3}', "at is missing"),
        ('{"at": "2027-05-06T14:00", "left": "many"}', "litres"),
        ('{"at": "2027-05-06T14:00", "left": -1}', "litres"),
        ('{"at": "2027-05-06T14:00", "took_l": 3}', "no source is named"),
        ('{"at": "2027-05-06T14:00", "found": "wet", "source": "x"}', "wet"),
        (
            '{"at": "2027-05-06T14:00", "new_source": {"name": "x", "lat": 95, "lon": 1}}',
            "no place",
        ),
    ],
)
def test_a_line_that_is_no_reading_is_named_with_its_number(line, what):
    """File, line, what is wrong and how to mend it, in one sentence."""
    with pytest.raises(TallyError, match=what) as refused:
        tally_from_text(
            f'{{"at": "2027-05-05T14:00", "left": 5}}\n{line}\n', origin="my.tally.json"
        )

    assert str(refused.value).startswith("my.tally.json, line 2: ")


@pytest.mark.parametrize(
    ("words", "what"),
    [
        (["--left", "61"], "has no time"),
        (["--at", "2027-05-06", "--left", "61"], "no local time"),
        (["--at", "2027-05-06T14:00", "--left", "many"], "says no litres"),
        (["--at", "2027-05-06T14:00", "--took", "4"], "no source is named"),
        (["--at", "2027-05-06T14:00", "--why", "split"], "no litres are lost"),
        (["--at", "2027-05-06T14:00", "--new-source", "Soak"], "go together"),
        (["--at", "2027-05-06T14:00", "--left", "80"], "can be no more than 40 L"),
        (["--at", "2027-05-06T14:00", "--left", "A=1", "--left", "a=2"], '"A" is named twice'),
        (["--at", "2027-05-06T14:00", "--left", "5", "--left", "a=2"], "stand beside others"),
    ],
)
def test_a_reading_that_cannot_be_is_one_sentence_and_not_written(tally, capsys, words, what):
    """Exit status 2, and the tally is as it was."""
    assert run("tally", tally, "--at", "2027-05-05T14:00", "--left", "40") == 0
    before = tally.read_bytes()
    capsys.readouterr()

    assert run("tally", tally, *words) == 2

    told = capsys.readouterr().err
    assert what in told
    assert len(told.splitlines()) == 1
    assert tally.read_bytes() == before


@pytest.mark.parametrize("data", [b"\xff\xfe\x00", b'{"at": "2027', b"\x00" * 20, b"PK\x03\x04"])
def test_a_file_that_is_no_tally_is_left_as_it_is(tally, capsys, data):
    """One sentence with its name, exit status 2, and not a byte of it is changed."""
    tally.write_bytes(data)

    assert run("tally", tally, "--at", "2027-05-07T14:00", "--left", "50") == 2
    assert "trip.tally.json" in capsys.readouterr().err
    assert tally.read_bytes() == data


def test_a_plan_takes_the_last_reading_and_what_is_used_beyond_the_plan(tally, tmp_path, capsys):
    """The rest begins there; with twice the planned use its stretches need about twice as much."""
    run("tally", tally, "--km", 300, "--at", "2027-05-05T14:00", "--left", 90)
    run("tally", tally, "--km", 312, "--at", "2027-05-06T14:00", "--left", 44)
    document, plain = tmp_path / "rest.json", tmp_path / "plain.json"

    assert run(*PLAN, "--tally", tally, "--json", document) == 0
    assert (
        run(
            *PLAN,
            *["--from-km", "312", "--at", "2027-05-06T14:00", "--left", "44", "--json"],
            plain,
        )
        == 0
    )

    told = capsys.readouterr().out
    assert "from km 312.0" in told
    rest, other = (json.loads(path.read_text("utf-8")) for path in (document, plain))
    times = use_times(true_rates(read_tally(tally), read_trip(FOLDER / "trip.toml")))
    assert times == pytest.approx(2.0, abs=0.1)
    first, as_planned = rest["stretches"][0], other["stretches"][0]
    assert first["from"]["km"] == pytest.approx(312.0)
    drinking = [one["need_l"]["drinking"] for one in (first, as_planned)]
    assert drinking[0] == pytest.approx(times * drinking[1], rel=0.02)


def test_a_tally_comes_home_into_the_book(tally, tmp_path, capsys):
    """Water taken is a visit, a new source is new, and nothing is brought twice."""
    book = tmp_path / "book.geojson"
    run("mark", book, "--name", "Fork Well", "--at=-27.9,-13.2", "--grade", "potable")
    for words in (
        ["--at", "2026-05-04T14:00", "--took", "29", "--from", "Fork Well", "--left", "90"],
        ["--at", "2026-05-05T14:00", "--from", "fork well", "--found", "dry"],
        [
            "--at",
            "2026-05-05T15:00",
            "--new-source",
            "Soak",
            "--place=-27.8,-13.1",
            "--found",
            "low",
        ],
        ["--at", "2026-05-05T16:00", "--from", "Nowhere", "--found", "dry"],
    ):
        assert run("tally", tally, *words) == 0
    capsys.readouterr()

    assert run("bring", book, tally) == 0
    assert '"Nowhere", 2026-05-05: left out' in capsys.readouterr().out
    assert run("bring", book, tally) == 0
    assert "0 new, 2 known (0 filled in)" in capsys.readouterr().out

    well, soak = read_book(book).sources
    assert [(one.on.isoformat(), one.found.value, one.litres) for one in well.visits] == [
        ("2026-05-04", "low", 29.0),
        ("2026-05-05", "dry", None),
    ]
    assert (soak.name, soak.lat_deg, soak.visits[0].found.value, soak.own) == (
        "Soak",
        -27.8,
        "low",
        True,
    )


AT_ONCE = 4
SEED = 20270503
WRITER = """
import contextlib, io, sys
from longdry.cli.main import main
for count in range(200):
    note = f"{sys.argv[2]}-{count}"
    words = ["tally", sys.argv[1], "--at", "2027-05-03T08:00", "--note", note]
    with contextlib.redirect_stdout(io.StringIO()):
        status = main(words)
    if status:
        sys.exit(status)
    print("confirmed", note, flush=True)
"""


@proof(200)
def test_every_confirmed_reading_survives_killed_writers(tally, cases):
    """Four writers at once, each killed at any moment: whole, and nothing confirmed is lost."""
    dice = random.Random(SEED)
    moments = [
        (number, dice.uniform(0.0, 0.05), dice.choice((signal.SIGKILL, signal.SIGTERM)))
        for number in cases
    ]
    with ThreadPoolExecutor(AT_ONCE) as pool:
        confirmed = set().union(*pool.map(lambda one: killed_writer(WRITER, tally, *one), moments))

    found = [entry.note for entry in read_tally(tally)]

    assert confirmed <= set(found)
    assert len(found) == len(set(found))
    assert len(found) <= len(confirmed) + len(cases)
    assert len(confirmed) >= len(cases)
