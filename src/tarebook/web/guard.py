"""What stands before every route: headers, sizes, host names, the count of wrong codes."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict, deque
from collections.abc import Callable
from dataclasses import dataclass, field

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from tarebook.web.errors import refusal
from tarebook.web.places import place_of
from tarebook.web.refusals import BodyTooLargeError
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
    """

    def __init__(self, app: ASGIApp, *, settings: Settings) -> None:
        self.app, self.settings = app, settings

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
            answer = refusal(
                Request(scope), 400, "host", "This app is reached as localhost alone.",
                "Open the address that the terminal shows.",
            )  # fmt: skip
            await answer(scope, receive, send_guarded)
            return
        most = MOST_BYTES_OF_SHEET if scope["path"] == SHEETS else MOST_BYTES
        length = headers.get("content-length", "0")
        if not (length.isascii() and length.isdigit() and len(length) < 10 and int(length) <= most):
            await _too_large(scope)(scope, receive, send_guarded)
            return
        await self.app(scope, _limited(receive, most), send_guarded)


def _too_large(scope: Scope) -> ASGIApp:
    return refusal(
        Request(scope), 413, "too-large", "That is more than can be taken at once.",
        "Send it in parts.",
    )  # fmt: skip


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


@dataclass(slots=True)
class Tries:
    """Counts wrong codes, by address and in all, and says who has to wait.

    A try counts as wrong from the moment it begins: many at the same time get no further than one
    after the other. `right` takes it back.

    Parameters
    ----------
    of_one, of_all : int
        Wrong codes in a minute.
    clock : callable
        Seconds that only grow.
    """

    of_one: int = 10
    of_all: int = 100
    clock: Callable[[], float] = time.monotonic
    _by_address: OrderedDict[str, deque[float]] = field(default_factory=OrderedDict)
    _all: deque[float] = field(default_factory=deque)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    WINDOW = 60.0
    MOST_ADDRESSES = 10_000

    def begin(self, address: str) -> int:
        """Begin a try and return 0; or return how many seconds the address has to wait."""
        now, place = self.clock(), place_of(address)
        with self._lock:
            own = self._by_address.setdefault(place, deque(maxlen=self.of_one))
            waits = [
                times[0] + self.WINDOW - now
                for times, most in ((own, self.of_one), (self._all, self.of_all))
                if len(self._recent(times, now)) >= most
            ]
            self._by_address.move_to_end(place)
            if len(self._by_address) > self.MOST_ADDRESSES:
                self._by_address.popitem(last=False)
            if waits:
                return max(1, round(max(waits)))
            own.append(now)
            self._all.append(now)
        return 0

    def right(self, address: str) -> None:
        """Take back the count of the last try: the code was right."""
        with self._lock:
            for times in (self._by_address.get(place_of(address)), self._all):
                if times:
                    times.pop()

    def _recent(self, times: deque[float], now: float) -> deque[float]:
        while times and times[0] <= now - self.WINDOW:
            times.popleft()
        return times
