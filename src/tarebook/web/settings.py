"""How the app was started."""

from __future__ import annotations

import re
from dataclasses import dataclass

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
    """

    port: int
    shares: bool = False
    https: bool = False
    address: str = ""
    balance: str = ""

    @property
    def scheme(self) -> str:
        """``"http"`` or ``"https"``."""
        return "https" if self.https else "http"

    def may_be_called(self, host: str) -> bool:
        """Return whether a request may name this host.

        Without a login the name must be the machine's own: a page elsewhere whose name was made to
        lead here would else be let in.
        """
        return self.shares or re.sub(r":[0-9]+$", "", host) in LOOPBACK_NAMES
