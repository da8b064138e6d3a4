"""A balance on a serial or USB port: its lines as readings, in the order in which they came."""

from __future__ import annotations

import datetime as dt
import os
import re
import threading
from collections import deque
from dataclasses import dataclass
from typing import ClassVar

import serial

from tarebook.api.open_record import clock
from tarebook.core.errors import TarebookError
from tarebook.records.events import time_text
from tarebook.records.readings import Quantity
from tarebook.records.typed import read_number
from tarebook.report.payload import Json

LINE = r"(?P<number>[+\-]?\s*[0-9]+(?:[.,][0-9]+)?)\s*(?P<unit>mg|g|kg)\b"
"""Matches a mass with its unit wherever it stands in a line: what nearly every balance prints."""

TERMINATORS = re.compile(rb"[\r\n]+")
MOST_KEPT = 50
MOST_WAITING = 4096
"""Bytes without a terminator; more is not a balance."""

PAUSE = 2.0
"""Seconds between tries to open a port that has gone."""


class NoPortError(TarebookError, OSError):
    """The port of the balance cannot be opened.

    Parameters
    ----------
    port, reason : str
    """

    code: ClassVar[str] = "no-port"

    def __init__(self, port: str, reason: str) -> None:
        super().__init__(port, reason)
        self.port, self.reason = port, reason

    def __str__(self) -> str:
        return (
            f"The balance's port {self.port} cannot be opened: {self.reason}. Is the balance "
            "switched on and plugged in, and may you use the port?"
        )


class LineFormatError(TarebookError, ValueError):
    """The pattern for the balance's lines cannot be used.

    Parameters
    ----------
    pattern, reason : str
    """

    code: ClassVar[str] = "line-format"

    def __init__(self, pattern: str, reason: str) -> None:
        super().__init__(pattern, reason)
        self.pattern, self.reason = pattern, reason

    def __str__(self) -> str:
        return (
            f"The pattern {self.pattern!r} cannot be used: {self.reason}. It must be a regular "
            "expression with a group called number, and may have one called unit."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """One number that the balance sent.

    Attributes
    ----------
    n : int
        1 for the first since the port was opened.
    typed : str
        Number and unit, as the record keeps them.
    at : datetime
    """

    n: int
    typed: str
    at: dt.datetime


class LineReader:
    r"""Cuts what a port sends into lines and takes the numbers out of them.

    Parameters
    ----------
    pattern : str
        Regular expression with the group ``number``; the group ``unit`` may lack.

    Raises
    ------
    LineFormatError
        If the pattern cannot be used.

    Examples
    --------
    >>> reader = LineReader()
    >>> reader.feed(b"N   +  52.3"), reader.feed(b"10 g  \r\nS     1,500 g\r\n")
    ([], ['+52.310 g', '1,500 g'])
    """

    def __init__(self, pattern: str = LINE) -> None:
        try:
            self._pattern = re.compile(pattern)
        except (re.error, OverflowError) as error:
            raise LineFormatError(pattern, str(error)) from None
        if "number" not in self._pattern.groupindex:
            raise LineFormatError(pattern, "it has no group called number")
        self._waiting = b""

    def feed(self, data: bytes) -> list[str]:
        """Return the numbers of the lines that these bytes complete."""
        *lines, self._waiting = TERMINATORS.split(self._waiting + data)
        self._waiting = self._waiting[-MOST_WAITING:]
        return [typed for line in lines if (typed := self._typed(line))]

    def _typed(self, line: bytes) -> str:
        """Return number and unit of a line; empty where there is none that a balance shows."""
        match = self._pattern.search(line.decode("ascii", "replace"))
        if match is None:
            return ""
        found = match.groupdict()
        number = "".join((found["number"] or "").split())
        typed = f"{number} {found.get('unit') or 'g'}"
        try:
            read_number(Quantity.TARE, typed)
        except TarebookError:
            return ""
        return typed


class BalancePort:
    """Reads a balance in a thread of its own, and opens the port again when it went away.

    Parameters
    ----------
    port : str
        Such as ``/dev/ttyUSB0`` or ``COM3``.
    baud : int
    pattern : str
        See `LineReader`.

    Raises
    ------
    NoPortError
        If it cannot be opened now.
    LineFormatError
        If the pattern cannot be used.
    """

    def __init__(self, port: str, *, baud: int = 9600, pattern: str = LINE) -> None:
        self.name, self._baud = port, baud
        self._reader = LineReader(pattern)
        self._shown: deque[Shown] = deque(maxlen=MOST_KEPT)
        self._n = 0
        self._lock = threading.Lock()
        self._ended = threading.Event()
        self._open: serial.Serial | None = self._opened()
        self._thread = threading.Thread(target=self._read, daemon=True)
        self._thread.start()

    def since(self, n: int) -> Json:
        """Return what came after the reading `n`, as the bench page gets it."""
        with self._lock:
            shown = [one for one in self._shown if one.n > n]
            return {
                "connected": self._open is not None,
                "name": self.name,
                "readings": [
                    {"n": one.n, "typed": one.typed, "at": time_text(one.at)} for one in shown
                ],
                "last": self._n,
            }

    def close(self) -> None:
        """Let go of the port."""
        self._ended.set()
        self._thread.join(timeout=PAUSE)
        if self._open is not None:
            self._open.close()

    def _opened(self) -> serial.Serial:
        try:
            return serial.Serial(self.name, self._baud, timeout=0.2)
        except (OSError, ValueError, OverflowError) as error:
            number = getattr(error, "errno", None)
            reason = os.strerror(number).lower() if isinstance(number, int) else str(error)
            raise NoPortError(self.name, reason) from None

    def _read(self) -> None:
        while not self._ended.is_set():
            if self._open is None:
                self._try_again()
                continue
            try:
                # All that is there, or the first byte that comes within the time-out.
                data = self._open.read(self._open.in_waiting or 1)
            except OSError:
                self._open.close()
                self._open = None
                continue
            self._take(self._reader.feed(data))

    def _try_again(self) -> None:
        try:
            self._open = self._opened()
        except NoPortError:
            self._ended.wait(PAUSE)

    def _take(self, numbers: list[str]) -> None:
        with self._lock:
            for typed in numbers:
                self._n += 1
                self._shown.append(Shown(n=self._n, typed=typed, at=clock()))
