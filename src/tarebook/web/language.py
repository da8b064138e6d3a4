"""In which language a page speaks: that of the course, unless the device chose another."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from tarebook import api
from tarebook.api import bench
from tarebook.web.cookies import values_of

MOST_SECONDS = 400 * 24 * 3600
"""Browsers keep no cookie for longer (RFC 6265bis, 5.5, from memory)."""


def writing_of(request: Request) -> bench.Writing:
    """Return how a device is spoken to.

    What its browser asks for does not count: a class reads the words that its sheets have.
    """
    state = request.app.state if "app" in request.scope else None
    workspace = getattr(state, "workspace", None)
    experiment = workspace.experiment if workspace is not None else None
    cookies = ";".join(request.headers.getlist("cookie"))
    chosen = values_of(cookies, _cookie(request)) if state is not None else []
    return bench.spoken(experiment, chosen[0] if chosen else "")


def choose(request: Request, answer: Response, language: str) -> None:
    """Have the device keep the language that it chose.

    Parameters
    ----------
    request : Request
    answer : Response
        Brings the cookie.
    language : str
        What is none is not kept.
    """
    if language in api.LANGUAGES:
        answer.set_cookie(
            _cookie(request),
            language,
            max_age=MOST_SECONDS,
            httponly=True,
            samesite="lax",
            secure=request.app.state.settings.https,
        )


def _cookie(request: Request) -> str:
    # Cookies do not know ports: two apps on one machine need names of their own.
    return f"{request.app.state.sessions.cookie}_language"
