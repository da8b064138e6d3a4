"""The pages for the work before the lesson: plan and prepare."""

from __future__ import annotations

import asyncio
import datetime as dt
from dataclasses import asdict, replace
from typing import Any, Final

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from tarebook import api
from tarebook.api import bench
from tarebook.web.answers import json_answer, page
from tarebook.web.language import writing_of
from tarebook.web.pages import fields_of
from tarebook.web.readings import workspace_of
from tarebook.web.refusals import Refusal, no_such_file
from tarebook.web.results import download
from tarebook.web.security import Happened
from tarebook.web.sessions import Role, note, require
from tarebook.web.work import in_thread

PAPERS: dict[str, api.Paper] = {"a4": "a4", "letter": "letter"}

FIELDS: Final = {
    api.AskedFor.GROUPS: "groups",
    api.AskedFor.BALANCES: "balances",
    api.AskedFor.DATE: "date",
    api.AskedFor.TIME: "time",
    api.AskedFor.LANGUAGE: "language",
}
"""The field in which each is asked for."""


async def get_plan(request: Request) -> Response:
    """Show the plan, with the wishes that the address names."""
    require(request, Role.INSTRUCTOR)
    context: dict[str, Any] = {"planned": None, "refused": ""}
    if "go" in request.query_params:
        context = await _plan(request)
    workspace = workspace_of(request)
    wishes = [
        {**asdict(wish), "value": request.query_params.get(wish.name, "")[:12]}
        for wish in bench.sliders(workspace, writing_of(request))
    ]
    best = request.query_params.get("best", "content")
    return page(request, "plan.html", wishes=wishes, best=best, **context)


async def get_plan_part(request: Request) -> Response:
    """Give the part of the plan's page that changes."""
    require(request, Role.INSTRUCTOR)
    return page(request, "plan_part.html", **await _plan(request))


async def _plan(request: Request) -> dict[str, Any]:
    workspace = workspace_of(request)
    try:
        wish = _wishes(request)
        turn = bench.Turn(kind=("plan", wish))
        job = workspace.background.start_for(turn, bench.plan_for_page, workspace.folder, wish)
        # Another page may wait for the same plan.
        planned = await asyncio.shield(asyncio.wrap_future(job))
        return {"planned": planned, "refused": ""}
    except (api.ImpossibleWishError, api.PlanBeyondModelError) as error:
        return {"planned": None, "refused": _refused(request, error)}
    except api.InputError as error:
        return {"planned": None, "refused": str(error)}


def _wishes(request: Request) -> bench.Wishes:
    """Return the wishes that an address names."""
    how = writing_of(request)
    labels = {wish.name: wish.label for wish in bench.sliders(workspace_of(request), how)}
    best = how.say(api.Phrase("app-plan-best"))
    return bench.wishes_of(request.query_params, {**labels, "best": best})


def _refused(request: Request, error: api.ImpossibleWishError | api.PlanBeyondModelError) -> str:
    return bench.refused_on_page(workspace_of(request), error, writing_of(request))


async def get_plan_curve(request: Request) -> Response:
    """Give the curve to expect, as fast as a slider moves."""
    require(request, Role.INSTRUCTOR)
    workspace = workspace_of(request)
    wish = _wishes(request)
    try:
        curve = await in_thread(bench.plan_curve, workspace.experiment, wish)
    except (api.ImpossibleWishError, api.PlanBeyondModelError) as error:
        raise Refusal(400, error.code, _refused(request, error)) from error
    return json_answer(curve)


async def get_prepare(request: Request) -> Response:
    """Show what is printed before the lesson."""
    require(request, Role.INSTRUCTOR)
    return await _prepare_page(request, _usual(request))


def _usual(request: Request) -> dict[str, str]:
    today = dt.datetime.now(dt.UTC).astimezone().date().isoformat()
    groups = str(len(workspace_of(request).access.groups))
    return {"groups": groups, "date": today, "time": "", "balances": "1", "paper": "a4",
            "language": ""}  # fmt: skip


async def _prepare_page(
    request: Request, wish: dict[str, str], said: str = "", status: int = 200
) -> Response:
    made = await in_thread(bench.sheets_made, workspace_of(request).folder)
    how, state = writing_of(request), request.app.state
    files = [(one.name, _made(one, how)) for one in made]
    return page(
        request,
        "prepare.html",
        status=status,
        wish=wish,
        said=said,
        files=files,
        warnings=[bench.noticed(one, how) for one in state.warnings],
        notes=[bench.noticed(one, how) for one in state.notes],
    )


def _made(sheet: bench.Sheet, how: bench.Writing) -> str:
    """Return what a file is and when it was made."""
    what = how.say(api.Phrase(f"app-sheet-{sheet.name.replace('.', '_')}"))
    day, time = how.short_date(sheet.made.date()), how.time(sheet.made.time())
    return how.say(api.Phrase.of("app-prepare-made", what=what, day=day, time=time))


async def post_prepare(request: Request) -> Response:
    """Make what is printed before the lesson."""
    require(request, Role.INSTRUCTOR)
    names = list(_usual(request))
    wish = {
        name: typed[:40]
        for name, typed in zip(names, await fields_of(request, *names), strict=True)
    }
    workspace = workspace_of(request)
    numbers = {name: wish[name] for name in ("groups", "balances")}
    if not all(n.isascii() and n.isdigit() and len(n) < 6 for n in numbers.values()):
        said = writing_of(request).say(api.Phrase("app-prepare-whole"))
        return await _prepare_page(request, wish, said, 400)
    try:
        job = workspace.background.start(
            api.prepare,
            workspace.folder,
            groups=int(wish["groups"]),
            date=wish["date"],
            time=wish["time"],
            paper=PAPERS.get(wish["paper"], "a4"),
            language=wish["language"] or None,
            balances=int(wish["balances"]),
            address=request.app.state.settings.address,
        )
        made = await asyncio.wrap_future(job)
    except api.InputError as error:
        labelled = api.InputError(_labelled(fault, writing_of(request)) for fault in error.faults)
        return await _prepare_page(request, wish, str(labelled), 400)
    except api.OutOfRangeError as error:
        return await _prepare_page(request, wish, str(error), 400)
    request.app.state.notes, request.app.state.warnings = made.notes, made.findings
    return RedirectResponse("/prepare", 303)


def _labelled(fault: api.Fault, how: bench.Writing) -> api.Fault:
    """Return a fault with the label of its field where the page has one."""
    if isinstance(fault.where, api.AskedFor) and fault.where in FIELDS:
        label = how.say(api.Phrase(f"app-prepare-{FIELDS[fault.where]}"))
        return replace(fault, where=f"“{label}”")
    return fault


async def get_sheet(request: Request) -> Response:
    """Give a file that is printed before the lesson."""
    require(request, Role.INSTRUCTOR)
    name = request.path_params["name"]
    data = await in_thread(bench.sheet_made, workspace_of(request).folder, name)
    if data is None:
        raise no_such_file()
    note(request, Happened.TAKEN_OUT, file=name)
    return download(data, name, name, inline=True)


ROUTES = [
    Route("/plan", get_plan),
    Route("/plan/part", get_plan_part),
    Route("/api/plan", get_plan_curve),
    Route("/prepare", get_prepare),
    Route("/prepare", post_prepare, methods=["POST"]),
    Route("/prepare/{name}", get_sheet),
]
