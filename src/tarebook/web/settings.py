"""How the app was started."""

from __future__ import annotations

import contextlib
import ipaddress
import re
import socket
from dataclasses import dataclass
from urllib.parse import urlsplit

LOOPBACK_NAMES = frozenset({"127.0.0.1", "localhost", "[::1]", "::1"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How the app was started.

    Attributes
    ----------
    port : int
    shares : bool
        Whether it is on the room's network: then everybody has to say who they are.
    https : bool
    address : str
        What groups type: scheme, host and port.
    balance : str
        Serial port of a balance; empty without one.
    names : tuple of str
        Other names under which the room reaches the machine.
    """

    port: int
    shares: bool = False
    https: bool = False
    address: str = ""
    balance: str = ""
    names: tuple[str, ...] = ()

    @property
    def scheme(self) -> str:
        """``"http"`` or ``"https"``."""
        return "https" if self.https else "http"

    def may_be_called(self, host: str) -> bool:
        """Return whether a request may name this host.

        Else a page elsewhere whose name was made to lead here would be let in: alone without a
        login, shared with the session of whoever looks at it. Shared, any address in numbers will
        do, since nobody else can have made it lead here.
        """
        name = re.sub(r":[0-9]+$", "", host).lower().rstrip(".")
        if name in LOOPBACK_NAMES:
            return True
        return self.shares and (_is_address(name) or name in self._own_names())

    def _own_names(self) -> frozenset[str]:
        own = socket.gethostname().lower()
        names = {own, f"{own}.local", *(name.lower().rstrip(".") for name in self.names)}
        with contextlib.suppress(ValueError):
            names.add(urlsplit(self.address).hostname or own)
        return frozenset(names)


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name.removeprefix("[").removesuffix("]"))
    except ValueError:
        return False
    return True
