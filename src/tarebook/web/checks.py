"""Secrets looked at one at a time, and only so many waiting for it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

MOST_WAITING = 30
"""With a tenth of a second each, the last of them waits three seconds."""


class Checks:
    """A thread of its own, so that whoever types secrets does not keep the readings waiting.

    Each check takes 64 MB and a tenth of a second.
    """

    def __init__(self) -> None:
        self._thread = ThreadPoolExecutor(1, "secret")
        self._n_waiting = 0

    @property
    def is_full(self) -> bool:
        """Whether no more can wait."""
        return self._n_waiting >= MOST_WAITING

    async def check(self, is_secret: Callable[[str], bool], typed: str) -> bool:
        """Return whether something is the secret."""
        self._n_waiting += 1
        try:
            return await asyncio.wrap_future(self._thread.submit(is_secret, typed))
        finally:
            self._n_waiting -= 1
