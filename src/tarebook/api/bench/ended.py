"""Sessions that were left: a copy of their cookie lets nobody in, also after a restart."""

from __future__ import annotations

import contextlib
import hashlib
import logging
import os
import threading
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from tarebook.api.folder import write_all
from tarebook.core.errors import CannotWriteError

FILE = "ended"
MOST_OF_ONE = 1000
"""Sessions of one group that are remembered, the last ones: nobody leaves more often in a day."""

LOG = logging.getLogger("tarebook.bench")


@dataclass(slots=True)
class EndedSessions:
    """What was left within the life of a session; may be used by many threads at once.

    Parameters
    ----------
    place : Path
        Folder that only its owner may read.
    seconds : float
        Life of a session.
    clock : callable
        Seconds since 1970.
    """

    place: Path
    seconds: float
    clock: Callable[[], float] = time.time
    _of: dict[str, deque[tuple[float, str]]] = field(default_factory=dict, init=False)
    _known: set[str] = field(default_factory=set, init=False)
    _n_lines: int = field(default=0, init=False)
    _lock: threading.Lock = field(default_factory=threading.Lock, init=False)

    def __post_init__(self) -> None:
        try:
            lines = (self.place / FILE).read_text(encoding="ascii").splitlines()
        except (OSError, ValueError):
            lines = []
        for line in lines:
            # A line that was cut off by a power failure says nothing.
            with contextlib.suppress(ValueError):
                ended, whose, digest = line.split(" ")
                self._add(float(ended), whose, digest)
        if lines:
            self._rewrite()

    def add(self, whose: str, key: str) -> None:
        """End a session.

        Parameters
        ----------
        whose : str
            The group; empty for the instructor.
        key : str
            Of the session.
        """
        now, owner, digest = self.clock(), _digest(whose), _digest(key)
        with self._lock:
            self._add(now, owner, digest)
            if self._n_lines > 2 * len(self._known) + MOST_OF_ONE:
                self._rewrite()
            else:
                self._append(f"{now:.0f} {owner} {digest}\n")

    def __contains__(self, key: str) -> bool:
        return _digest(key) in self._known

    def _add(self, ended: float, whose: str, digest: str) -> None:
        if ended + self.seconds < self.clock():
            return
        of_one = self._of.setdefault(whose, deque())
        of_one.append((ended, digest))
        self._known.add(digest)
        while len(of_one) > MOST_OF_ONE or of_one[0][0] + self.seconds < self.clock():
            self._known.discard(of_one.popleft()[1])

    def _append(self, line: str) -> None:
        flags = os.O_WRONLY | os.O_CREAT | os.O_APPEND
        try:
            handle = os.open(self.place / FILE, flags, 0o600)
            try:
                os.write(handle, line.encode())
                os.fsync(handle)
            finally:
                os.close(handle)
        except OSError:
            _tell()
        self._n_lines += 1

    def _rewrite(self) -> None:
        lines = [
            f"{ended:.0f} {whose} {digest}\n"
            for whose, of_one in self._of.items()
            for ended, digest in of_one
        ]
        try:
            write_all(self.place, {FILE: "".join(lines).encode()})
        except CannotWriteError:
            _tell()
        self._n_lines = len(lines)


def _tell() -> None:
    LOG.warning("A session was ended, but that could not be kept: a restart would forget it.")


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:32]
