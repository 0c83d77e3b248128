"""Starting and ending a desk: one socket on this computer alone, one link, one folder."""

from __future__ import annotations

import contextlib
import logging
import socket
import threading
import webbrowser
from collections.abc import Callable
from pathlib import Path

import uvicorn

from longdry.desk.desk import Desk
from longdry.desk.guard import HOST, Keys
from longdry.desk.server import desk_app
from longdry.errors import UsageError
from longdry.storage import sole_right, sweep_coming

_CLOSING_S = 1
_MOST_CONNECTIONS = 64


def run_desk(
    folder: Path, say: Callable[[str], None], *, port: int = 0, browser: bool = True
) -> None:
    """Serve the folder until a key or a signal ends it.

    Parameters
    ----------
    folder
        The folder of a trip.
    say
        Is given the words with the link, once the desk answers.
    port
        Of this computer; 0: any that is unused.
    browser
        Whether the page is opened in the browser of this computer.

    Raises
    ------
    UsageError
        There is no such folder, another desk has it, or the port is in use.
    """
    if folder.is_file():
        mend = "name the folder that it lies in"
        raise UsageError.single(str(folder), "", "this is a file, no folder", mend)
    if not folder.is_dir():
        raise UsageError.single(str(folder), "", "there is no such folder", "make it first")
    with sole_right(folder) as is_ours, contextlib.closing(_socket(port)) as listening:
        if not is_ours:
            what, name = "another desk works in this folder", str(folder.resolve())
            raise UsageError.single(name, "", what, "go on there, or close that one first")
        sweep_coming(folder)
        keys = Keys(listening.getsockname()[1])
        desk = Desk(folder)

        def opened() -> None:
            _tell(keys, say, browser=browser)
            desk.planner.start()

        try:
            _serve(desk, keys, listening, opened)
        finally:
            desk.planner.end()


def _socket(port: int) -> socket.socket:
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        listening.bind((HOST, port))
        listening.listen(_MOST_CONNECTIONS)
    except OSError as problem:
        listening.close()
        what = f"cannot be had ({(problem.strerror or str(problem)).lower()})"
        raise UsageError.single("--port", "", what, "leave it out for any unused one") from problem
    return listening


def _tell(keys: Keys, say: Callable[[str], None], *, browser: bool) -> None:
    say(f"The desk is open on this computer alone: {keys.link}\nCtrl-C closes it.\n")
    if browser:
        threading.Thread(target=webbrowser.open, args=(keys.link_for_browser,), daemon=True).start()


def _serve(desk: Desk, keys: Keys, listening: socket.socket, opened: Callable[[], None]) -> None:
    server = _Server(
        uvicorn.Config(
            desk_app(desk, keys),
            http="h11",
            ws="none",
            loop="asyncio",
            lifespan="off",
            log_config=None,
            access_log=False,
            server_header=False,
            proxy_headers=False,
            limit_concurrency=_MOST_CONNECTIONS,
            timeout_graceful_shutdown=_CLOSING_S,
        ),
        desk,
        opened,
    )
    with contextlib.suppress(KeyboardInterrupt):  # the way in which a desk is closed
        server.run(sockets=[listening])


class _Server(uvicorn.Server):
    """Tells when it has begun to answer; ends what waits before it is closed."""

    def __init__(self, config: uvicorn.Config, desk: Desk, opened: Callable[[], None]) -> None:
        super().__init__(config)
        self._desk = desk
        self._opened = opened

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        self._opened()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        self._desk.is_closing = True
        # It would print a traceback for each answer that is cut short.
        logging.getLogger("uvicorn.error").setLevel(logging.CRITICAL)
        await super().shutdown(sockets)
