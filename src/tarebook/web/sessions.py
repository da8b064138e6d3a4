"""Who is asking: sessions as signed cookies, and the token that every change needs."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from itsdangerous import BadData, URLSafeTimedSerializer
from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from tarebook import api
from tarebook.api import bench
from tarebook.web.cookies import values_of
from tarebook.web.marks import Mark, Marks
from tarebook.web.refusals import Refusal, for_instructor, no_such_group, not_joined, of_other_group
from tarebook.web.security import Happened, SecurityLog
from tarebook.web.settings import Settings
from tarebook.web.steady import SteadyClock, SteadySigner

MOST_SECONDS = 16 * 3600
"""A session lasts a day of work, however the clock of the computer is set meanwhile."""

SOLO = -1
"""Turn of a session that needed no secret: worth nothing once the app is shared."""

HEADER = "x-csrf-token"
FIELD = "csrf"


class Role(StrEnum):
    """Who somebody is to the app."""

    GUEST = "guest"
    GROUP = "group"
    INSTRUCTOR = "instructor"


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """One browser's session.

    Attributes
    ----------
    role : Role
    group : str
        Of a group; empty for others.
    turn : int
        Of the code or secret it was opened with.
    key : str
        Random; the token is made from it.
    """

    role: Role
    group: str = ""
    turn: int = 0
    key: str

    @property
    def is_instructor(self) -> bool:
        """Whether it is the instructor's."""
        return self.role is Role.INSTRUCTOR


class Sessions:
    """Reads and writes the cookies of one folder's app.

    Parameters
    ----------
    access : Access
    settings : Settings
    """

    def __init__(self, access: bench.Access, settings: Settings) -> None:
        self._access, self._settings = access, settings
        key = access.signing_key.encode()
        self._clock = SteadyClock(access.place)
        self._serializer = URLSafeTimedSerializer(
            key, salt="session", signer=SteadySigner, signer_kwargs={"clock": self._clock}
        )
        self._token_key = hashlib.sha256(b"token" + key).digest()
        # Cookies do not know ports: two apps on one machine need names of their own.
        self.cookie = f"bench_{hashlib.sha256(b'name' + key).hexdigest()[:10]}"
        self.marks = Marks(key, self.cookie, secure=settings.https)
        self._ended = bench.EndedSessions(access.place, MOST_SECONDS, clock=self._clock.now)

    def instructor(self) -> Session:
        """Return a new session of the instructor."""
        turn = self._access.secret_turn if self._settings.shares else SOLO
        return Session(role=Role.INSTRUCTOR, turn=turn, key=secrets.token_hex(16))

    def of_group(self, group: bench.Group) -> Session:
        """Return a new session of a group."""
        return Session(
            role=Role.GROUP, group=group.name, turn=group.turn, key=secrets.token_hex(16)
        )

    def guest(self) -> Session:
        """Return a new session of somebody unknown."""
        return Session(role=Role.GUEST, key=secrets.token_hex(16))

    def read(self, cookies: str) -> Session | None:
        """Return the session of a Cookie header; None if there is none that still counts."""
        for value in values_of(cookies, self.cookie):
            session = self._of_value(value)
            if session is not None:
                return session
        return None

    def _of_value(self, value: str) -> Session | None:
        try:
            given, signed = self._signed(value)
            # Signed by us in time to come: the clock was set back before the app began again.
            if self._clock.now() - signed > MOST_SECONDS:
                return None
            session = Session(
                role=Role(given["r"]), group=given["g"], turn=given["t"], key=given["k"]
            )
        except (BadData, KeyError, TypeError, ValueError):
            return None
        return session if self._counts(session) else None

    def _signed(self, value: str) -> tuple[Any, float]:
        given, signed = self._serializer.loads(value, return_timestamp=True)
        return given, signed.timestamp()

    def end(self, session: Session) -> None:
        """End a session here too, so that a copy of its cookie lets nobody in."""
        if session.role is not Role.GUEST:
            self._ended.add(session.group, session.key)

    def written(self, session: Session) -> str:
        """Return the Set-Cookie header of a session."""
        given = {"r": session.role, "g": session.group, "t": session.turn, "k": session.key}
        value = self._serializer.dumps(given)
        secure = "; Secure" if self._settings.https else ""
        return (
            f"{self.cookie}={value}; Path=/; Max-Age={MOST_SECONDS}; HttpOnly; SameSite=Lax{secure}"
        )

    def token(self, session: Session) -> str:
        """Return the token that a change by this session must carry."""
        return hmac.new(self._token_key, session.key.encode(), "sha256").hexdigest()

    def is_token(self, session: Session, given: str) -> bool:
        """Return whether a token is that of the session."""
        return hmac.compare_digest(self.token(session).encode(), given.encode())

    def _counts(self, session: Session) -> bool:
        if session.role is Role.GUEST:
            return True
        if session.key in self._ended:
            return False
        if session.is_instructor:
            turn = self._access.secret_turn if self._settings.shares else SOLO
            return session.turn == turn
        try:
            return self._access.group(session.group).turn == session.turn
        except bench.UnknownGroupError:
            return False


class SessionMiddleware:
    """Gives every request its session, and the browser its cookie."""

    def __init__(self, app: ASGIApp, *, sessions: Sessions, settings: Settings) -> None:
        self.app, self.sessions, self.settings = app, sessions, settings

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        cookies = ";".join(Request(scope).headers.getlist("cookie"))
        found = self.sessions.read(cookies)
        before = found
        if found is None or (not self.settings.shares and not found.is_instructor):
            # Without sharing, whoever sits at the machine is the instructor.
            found = self.sessions.guest() if self.settings.shares else self.sessions.instructor()
        state = scope.setdefault("state", {})
        state["session"] = found
        mark = state["mark"] = self.sessions.marks.read(cookies)

        async def send_with_cookie(message: Message) -> None:
            now: Session = state["session"]
            # A file or an answer to a script must not replace the session of the page beside it;
            # nor must a form that a page elsewhere sends: the browser sends no cookie with it.
            fresh = now is found
            changed = now != before and not (fresh and not _begins_a_session(scope, now))
            if message["type"] == "http.response.start" and changed:
                MutableHeaders(scope=message).append("set-cookie", self.sessions.written(now))
            if message["type"] == "http.response.start" and state["mark"] != mark:
                written = self.sessions.marks.written(state["mark"])
                MutableHeaders(scope=message).append("set-cookie", written)
            await send(message)

        await self.app(scope, receive, send_with_cookie)


def _begins_a_session(scope: Scope, session: Session) -> bool:
    """Return whether a request is for a page, where somebody who has no session gets one."""
    path: str = scope["path"]
    of_guest = path.startswith("/api/") and session.role is Role.GUEST
    beside = of_guest or path.startswith(("/static/", "/fonts/"))
    return scope["method"] in ("GET", "HEAD") and not beside


def session_of(request: Request) -> Session:
    """Return the session of a request."""
    session: Session = request.state.session
    return session


def mark_of(request: Request) -> Mark:
    """Return what the device of a request held before."""
    mark: Mark = request.state.mark
    return mark


def sessions_of(request: Request) -> Sessions:
    """Return the sessions of the app."""
    sessions: Sessions = request.app.state.sessions
    return sessions


def address_of(request: Request) -> str:
    """Return the address that a request comes from."""
    return request.client.host if request.client else ""


def note(request: Request, what: Happened, *, group: str = "", file: str = "") -> None:
    """Note what happened at the doors of the app."""
    security: SecurityLog = request.app.state.security
    security.note(what, group=group, file=file, address=address_of(request))


def csrf(request: Request) -> str:
    """Return the token for forms and scripts of a page."""
    return sessions_of(request).token(session_of(request))


def refuse_forged(request: Request, given: str) -> None:
    """Refuse a change that does not come from a page of ours.

    Raises
    ------
    Refusal
        403 if the token is not that of the session.
    """
    if not sessions_of(request).is_token(session_of(request), given):
        raise Refusal(403, "old-page", api.Phrase("app-old-page"))


def require(request: Request, *roles: Role) -> Session:
    """Return the session if its role may do this.

    Raises
    ------
    Refusal
        401 if nobody is known to be asking, 403 if it is somebody else's.
    """
    session = session_of(request)
    if session.role in roles:
        return session
    if session.role is Role.GUEST:
        raise not_joined()
    raise for_instructor()


def may_see(request: Request, asked: str) -> str:
    """Return the group that a request is about: its own, or for the instructor the one asked for.

    Raises
    ------
    Refusal
        401 if nobody is known to be asking, 403 if the group is another one, 404 if there is none.
    """
    session = require(request, Role.GROUP, Role.INSTRUCTOR)
    workspace: bench.Workspace = request.app.state.workspace
    if session.is_instructor:
        group = asked or workspace.access.groups[0].name
        known = any(one.name == group for one in workspace.access.groups)
        if not known and group not in workspace.groups():
            raise no_such_group()
        return group
    if asked and asked != session.group:
        raise of_other_group()
    return session.group
