"""The plan of the folder as it is now: made in two steps, what does not change kept.

First the plan without the search of mends, at once; then the whole one, from the worker. Files are
read again only where their content is new.
"""

from __future__ import annotations

import argparse
import dataclasses
import threading
import time
from collections.abc import Callable, Hashable
from typing import TypeVar, cast

from longdry import api
from longdry.computing.plan.planning import WaterAlong
from longdry.desk.choice import Choice, choice_of
from longdry.desk.folder import Folder
from longdry.desk.refusals import CONFLICT, Json, RefusedError, answer_to
from longdry.desk.worker import Job, Worker
from longdry.doing.plan_options import Asked, asked_of
from longdry.errors import LongdryError
from longdry.model.plan.plan import Plan
from longdry.model.route import Route
from longdry.model.water.source import WaterLayer
from longdry.reading.route.route_file import route_names

_T = TypeVar("_T")
_KEPT = 4
"""Of each kind: what was there before an undo is there again at once."""


class Kept:
    """What was worked out lately, by the content that it was worked out from."""

    def __init__(self) -> None:
        self._kept: dict[str, dict[Hashable, object]] = {}

    def get(self, kind: str, key: Hashable, make: Callable[[], _T]) -> _T:
        """Return what is kept under a key, made where nothing is."""
        of_kind = self._kept.setdefault(kind, {})
        if key in of_kind:
            of_kind[key] = of_kind.pop(key)
        else:
            of_kind[key] = make()
            while len(of_kind) > _KEPT:
                del of_kind[next(iter(of_kind))]
        return cast("_T", of_kind[key])


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
    status: int = 200


class Planner:
    """Makes the plan of a folder, and makes it again where anything in it has changed."""

    def __init__(self, folder: Folder) -> None:
        self._folder = folder
        self.kept = Kept()
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
            choice, faults, status = self._choice()
            versions = tuple(sorted(self._folder.versions(choice.inputs).items()))
            key = (choice.words, versions, str(faults))
            if self._state is None or self._state.key != key:
                self._state = self._planned(key, choice, faults, status)
                self._ready.notify_all()
            return self._state

    def water(self, choice: Choice) -> WaterLayer | None:
        """Return the water of the chosen layers; None where none can be read or no route is chosen.

        It is not planned for: see `state`.
        """
        options = choice.options
        if options is None:
            return None
        try:
            with self._lock:
                return self._water(options)
        except LongdryError:
            return None

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
        with self._lock:
            version = self._folder.version(route)
            try:
                return self.kept.get("tracks", version, lambda: route_names(route))
            except LongdryError:
                return []

    def choice(self) -> Choice:
        """Return what is chosen; nothing where that cannot be read."""
        return self._choice()[0]

    def _choice(self) -> tuple[Choice, list[Json], int]:
        try:
            return choice_of(self._folder), [], 200
        except LongdryError as error:
            status, body = answer_to(error)
            faults = cast("list[Json]", body["faults"])
            return Choice(None, (), (self._folder.path / "plan.txt",), ()), faults, status

    def _planned(self, key: Hashable, choice: Choice, faults: list[Json], status: int) -> State:
        number = self._state.number + 1 if self._state else 1
        state = State(number, key, choice, before=self._last_good, faults=faults, status=status)
        if choice.options is None:
            return state
        began = time.perf_counter()
        try:
            asked, along = self._asked(choice.options, state)
            state.along = along
            quick = dataclasses.replace(asked.inquiry, mends=False, least_litres=False)
            state.plan = asked.plan(along, inquiry=quick)
        except LongdryError as error:
            state.status, body = answer_to(error)
            state.faults = cast("list[Json]", body["faults"])
        else:
            self._last_good = state.plan
            self._worker.take(Job(number, along, asked))
        state.seconds = time.perf_counter() - began
        return state

    def _asked(self, options: argparse.Namespace, state: State) -> tuple[Asked, WaterAlong]:
        route_key = (self._folder.version(options.route), str(options.route), str(options.track))
        water_key = self._water_key(options)
        water = state.water = self._water(options)
        asked = asked_of(options)
        route: Route = self.kept.get(
            "route", route_key, lambda: api.read_route(options.route, track=options.track)
        )
        pace, policy = asked.trip.pace, asked.trip.policy
        measured_for = (pace.winding_factor, policy.max_detour_km, options.reverse)
        along: WaterAlong = self.kept.get(
            "along",
            (route_key, water_key, measured_for),
            lambda: api.water_along(route, water, asked.trip, reverse=options.reverse),
        )
        return asked, along

    def _water_key(self, options: argparse.Namespace) -> Hashable:
        files = (*options.water, *options.fields)
        return tuple((str(path), self._folder.version(path)) for path in files)

    def _water(self, options: argparse.Namespace) -> WaterLayer:
        return self.kept.get(
            "water",
            self._water_key(options),
            lambda: api.read_water(options.water, fields=options.fields),
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
