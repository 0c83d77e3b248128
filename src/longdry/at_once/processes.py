"""Jobs done by several processes of this machine; they end with it, however it ends."""

from __future__ import annotations

import contextlib
import itertools
import multiprocessing
import os
import signal
import threading
from collections.abc import Collection, Generator, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from functools import partial
from multiprocessing.process import BaseProcess

from longdry.at_once.job import Job, JobResult, Runner, in_this_process, run_job
from longdry.errors import WorkerError

AHEAD = 3
"""Jobs handed out for each process, so that none waits and few are kept in memory."""
PLANS_WORTH_A_PROCESS = 6
"""Starting one takes about as long as so many plans."""

_TO_END_S = 2.0
"""A process that is told to end does so at once; whoever is slower is not waited for."""
_LOST = (
    "a worker process was ended from outside, as happens where memory runs out; take fewer with"
    " --workers, or fewer routes or dates at once."
)


def cores() -> int:
    """Return how many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def runner(workers: int | None) -> Runner:
    """Return what does the jobs.

    Parameters
    ----------
    workers
        How many processes; None: one for each core, as far as there is work for them.
    """
    if workers is None:
        return as_many_as_worth_it
    return in_this_process if workers == 1 else partial(in_processes, workers=workers)


def as_many_as_worth_it(jobs: Iterable[Job]) -> Generator[JobResult, None, None]:
    """Do the jobs in a process for each core, or here where they are few."""
    most, left = cores(), iter(jobs)
    first: list[Job] = []
    while sum(job.plans for job in first) < most * PLANS_WORTH_A_PROCESS:
        job = next(left, None)
        if job is None:
            break
        first.append(job)
    workers = min(most, sum(job.plans for job in first) // PLANS_WORTH_A_PROCESS)
    again = itertools.chain(first, left)
    yield from in_this_process(again) if workers <= 1 else in_processes(again, workers=workers)


def in_processes(jobs: Iterable[Job], *, workers: int) -> Generator[JobResult, None, None]:
    """Do the jobs in so many processes; yields what is done first.

    Raises
    ------
    WorkerError
        Where a process was ended from outside.
    """
    others = set(multiprocessing.active_children())
    # Spawned, not forked: a fork copies whatever threads hold, and not every system has it.
    pool = ProcessPoolExecutor(
        workers, mp_context=multiprocessing.get_context("spawn"), initializer=_end_with_parent
    )
    try:
        yield from _done(pool, jobs, AHEAD * workers)
    except BrokenProcessPool as broken:
        raise WorkerError(_LOST) from broken
    except BaseException:
        # A child that is ended while it sends leaves half an answer, and whoever reads it waits for
        # the rest for ever, as long as this process could itself write to that pipe.
        answers = pool._result_queue._writer  # type: ignore[attr-defined] # noqa: SLF001 - no other door
        pool.shutdown(wait=False, cancel_futures=True)
        _end(set(multiprocessing.active_children()) - others)
        answers.close()
        raise
    pool.shutdown()


def _end(children: Collection[BaseProcess]) -> None:
    for child in children:
        child.terminate()
    for child in children:
        child.join(_TO_END_S)


def _done(
    pool: ProcessPoolExecutor, jobs: Iterable[Job], most_waiting: int
) -> Generator[JobResult, None, None]:
    waiting: set[Future[JobResult]] = set()
    for job in jobs:
        with _stop_keys_kept_back():
            waiting.add(pool.submit(run_job, job))
        if len(waiting) >= most_waiting:
            ready, waiting = wait(waiting, return_when=FIRST_COMPLETED)
            yield from (one.result() for one in ready)
    while waiting:
        ready, waiting = wait(waiting, return_when=FIRST_COMPLETED)
        yield from (one.result() for one in ready)


@contextlib.contextmanager
def _stop_keys_kept_back() -> Iterator[None]:
    """Start processes deaf to Ctrl-C: the key is this process's, which then ends them.

    A process inherits the mask that is in force when it is started.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _end_with_parent() -> None:
    """End this process when the one that started it has gone without saying so."""
    threading.Thread(target=_wait_for_parent, daemon=True).start()


def _wait_for_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
