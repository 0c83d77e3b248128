"""What ``plan`` writes, to be saved into the folder or to be had by the browser."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from starlette.responses import Response

from longdry.desk.desk import Desk
from longdry.desk.planner import State
from longdry.desk.refusals import CANNOT_BE, CONFLICT, NOT_FOUND, RefusedError, first_words
from longdry.doing.backdrop_options import chosen_backdrops, online_backdrops_of
from longdry.doing.plan_outputs import OUTPUTS, SAVED_AS, Material, Output
from longdry.model.words import Units
from longdry.showing.figures.figure import Json

_KINDS = {
    ".html": "text/html",
    ".json": "application/json",
    ".gpx": "application/gpx+xml",
    ".geojson": "application/geo+json",
    ".csv": "text/csv",
}
_BY_KIND = {output.kind: output for output in OUTPUTS}


def output(desk: Desk, kind: str) -> Response:
    """Return one of the files that ``plan`` writes, from the whole plan.

    The page brings the policy that it lives by; the others are handed over as files.

    Raises
    ------
    RefusedError
        There is no such kind, or no whole plan yet.
    """
    if kind not in _BY_KIND:
        raise RefusedError(NOT_FOUND, "", "there is no such output", "load the page again")
    state = _whole(desk)
    text = _made([_BY_KIND[kind]], state)[0]
    name = SAVED_AS[kind]
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    if kind == "page":
        headers = {"Content-Security-Policy": "frame-ancestors 'none'; base-uri 'none'"}
    media = _KINDS[f".{name.rpartition('.')[2]}"]
    return Response(text, headers=headers, media_type=media)


def save(desk: Desk, wish: Mapping[str, object]) -> Json:
    """Write files of the plan into the folder; a copy of what was there is kept for undo.

    Raises
    ------
    RefusedError
        There is no such kind, or no whole plan yet.
    """
    kinds = wish.get("kinds")
    if not isinstance(kinds, list) or not kinds or not all(str(kind) in _BY_KIND for kind in kinds):
        raise RefusedError(CANNOT_BE, "", "no output is named", "load the page again")
    outputs = [_BY_KIND[kind] for kind in dict.fromkeys(map(str, kinds))]
    read = {desk.folder.name_of(path).casefold() for path in desk.planner.choice().inputs}
    for one in outputs:
        if one.saved_as.casefold() in read:
            what = "is what the plan is made from, and would be written over"
            raise RefusedError(CONFLICT, one.saved_as, what, "rename it, and choose it anew")
    names = [one.saved_as for one in outputs]
    desk.write_all(dict(zip(names, _made(outputs, _whole(desk)), strict=True)), None)
    return {"written": names, **desk.folder_json()}


def _whole(desk: Desk) -> State:
    state = desk.planner.state()
    if state.plan is None:
        what = first_words(state.faults) or "there is no plan yet"
        raise RefusedError(CONFLICT, "", what, "choose a route first")
    return desk.planner.whole(state)


def _made(outputs: Sequence[Output], state: State) -> list[str]:
    plan, options = state.plan, state.choice.options
    if plan is None or options is None:
        raise RefusedError(CONFLICT, "", "there is no plan any more", "look again")
    backdrops = (*chosen_backdrops(options, plan), *online_backdrops_of(options))
    of = Material(plan, Units(options.units), backdrops)
    return [one.make(of) for one in outputs]
