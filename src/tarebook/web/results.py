"""The results of a group as a page, as a part of it that is fetched anew, and as files."""

from __future__ import annotations

import asyncio
import datetime as dt
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tarebook import api
from tarebook.api import bench
from tarebook.web.answers import page
from tarebook.web.language import writing_of
from tarebook.web.readings import visible_groups, workspace_of
from tarebook.web.refusals import no_such_file, no_such_group, of_other_group
from tarebook.web.security import Happened
from tarebook.web.sessions import note
from tarebook.web.work import in_thread


async def get_results(request: Request) -> Response:
    """Show the results of a group."""
    groups = await in_thread(visible_groups, request)
    context = await _result(request, groups)
    return page(request, "results.html", groups=groups, **context)


async def get_part(request: Request) -> Response:
    """Give the part of the page that changes."""
    groups = await in_thread(visible_groups, request)
    return page(request, "results_part.html", **await _result(request, groups))


async def _result(request: Request, groups: list[str]) -> dict[str, Any]:
    group = _picked(request, groups)
    result = await in_thread(bench.group_result, workspace_of(request), group)
    handover = result.reduced.handover if result.reduced else None
    how = writing_of(request)
    names = bench.REPORT_FILES if handover is None else bench.HANDOVER_FILES
    files = [
        (name, how.say(_what(name, handed_on=handover is not None)))
        for name in names
        # Where nothing has been poured there is nothing yet to stick a label on.
        if name != bench.CUP_LABELS or (handover is not None and handover.cups)
    ]
    return {
        "group": group,
        "reduced": result.reduced,
        "pending": result.pending,
        "why_not": result.why_not,
        "head": result.record.head,
        "weighed": bench.weighed(result.record),
        "planned": len(workspace_of(request).experiment.planned),
        "files": files,
        "always": bench.always(how),
    }


def _what(name: str, *, handed_on: bool) -> api.Phrase:
    """Return what a file is for."""
    plain = name.replace(".", "_")
    return api.Phrase(f"app-handed-{plain}" if handed_on else f"app-file-{plain}")


def _picked(request: Request, groups: list[str]) -> str:
    asked = request.query_params.get("group", "")
    if not asked:
        own = request.state.session.group
        return own if own in groups else groups[0]
    if asked not in groups:
        raise no_such_group() if request.state.session.is_instructor else of_other_group()
    return asked


async def get_file(request: Request) -> Response:
    """Give a file of a group's report."""
    groups = await in_thread(visible_groups, request)
    group, name = _picked(request, groups), request.path_params["name"]
    if name not in bench.REPORT_FILES and name not in bench.HANDOVER_FILES:
        raise no_such_file()
    workspace = workspace_of(request)
    table = await in_thread(bench.table_of_group, workspace, group)
    source = await in_thread(bench.source_of_group, workspace, group)
    today = dt.datetime.now(dt.UTC).astimezone().date().isoformat()
    address = request.app.state.settings.address
    job = workspace.reports.start(workspace.experiment, table, group, name, today, address, source)
    # Others may wait for the same file: whoever goes away must not take it from them.
    data = await asyncio.shield(asyncio.wrap_future(job))
    note(request, Happened.TAKEN_OUT, group=group, file=name)
    return download(data, name, f"group-{group}-{name}")


def download(data: bytes, name: str, called: str, *, inline: bool = False) -> Response:
    """Return a file, to keep or to look at."""
    plain = "".join(c if c.isascii() and (c.isalnum() or c in "-._") else "_" for c in called)
    how = "inline" if inline else "attachment"
    headers = {"content-disposition": f'{how}; filename="{plain}"'}
    return Response(data, media_type=bench.MEDIA[name.rpartition(".")[2]], headers=headers)


ROUTES = [
    Route("/results", get_results),
    Route("/results/part", get_part),
    Route("/results/file/{name}", get_file),
]
