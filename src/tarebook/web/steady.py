"""A clock that nobody sets: it starts right and then only counts."""

from __future__ import annotations

import time
from typing import Final

from itsdangerous import TimestampSigner


def _counted() -> float:
    """Return seconds since some moment; where the system can, those asleep too."""
    boot: int | None = getattr(time, "CLOCK_BOOTTIME", None)
    return time.monotonic() if boot is None else time.clock_gettime(boot)


class SteadyClock:
    """The time by the clock of the computer when this was made, and what was counted since."""

    def __init__(self) -> None:
        self._made, self._from = time.time(), _counted()

    def now(self) -> float:
        """Return the time in seconds since 1970."""
        return self._made + _counted() - self._from


CLOCK: Final = SteadyClock()


class SteadySigner(TimestampSigner):
    """Signs with the time of a clock that nobody sets."""

    def get_timestamp(self) -> int:
        """Return the time that is signed."""
        return int(CLOCK.now())
