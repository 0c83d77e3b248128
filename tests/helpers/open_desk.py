"""A desk started as a person starts it, and a browser's words to it over a plain socket."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import re
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import uvicorn
from patience import LONGEST_WAIT_S

from longdry.desk.desk import Desk
from longdry.desk.guard import Keys
from longdry.desk.server import desk_app
from longdry.desk.uploads import USUAL_LIMITS, UploadLimits

START = "from longdry.cli.main import main; import sys; sys.exit(main(sys.argv[1:]))"


GPX = (
    '<gpx version="1.1" creator="invented" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>'
    '<trkpt lat="-28.0" lon="-14.0"/><trkpt lat="-28.0" lon="-13.9"/>'
    '<trkpt lat="-28.0" lon="-13.8"/>'
    "</trkseg></trk></gpx>"
)
TAP = {
    "type": "Feature",
    "geometry": {"type": "Point", "coordinates": [-13.9, -28.001]},
    "properties": {"id": "tap", "name": "Tap", "grade": "potable", "kind": "tap"},
}
BOOK = json.dumps({"type": "FeatureCollection", "features": [TAP]})
TRIP = """
[party]
people = 2

[[use]]
name = "drinking"
litres = 5

[[container]]
name = "can"
rated_l = 8
"""


def write_small_trip(folder: Path) -> None:
    """Write 20 km of route, one tap and a short trip file; invented: not for navigation."""
    (folder / "route.gpx").write_text(GPX)
    (folder / "water.geojson").write_text(BOOK)
    (folder / "trip.toml").write_text(TRIP)


@dataclass(frozen=True)
class Answer:
    """What came back."""

    status: int
    headers: Mapping[str, str]
    content: bytes

    @property
    def json(self):
        """What it tells."""
        return json.loads(self.content)

    @property
    def sentence(self) -> str:
        """The first thing that is told of a refusal."""
        return self.json["faults"][0]["sentence"]


@dataclass
class OpenDesk:
    """A running desk, and the cookie that its link gave."""

    process: subprocess.Popen | None
    port: int
    link: str
    cookie: str = ""
    link_for_browser: str = ""

    @property
    def origin(self) -> str:
        """Where it is, as a browser writes it."""
        return f"http://127.0.0.1:{self.port}"

    def ask(self, method: str, path: str, body=None, headers=None, *, bare: bool = False) -> Answer:
        """Send one request as the desk's own page would; ``bare``: with no header of its own."""
        said = {} if bare else {"Cookie": self.cookie, "Origin": self.origin}
        if isinstance(body, dict):
            body = json.dumps(body)
            said["Content-Type"] = "application/json"
        said |= headers or {}
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=LONGEST_WAIT_S)
        with contextlib.closing(connection):
            connection.request(method, path, body, {k: v for k, v in said.items() if v is not None})
            answer = connection.getresponse()
            return Answer(
                answer.status,
                {name.lower(): value for name, value in answer.getheaders()},
                answer.read(),
            )

    def get(self, path: str) -> Answer:
        """Read."""
        return self.ask("GET", path)

    def post(self, path: str, **wish) -> Answer:
        """Make a change."""
        return self.ask("POST", path, wish)

    def unfinished_upload(self) -> socket.socket:
        """Begin to send a file, and wait until the desk has begun to take it."""
        line = socket.create_connection(("127.0.0.1", self.port), timeout=LONGEST_WAIT_S)
        line.sendall(
            f"PUT /api/files/slow.csv?as=water HTTP/1.1\r\nHost: 127.0.0.1:{self.port}\r\n"
            f"Cookie: {self.cookie}\r\nOrigin: {self.origin}\r\n"
            "Content-Length: 1000\r\n\r\nlat".encode()
        )
        return line

    def close(self) -> int:
        """End it as Ctrl-C in a terminal does, heard by all that was started there; its status."""
        os.killpg(self.process.pid, signal.SIGINT)
        return self.process.wait(timeout=LONGEST_WAIT_S)


@contextlib.contextmanager
def open_desk(folder: Path, *words: str) -> Iterator[OpenDesk]:
    """Start a desk on a folder and follow its link; it is ended with the block."""
    command = [sys.executable, "-P", "-c", START, "desk", str(folder), "--no-browser", *words]
    environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
    pipe = subprocess.PIPE
    with subprocess.Popen(
        command, stdout=pipe, stderr=pipe, text=True, env=environment, start_new_session=True
    ) as process:
        try:
            link = re.search(r"http://127\.0\.0\.1:(\d+)(/\S+)", process.stdout.readline())
            desk = OpenDesk(process, int(link[1]), link[2])
            desk.cookie = desk.ask("GET", desk.link).headers["set-cookie"].partition(";")[0]
            yield desk
        finally:
            process.kill()


@contextlib.contextmanager
def served_desk(folder: Path, limits: UploadLimits = USUAL_LIMITS) -> Iterator[OpenDesk]:
    """Serve a folder from a thread of the tests, without the process that searches mends."""
    listening = socket.socket()
    listening.bind(("127.0.0.1", 0))
    listening.listen(64)
    keys = Keys(listening.getsockname()[1])
    app = desk_app(Desk(folder), keys, limits)
    server = uvicorn.Server(
        uvicorn.Config(app, http="h11", ws="none", lifespan="off", log_config=None)
    )
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    desk = OpenDesk(None, keys.port, keys.link.removeprefix(keys.origin))
    desk.link_for_browser = keys.link_for_browser.removeprefix(keys.origin)
    try:
        desk.cookie = desk.ask("GET", desk.link).headers["set-cookie"].partition(";")[0]
        yield desk
    finally:
        server.should_exit = True
        thread.join()
        listening.close()
