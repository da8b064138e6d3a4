"""Turns by group: what one group sends keeps no other waiting.

The turn is that of the work, not of the request: a phone that sends slowly, or takes its answer
slowly, keeps nobody waiting, its own group neither.
"""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

import anyio.to_thread
from anyio import CapacityLimiter
from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from tarebook import api
from tarebook.web.errors import refusal
from tarebook.web.limits import RECORDERS
from tarebook.web.places import place_of
from tarebook.web.sessions import Role, Session
from tarebook.web.shares import Shares
from tarebook.web.work import TURN

Made = TypeVar("Made")

AT_ONCE = {Role.GUEST: 32, Role.GROUP: 1, Role.INSTRUCTOR: 16}
"""Requests of a kind that are worked on at once: of an address, a group, the instructor. Those of
one group read and change the same series."""

MOST_THERE = {Role.GUEST: 288, Role.GROUP: 36, Role.INSTRUCTOR: 144}
"""Requests of a kind that are there at once; those beyond are sent away for a moment."""

READINGS = "events"
"""Kind of the requests that take readings."""

MOST_WITH_TIME = 4
"""Deliveries that are taken at once while there is time to look at what they mean. With more,
readings are taken first and looked at a moment later. Ours, tried with `make torture`."""

LONG_WORK = ("/results/file/", "/plan", "/prepare")
"""What may take long has turns of its own, or a report would keep the readings waiting."""


@dataclass(slots=True)
class Turns:
    """The requests of one kind of one group, address or instructor.

    Attributes
    ----------
    free : Semaphore
        Belongs to the loop that waits for it.
    threads : CapacityLimiter or None
        Of what takes readings; None for all else.
    group : str
    shares : Shares or None
        Of the groups; None for others than groups.
    n_there : int
        Requests that are there.
    """

    free: asyncio.Semaphore
    threads: CapacityLimiter | None
    group: str
    shares: Shares | None
    n_there: int = field(default=0)

    async def do(self, work: Callable[[], Made]) -> Made:
        """Do some work in a thread when its turn comes and its group has something in hand.

        Parameters
        ----------
        work : callable
        """
        async with self.free:
            if self.shares is None:
                return await anyio.to_thread.run_sync(work, limiter=self.threads)
            self.shares.ask(self.group)
            while seconds := self.shares.rest(self.group):
                await asyncio.sleep(seconds)
            cost = _Cost()
            try:
                return await anyio.to_thread.run_sync(cost.of, work, limiter=self.threads)
            finally:
                self.shares.use(self.group, cost.seconds)

    def has_time(self) -> bool:
        """Return whether so few wait that what can follow later may be done at once."""
        if self.threads is None:
            return True
        now = self.threads.statistics()
        return now.borrowed_tokens + now.tasks_waiting <= MOST_WITH_TIME


@dataclass(slots=True)
class _Cost:
    """What some work cost of a processor: waiting for the disk, or for others, is none."""

    seconds: float = 0.0

    def of(self, work: Callable[[], Made]) -> Made:
        begun = time.thread_time()
        try:
            return work()
        finally:
            self.seconds = time.thread_time() - begun


class TurnsMiddleware:
    """Gives every request its turn.

    Parameters
    ----------
    app : ASGIApp
    shares : Shares, optional
    """

    def __init__(self, app: ASGIApp, shares: Shares | None = None) -> None:
        self.app = app
        self.shares = shares or Shares()
        self._recorders: dict[asyncio.AbstractEventLoop, CapacityLimiter] = {}
        self._of: dict[tuple[asyncio.AbstractEventLoop, Role, str, str], Turns] = {}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one request."""
        path: str = scope["path"] if scope["type"] == "http" else "/static/"
        if path.startswith(("/static/", "/fonts/")):
            await self.app(scope, receive, send)
            return
        session: Session = scope["state"]["session"]
        loop, kind = asyncio.get_running_loop(), _kind(path)
        key = (loop, session.role, _whose(scope, session), kind)
        turns = self._of.get(key) or self._of.setdefault(key, self._turns(session, loop, kind))
        if turns.n_there >= MOST_THERE[session.role]:
            answer = refusal(
                Request(scope), 429, "wait", api.Phrase("app-too-many-requests"),
                {"retry-after": "2"},
            )  # fmt: skip
            await answer(scope, receive, send)
            return
        turns.n_there += 1
        before = TURN.set(turns)
        try:
            await self.app(scope, receive, send)
        finally:
            TURN.reset(before)
            turns.n_there -= 1
            if not turns.n_there:
                self._of.pop(key, None)

    def _turns(self, session: Session, loop: asyncio.AbstractEventLoop, kind: str) -> Turns:
        return Turns(
            free=asyncio.Semaphore(AT_ONCE[session.role]),
            threads=self._threads(loop) if kind == READINGS else None,
            group=session.group,
            shares=self.shares if session.role is Role.GROUP else None,
        )

    def _threads(self, loop: asyncio.AbstractEventLoop) -> CapacityLimiter:
        # A limiter belongs to its loop; in the app there is one.
        if loop not in self._recorders:
            self._recorders[loop] = CapacityLimiter(RECORDERS)
        return self._recorders[loop]


def _whose(scope: Scope, session: Session) -> str:
    if session.role is Role.GUEST:
        client = scope.get("client")
        return place_of(client[0]) if client else ""
    return session.group


def _kind(path: str) -> str:
    if path.startswith(LONG_WORK):
        return "long"
    return READINGS if path == "/api/events" else "short"
