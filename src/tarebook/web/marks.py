"""What a device keeps for long: that it held the secret or a code before.

The mark lets nobody in. It only says that a right secret or code from this device is no guess, so
that it need not wait because others guess.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from itsdangerous import BadData, URLSafeSerializer

from tarebook.api import bench
from tarebook.web.cookies import values_of

MOST_SECONDS = 400 * 24 * 3600
"""Browsers keep no cookie for longer (RFC 6265bis, 5.5, from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """What a device held.

    Attributes
    ----------
    secret : bool
        Whether it came in with the instructor's secret, be it this one or an older one.
    group : str
        The group whose code it held last; empty for none.
    turn : int
        Of that code: another one may be unknown to the device, and would be a guess.
    """

    secret: bool = False
    group: str = ""
    turn: int = 0

    def holds(self, group: bench.Group) -> bool:
        """Return whether the device held the code that a group has now."""
        return self.group == group.name and self.turn == group.turn


class Marks:
    """Reads and writes the marks of one folder's app.

    Parameters
    ----------
    key : bytes
    cookie : str
        Name of the session's cookie.
    secure : bool
    """

    def __init__(self, key: bytes, cookie: str, *, secure: bool) -> None:
        self._serializer = URLSafeSerializer(key, salt="held")
        self._cookie, self._secure = f"{cookie}_held", secure

    def read(self, cookies: str) -> Mark:
        """Return the mark of a Cookie header; an empty one if there is none."""
        for value in values_of(cookies, self._cookie):
            try:
                given: Any = self._serializer.loads(value)
                return Mark(secret=bool(given["s"]), group=str(given["g"]), turn=int(given["t"]))
            except (BadData, KeyError, TypeError, ValueError):
                continue
        return Mark()

    def written(self, mark: Mark) -> str:
        """Return the Set-Cookie header of a mark."""
        value = self._serializer.dumps({"s": mark.secret, "g": mark.group, "t": mark.turn})
        secure = "; Secure" if self._secure else ""
        return (
            f"{self._cookie}={value}; Path=/; Max-Age={MOST_SECONDS}; HttpOnly; "
            f"SameSite=Lax{secure}"
        )
