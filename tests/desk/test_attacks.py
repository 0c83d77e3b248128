"""What the desk answers to whoever should not reach it, or sends what it should not.

Each attack goes over a socket to the real server. Rules: RFC 9110 (Host, status codes), RFC 6454
(Origin), RFC 6265bis (cookies), W3C Fetch Metadata and Content Security Policy Level 3. The table
of docs/why/desk.md tells the same rows.
"""

from __future__ import annotations

import dataclasses
import gzip
import html
import json
import os
import socket
import subprocess
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import pytest
from open_desk import OpenDesk, served_desk, write_small_trip
from patience import LONGEST_WAIT_S
from project_places import DOCS

from longdry.desk.uploads import UploadLimits
from longdry.desk.worker import WORKER_WORDS

LIMITS = UploadLimits(most_bytes=300_000)
IMPATIENT = UploadLimits(patience_s=0.2)
SPEED = {"section": "pace", "key": "speed_kmh", "value": 29}
EVIL = "http://evil.invalid"


@dataclass(frozen=True)
class Place:
    """The desk that is attacked, its folder, and a folder that is none of its business."""

    desk: OpenDesk
    folder: Path
    outside: Path


@pytest.fixture(scope="module")
def place(tmp_path_factory):
    home = tmp_path_factory.mktemp("attacked")
    folder, outside = home / "trip", home / "outside"
    folder.mkdir()
    outside.mkdir()
    write_small_trip(folder)
    (outside / "secret.geojson").write_bytes((folder / "water.geojson").read_bytes())
    (folder / "link.geojson").symlink_to(outside / "secret.geojson")
    (folder / "leads_out").symlink_to(outside)
    os.mkfifo(folder / "pipe.geojson")
    with served_desk(folder, LIMITS) as desk:
        yield Place(desk, folder, outside)


def contents(place: Place) -> dict[str, bytes]:
    """Return what stands in all files of both folders; locks are no content."""
    files = (path for home in (place.folder, place.outside) for path in home.rglob("*"))
    plain = (path for path in files if path.is_file() and not path.is_symlink())
    return {str(path): path.read_bytes() for path in plain if path.suffix != ".lock"}


def change(headers=None, *, bare=False) -> Callable[[Place], int]:
    """Return an attack that tries to change the pace, with other headers than the page sends."""
    wish = {"changes": [SPEED]}
    return lambda at: at.desk.ask("POST", "/api/trip", wish, headers, bare=bare).status


def look(path="/", headers=None, *, bare=False) -> Callable[[Place], int]:
    """Return an attack that tries to read."""
    return lambda at: at.desk.ask("GET", path, None, headers, bare=bare).status


def put(name: str, body=b"x") -> Callable[[Place], int]:
    """Return an attack that tries to write a file of a name."""
    return lambda at: at.desk.ask("PUT", f"/api/files/{name}?as=water", body).status


def choose(**wish) -> Callable[[Place], int]:
    """Return an attack that tries to have another file read."""
    return lambda at: at.desk.post("/api/choice", **wish).status


def told_by_host(host: str) -> Callable[[Place], int]:
    """Return an attack with the key, the cookie and another host's name."""
    return lambda at: at.desk.ask("GET", at.desk.link, None, {"Host": host}).status


def in_plan_file(*lines: str) -> Callable[[Place], int]:
    """Return an attack by a plan.txt that somebody slipped into the folder."""

    def attack(at: Place) -> int:
        slipped = at.folder / "plan.txt"
        slipped.write_text("\n".join(lines))
        try:
            answer = at.desk.get("/api/plan").json
            assert not answer["ready"]["plan"]
            assert "root:" not in json.dumps(answer)
            return 403 if answer["faults"] else 200
        finally:
            slipped.unlink()

    return attack


def trip_that_names_a_file_outside(at: Place) -> int:
    """Have a table of heat read from another folder."""
    wish = {"section": "heat", "key": "table", "value": "../outside/secret.geojson"}
    assert at.desk.post("/api/trip", changes=[wish]).status == 403
    return 403


def endless_upload(at: Place) -> int:
    """Send without saying how much, more than is allowed."""
    pieces = (b"lat,lon\n" * 10_000 for _ in range(5))
    return put("endless.csv", pieces)(at)


def raw(at: Place, head: str, *pieces: bytes) -> bytes:
    """Send bytes as they are, wait for what comes, and close."""
    with socket.create_connection(("127.0.0.1", at.desk.port), timeout=LONGEST_WAIT_S) as line:
        line.sendall(head.encode())
        for piece in pieces:
            line.sendall(piece)
        return line.recv(1 << 16)


def upload_head(at: Place, length: int) -> str:
    return (
        f"PUT /api/files/slow.csv?as=water HTTP/1.1\r\nHost: 127.0.0.1:{at.desk.port}\r\n"
        f"Cookie: {at.desk.cookie}\r\nOrigin: {at.desk.origin}\r\nContent-Length: {length}\r\n\r\n"
    )


def slow_upload(at: Place) -> int:
    """Send a few bytes and then nothing."""
    with served_desk(at.folder, IMPATIENT) as desk:
        hurried = dataclasses.replace(at, desk=desk)
        return int(raw(hurried, upload_head(hurried, 1000), b"lat,lon\n").split()[1])


def broken_off_upload(at: Place) -> str:
    """Hang up in the middle."""
    line = socket.create_connection(("127.0.0.1", at.desk.port), timeout=LONGEST_WAIT_S)
    line.sendall(upload_head(at, 1000).encode() + b"lat,lon\n")
    while not list(at.folder.glob(".slow.csv.*")):
        time.sleep(0.01)
    line.close()
    while list(at.folder.glob(".slow.csv.*")):  # until the server has heard of it
        time.sleep(0.01)
    return "nothing kept"


def huge_by_its_own_word(at: Place) -> int:
    """Announce 201 MB."""
    return int(raw(at, upload_head(at, 201_000_000)).split()[1])


def packed_bomb(at: Place) -> int:
    """Send zeros packed a thousand times smaller than they are."""
    return put("bomb.csv.gz", gzip.compress(b"lat,lon\n" + b"0" * 60_000_000))(at)


def huge_change(at: Place) -> int:
    return at.desk.ask("POST", "/api/trip", {"changes": ["x" * 1_100_000]}).status


def deep_change(at: Place) -> int:
    headers = {"Content-Type": "application/json"}
    return at.desk.ask("POST", "/api/trip", b"[" * 200_000, headers).status


def form_of_another_page(at: Place) -> int:
    """Send what an HTML form can send: it needs no leave from us to be sent."""
    return at.desk.ask("POST", "/api/trip", b'{"a":"="}', {"Content-Type": "text/plain"}).status


def asking_for_leave(at: Place) -> int:
    """Ask as a browser does before another page's change (CORS)."""
    headers = {"Origin": EVIL, "Access-Control-Request-Method": "PUT", "Cookie": None}
    answer = at.desk.ask("OPTIONS", "/api/files/a.csv", None, headers)
    assert not [name for name in answer.headers if name.startswith("access-control")]
    return answer.status


def lock_that_leads_out(at: Place) -> int:
    """Have the lock of a file made in another folder."""
    lock = at.folder / ".plan.txt.lock"
    lock.unlink(missing_ok=True)
    lock.symlink_to(at.outside / "made")
    try:
        answer = at.desk.post("/api/choice", reverse=True)
        assert not (at.outside / "made").exists()
        return answer.status
    finally:
        lock.unlink()


def python_in_the_folder(at: Place) -> str:
    """Slip a file that Python would take for a library; the desk works in that folder."""
    slipped = at.folder / "numpy.py"
    slipped.write_text("open('was_run', 'w').close()")
    try:
        subprocess.run(WORKER_WORDS, cwd=at.folder, stdin=subprocess.DEVNULL, check=True)
        return "run" if (at.folder / "was_run").exists() else "never run"
    finally:
        slipped.unlink()


def markup_in_a_name(at: Place) -> str:
    """Mark a source whose name would run as script, look at the plan, and take it back."""
    name = '<img src=x onerror="alert(1)">'
    wish = {"lat_deg": -28.01, "lon_deg": -13.95, "properties": {"name": name, "grade": "potable"},
            "anyway": True}  # fmt: skip
    assert at.desk.post("/api/water/mark", **wish).status == 200
    plan = at.desk.get("/api/plan")
    shown = "".join(plan.json["html"].values())
    assert plan.headers["content-type"] == "application/json"
    assert plan.headers["x-content-type-options"] == "nosniff"
    assert "<img" not in shown
    assert html.escape(name) in shown or html.escape(name, quote=False) in shown
    assert at.desk.post("/api/undo", file="water.geojson").status == 200
    return "text"


def stale_edit(at: Place) -> int:
    """Change what somebody else has changed meanwhile."""
    seen = at.desk.get("/api/trip").json["version"]
    trip = at.folder / "trip.toml"
    before = trip.read_text()
    trip.write_text(before + "\n# somebody else's\n")
    try:
        return at.desk.post("/api/trip", changes=[SPEED], version=seen).status
    finally:
        assert trip.read_text().endswith("# somebody else's\n")
        trip.write_text(before)


def two_edits_at_once(at: Place) -> str:
    """Change one state of a file from two windows at the same moment."""
    seen = at.desk.get("/api/trip").json["version"]
    wishes = [{**SPEED, "value": value} for value in (3.1, 3.2, 3.3, 3.4)]
    with ThreadPoolExecutor(4) as pool:
        answers = list(
            pool.map(lambda one: at.desk.post("/api/trip", changes=[one], version=seen), wishes)
        )
    statuses = sorted(answer.status for answer in answers)
    assert statuses == [200, 409, 409, 409], statuses
    assert at.desk.post("/api/undo", file="trip.toml").status == 200
    return "one 200, the others 409"


ATTACKS: tuple[tuple[str, Callable[[Place], object], object], ...] = (
    ("another host's name (DNS rebinding)", told_by_host("evil.invalid"), 403),
    ("the right host, another port", told_by_host("127.0.0.1:1"), 403),
    ("no cookie", look(bare=True), 403),
    ("a cookie that is guessed", look(headers={"Cookie": "longdry_desk=abc"}), 403),
    ("a key that is guessed", look("/?key=abc", bare=True), 403),
    ("a change without the cookie (another user of the computer)", change(bare=True), 403),
    ("a change from another page", change({"Origin": EVIL}), 403),
    ("a change from a framed or local page", change({"Origin": "null"}), 403),
    ("a change that names no origin", change({"Origin": None}), 403),
    ("a picture or script of another page", look(headers={"Sec-Fetch-Site": "cross-site"}), 403),
    ("another server of this computer asks", look(headers={"Sec-Fetch-Site": "same-site"}), 403),
    ("a form of another page", form_of_another_page, 415),
    ("another page asks for leave (CORS)", asking_for_leave, 403),
    ("reading that would change", look("/api/undo?file=trip.toml"), 404),
    ("a file above the folder", put("..%2F..%2Fevil.csv"), 403),
    ("a file at the top of the disk", put("%2Fetc%2Fevil.csv"), 403),
    ("a hidden file", put(".bashrc"), 403),
    ("the name of a device", put("NUL.csv"), 403),
    ("a name too long for the disk", put("%E6%B0%B4" * 100 + ".csv"), 403),
    ("a name with an end of line", put("a%0Ab.csv"), 404),
    ("a file that the desk itself writes", put("plan.txt"), 403),
    ("a link that leads out", choose(water=["link.geojson"]), 403),
    ("a folder that leads out", choose(water=["leads_out/secret.geojson"]), 403),
    ("a lock that leads out", lock_that_leads_out, 422),
    ("a pipe that never ends", choose(water=["pipe.geojson"]), 403),
    ("a pipe as the trip file", choose(trip="pipe.geojson"), 403),
    ("a plan.txt with a pipe", in_plan_file("route.gpx", "--trip=pipe.geojson"), 403),
    ("an option in place of a name", choose(water=["--out=evil.html"]), 422),
    ("a plan.txt that reads elsewhere", in_plan_file("route.gpx", "--water=/etc/passwd"), 403),
    ("a plan.txt that names another", in_plan_file("@/etc/passwd"), 403),
    ("a trip file that reads elsewhere", trip_that_names_a_file_outside, 403),
    ("a part of the program asked for", look("/own/..%2Fserver.py"), 404),
    ("a file in the folder that Python would take for its own", python_in_the_folder, "never run"),
    ("a huge file, by its own word", huge_by_its_own_word, 413),
    ("a huge file that does not say so", endless_upload, 413),
    ("a small file that unpacks to a huge one", packed_bomb, 422),
    ("a file that comes too slowly", slow_upload, 408),
    ("a file that breaks off", broken_off_upload, "nothing kept"),
    ("a huge change", huge_change, 413),
    ("a change nested without end", deep_change, 400),
    ("markup in a name", markup_in_a_name, "text"),
    ("a change of what somebody else has changed", stale_edit, 409),
    ("four changes of one state at once", two_edits_at_once, "one 200, the others 409"),
)


@pytest.mark.parametrize(
    ("attack", "answer"), [row[1:] for row in ATTACKS], ids=[r[0] for r in ATTACKS]
)
def test_an_attack_is_refused_and_leaves_no_trace(place, attack, answer):
    """The answer is that of the table, and every file is what it was."""
    before = contents(place)

    assert attack(place) == answer
    assert contents(place) == before


def test_the_docs_tell_every_attack_and_its_answer():
    """Whoever reads docs/why/desk.md reads what is tested here, row for row."""
    rows = [f"| {name} | {answer} |" for name, _, answer in ATTACKS]
    told = (DOCS / "why" / "desk.md").read_text("utf-8")

    assert [row for row in rows if row not in told] == []


def test_every_answer_forbids_what_the_page_does_not_need(place):
    """No inline script, no other host, no frame; the cookie is no script's and no other site's."""
    for path in ("/", "/api/folder", "/own/page.js", "/nothing"):
        policy = place.desk.get(path).headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
    first = place.desk.ask("GET", place.desk.link, bare=True)

    assert first.status == 303
    assert first.headers["location"] == "/"
    cookie = {part.strip().lower() for part in first.headers["set-cookie"].split(";")[1:]}
    assert {"httponly", "samesite=strict", "path=/"} <= cookie


def test_the_link_that_a_list_of_processes_shows_opens_once(tmp_path):
    """Whoever reads it there comes after the browser that was started with it."""
    write_small_trip(tmp_path)
    with served_desk(tmp_path) as desk:
        first, second = (desk.ask("GET", desk.link_for_browser, bare=True) for _ in range(2))

        assert (first.status, second.status) == (303, 403)
        assert "set-cookie" not in second.headers
        assert b"has been opened" in second.content
        assert desk.ask("GET", desk.link, bare=True).status == 303


def test_a_person_without_the_key_reads_one_sentence(place):
    """A browser that opens the address alone shows words, not JSON."""
    answer = place.desk.ask("GET", "/", None, {"Accept": "text/html"}, bare=True)

    assert answer.status == 403
    assert answer.headers["content-type"].startswith("text/plain")
    words = b"This browser has no key; open the link that longdry desk printed.\n"
    assert answer.content == words


def test_only_this_computer_is_listened_to(place):
    """The socket is bound to 127.0.0.1, not to an address of a network."""
    bound = [
        line.split()[1].partition(":")[0]
        for line in Path("/proc/net/tcp").read_text().splitlines()[1:]
        if line.split()[3] == "0A" and int(line.split()[1].partition(":")[2], 16) == place.desk.port
    ]

    assert bound == ["0100007F"]
