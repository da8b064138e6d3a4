"""The count of wrong codes and secrets: who has to wait before the next try."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict, deque
from collections.abc import Callable
from dataclasses import dataclass, field

from tarebook.web.places import place_of

SECRET = ""
"""Stands for any secret, which is never told apart: each costs a tenth of a second to look at."""


@dataclass(slots=True)
class Tries:
    """Counts wrong codes, by address, by code and in all, and says who has to wait.

    A try counts as wrong from the moment it begins: many at the same time get no further than one
    after the other. `right` takes it back. A code that was typed before from the same address is no
    new guess: a class that reads the same wrong code from the board is counted once. Secrets are
    too long to be guessed, however many try: they count for their address alone. And whoever
    guesses from many addresses makes nobody else wait who has not typed a wrong code: the first of
    an address is always looked at.

    Parameters
    ----------
    of_one, of_all : int
        Wrong codes in a minute.
    clock : callable
        Seconds that only grow.
    """

    of_one: int = 10
    of_all: int = 100
    clock: Callable[[], float] = time.monotonic
    _by_address: OrderedDict[str, deque[tuple[float, int]]] = field(default_factory=OrderedDict)
    _all: deque[tuple[float, int]] = field(default_factory=deque)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    WINDOW = 60.0
    MOST_ADDRESSES = 10_000

    def begin(self, address: str, typed: str) -> int:
        """Begin a try and return 0; or return how many seconds the address has to wait.

        Parameters
        ----------
        address : str
        typed : str
            The code, as it is compared; or `SECRET`. Only a number made of it is kept, another
            one in each process.
        """
        now, place, what = self.clock(), place_of(address), hash(typed)
        with self._lock:
            own = self._by_address.setdefault(place, deque())
            self._by_address.move_to_end(place)
            if len(self._by_address) > self.MOST_ADDRESSES:
                self._by_address.popitem(last=False)
            self._forget(own, now)
            self._forget(self._all, now)
            if typed != SECRET and any(known == what for _, known in own):
                return 0
            waits = [own[0][0]] if len(own) >= self.of_one else []
            if typed != SECRET and own and len(self._all) >= self.of_all:
                waits.append(self._all[0][0])
            if waits:
                return max(1, round(max(waits) + self.WINDOW - now))
            own.append((now, what))
            if typed != SECRET:
                self._all.append((now, what))
        return 0

    def right(self, address: str, typed: str) -> None:
        """Take back the count of a try: the code was right."""
        what = hash(typed)
        with self._lock:
            for times in (self._by_address.get(place_of(address), deque()), self._all):
                found = next((one for one in reversed(times) if one[1] == what), None)
                if found is not None:
                    times.remove(found)

    def _forget(self, times: deque[tuple[float, int]], now: float) -> None:
        while times and times[0][0] <= now - self.WINDOW:
            times.popleft()
        while len(times) > 10 * self.of_all:
            times.popleft()
