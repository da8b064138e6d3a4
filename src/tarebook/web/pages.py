"""The way in, the first page, the groups, and the projector."""

from __future__ import annotations

import io
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import replace
from typing import Any
from urllib.parse import quote

import segno
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from tarebook import api
from tarebook.api import bench
from tarebook.web.answers import local, page
from tarebook.web.checks import Checks
from tarebook.web.language import choose, writing_of
from tarebook.web.readings import visible_groups, workspace_of
from tarebook.web.refusals import Refusal, not_understood
from tarebook.web.security import Happened
from tarebook.web.sessions import (
    FIELD,
    Role,
    address_of,
    mark_of,
    may_see,
    note,
    refuse_forged,
    require,
    session_of,
    sessions_of,
)
from tarebook.web.tries import SECRET, Tries
from tarebook.web.work import in_thread

MOST_FIELDS = 20


@asynccontextmanager
async def form_of(request: Request, *, files: int = 0) -> AsyncIterator[FormData]:
    """Give a form that comes from a page of ours, and let go of its files at the end.

    Raises
    ------
    Refusal
        403 if it does not.
    """
    async with request.form(max_files=files, max_fields=MOST_FIELDS) as form:
        refuse_forged(request, text_of(form, FIELD))
        yield form


async def fields_of(request: Request, *names: str) -> list[str]:
    """Return some fields of a form that comes from a page of ours; those that lack are empty."""
    async with form_of(request) as form:
        return [text_of(form, name) for name in names]


def text_of(form: FormData, name: str) -> str:
    """Return a field of a form as a text; empty where it lacks."""
    value = form.get(name, "")
    return value if isinstance(value, str) else ""


async def get_start(request: Request) -> Response:
    """Show the first page: the way in, or the way through the work."""
    session = session_of(request)
    if session.role is Role.GUEST:
        return join_page(request, "/")
    if session.role is Role.GROUP:
        return RedirectResponse("/bench", 303)
    return page(request, "start.html", **await in_thread(_overview, request))


def _overview(request: Request) -> dict[str, Any]:
    workspace = workspace_of(request)
    view = bench.experiment_view(workspace)
    progress = bench.progress(workspace)
    n_runs = len(workspace.opened.planned)
    return {
        "equation": view["equation_shown"],
        "taken_over": workspace.taken_over,
        "n_runs": n_runs,
        "total": writing_of(request).volume(workspace.experiment.total_volume, 4),
        "n_groups": len(workspace.access.groups),
        "n_done": sum(progress.values()),
        "n_cups": n_runs * len(progress),
    }


def join_page(
    request: Request,
    next_: str,
    *,
    typed: str = "",
    wrong: str = "",
    wrong_secret: str = "",
    status: int = 200,
) -> Response:
    """Show where codes and the secret are typed; a wrong code stays to be mended."""
    return page(
        request, "join.html", status=status, next=local(next_), typed=typed[:20], wrong=wrong,
        wrong_secret=wrong_secret,
    )  # fmt: skip


async def get_join(request: Request) -> Response:
    """Show where codes are typed."""
    return join_page(request, request.query_params.get("next", "/"))


async def post_join(request: Request) -> Response:
    """Let a group in by its code."""
    code, asked = await fields_of(request, "code", "next")
    next_, typed = local(asked), bench.plain_code(code)
    group = workspace_of(request).access.group_of_code(code)
    # A right code from a device that held it before is no guess, whoever else guesses.
    counted = group is None or not mark_of(request).holds(group)
    if counted:
        _begin_try(request, typed)
    if group is None:
        note(request, Happened.WRONG_CODE)
        wrong = writing_of(request).say(api.Phrase("app-wrong-code"))
        return join_page(request, next_, typed=code, wrong=wrong, status=403)
    if counted:
        tries_of(request).right(address_of(request), typed)
    note(request, Happened.JOINED, group=group.name)
    request.state.mark = replace(mark_of(request), group=group.name, turn=group.turn)
    request.state.session = sessions_of(request).of_group(group)
    return RedirectResponse(next_ if next_ != "/" else "/bench", 303)


async def post_enter(request: Request) -> Response:
    """Let the instructor in by the secret."""
    secret, asked = await fields_of(request, "secret", "next")
    next_, state = local(asked), request.app.state
    known = mark_of(request).secret
    checks: Checks = state.secrets_of_known if known else state.secrets
    if not known:
        _begin_try(request, SECRET)
    if checks.is_full:
        raise Refusal(429, "wait", api.Phrase("app-many-come-in"), 5)
    if not await checks.check(workspace_of(request).access.is_secret, secret):
        note(request, Happened.WRONG_SECRET)
        said = writing_of(request).say(api.Phrase("app-wrong-secret"))
        return join_page(request, next_, wrong_secret=said, status=403)
    if not known:
        tries_of(request).right(address_of(request), SECRET)
    note(request, Happened.ENTERED)
    request.state.mark = replace(mark_of(request), secret=True)
    request.state.session = sessions_of(request).instructor()
    return RedirectResponse(next_, 303)


def tries_of(request: Request) -> Tries:
    """Return the count of wrong codes."""
    tries: Tries = request.app.state.tries
    return tries


def _begin_try(request: Request, typed: str) -> None:
    """Begin a try, or refuse to look at another."""
    wait = tries_of(request).begin(address_of(request), typed)
    if wait:
        note(request, Happened.MADE_WAIT)
        raise Refusal(429, "wait", api.Phrase.of("app-too-many-tries", seconds=wait), wait)


async def post_leave(request: Request) -> Response:
    """End the session, on this device and wherever else its cookie may be."""
    await fields_of(request)
    session = session_of(request)
    await in_thread(sessions_of(request).end, session)
    note(request, Happened.LEFT, group=session.group)
    request.state.session = sessions_of(request).guest()
    return RedirectResponse("/", 303)


async def post_language(request: Request) -> Response:
    """Speak another language to this device from now on, and go on where it was."""
    chosen, asked = await fields_of(request, "language", "next")
    answer = RedirectResponse(local(asked), 303)
    choose(request, answer, chosen)
    return answer


async def get_run(request: Request) -> Response:
    """Lead the code on a bench sheet to its run."""
    group, run = request.path_params["group"], request.path_params["run"]
    target = f"/bench/{quote(run, safe='')}"
    if session_of(request).role is Role.GUEST:
        return join_page(request, target)
    await in_thread(may_see, request, group)
    query = f"?group={quote(group)}" if session_of(request).is_instructor else ""
    return RedirectResponse(f"{target}{query}", 303)


async def get_groups(request: Request) -> Response:
    """Show the groups and their codes."""
    require(request, Role.INSTRUCTOR)
    return await _groups_page(request)


async def _groups_page(request: Request, said: str = "", status: int = 200) -> Response:
    workspace = workspace_of(request)
    progress = await in_thread(bench.progress, workspace)
    groups = workspace.access.groups
    return page(
        request,
        "groups.html",
        status=status,
        groups=groups,
        address=request.app.state.settings.address,
        done={group.name: progress.get(group.name, 0) for group in groups},
        n_runs=len(workspace.opened.planned),
        most=bench.MOST_GROUPS,
        said=said,
    )


async def post_groups(request: Request) -> Response:
    """Make groups 1 to N that are not there yet."""
    require(request, Role.INSTRUCTOR)
    (count,) = await fields_of(request, "count")
    whole = count.isascii() and count.isdigit() and len(count) < 6
    if not (whole and 1 <= int(count) <= bench.MOST_GROUPS):
        said = writing_of(request).say(api.Phrase.of("app-groups-count", most=bench.MOST_GROUPS))
        return await _groups_page(request, said, 400)
    names = tuple(str(number) for number in range(1, int(count) + 1))
    await in_thread(workspace_of(request).access.add, names)
    note(request, Happened.NEW_GROUPS)
    return RedirectResponse("/groups", 303)


async def post_code(request: Request) -> Response:
    """Give a group a new code."""
    require(request, Role.INSTRUCTOR)
    (name,) = await fields_of(request, "group")
    await in_thread(workspace_of(request).access.new_code, name)
    note(request, Happened.NEW_CODE, group=name)
    return RedirectResponse("/groups", 303)


async def post_share(request: Request) -> Response:
    """Share the results of the class with every group, or no longer."""
    require(request, Role.INSTRUCTOR)
    (shares,) = await fields_of(request, "shares")
    await in_thread(workspace_of(request).access.share, shares == "yes")
    note(request, Happened.SHARED if shares == "yes" else Happened.NOT_SHARED)
    return RedirectResponse("/groups", 303)


async def post_sheet(request: Request) -> Response:
    """Take a sheet that was written on paper and typed elsewhere."""
    require(request, Role.INSTRUCTOR)
    async with form_of(request, files=1) as form:
        file = form.get("file")
        if not isinstance(file, UploadFile):
            raise not_understood(api.Phrase("app-no-file"))
        data, name = await file.read(), file.filename or ""
        asked = text_of(form, "group")
    group = await in_thread(may_see, request, asked)
    try:
        await in_thread(bench.take_sheet, workspace_of(request), group, data, name)
    except api.InputError as error:
        return await _groups_page(request, str(error), 400)
    note(request, Happened.BROUGHT_IN, group=group)
    return RedirectResponse(f"/results?group={quote(group)}", 303)


async def get_square(request: Request) -> Response:
    """Draw the code that a phone scans to join."""
    require(request, Role.INSTRUCTOR)
    group = workspace_of(request).access.group(request.path_params["group"])
    address = request.app.state.settings.address
    if not address:
        raise Refusal(404, "not-found", api.Phrase("app-no-square"))
    # After the # nothing reaches a log, not even ours.
    made = segno.make(f"{address}/join#{group.code}", error="m")
    out = io.BytesIO()
    made.save(out, kind="svg", scale=4, border=4, light="#ffffff", dark="#1b2528", xmldecl=False)
    return Response(out.getvalue(), media_type="image/svg+xml")


async def get_projector(request: Request) -> Response:
    """Show the page for the wall."""
    session = require(request, Role.GROUP, Role.INSTRUCTOR)
    if not session.is_instructor and not workspace_of(request).access.shares:
        raise Refusal(403, "not-yours", api.Phrase("app-class-not-shared"))
    await in_thread(visible_groups, request)
    return page(request, "projector.html")


ROUTES = [
    Route("/", get_start),
    Route("/join", get_join),
    Route("/join", post_join, methods=["POST"]),
    Route("/enter", post_enter, methods=["POST"]),
    Route("/leave", post_leave, methods=["POST"]),
    Route("/language", post_language, methods=["POST"]),
    Route("/run/{group}/{run:path}", get_run),
    Route("/groups", get_groups),
    Route("/groups", post_groups, methods=["POST"]),
    Route("/groups/code", post_code, methods=["POST"]),
    Route("/groups/share", post_share, methods=["POST"]),
    Route("/groups/sheet", post_sheet, methods=["POST"]),
    Route("/groups/{group}/square.svg", get_square),
    Route("/projector", get_projector),
]
