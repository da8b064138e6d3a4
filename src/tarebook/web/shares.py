"""Each group's share of the server: who uses more than that waits, and nobody else does."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field

IN_HAND = 0.25
"""Seconds of work that a group may ask for at once: some thousand readings, more than it can have
kept on its devices while the network was away."""

LATELY = 5.0
"""Who has asked for something within so many seconds has a share."""

LEAST = 0.05
"""Of one processor that any group gets: four times what three devices need that record a reading
each second."""

LONGEST = 0.5
"""Seconds after which who waits looks again: others may have gone meanwhile."""


@dataclass(slots=True)
class _OfGroup:
    asked: float
    in_hand: float = IN_HAND
    counted: float = 0.0


@dataclass(slots=True)
class Shares:
    """What each group has in hand: work uses it up, and it comes back with the group's share.

    Of a processor each group that has asked lately has the same share: a lone one all of it.

    Parameters
    ----------
    clock : callable
        Returns seconds.
    """

    clock: Callable[[], float] = time.monotonic
    _of: dict[str, _OfGroup] = field(default_factory=dict)

    def ask(self, group: str) -> None:
        """Note that a group asks for something."""
        now = self.clock()
        self._of.setdefault(group, _OfGroup(now, counted=now)).asked = now

    def use(self, group: str, seconds: float) -> None:
        """Put work down to a group that has asked.

        Parameters
        ----------
        group : str
        seconds : float
            Of a processor.
        """
        self._count(group).in_hand -= seconds

    def rest(self, group: str) -> float:
        """Return for how many seconds a group that has asked waits before it looks again.

        Parameters
        ----------
        group : str

        Returns
        -------
        float
            0 if its work may begin.
        """
        missing = -self._count(group).in_hand
        return min(missing / self._share(), LONGEST) if missing > 0.0 else 0.0

    def _count(self, group: str) -> _OfGroup:
        """Give a group what has come back since it was last counted."""
        known, now = self._of[group], self.clock()
        if known.in_hand < IN_HAND:
            came_back = (now - known.counted) * self._share()
            known.in_hand = min(known.in_hand + came_back, IN_HAND)
        known.counted = now
        return known

    def _share(self) -> float:
        lately = self.clock() - LATELY
        return max(LEAST, 1.0 / max(sum(one.asked >= lately for one in self._of.values()), 1))
