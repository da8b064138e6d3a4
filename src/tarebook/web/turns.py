"""So many requests of one group at once, and no more: what one sends keeps no other waiting."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass, field

from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from tarebook.web.errors import refusal
from tarebook.web.places import place_of
from tarebook.web.sessions import Role, Session

AT_ONCE = {Role.GUEST: 32, Role.GROUP: 4, Role.INSTRUCTOR: 16}
"""Requests that are answered at once: of an address, a group, the instructor."""

WAITING = 8
"""So many times as many wait for their turn; those beyond are sent away for a moment."""

LONG_WORK = ("/results/file/", "/plan", "/prepare")
"""What may take long has turns of its own, or a report would keep the readings waiting."""


@dataclass(slots=True)
class _Turns:
    free: asyncio.Semaphore
    n_there: int = field(default=0)


class TurnsMiddleware:
    """Lets requests of one group take turns."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app
        # A semaphore belongs to the loop that waits for it.
        self._of: dict[tuple[asyncio.AbstractEventLoop, str, str, str], _Turns] = {}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one request."""
        path: str = scope["path"] if scope["type"] == "http" else "/static/"
        if path.startswith(("/static/", "/fonts/")):
            await self.app(scope, receive, send)
            return
        session: Session = scope["state"]["session"]
        at_once = AT_ONCE[session.role]
        key = (asyncio.get_running_loop(), session.role.value, _whose(scope, session), _kind(path))
        turns = self._of.setdefault(key, _Turns(asyncio.Semaphore(at_once)))
        if turns.n_there >= at_once * (1 + WAITING):
            answer = refusal(
                Request(scope), 429, "wait", "Too many requests came at once.",
                "Wait 2 seconds, then try again.", {"retry-after": "2"},
            )  # fmt: skip
            await answer(scope, receive, send)
            return
        turns.n_there += 1
        try:
            async with turns.free:
                await self.app(scope, receive, send)
        finally:
            turns.n_there -= 1
            if not turns.n_there:
                self._of.pop(key, None)


def _whose(scope: Scope, session: Session) -> str:
    if session.role is Role.GUEST:
        client = scope.get("client")
        return place_of(client[0]) if client else ""
    return session.group


def _kind(path: str) -> str:
    if path.startswith(LONG_WORK):
        return "long"
    return "events" if path == "/api/events" else "short"
