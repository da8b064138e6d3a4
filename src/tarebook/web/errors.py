"""Errors as answers: one shape of JSON, or a page that says what to do."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.routing import Route

from tarebook import api
from tarebook.api import bench
from tarebook.web.answers import json_answer, local, page
from tarebook.web.language import writing_of
from tarebook.web.refusals import BodyTooLargeError, Refusal
from tarebook.web.sessions import session_of

TITLES = frozenset((400, 401, 403, 404, 405, 413, 429, 500, 503))
"""Answers whose page has a heading of its own."""

OTHER_TITLES = frozenset(("old-page",))
"""Codes of errors with one, where the status alone would say too little."""

_OF_ROUTES = {
    404: ("not-found", api.Phrase("app-nowhere")),
    405: ("wrong-method", api.Phrase("app-wrong-method")),
}


def wants_json(request: Request) -> bool:
    """Return whether a script asked and not a person."""
    path: str = request.scope["path"]
    return path.startswith("/api/")


def refusal(
    request: Request,
    status: int,
    code: str,
    said: api.Phrase | str,
    headers: dict[str, str] | None = None,
    *,
    do: str = "",
) -> Response:
    """Return an error as an answer in the form and the language that were asked for."""
    how, message = writing_of(request), said
    if isinstance(said, api.Phrase):
        message, do = how.say(said), do or how.also(said, "do")
    if wants_json(request):
        error = {"error": {"code": code, "message": message, "do": do}}
        answer = json_answer(error, status=status)
    else:
        answer = page(
            request, "error.html", status=status,
            heading=how.say(_title(status, code)), message=message, do=do,
        )  # fmt: skip
    answer.headers.update(headers or {})
    return answer


def _title(status: int, code: str) -> api.Phrase:
    of = code if code in OTHER_TITLES else status if status in TITLES else 400
    return api.Phrase(f"app-title-{of}")


async def on_refusal(request: Request, error: Exception) -> Response:
    """Return the answer to what a route refused."""
    assert isinstance(error, Refusal)  # noqa: S101 - registered for this class alone
    headers = dict(error.headers or {})
    if error.status_code == 401 and not wants_json(request):
        # Whoever joins now comes back to the page that was asked for.
        asked = request.url.path + (f"?{request.url.query}" if request.url.query else "")
        asked = local(asked if request.method == "GET" else "/")
        return page(request, "join.html", status=401, next=asked, wrong="", wrong_secret="")
    return refusal(request, error.status_code, error.code, error.said, headers)


async def on_http(request: Request, error: Exception) -> Response:
    """Return the answer to an address that leads nowhere or a body that is no form."""
    assert isinstance(error, HTTPException)  # noqa: S101 - registered for this class alone
    status = error.status_code
    code, said = _OF_ROUTES.get(status, ("not-understood", api.Phrase("app-not-understood")))
    return refusal(request, status, code, said, dict(error.headers or {}))


async def on_tarebook(request: Request, error: Exception) -> Response:
    """Return the answer to an error that was raised on purpose."""
    assert isinstance(error, api.TarebookError)  # noqa: S101 - registered for this class alone
    status = 400
    if isinstance(error, bench.RecordError):
        status = 503
    elif isinstance(error, bench.UnknownGroupError):
        status = 404
    elif isinstance(error, api.CannotWriteError):
        status = 503
    said: api.Phrase | str = str(error)
    do = ""
    if isinstance(error, bench.RecordError | api.CannotWriteError):
        said, do = _of_the_disk(request, error)
    if isinstance(error, api.InputError):
        how = writing_of(request)
        said = " ".join(
            how.say(
                api.Phrase.of(
                    "app-found-allowed", where=str(f.where), found=f.found, allowed=f.allowed
                )
            )
            for f in error.faults
        )
        do = " ".join(dict.fromkeys(fault.do for fault in error.faults if fault.do))
    return refusal(request, status, error.code, said, do=do)


def _of_the_disk(
    request: Request, error: bench.RecordError | api.CannotWriteError
) -> tuple[api.Phrase, str]:
    """Return what is wrong with a file and what to do; where it lies is the instructor's alone."""
    to_all = not session_of(request).is_instructor
    if isinstance(error, bench.RecordError):
        if to_all:
            return api.Phrase("app-record-down"), ""
        where = api.Phrase.of("app-record-at", record=str(error.record), reason=error.reason)
        return where, error.fix
    if to_all:
        return api.Phrase("app-cannot-write"), ""
    where = api.Phrase.of("app-cannot-write-at", path=str(error.path), reason=error.reason)
    return where, error.fix


async def on_disconnect(request: Request, error: Exception) -> Response:
    """Return something to nobody: the device went away while it was sending."""
    del request, error
    return Response(status_code=400)


async def on_too_large(request: Request, error: Exception) -> Response:
    """Return the answer to a body that went on and on."""
    del error
    return refusal(request, 413, "too-large", api.Phrase("app-too-large"))


async def on_fault(request: Request, error: Exception) -> Response:
    """Return the answer to a fault of ours: its code, and what to do; a report has the rest."""
    route = request.scope.get("route")
    doing = f"{request.method} {route.path if isinstance(route, Route) else '?'}"
    told = api.note_unforeseen(error, doing, request.app.state.workspace.folder)
    return refusal(request, 500, "fault", api.Phrase.of("app-fault", code=told.code))


HANDLERS = {
    Refusal: on_refusal,
    BodyTooLargeError: on_too_large,
    HTTPException: on_http,
    api.TarebookError: on_tarebook,
    ClientDisconnect: on_disconnect,
    Exception: on_fault,
}
