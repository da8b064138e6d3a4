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
from tarebook.web.pages import fields_of
from tarebook.web.readings import workspace_of
from tarebook.web.refusals import Refusal, no_such
from tarebook.web.results import download
from tarebook.web.security import Happened
from tarebook.web.sessions import Role, note, require
from tarebook.web.work import in_thread

PAPERS: dict[str, api.Paper] = {"a4": "a4", "letter": "letter"}

LABELS: Final = {
    "groups": "Groups that work at once",
    "balances": "Balances in the room",
    "date": "Day of the lesson",
    "time": "Begins at",
    "language": "Language of the sheets",
}
"""What the page calls each of its fields."""

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
        for wish in bench.sliders(workspace)
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
        wish = bench.wishes_of(request.query_params)
        turn = bench.Turn(kind=("plan", wish))
        job = workspace.background.start_for(turn, bench.plan_for_page, workspace.folder, wish)
        # Another page may wait for the same plan.
        planned = await asyncio.shield(asyncio.wrap_future(job))
        return {"planned": planned, "refused": ""}
    except (api.ImpossibleWishError, api.PlanBeyondModelError) as error:
        return {"planned": None, "refused": bench.refused_on_page(workspace, error)}
    except api.InputError as error:
        return {"planned": None, "refused": str(error)}


async def get_plan_curve(request: Request) -> Response:
    """Give the curve to expect, as fast as a slider moves."""
    require(request, Role.INSTRUCTOR)
    workspace = workspace_of(request)
    wish = bench.wishes_of(request.query_params)
    try:
        curve = await in_thread(bench.plan_curve, workspace.experiment, wish)
    except (api.ImpossibleWishError, api.PlanBeyondModelError) as error:
        raise Refusal(400, error.code, bench.refused_on_page(workspace, error)) from error
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
    files = [(one.name, one.what, f"{one.made:%Y-%m-%d %H:%M}") for one in made]
    state = request.app.state
    return page(
        request,
        "prepare.html",
        status=status,
        labels=LABELS,
        languages=api.language_names(),
        wish=wish,
        said=said,
        files=files,
        warnings=state.warnings,
        notes=state.notes,
    )


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
        return await _prepare_page(request, wish, "Groups and balances are whole numbers.", 400)
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
        labelled = api.InputError(_labelled(fault) for fault in error.faults)
        return await _prepare_page(request, wish, str(labelled), 400)
    except api.OutOfRangeError as error:
        return await _prepare_page(request, wish, str(error), 400)
    request.app.state.notes = tuple(api.in_words(note) for note in made.notes)
    request.app.state.warnings = tuple(
        f"{api.in_words(one)} {api.to_do(one)}" for one in made.findings
    )
    return RedirectResponse("/prepare", 303)


def _labelled(fault: api.Fault) -> api.Fault:
    """Return a fault with the label of its field where the page has one."""
    if isinstance(fault.where, api.AskedFor) and fault.where in FIELDS:
        return replace(fault, where=f"“{LABELS[FIELDS[fault.where]]}”")
    return fault


async def get_sheet(request: Request) -> Response:
    """Give a file that is printed before the lesson."""
    require(request, Role.INSTRUCTOR)
    name = request.path_params["name"]
    data = await in_thread(bench.sheet_made, workspace_of(request).folder, name)
    if data is None:
        raise no_such("file")
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
