"""How answers are made: JSON, and pages from templates."""

from __future__ import annotations

import json
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from tarebook import api
from tarebook.api import bench
from tarebook.web import sessions
from tarebook.web.language import writing_of


def json_answer(content: Any, *, status: int = 200) -> Response:
    """Return JSON; a number without bound is a fault of ours and refused."""
    text = json.dumps(content, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return Response(text.encode(), status, media_type="application/json")


_TEMPLATES = Environment(
    loader=PackageLoader("tarebook.web"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


def page(request: Request, name: str, *, status: int = 200, **context: Any) -> HTMLResponse:
    """Return a page from a template, with what every page needs.

    Parameters
    ----------
    request : Request
    name : str
        Of the template.
    status : int
    **context
        What the template shows.
    """
    return HTMLResponse(rendered(request, name, **context), status)


def rendered(request: Request, name: str, **context: Any) -> str:
    """Return a template filled in."""
    state = request.app.state if "app" in request.scope else None
    session = getattr(request.state, "session", None)
    workspace = getattr(state, "workspace", None)
    experiment = workspace.experiment if workspace is not None else None
    how = writing_of(request)
    common = {
        "title": experiment.title if experiment else "",
        "invented": experiment.invented if experiment else "",
        "n_lost": workspace.n_lost if workspace is not None else 0,
        "is_other": workspace.is_other if workspace is not None else False,
        "role": session.role.value if session else "guest",
        "own_group": session.group if session else "",
        "csrf": sessions.csrf(request) if session and state is not None else "",
        "path": request.scope["path"],
        "class_is_shared": workspace.access.shares if workspace is not None else False,
        "is_shared": state.settings.shares if state is not None else False,
        "version": api.VERSION,
        "say": lambda key, **values: how.say(api.Phrase(key, values)),
        "language": how.words.language,
        "languages": api.language_names(),
        "here": _address_of(request),
        "how": how,
        "messages": bench.messages_of_scripts(how),
    }
    return _TEMPLATES.get_template(name).render(common | context)


def _address_of(request: Request) -> str:
    """Return where somebody comes back to; after a form that was sent, the first page."""
    if request.method != "GET":
        return "/"
    path, query = request.url.path, request.url.query
    return f"{path}?{query}" if query else path


def local(address: str) -> str:
    """Return an address if it is one of ours, else the first page.

    Examples
    --------
    >>> local("/bench/3?group=2"), local("//elsewhere.test"), local("https://elsewhere.test")
    ('/bench/3?group=2', '/', '/')
    """
    plain = address.isascii() and address.isprintable() and "\\" not in address
    return address if plain and address.startswith("/") and address[1:2] != "/" else "/"
