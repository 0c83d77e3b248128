"""The answer is the same wherever the plans are made, and an end from outside is a clean one.

Exit 130 is 128 + SIGINT, as POSIX.1-2017 shells report it. Children of a process stand in
/proc/PID/task/TID/children (Linux, proc(5)).
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import multiprocessing
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest
from compare_files import FIRST, asked_of, write_all
from patience import LONGEST_WAIT_S

from longdry.at_once import processes
from longdry.at_once.cluster import cluster_runner, on_cluster
from longdry.at_once.comparing import ToCompare, compare
from longdry.at_once.job import Job, in_this_process
from longdry.at_once.processes import in_processes, runner
from longdry.errors import UsageError, WorkerError
from longdry.model.compare.comparison import Comparison
from longdry.showing.compare.exports import compare_json
from longdry.showing.compare.page import compare_html

YEAR = tuple(FIRST + dt.timedelta(days=7 * number) for number in range(53))


@pytest.fixture(scope="module")
def files(tmp_path_factory) -> Path:
    """A folder with routes, water and trips."""
    folder = tmp_path_factory.mktemp("compared")
    write_all(folder)
    return folder


@pytest.fixture(scope="module")
def asked(files) -> ToCompare:
    """Eight plans, in as many jobs."""
    return asked_of(files, YEAR[:1])


@pytest.fixture(scope="module")
def alone(asked) -> Comparison:
    """Their comparison, made in this process."""
    return compare(asked, in_this_process).comparison


def killing(jobs, pid_of) -> Iterator[Job]:
    """Hand out jobs, and kill a process after the third."""
    for number, job in enumerate(jobs):
        yield job
        if number == 2:
            os.kill(pid_of(), signal.SIGKILL)


def test_the_order_of_the_answers_changes_nothing(asked, alone):
    """Jobs done last first: the same document and the same page, byte for byte."""

    def backwards(jobs):
        yield from reversed([*in_this_process(jobs)])

    again = compare(asked, backwards).comparison

    assert compare_json(again) == compare_json(alone)
    assert compare_html(again) == compare_html(alone)


def test_two_processes_give_the_same_answer_and_are_gone(asked, alone):
    """Spawned processes know nothing of this one but what is sent; none is left."""
    before = set(multiprocessing.active_children())
    told = []
    found = compare(asked, partial(in_processes, workers=2), told=lambda *of: told.append(of))

    assert compare_json(found.comparison) == compare_json(alone)
    assert set(multiprocessing.active_children()) == before
    assert told[-1] == (8, 8)
    assert [done for done, _ in told] == sorted(done for done, _ in told)


def test_a_worker_that_is_killed_is_one_sentence(asked):
    """Nothing hangs: the others are ended too."""
    before = set(multiprocessing.active_children())

    def first_child() -> int:
        return (set(multiprocessing.active_children()) - before).pop().pid

    def run(jobs):
        yield from in_processes(killing(jobs, first_child), workers=2)

    with pytest.raises(WorkerError, match="ended from outside"):
        compare(dataclasses.replace(asked, days=YEAR), run)
    assert waited_for(lambda: set(multiprocessing.active_children()) <= before)


def test_few_plans_start_no_process_and_many_do(asked, monkeypatch):
    """Starting one takes longer than a few plans, unless it is asked for."""
    started = []

    def noted(_jobs, *, workers):
        started.append(workers)
        yield from ()

    monkeypatch.setattr(processes, "in_processes", noted)
    monkeypatch.setattr(processes, "cores", lambda: 4)
    few = dataclasses.replace(asked, routes=asked.routes[:1], trips=asked.trips[:1])
    many = dataclasses.replace(asked, days=YEAR)
    rows = [len(compare(one, runner(None)).comparison.rows) for one in (few, many)]

    assert (rows, started) == ([2, 0], [4])
    assert runner(1) is in_this_process


def children_of(pid: int) -> list[int]:
    """Return the processes that a process has started."""
    threads = Path(f"/proc/{pid}/task").iterdir()
    return [int(one) for thread in threads for one in (thread / "children").read_text().split()]


def waited_for(true) -> bool:
    """Wait until something is true, for long on a busy machine."""
    end_s = time.monotonic() + LONGEST_WAIT_S
    while not true() and time.monotonic() < end_s:
        time.sleep(0.05)
    return bool(true())


def test_a_stop_key_ends_all_processes_in_one_sentence(files, tmp_path):
    """Ctrl-C reaches the whole group, as a terminal sends it: 130, no traceback, nobody left."""
    out = tmp_path / "compare.html"
    words = ["compare", str(files / "routes"), "--water", str(files / "water.geojson")]
    words += ["--trip", str(files / "two.toml"), "--dates", "2027-01-01..2027-12-31"]
    words += ["--step", "1", "--both-ways", "--workers", "2", "--out", str(out)]
    process = subprocess.Popen(
        [sys.executable, "-m", "longdry", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    # Two workers, and the helper of Python that keeps account of what they share.
    assert waited_for(lambda: len(children_of(process.pid)) >= 3)
    children = children_of(process.pid)
    os.killpg(process.pid, signal.SIGINT)
    told, errors = process.communicate(timeout=LONGEST_WAIT_S)

    assert (process.returncode, told) == (130, "")
    assert errors == "longdry: interrupted; nothing was left half-written.\n"
    assert waited_for(lambda: not any(Path(f"/proc/{child}").exists() for child in children))
    assert [path.name for path in tmp_path.iterdir()] == []


def test_a_cluster_that_loses_a_worker_gives_the_same_answer(asked, alone):
    """Two Dask workers of this machine, one killed in the middle: its jobs are done again.

    A scheduler that goes is one sentence.
    """
    from distributed import LocalCluster  # noqa: PLC0415 - only this test needs it

    with LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=":0", silence_logs=50
    ) as cluster:

        def run(jobs):
            some_pid = next(iter(cluster.workers.values())).pid
            yield from on_cluster(
                killing(jobs, lambda: some_pid), address=cluster.scheduler_address
            )

        found = compare(asked, run)

        def without_scheduler(jobs):
            address = cluster.scheduler_address
            yield from on_cluster((job for job in jobs if not cluster.close()), address=address)

        with pytest.raises(WorkerError, match=r"gave up .* see that its scheduler runs"):
            compare(asked, without_scheduler)

    assert compare_json(found.comparison) == compare_json(alone)


def test_a_scheduler_that_does_not_answer_is_one_sentence(monkeypatch):
    """No address, or nobody there."""
    monkeypatch.setattr("longdry.at_once.cluster._CONNECT_S", 0.2)
    for address in ("tcp://127.0.0.1:1", "nowhere"):
        with pytest.raises(UsageError, match="no Dask scheduler answers at"):
            list(cluster_runner(address)(iter(())))


def test_without_dask_the_sentence_says_how_to_install_it(monkeypatch):
    """An optional extra."""
    monkeypatch.setitem(sys.modules, "distributed", None)

    with pytest.raises(UsageError, match=r"longdry\[dask\]"):
        list(cluster_runner("tcp://127.0.0.1:1")(iter(())))
