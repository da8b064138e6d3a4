"""Errors as answers: one shape of JSON, or a page that says what to do."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.routing import Route

from tarebook import api
from tarebook.api import bench
from tarebook.web.answers import json_answer, local, page
from tarebook.web.refusals import BodyTooLargeError, Refusal
from tarebook.web.sessions import session_of

TITLES = {
    400: "That was not understood",
    401: "Join first",
    403: "Not open to you",
    404: "There is nothing here",
    405: "That cannot be done here",
    413: "Too large",
    429: "Wait a moment",
    500: "Something is wrong with the app itself",
    503: "The record cannot be used now",
}

OTHER_TITLES = {"old-page": "This page is too old"}
"""By the code of the error, where the status alone would say too little."""

_OF_ROUTES = {
    404: ("not-found", "This address leads nowhere.", ""),
    405: ("wrong-method", "This address does not take that.", ""),
}


def wants_json(request: Request) -> bool:
    """Return whether a script asked and not a person."""
    path: str = request.scope["path"]
    return path.startswith("/api/")


def refusal(
    request: Request,
    status: int,
    code: str,
    message: str,
    do: str,
    headers: dict[str, str] | None = None,
) -> Response:
    """Return an error as an answer in the form that was asked for."""
    if wants_json(request):
        error = {"error": {"code": code, "message": message, "do": do}}
        answer = json_answer(error, status=status)
    else:
        answer = page(
            request, "error.html", status=status,
            heading=OTHER_TITLES.get(code) or TITLES.get(status, TITLES[400]),
            message=message, do=do,
        )  # fmt: skip
    answer.headers.update(headers or {})
    return answer


async def on_refusal(request: Request, error: Exception) -> Response:
    """Return the answer to what a route refused."""
    assert isinstance(error, Refusal)  # noqa: S101 - registered for this class alone
    headers = dict(error.headers or {})
    if error.status_code == 401 and not wants_json(request):
        # Whoever joins now comes back to the page that was asked for.
        asked = request.url.path + (f"?{request.url.query}" if request.url.query else "")
        asked = local(asked if request.method == "GET" else "/")
        return page(request, "join.html", status=401, next=asked, wrong="", wrong_secret="")
    return refusal(request, error.status_code, error.code, error.message, error.do, headers)


async def on_http(request: Request, error: Exception) -> Response:
    """Return the answer to an address that leads nowhere or a body that is no form."""
    assert isinstance(error, HTTPException)  # noqa: S101 - registered for this class alone
    status = error.status_code
    code, message, do = _OF_ROUTES.get(status, ("not-understood", "That was not understood.", ""))
    return refusal(request, status, code, message, do, dict(error.headers or {}))


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
    message, do = str(error), ""
    if isinstance(error, bench.RecordError | api.CannotWriteError):
        message, do = _of_the_disk(request, error)
    if isinstance(error, api.InputError):
        message = " ".join(
            f"{f.where}: found {f.found}; allowed: {f.allowed}." for f in error.faults
        )
        do = " ".join(dict.fromkeys(fault.do for fault in error.faults if fault.do))
    return refusal(request, status, error.code, message, do)


def _of_the_disk(
    request: Request, error: bench.RecordError | api.CannotWriteError
) -> tuple[str, str]:
    """Return what is wrong with a file and what to do; where it lies is the instructor's alone."""
    if isinstance(error, bench.RecordError):
        where, what = f"The record {error.record}", "The record can neither take nor show readings"
    else:
        where, what = f"{error.path} cannot be written", "This is not written"
    if session_of(request).is_instructor:
        return f"{where}: {error.reason}.", error.fix or "Send it again."
    do = "Tell the person in charge. Go on recording at the bench: readings wait on this device."
    return f"{what} now.", do


async def on_disconnect(request: Request, error: Exception) -> Response:
    """Return something to nobody: the device went away while it was sending."""
    del request, error
    return Response(status_code=400)


async def on_too_large(request: Request, error: Exception) -> Response:
    """Return the answer to a body that went on and on."""
    del error
    message = "That is more than can be taken at once."
    return refusal(request, 413, "too-large", message, "Send it in parts.")


async def on_fault(request: Request, error: Exception) -> Response:
    """Return the answer to a fault of ours: its code, and what to do; a report has the rest."""
    route = request.scope.get("route")
    doing = f"{request.method} {route.path if isinstance(route, Route) else '?'}"
    told = api.note_unforeseen(error, doing, request.app.state.workspace.folder)
    message = f"The app made a mistake (code {told.code}). What was acknowledged is safe."
    do = (
        "Try again; if it stays, start the app again, and tell whoever looks after it the code: a "
        "report lies beside the experiment."
    )
    return refusal(request, 500, "fault", message, do)


HANDLERS = {
    Refusal: on_refusal,
    BodyTooLargeError: on_too_large,
    HTTPException: on_http,
    api.TarebookError: on_tarebook,
    ClientDisconnect: on_disconnect,
    Exception: on_fault,
}
