"""The routes that the bench page talks to."""

from __future__ import annotations

import json
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tarebook import api
from tarebook.api import bench
from tarebook.web.answers import json_answer, page
from tarebook.web.language import writing_of
from tarebook.web.refusals import Refusal, not_understood
from tarebook.web.sessions import HEADER, Role, csrf, may_see, refuse_forged, require
from tarebook.web.work import has_time, in_thread

RECEIPTS = "x-receipts"
"""Header in which a device shows what it was told of the record's end."""


def workspace_of(request: Request) -> bench.Workspace:
    """Return the open folder."""
    workspace: bench.Workspace = request.app.state.workspace
    return workspace


async def get_bench(request: Request) -> Response:
    """Show the bench page."""
    group = await in_thread(may_see, request, request.query_params.get("group", ""))
    run = request.path_params.get("run", "")
    workspace = workspace_of(request)
    groups, how = [one.name for one in workspace.access.groups], writing_of(request)
    return page(
        request,
        "bench.html",
        group=group,
        run=run,
        groups=groups,
        cautions=bench.cautions(workspace.experiment, how),
        always=bench.always(how),
    )


async def get_series(request: Request) -> Response:
    """Give the bench page all that it needs."""
    return await in_thread(_series, request)


def _series(request: Request) -> Response:
    group = may_see(request, request.query_params.get("group", ""))
    workspace = workspace_of(request)
    bench.refuse_if_lost(workspace, request.headers.get(RECEIPTS, ""))
    view = bench.series_view(
        workspace, group, begin=number_of(request, "begin", 0), how=writing_of(request)
    )
    return json_answer(
        {
            **view,
            "most_events": bench.MOST_EVENTS,
            "receipt": bench.new_receipt(workspace),
            "csrf": csrf(request),
        }
    )


async def post_events(request: Request) -> Response:
    """Take what was recorded at the bench."""
    require(request, Role.GROUP, Role.INSTRUCTOR)
    refuse_forged(request, request.headers.get(HEADER, ""))
    body = json_body(await request.body())
    asked = body.get("group") or ""
    if not isinstance(asked, str):
        raise not_understood(api.Phrase("app-group-no-text"))
    return await in_thread(_record, request, asked, body)


def _record(request: Request, asked: str, body: dict[str, Any]) -> Response:
    group = may_see(request, asked)
    workspace = workspace_of(request)
    bench.refuse_if_lost(workspace, request.headers.get(RECEIPTS, ""))
    done = bench.record_events(
        workspace,
        group,
        body.get("events"),
        key=body.get("key"),
        look=body.get("look"),
        has_time=has_time,
        how=writing_of(request),
    )
    return json_answer({**done, "receipt": bench.new_receipt(workspace)})


async def get_results(request: Request) -> Response:
    """Give points and results of the groups that may be seen."""
    return await in_thread(_results, request)


def _results(request: Request) -> Response:
    session = require(request, Role.GROUP, Role.INSTRUCTOR)
    view = bench.results_view(
        workspace_of(request),
        visible_groups(request),
        after=number_of(request, "after", -1),
        expected=session.is_instructor,
    )
    return json_answer(view)


async def get_balance(request: Request) -> Response:
    """Give what the balance at this machine showed; to a browser on this machine alone."""
    require(request, Role.GROUP, Role.INSTRUCTOR)
    if request.client is not None and request.client.host not in ("127.0.0.1", "::1"):
        raise Refusal(403, "not-yours", api.Phrase("app-balance-elsewhere"))
    port = request.app.state.balance
    if port is None:
        return json_answer({"connected": False, "name": "", "readings": [], "last": 0})
    return json_answer(port.since(number_of(request, "after", 0)))


def visible_groups(request: Request) -> list[str]:
    """Return the groups whose readings a session may see."""
    session = require(request, Role.GROUP, Role.INSTRUCTOR)
    workspace = workspace_of(request)
    if session.is_instructor or workspace.access.shares:
        return list(workspace.groups())
    return [session.group]


def number_of(request: Request, name: str, otherwise: int) -> int:
    """Return a whole number of a request's address; another one where there is none."""
    given = request.query_params.get(name, "")
    return int(given) if given.isascii() and given.isdigit() and len(given) < 16 else otherwise


def json_body(body: bytes) -> dict[str, Any]:
    """Return a JSON object.

    Raises
    ------
    Refusal
        400 if it is none.
    """
    try:
        given = json.loads(body)
    except (ValueError, RecursionError):
        raise not_understood(api.Phrase("app-no-json")) from None
    if not isinstance(given, dict):
        raise not_understood(api.Phrase("app-no-json-object"))
    return given


ROUTES = [
    Route("/bench", get_bench),
    Route("/bench/{run:path}", get_bench),
    Route("/api/series", get_series),
    Route("/api/events", post_events, methods=["POST"]),
    Route("/api/results", get_results),
    Route("/api/balance", get_balance),
]
