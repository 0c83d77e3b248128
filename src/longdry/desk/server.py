"""The desk as an ASGI application: which address does what."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Mapping
from functools import partial

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp

from longdry.desk import after, bring, water_changes
from longdry.desk.desk import Desk
from longdry.desk.guard import Keys, guarded
from longdry.desk.outputs import output, save
from longdry.desk.own_files import PAGE, own_file
from longdry.desk.plan_view import plan_json
from longdry.desk.refusals import NOT_FOUND, RefusedError, answer_to
from longdry.desk.route_view import backdrop_json, where
from longdry.desk.trip_form import change_trip, trip_json
from longdry.desk.uploads import USUAL_LIMITS, UploadLimits, take_upload
from longdry.desk.water_view import water_json
from longdry.errors import LongdryError
from longdry.reading.files.json_text import strict_json
from longdry.showing.figures.figure import Json

Reply = Json | Response
Endpoint = Callable[[Request], Awaitable[Response]]
CHANGES = {
    "water/mark": water_changes.mark,
    "water/move": water_changes.move,
    "water/change": water_changes.correct,
    "water/visit": water_changes.visit,
    "water/retire": water_changes.retire,
    "water/bring/look": bring.look,
    "water/bring": bring.bring,
    "after/look": after.look,
    "after/take": after.take,
    "trip": change_trip,
    "save": save,
    "choice": Desk.choose,
    "sample": Desk.fill_with_sample,
    "undo": Desk.take_back_by_one,
}
_MOST_OF_A_CHANGE = 1_000_000
_LONGEST_WAIT_S = 25.0
_LOOK_AGAIN_S = 0.05
_TOO_LARGE, _NO_JSON = 413, 400


def desk_app(desk: Desk, keys: Keys, limits: UploadLimits = USUAL_LIMITS) -> ASGIApp:
    """Return the application of one desk, behind its guard."""
    routes = [
        Route("/", _reads(lambda _: _text_of(PAGE)), methods=["GET"]),
        Route("/own/{name}", _reads(lambda asked: _text_of(asked.path_params["name"]))),
        Route("/api/folder", _reads(lambda _: desk.folder_json())),
        Route("/api/where", _reads(lambda asked: where(desk, asked.query_params))),
        Route("/api/backdrop", _reads(lambda _: backdrop_json(desk))),
        Route("/api/files/{name:path}", _upload(desk, limits), methods=["PUT"]),
        Route("/out/{kind}", _reads(lambda asked: output(desk, asked.path_params["kind"]))),
        Route("/api/trip", _reads(lambda _: trip_json(desk)), methods=["GET"]),
        Route("/api/water", _reads(lambda _: water_json(desk))),
        *(
            Route(f"/api/{name}", _changes(partial(change, desk)), methods=["POST"])
            for name, change in CHANGES.items()
        ),
        Route("/api/plan", _reads(lambda asked: _plan(desk, asked))),
        Route("/api/plan/mends", _whole_plan(desk)),
    ]
    handlers = {404: _not_there, 405: _not_there}
    return guarded(Starlette(routes=routes, exception_handlers=handlers), keys)


def _text_of(name: str) -> Response:
    text, kind = own_file(name)
    return Response(text, media_type=kind)


def _plan(desk: Desk, asked: Request) -> Json:
    state = desk.planner.state()
    if asked.query_params.get("after") == str(state.number) and not state.whole:
        return {"number": state.number, "same": True}
    return plan_json(state)


def _whole_plan(desk: Desk) -> Endpoint:
    """Return the endpoint that answers once the plan of a number is whole."""

    async def endpoint(request: Request) -> Response:
        number = request.query_params.get("number")
        loop = asyncio.get_running_loop()
        until = loop.time() + _LONGEST_WAIT_S
        while loop.time() < until and not desk.is_closing:
            state = desk.planner.known()
            if state is None or str(state.number) != number:
                return JSONResponse({"superseded": True, "number": state and state.number})
            if state.whole or state.failed or state.plan is None:
                return await run_in_threadpool(_answered, partial(plan_json, state))
            await asyncio.sleep(_LOOK_AGAIN_S)
        return JSONResponse({"number": number, "waiting": True})

    return endpoint


def _upload(desk: Desk, limits: UploadLimits) -> Endpoint:
    """Return the endpoint that takes a file."""

    async def endpoint(request: Request) -> Response:
        try:
            return JSONResponse(await take_upload(desk, request, limits))
        except LongdryError as error:
            return _refusal(error)

    return endpoint


def _reads(answer: Callable[[Request], Reply]) -> Endpoint:
    """Return the endpoint that answers by reading alone."""

    async def endpoint(request: Request) -> Response:
        return await run_in_threadpool(_answered, lambda: answer(request))

    return endpoint


def _changes(change: Callable[[Mapping[str, object]], Reply]) -> Endpoint:
    """Return the endpoint that makes a change."""

    async def endpoint(request: Request) -> Response:
        try:
            wish = await _wish_in(request)
        except RefusedError as refused:
            return _refusal(refused)
        return await run_in_threadpool(_answered, lambda: change(wish))

    return endpoint


async def _wish_in(request: Request) -> Mapping[str, object]:
    """Return the JSON object that a change sends."""
    content = bytearray()
    try:
        async for piece in request.stream():
            content += piece
            if len(content) > _MOST_OF_A_CHANGE:
                raise RefusedError(_TOO_LARGE, "", "the change is larger than 1 MB", "send less")
    except ClientDisconnect:
        raise RefusedError(_NO_JSON, "", "the change broke off", "send it again") from None
    try:
        wish = strict_json(content.decode("utf-8"))
    except (ValueError, RecursionError):
        raise RefusedError(_NO_JSON, "", "the change is no JSON", "load the page again") from None
    if not isinstance(wish, dict):
        raise RefusedError(_NO_JSON, "", "the change is no object", "load the page again")
    return wish


def _answered(answer: Callable[[], Reply]) -> Response:
    try:
        given = answer()
    except LongdryError as error:
        return _refusal(error)
    return given if isinstance(given, Response) else JSONResponse(given)


def _refusal(error: LongdryError) -> Response:
    status, body = answer_to(error)
    return JSONResponse(body, status)


async def _not_there(_request: Request, _problem: Exception) -> Response:
    return _refusal(RefusedError(NOT_FOUND, "", "there is no such thing here", "open the desk"))
