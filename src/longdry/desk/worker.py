"""The process that makes the whole plan, mends too, while the desk answers.

It gets one job after another on standard input and answers on standard output: each the length in
eight bytes, then a pickle. A job that nobody wants any more ends with the process, which is started
anew: a search for mends cannot be stopped half-way.
"""

from __future__ import annotations

import dataclasses
import pickle
import signal
import subprocess
import sys
import threading
from collections.abc import Callable
from typing import IO

from longdry.computing.plan.planning import WaterAlong
from longdry.doing.plan_options import Asked
from longdry.errors import LongdryError
from longdry.model.plan.plan import Plan

WORKER_WORDS = [sys.executable, "-P", "-m", "longdry.desk.worker"]
"""``-P``: the folder that the desk works in is no place to look for libraries."""
_LENGTH_BYTES = 8
_QUIET_S = 0.3
"""A job waits so long for a newer one: nobody starts what the next letter typed makes stale."""


@dataclasses.dataclass(frozen=True, slots=True, eq=False)
class WholePlanJob:
    """One plan to be made whole."""

    number: int
    along: WaterAlong
    asked: Asked


def whole_plan(job: WholePlanJob) -> Plan:
    """Make the plan with its mends, and with the least litres that the page needs on the road."""
    inquiry = dataclasses.replace(job.asked.inquiry, mends=True, least_litres=True)
    return job.asked.plan(job.along, inquiry=inquiry)


def serve_jobs(jobs: IO[bytes], answers: IO[bytes]) -> None:
    """Answer jobs until there are no more."""
    while (job := _received(jobs)) is not None:
        try:
            answer: object = whole_plan(job)
        except LongdryError as error:
            answer = str(error)
        _send(answers, answer)


def _received(stream: IO[bytes]) -> WholePlanJob | None:
    content = _content(stream)
    if not content:
        return None
    job: WholePlanJob = pickle.loads(content)  # noqa: S301 - from our own parent process
    return job


def _content(stream: IO[bytes]) -> bytes:
    head = stream.read(_LENGTH_BYTES)
    if len(head) < _LENGTH_BYTES:
        return b""
    length = int.from_bytes(head, "big")
    content = stream.read(length)
    return content if len(content) == length else b""


def _send(stream: IO[bytes], value: object) -> None:
    content = pickle.dumps(value, pickle.HIGHEST_PROTOCOL)
    stream.write(len(content).to_bytes(_LENGTH_BYTES, "big"))
    stream.write(content)
    stream.flush()


class Worker:
    """The worker process as the desk sees it: the newest job alone counts.

    Parameters
    ----------
    done
        Called with the number of a job and its plan, or what went wrong, from a thread of its own.
    """

    def __init__(self, done: Callable[[int, Plan | str], None]) -> None:
        self._done = done
        self._changed = threading.Condition()
        self._waiting: WholePlanJob | None = None
        self._running: int | None = None
        self.process: subprocess.Popen[bytes] | None = None
        self._ended = False
        self._thread = threading.Thread(target=self._work, daemon=True)

    def start(self) -> None:
        """Start the process, so that it is warm when the first job comes."""
        self.process = _started()
        self._thread.start()

    def take(self, job: WholePlanJob) -> None:
        """Take a job in place of any that is not done."""
        with self._changed:
            self._waiting = job
            self._changed.notify_all()

    def end(self) -> None:
        """End the process, whatever it does."""
        with self._changed:
            self._ended = True
            if self.process:
                self.process.kill()
            self._changed.notify_all()
        if self._thread.is_alive():
            self._thread.join()
        if self.process:
            _close(self.process)

    def _work(self) -> None:
        while (job := self._next()) is not None:
            answer = self._answer_to(job)
            if answer is None and self._is_still_wanted():
                answer = "the whole plan was not made: its process ended"
            if answer is not None:
                self._done(job.number, answer)

    def _is_still_wanted(self) -> bool:
        with self._changed:
            return self._waiting is None and not self._ended

    def _next(self) -> WholePlanJob | None:
        """Return the newest job once no newer one has come for a while; None at the end."""
        with self._changed:
            while not self._ended:
                job = self._waiting
                if job is None:
                    self._changed.wait()
                elif not self._changed.wait(_QUIET_S) and self._waiting is job:
                    self._waiting = None
                    return job
        return None

    def _answer_to(self, job: WholePlanJob) -> Plan | str | None:
        """Return the answer; None where a newer job has come meanwhile."""
        process = self.process
        if process is None or process.poll() is not None or not process.stdin or not process.stdout:
            process = self._anew()
        if process.stdin is None or process.stdout is None:
            return None
        watcher = threading.Thread(target=self._stop_when_stale, args=(process, job), daemon=True)
        self._running = job.number
        watcher.start()
        try:
            _send(process.stdin, job)
            content = _content(process.stdout)
        except OSError:
            content = b""
        with self._changed:
            self._running = None
            self._changed.notify_all()
        watcher.join()
        answer: Plan | str | None = pickle.loads(content) if content else None  # noqa: S301 - from our own child process
        return answer

    def _stop_when_stale(self, process: subprocess.Popen[bytes], job: WholePlanJob) -> None:
        with self._changed:
            while self._running == job.number and self._waiting is None and not self._ended:
                self._changed.wait()
            if self._running == job.number:
                process.kill()

    def _anew(self) -> subprocess.Popen[bytes]:
        with self._changed:
            if self.process:
                _close(self.process)
            self.process = _started()
            return self.process


def _started() -> subprocess.Popen[bytes]:
    """Start the process out of reach of the Ctrl-C that closes the desk."""
    pipe = subprocess.PIPE
    return subprocess.Popen(WORKER_WORDS, stdin=pipe, stdout=pipe, start_new_session=True)  # noqa: S603 - our own module


def _close(process: subprocess.Popen[bytes]) -> None:
    process.kill()
    for stream in (process.stdin, process.stdout):
        if stream:
            try:
                stream.close()
            except OSError:
                continue
    process.wait()


if __name__ == "__main__":
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the desk itself hears Ctrl-C
    serve_jobs(sys.stdin.buffer, sys.stdout.buffer)
