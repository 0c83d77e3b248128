"""Jobs done by a Dask cluster: the same jobs, the same answer."""

from __future__ import annotations

import importlib
from collections.abc import Generator, Iterable
from concurrent.futures import CancelledError
from functools import partial
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # an optional extra, and heavy
    from distributed import Client

from longdry.at_once.job import Job, JobResult, Runner, run_job
from longdry.errors import InputError, UsageError, WorkerError

AHEAD = 4
"""Jobs handed out for each worker thread."""
_CONNECT_S = 10
_OPTION = "--scheduler"


def cluster_runner(address: str) -> Runner:
    """Return what does the jobs on the cluster whose scheduler answers at an address."""
    return partial(on_cluster, address=address)


def on_cluster(jobs: Iterable[Job], *, address: str) -> Generator[JobResult, None, None]:
    """Send the jobs to a cluster; what a lost worker had is done again by another.

    Raises
    ------
    UsageError
        Where Dask is not installed, nobody answers, or no worker has joined.
    WorkerError
        Where the cluster gives up.
    """
    distributed = _distributed()
    # What goes wrong is told in one sentence, not in the library's own tracebacks.
    with distributed.utils.silence_logging_cmgr("CRITICAL"):
        yield from _on_cluster(distributed, jobs, address)


def _on_cluster(
    distributed: ModuleType,
    jobs: Iterable[Job],
    address: str,
) -> Generator[JobResult, None, None]:
    client = _connected(distributed, address)
    try:
        threads = sum(client.nthreads().values())
        if not threads:
            raise _usage(f"the cluster at {address} has no workers", "start some and try again")
        yield from _done(distributed, client, jobs, AHEAD * threads)
    except (distributed.KilledWorker, CancelledError, OSError, ModuleNotFoundError) as lost:
        why = " ".join(str(lost).split())
        raise WorkerError(
            f"the cluster at {address} gave up ({type(lost).__name__}: {why}); see that its"
            " scheduler runs, and that its workers have this version of longdry, memory and"
            " time, or work without --scheduler."
        ) from lost
    finally:
        client.close()


def _done(
    distributed: ModuleType,
    client: Client,
    jobs: Iterable[Job],
    most_waiting: int,
) -> Generator[JobResult, None, None]:
    waiting = distributed.as_completed(loop=client.loop)
    for job in jobs:
        # A job is pure, but hashing its arrays for a name of it would take as long as sending.
        waiting.add(client.submit(run_job, job, pure=False))
        if waiting.count() >= most_waiting:
            yield next(waiting).result()
    for future in waiting:
        yield future.result()


def _connected(distributed: ModuleType, address: str) -> Client:
    try:
        return distributed.Client(address, timeout=_CONNECT_S, set_as_default=False)
    except (OSError, ValueError) as silent:
        raise _usage(
            f"no Dask scheduler answers at {address}", "start one, or correct the address"
        ) from silent


def _distributed() -> ModuleType:
    try:
        return importlib.import_module("distributed")
    except ModuleNotFoundError as missing:
        raise _usage(
            "Dask is not installed", "install it with pip install 'longdry[dask]'"
        ) from missing


def _usage(what: str, mend: str) -> InputError:
    return UsageError.single(_OPTION, "", what, mend)
