"""The app: routes, what stands before them, and what they share."""

from __future__ import annotations

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.responses import Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp, Scope

from tarebook.api import bench
from tarebook.web import before, pages, readings, results
from tarebook.web.checks import Checks
from tarebook.web.errors import HANDLERS
from tarebook.web.guard import Guard
from tarebook.web.security import SecurityLog
from tarebook.web.sessions import SessionMiddleware, Sessions
from tarebook.web.settings import Settings
from tarebook.web.tries import Tries
from tarebook.web.turns import TurnsMiddleware


class Files(StaticFiles):
    """Files of ours; a browser asks each time whether it has the newest."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """Return a file."""
        answer = await super().get_response(path, scope)
        answer.headers["cache-control"] = "no-cache"
        if path.endswith(".woff2"):
            # Not every system knows the kind.
            answer.headers["content-type"] = "font/woff2"
        # The bench page's worker looks after pages above its own folder.
        if path.startswith("bench"):
            answer.headers["service-worker-allowed"] = "/"
        return answer


def routes() -> list[Route | Mount]:
    """Return all routes."""
    return [
        *pages.ROUTES,
        *readings.ROUTES,
        *results.ROUTES,
        *before.ROUTES,
        Mount("/static", Files(packages=[("tarebook.web", "static")])),
        Mount("/fonts", Files(packages=[("tarebook.report", "webfonts")])),
    ]


def build_app(
    workspace: bench.Workspace,
    settings: Settings,
    *,
    balance: bench.BalancePort | None = None,
    tries: Tries | None = None,
    security: SecurityLog | None = None,
) -> ASGIApp:
    """Return the app of an open folder.

    Parameters
    ----------
    workspace : Workspace
    settings : Settings
    balance : BalancePort, optional
    tries : Tries, optional
        Counts wrong codes; a new count if not given.
    security : SecurityLog, optional
        Beside the groups and codes if not given.
    """
    sessions = Sessions(workspace.access, settings)
    app = Starlette(
        routes=routes(),
        middleware=[
            # The lightest packing: it is done where every request passes, and text shrinks anyway.
            Middleware(GZipMiddleware, minimum_size=2000, compresslevel=1),
            Middleware(SessionMiddleware, sessions=sessions, settings=settings),
            Middleware(TurnsMiddleware),
        ],
        exception_handlers=HANDLERS,
    )
    app.state.workspace = workspace
    app.state.settings = settings
    app.state.sessions = sessions
    app.state.tries = tries or Tries()
    app.state.security = security or SecurityLog(workspace.access.place)
    app.state.secrets = Checks()
    app.state.secrets_of_known = Checks()
    app.state.balance = balance
    app.state.notes = ()
    app.state.warnings = ()
    return Guard(app, settings=settings, security=app.state.security)
