"""The pages for the work before the lesson: plan and prepare."""

from __future__ import annotations

import asyncio
import datetime as dt
from dataclasses import asdict
from typing import Any

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
LANGUAGES: dict[str, api.Language] = {"en": "en", "de": "de"}


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
    except api.ImpossibleWishError as error:
        return {"planned": None, "refused": bench.in_words_of_the_page(workspace, str(error))}
    except (api.PlanBeyondModelError, api.InputError) as error:
        return {"planned": None, "refused": str(error)}


async def get_plan_curve(request: Request) -> Response:
    """Give the curve to expect, as fast as a slider moves."""
    require(request, Role.INSTRUCTOR)
    workspace = workspace_of(request)
    wish = bench.wishes_of(request.query_params)
    try:
        curve = await in_thread(bench.plan_curve, workspace.experiment, wish)
    except api.ImpossibleWishError as error:
        said = bench.in_words_of_the_page(workspace, str(error))
        raise Refusal(400, error.code, said) from error
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
            language=LANGUAGES.get(wish["language"]),
            balances=int(wish["balances"]),
            address=request.app.state.settings.address,
        )
        made = await asyncio.wrap_future(job)
    except (api.InputError, api.OutOfRangeError) as error:
        return await _prepare_page(request, wish, str(error), 400)
    request.app.state.notes = made.notes
    request.app.state.warnings = tuple(f"{one.message} {one.do}" for one in made.findings)
    return RedirectResponse("/prepare", 303)


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
