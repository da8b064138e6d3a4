"""What the app tells of itself: to the terminal, and in a file of bounded size beside the record.

A fault is a sentence with its code, never a trace. Each kind of line stands there once a minute,
with the count of those that were like it: nobody can fill a disk by asking for it.
"""

from __future__ import annotations

import asyncio
import contextlib
import logging
import logging.handlers
import os
import threading
import time
from collections.abc import Callable
from io import TextIOWrapper
from pathlib import Path
from typing import Any

from tarebook import api

DOING = "the app at the bench"

FILE = "app.log"
MOST_BYTES = 512 * 1024
"""Of the file; one older one is kept."""

MINUTE = 60.0
MOST_KINDS = 100

MOST_OF_LINE = 500


class Seldom(logging.Filter):
    """Lets each kind of line pass once a minute, with the count of those that did not.

    Parameters
    ----------
    clock : callable
        Seconds that only grow.
    most_kinds : int
        Kinds that are told apart within a minute; those beyond are one kind.
    """

    def __init__(
        self, clock: Callable[[], float] = time.monotonic, most_kinds: int = MOST_KINDS
    ) -> None:
        super().__init__()
        self._clock, self._most_kinds = clock, most_kinds
        self._lock = threading.Lock()
        self._last: dict[tuple[str, ...], float] = {}
        self._left_out: dict[tuple[str, ...], int] = {}

    def filter(self, record: logging.LogRecord) -> bool:
        """Return whether a line is to be told, and add the count to it."""
        now, kind = self._clock(), _kind_of(record)
        with self._lock:
            if kind not in self._last and len(self._last) >= self._most_kinds:
                self._forget(now)
                if len(self._last) >= self._most_kinds:
                    kind = ("the rest",)
            last = self._last.get(kind)
            if last is not None and now - last < MINUTE:
                self._left_out[kind] = self._left_out.get(kind, 0) + 1
                return False
            self._last[kind] = now
            left_out = self._left_out.pop(kind, 0)
        record.left_out = left_out
        return True

    def _forget(self, now: float) -> None:
        """Forget the kinds that were told longer ago than a minute."""
        for kind in [kind for kind, last in self._last.items() if now - last >= MINUTE]:
            del self._last[kind]
            self._left_out.pop(kind, None)


def _kind_of(record: logging.LogRecord) -> tuple[str, ...]:
    error = record.exc_info[1] if record.exc_info else None
    words = str(record.msg).partition("\n")[0][:120]
    return record.name, words, api.fault_code(error) if error else ""


class Sentences(logging.Formatter):
    """Writes one line for each message; in place of a trace, the code of the fault.

    Parameters
    ----------
    folder : str
        Where the report of a fault goes.
    timed : bool
        Whether the line begins with the time.
    """

    def __init__(self, folder: str, *, timed: bool = False) -> None:
        super().__init__("%(message)s", "%Y-%m-%d %H:%M:%S")
        self._folder, self._timed = Path(folder), timed

    def format(self, record: logging.LogRecord) -> str:
        """Return the line of a message."""
        error = record.exc_info[1] if record.exc_info else None
        # A message may hold what somebody typed, or a name of a place on the disk: cut to a line.
        words = record.getMessage().partition("\n")[0][:MOST_OF_LINE]
        if isinstance(error, asyncio.CancelledError):
            # The server ends, and has waited long enough for what was still at work.
            words = "The app was stopped before a device had its answer; it will send again."
        elif error is not None:
            words = str(api.note_unforeseen(error, DOING, self._folder))
        left_out = getattr(record, "left_out", 0)
        more = f" ({left_out} more like this since it was last said)" if left_out else ""
        time_ = f"{self.formatTime(record, self.datefmt)} " if self._timed else ""
        return f"{time_}{record.levelname}: {words}{more}"


class OwnersFile(logging.handlers.RotatingFileHandler):
    """A file of bounded size that only its owner may read; without it where it cannot be made."""

    def __init__(self, filename: str, most_bytes: int = MOST_BYTES) -> None:
        super().__init__(filename, maxBytes=most_bytes, backupCount=1, encoding="utf-8", delay=True)

    def _open(self) -> TextIOWrapper:
        with contextlib.suppress(OSError):
            os.close(os.open(self.baseFilename, os.O_WRONLY | os.O_CREAT, 0o600))
        return super()._open()

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802 - the library's name
        """Do nothing: a full disk is told where something was to be recorded."""


def log_config(folder: Path, place: Path) -> dict[str, Any]:
    """Return how the server logs: warnings and faults, to the terminal and a file.

    Parameters
    ----------
    folder : Path
        Where the report of a fault goes.
    place : Path
        Folder that only its owner may read.
    """
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "filters": {"seldom": {"()": Seldom}, "seldom in file": {"()": Seldom}},
        "formatters": {
            "sentences": {"()": Sentences, "folder": str(folder)},
            "timed": {"()": Sentences, "folder": str(folder), "timed": True},
        },
        "handlers": {
            "terminal": {
                "class": "logging.StreamHandler",
                "formatter": "sentences",
                "filters": ["seldom"],
            },
            "file": {
                "()": OwnersFile,
                "filename": str(place / FILE),
                "formatter": "timed",
                "filters": ["seldom in file"],
            },
        },
        "root": {"handlers": ["terminal", "file"], "level": "WARNING"},
    }


def tell_of_threads(folder: Path) -> None:
    """Have a fault in a thread of its own told as every other one is."""

    def told(ended: threading.ExceptHookArgs) -> None:
        error = ended.exc_value
        if error is not None:
            # The words hold the code, by which the same fault is told once a minute.
            logging.getLogger(__name__).error(str(api.note_unforeseen(error, DOING, folder)))

    threading.excepthook = told
