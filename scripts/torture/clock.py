"""The time that a part has: what does not fit is left out and said to be."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Clock:
    """Runs from when it is made.

    Attributes
    ----------
    seconds : float
        After which nothing new is begun.
    """

    seconds: float = math.inf
    _begun: float = field(default_factory=time.perf_counter)

    @property
    def left(self) -> float:
        """Seconds that are left."""
        return self.seconds - (time.perf_counter() - self._begun)

    def turns(self, times: int) -> Iterator[int]:
        """Yield 0 to so many, as long as there is time; the first in any case."""
        for number in range(times):
            if number and self.left <= 0.0:
                return
            yield number
