"""What stands before every route: headers, sizes, host names."""

from __future__ import annotations

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from tarebook import api
from tarebook.web.errors import refusal
from tarebook.web.refusals import BodyTooLargeError
from tarebook.web.security import Happened, SecurityLog
from tarebook.web.settings import Settings

MOST_BYTES = 64 * 1024
MOST_BYTES_OF_SHEET = 1024 * 1024
SHEETS = "/groups/sheet"
"""The one place that takes files."""

HEADERS = {
    "content-security-policy": "default-src 'none'; script-src 'self'; style-src 'self'; "
    "img-src 'self' data:; connect-src 'self'; font-src 'self'; manifest-src 'self'; "
    "worker-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'self'",
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "x-frame-options": "DENY",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), payment=()",
}


class Guard:
    """Wraps the whole app: no answer leaves without its headers, no large body comes in.

    Parameters
    ----------
    app : ASGIApp
    settings : Settings
    security : SecurityLog
    """

    def __init__(self, app: ASGIApp, *, settings: Settings, security: SecurityLog) -> None:
        self.app, self.settings, self.security = app, settings, security

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers[name] = value
                if "cache-control" not in headers:
                    headers["cache-control"] = "no-store"
            await send(message)

        headers = Headers(scope=scope)
        if not self.settings.may_be_called(headers.get("host", "")):
            client = scope.get("client")
            self.security.note(Happened.OTHER_HOST, address=client[0] if client else "")
            answer = refusal(Request(scope), 400, "host", api.Phrase("app-other-host"))
            await answer(scope, receive, send_guarded)
            return
        most = MOST_BYTES_OF_SHEET if scope["path"] == SHEETS else MOST_BYTES
        length = headers.get("content-length", "0")
        if not (length.isascii() and length.isdigit() and len(length) < 10 and int(length) <= most):
            await _too_large(scope)(scope, receive, send_guarded)
            return
        await self.app(scope, _limited(receive, most), send_guarded)


def _too_large(scope: Scope) -> ASGIApp:
    return refusal(Request(scope), 413, "too-large", api.Phrase("app-too-large"))


def _limited(receive: Receive, most: int) -> Receive:
    taken = 0

    async def limited() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > most:
            raise BodyTooLargeError
        return message

    return limited
