"""The plan of the folder as it is now: made in two steps, what does not change kept.

First the plan without the search of mends, at once; then the whole one, from the worker. Files are
read again only where their content is new.
"""

from __future__ import annotations

import argparse
import dataclasses
import threading
import time
from collections.abc import Callable, Hashable, Sequence
from pathlib import Path
from typing import TypeVar, cast

from longdry import api
from longdry.computing.plan.planning import WaterAlong
from longdry.desk.choice import Choice, choice_of
from longdry.desk.folder import Folder
from longdry.desk.refusals import CONFLICT, RefusedError, told_faults
from longdry.desk.worker import WholePlanJob, Worker
from longdry.doing.files_apart import read_beside
from longdry.doing.plan_file import PLAN_FILE
from longdry.doing.plan_options import asked_of
from longdry.errors import LongdryError
from longdry.model.plan.plan import Plan
from longdry.model.route import Route
from longdry.model.trip.trip import Trip
from longdry.model.water.source import WaterLayer
from longdry.reading.route.route_file import route_names
from longdry.showing.figures.figure import Json

_T = TypeVar("_T")
_KEPT = 4
"""Of each kind: what was there before an undo is there again at once."""
_MOST_TRIES = 3
"""Of planning a folder that somebody keeps changing; the next question plans it again."""


class Kept:
    """What was worked out lately from files, by what stood in them; for several threads."""

    def __init__(self, folder: Folder) -> None:
        self._folder = folder
        self._kept: dict[str, dict[Hashable, object]] = {}
        self._locks: dict[str, threading.RLock] = {}

    def get(
        self, kind: str, files: Sequence[Path], make: Callable[[], _T], more: Hashable = None
    ) -> _T:
        """Return what is kept of some files as they are, made where nothing is.

        What was made while somebody changed one of the files is given, and not kept.

        Parameters
        ----------
        files
            What it is made from; files read beside them count too.
        more
            What else it depends on.
        """
        with self._locks.setdefault(kind, threading.RLock()):
            of_kind = self._kept.setdefault(kind, {})
            versions = self.versions(files)
            key = (versions, more)
            if key in of_kind:
                of_kind[key] = of_kind.pop(key)
                return cast("_T", of_kind[key])
            made = make()
            if self.versions(files) == versions:
                of_kind[key] = made
                while len(of_kind) > _KEPT:
                    del of_kind[next(iter(of_kind))]
            return made

    def clear(self) -> None:
        """Forget all."""
        self._kept.clear()

    def versions(self, files: Sequence[Path]) -> Hashable:
        """Return the files with the version of each."""
        read = [path for named in files for path in (named, *read_beside(named))]
        return tuple((str(path), self._folder.version(path)) for path in read)


@dataclasses.dataclass(slots=True, eq=False)
class State:
    """One state of the folder, and the plan of it."""

    number: int
    key: Hashable
    choice: Choice
    seconds: float = 0.0
    plan: Plan | None = None
    """Without mends, as long as they are searched."""
    whole: bool = False
    failed: str = ""
    """Why the whole plan could not be made."""
    before: Plan | None = None
    """The plan of the state before."""
    water: WaterLayer | None = None
    along: WaterAlong | None = None
    faults: list[Json] = dataclasses.field(default_factory=list)


class Planner:
    """Makes the plan of a folder, and makes it again where anything in it has changed."""

    def __init__(self, folder: Folder) -> None:
        self._folder = folder
        self.kept = Kept(folder)
        """What was worked out from files, for the other parts of the desk too."""
        self._lock = threading.RLock()
        self._ready = threading.Condition(self._lock)
        self._state: State | None = None
        self._worker = Worker(self._take_whole)
        self._last_good: Plan | None = None

    def start(self) -> None:
        """Start the process that searches mends."""
        self._worker.start()

    def end(self) -> None:
        """End it."""
        self._worker.end()

    def state(self) -> State:
        """Return the state of the folder as it is now, with the plan of it or what is wrong."""
        with self._lock:
            for _ in range(_MOST_TRIES):
                state = self._state_now()
                if self._key(*self._choice()) == state.key:
                    break
                self.kept.clear()  # a file was changed while it was read
            return state

    def _state_now(self) -> State:
        choice, faults = self._choice()
        key = self._key(choice, faults)
        if self._state is None or self._state.key != key:
            self._state = self._planned(key, choice, faults)
            self._ready.notify_all()
        return self._state

    def _key(self, choice: Choice, faults: list[Json]) -> Hashable:
        return choice.words, self.kept.versions(choice.inputs), str(faults)

    def water(self, choice: Choice) -> WaterLayer | None:
        """Return the water of the chosen layers; None where no route is chosen.

        It is not planned for: see `state`.

        Raises
        ------
        WaterLayerError
            A layer cannot be read, or not while somebody else writes it.
        """
        return self._water(choice.options) if choice.options else None

    def whole(self, state: State) -> State:
        """Return a state with its whole plan; wait for the worker, but not for a changed folder.

        Raises
        ------
        RefusedError
            The folder has changed meanwhile, or the plan cannot be made whole.
        """
        with self._ready:
            while not state.whole and self._state is state and not state.failed:
                self._ready.wait()
        if not state.whole:
            what = state.failed or "the folder has changed meanwhile"
            raise RefusedError(CONFLICT, "", what, "try again")
        return state

    def known(self) -> State | None:
        """Return the state that was planned last, whatever has changed since."""
        return self._state

    def track_names(self, choice: Choice) -> list[str]:
        """Return the names of the lines in the route's file; none where it cannot be read."""
        if choice.options is None:
            return []
        route = choice.options.route
        try:
            return self.kept.get("tracks", [route], lambda: route_names(route))
        except LongdryError:
            return []

    def choice(self) -> Choice:
        """Return what is chosen; nothing where that cannot be read."""
        return self._choice()[0]

    def _choice(self) -> tuple[Choice, list[Json]]:
        try:
            return choice_of(self._folder), []
        except LongdryError as error:
            return Choice(None, (), (self._folder.path / PLAN_FILE,), ()), told_faults(error)

    def _planned(self, key: Hashable, choice: Choice, faults: list[Json]) -> State:
        number = self._state.number + 1 if self._state else 1
        state = State(number, key, choice, before=self._last_good, faults=faults)
        if choice.options is None:
            return state
        began = time.perf_counter()
        try:
            state.water = self._water(choice.options)
            asked = asked_of(choice.options)
            state.along = self._along(choice.options, state.water, asked.trip)
            quick = dataclasses.replace(asked.inquiry, mends=False, least_litres=False)
            state.plan = asked.plan(state.along, inquiry=quick)
        except LongdryError as error:
            state.faults = told_faults(error)
        else:
            self._last_good = state.plan
            self._worker.take(WholePlanJob(number, state.along, asked))
        state.seconds = time.perf_counter() - began
        return state

    def _water(self, options: argparse.Namespace) -> WaterLayer:
        return self.kept.get(
            "water",
            (*options.water, *options.fields),
            lambda: api.read_water(options.water, fields=options.fields),
        )

    def _along(self, options: argparse.Namespace, water: WaterLayer, trip: Trip) -> WaterAlong:
        track = tuple(options.track or ())
        route: Route = self.kept.get(
            "route", [options.route], lambda: api.read_route(options.route, track=track), track
        )
        return self.kept.get(
            "along",
            (options.route, *options.water, *options.fields),
            lambda: api.water_along(route, water, trip, reverse=options.reverse),
            (track, trip.pace.winding_factor, trip.policy.max_detour_km, options.reverse),
        )

    def _take_whole(self, number: int, plan: Plan | str) -> None:
        with self._lock:
            state = self._state
            if state is None or state.number != number:
                return
            if isinstance(plan, str):
                state.failed = plan
            else:
                state.plan, state.whole = plan, True
                self._last_good = plan
            self._ready.notify_all()
