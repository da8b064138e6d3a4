"""A clock that nobody sets: it starts right and then only counts, as long as the machine runs."""

from __future__ import annotations

import contextlib
import json
import time
from pathlib import Path
from typing import Any

from itsdangerous import TimestampSigner

FILE = "clock.json"

_BOOT = Path("/proc/sys/kernel/random/boot_id")


def _counted() -> float:
    """Return seconds since some moment; where the system can, those asleep too."""
    boot: int | None = getattr(time, "CLOCK_BOOTTIME", None)
    return time.monotonic() if boot is None else time.clock_gettime(boot)


def _boot() -> str:
    """Return what tells this start of the machine from others; empty where it does not say."""
    with contextlib.suppress(OSError):
        return _BOOT.read_text(encoding="ascii").strip()
    return ""


class SteadyClock:
    """The time by the clock of the computer when this was made, and what was counted since.

    An app that begins again on a machine that was not switched off goes on counting: a clock that
    was set in between, forward or back, ends no session.

    Parameters
    ----------
    place : Path
        Folder that only its owner may read, where it is noted.
    """

    def __init__(self, place: Path) -> None:
        self._made, self._from = time.time(), _counted()
        boot = _boot()
        with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
            noted = json.loads((place / FILE).read_text(encoding="utf-8"))
            made, counted = float(noted["made"]), float(noted["counted"])
            if boot and noted["boot"] == boot and 0 <= counted <= self._from:
                self._made, self._from = made, counted
                return
        noted = {"boot": boot, "made": self._made, "counted": self._from}
        # What was cut off by a power failure is of another start of the machine anyway.
        with contextlib.suppress(OSError):
            (place / FILE).write_text(json.dumps(noted), encoding="utf-8")

    def now(self) -> float:
        """Return the time in seconds since 1970."""
        return self._made + _counted() - self._from


class SteadySigner(TimestampSigner):
    """Signs with the time of a clock that nobody sets."""

    def __init__(self, *args: Any, clock: SteadyClock, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._clock = clock

    def get_timestamp(self) -> int:
        """Return the time that is signed."""
        return int(self._clock.now())
