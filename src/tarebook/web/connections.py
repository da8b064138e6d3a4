"""The connections of the app: how many there are, whose, and which has to give way.

Whoever comes is let in as long as somebody else can give way: first the oldest connection that has
not sent the head of a request yet, of the address that has most of those; then the oldest that has
sent a part of a body for some time; then the one that has been idle longest; then any that has not
sent its body. Somebody who opens many and sends nothing whole so drives out only their own.
"""

from __future__ import annotations

import asyncio
import contextlib
import errno
import logging
import os
import socket
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from enum import Enum
from typing import Any

from tarebook.web.limits import Limits
from tarebook.web.places import place_of

LOG = logging.getLogger("tarebook.web")

SLACK = 32
"""Connections that were told to give way and are not closed yet, beyond the limit."""

IN_A_ROW = 4
"""Connections that are let in before those that are there have their turn again."""

LET_IN_A_SECOND = 150
"""Connections that are let in where hardly any are left: somebody whose connections give way may
open others at once, and to let all of them in would leave time for nothing else."""

MOMENT = 0.001
"""Seconds for which the loop rests where somebody waits whom it cannot let in yet: it is told of
that again and again, and would do nothing else."""

SLOW = 3.0
"""Seconds for a body after which a connection gives way before one that waits between requests: a
delivery is sent in less, and one that is cut off is sent again."""

_OUT_OF_FILES = (errno.EMFILE, errno.ENFILE, errno.ENOBUFS, errno.ENOMEM)

FULL = (
    b"HTTP/1.1 503 Service Unavailable\r\nretry-after: 5\r\nconnection: close\r\n"
    b"content-type: text/plain; charset=utf-8\r\ncontent-length: 53\r\n\r\n"
    b"Too many devices at once. Try again in a few seconds."
)


class State(Enum):
    """What a connection is doing."""

    OPENING = "it has not sent the head of a request yet"
    SENDING = "it sends the body of a request"
    BUSY = "it is being answered"
    IDLE = "it was answered and waits"


GIVE_WAY = ((State.OPENING, 0.0), (State.SENDING, SLOW), (State.IDLE, 0.0), (State.SENDING, 0.0))
"""Who gives way first, and after how many seconds in that state."""


@dataclass(slots=True, eq=False)
class Connection:
    """One connection.

    Attributes
    ----------
    socket : socket.socket
    place : str
        Whose it is: an address, or a network of IPv6.
    state : State
    since : float
        When it came into its state.
    leaves : bool
        Whether it was told to give way.
    unsent : callable
        Returns how many bytes of its answers wait to be taken.
    """

    socket: socket.socket
    place: str
    state: State
    since: float
    leaves: bool = False
    unsent: Callable[[], int] = lambda: 0
    last_unsent: int = 0
    moved: float = 0.0

    def end(self) -> None:
        """Have it closed: the loop that reads from it meets its end."""
        self.leaves = True
        with contextlib.suppress(OSError):
            self.socket.shutdown(socket.SHUT_RDWR)


@dataclass(slots=True)
class Connections:
    """Those that are open; used by the thread of the server's loop alone.

    Parameters
    ----------
    limits : Limits
    clock : callable
        Seconds that only grow.
    """

    limits: Limits
    clock: Callable[[], float] = time.monotonic
    _open: dict[int, Connection] = field(default_factory=dict)
    # Those that stay, the longest in its state first: in a flood, to go through all of them for
    # each that comes would cost more than to answer.
    _staying: dict[str, dict[State, dict[Connection, None]]] = field(default_factory=dict)
    _n_staying: int = 0
    _let_in: float = -1.0

    def __len__(self) -> int:
        return len(self._open)

    def of(self, handle: int) -> Connection | None:
        """Return the connection of a file handle."""
        return self._open.get(handle)

    def is_crowded(self) -> bool:
        """Return whether so many are leaving that nobody can come in before they are gone."""
        return len(self._open) >= self.limits.connections + SLACK

    def is_too_soon(self) -> bool:
        """Return whether the next one has to wait, since few are left and one has just come."""
        if self._n_staying < self.limits.of_address:
            return False
        return self.clock() - self._let_in < 1.0 / LET_IN_A_SECOND

    def take(self, accepted: socket.socket, address: str) -> bool:
        """Take a connection, or return that there is no room for it."""
        place = place_of(address)
        n_own = sum(len(those) for those in self._staying.get(place, {}).values())
        if n_own >= self.limits.of_address:
            there_is_room = self._one_gives_way([place])
        elif self._n_staying >= self.limits.connections:
            there_is_room = self._one_gives_way(self._staying)
        else:
            there_is_room = True
        if there_is_room:
            now = self._let_in = self.clock()
            new = Connection(accepted, place, State.OPENING, now, moved=now)
            self._open[accepted.fileno()] = new
            self._stays(new)
        return there_is_room

    def closed(self, handle: int) -> None:
        """Forget a connection that was closed."""
        known = self._open.pop(handle, None)
        if known is not None:
            self._stays_no_longer(known)

    def enter(self, connection: Connection, state: State) -> None:
        """Note what a connection does now."""
        stays = self._stays_no_longer(connection)
        connection.state, connection.since = state, self.clock()
        if stays:
            self._stays(connection)

    def sweep(self) -> None:
        """End those that took too long."""
        now = self.clock()
        patience = {
            State.OPENING: self.limits.head_seconds,
            State.SENDING: self.limits.body_seconds,
            State.IDLE: self.limits.idle_seconds,
        }
        for one in list(self._open.values()):
            unsent = one.unsent()
            if not unsent or unsent != one.last_unsent:
                one.last_unsent, one.moved = unsent, now
            most = patience.get(one.state)
            late = most is not None and now - one.since > most
            stalls = now - one.moved > self.limits.stall_seconds
            if not one.leaves and (late or stalls):
                self._end(one)
                # Browsers open connections in advance, and leave some unused: nothing to tell of.
                if stalls or one.state is State.SENDING:
                    LOG.warning("A device took too long over a request; its connection was closed.")
        self.bound_unsent()

    def bound_unsent(self) -> None:
        """End those with most of what nobody takes, until the rest is no more than may be."""
        waiting = sorted(self._open.values(), key=lambda one: one.unsent())
        total = sum(one.unsent() for one in waiting)
        while waiting and total > self.limits.unsent_bytes:
            largest = waiting.pop()
            total -= largest.unsent()
            self._end(largest)
            LOG.warning("A device did not take its answers; its connection was closed.")

    def _one_gives_way(self, places: Iterable[str]) -> bool:
        for state, seconds in GIVE_WAY:
            those = [self._staying[place][state] for place in places if self._staying[place][state]]
            if those:
                most = max(len(of_place) for of_place in those)
                oldest = [next(iter(of_place)) for of_place in those if len(of_place) == most]
                first = min(oldest, key=lambda one: one.since)
                if self.clock() - first.since < seconds:
                    continue
                self._end(first)
                LOG.warning("There were too many connections; the oldest idle one was closed.")
                return True
        return False

    def _end(self, connection: Connection) -> None:
        self._stays_no_longer(connection)
        connection.end()

    def _stays(self, connection: Connection) -> None:
        of_place = self._staying.setdefault(connection.place, {state: {} for state in State})
        of_place[connection.state][connection] = None
        self._n_staying += 1

    def _stays_no_longer(self, connection: Connection) -> bool:
        """Note that a connection leaves; return whether it stayed until now."""
        of_place = self._staying.get(connection.place)
        if of_place is None or connection not in of_place[connection.state]:
            return False
        del of_place[connection.state][connection]
        self._n_staying -= 1
        if not any(of_place.values()):
            del self._staying[connection.place]
        return True


class _Accepted(socket.socket):
    """A connection that says when it is closed."""

    connections: Connections | None = None

    def close(self) -> None:
        handle = self.fileno()
        if self.connections is not None and handle >= 0:
            self.connections.closed(handle)
        super().close()


class Door(socket.socket):
    """The socket at which the app listens: it lets in as many as there is room for.

    Parameters
    ----------
    connections : Connections
    refusal : bytes
        What is said to those for whom there is no room; empty where only keys are understood.
    """

    def __init__(self, connections: Connections, refusal: bytes = FULL) -> None:
        super().__init__(socket.AF_INET, socket.SOCK_STREAM)
        self._connections, self._refusal = connections, refusal
        # Where the system has no file left, it is let go for the moment of a refusal.
        self._spare: int | None = os.open(os.devnull, os.O_RDONLY)
        self._in_a_row = 0

    def accept(self) -> tuple[socket.socket, Any]:
        """Return the next connection.

        Raises
        ------
        BlockingIOError
            If nobody waits, or nobody can come in at the moment: the loop asks again in its next
            round.
        """
        while True:
            if self._connections.is_crowded() or self._connections.is_too_soon():
                time.sleep(MOMENT)
                raise BlockingIOError
            if not self._is_in_turn():
                raise BlockingIOError
            try:
                accepted, address = self._next()
            except OSError as error:
                if error.errno not in _OUT_OF_FILES:
                    raise
                self._refuse_without_files()
                raise BlockingIOError from None
            if self._connections.take(accepted, address[0]):
                accepted.connections = self._connections
                return accepted, address
            LOG.warning("A connection was refused: all that there may be are in use.")
            self._refuse(accepted)

    def close(self) -> None:
        """Close it."""
        if self._spare is not None:
            os.close(self._spare)
            self._spare = None
        super().close()

    def _is_in_turn(self) -> bool:
        """Return whether one more may come in this round of the loop."""
        if self._in_a_row == 0:
            asyncio.get_running_loop().call_soon(self._begin_round)
        self._in_a_row += 1
        return self._in_a_row <= IN_A_ROW

    def _begin_round(self) -> None:
        self._in_a_row = 0

    def _next(self) -> tuple[_Accepted, Any]:
        handle, address = self._accept()  # type: ignore[attr-defined]  # as socket.accept does
        return _Accepted(self.family, self.type, self.proto, fileno=handle), address

    def _refuse(self, accepted: socket.socket) -> None:
        with contextlib.suppress(OSError):
            accepted.setblocking(False)
            accepted.send(self._refusal)
        accepted.close()

    def _refuse_without_files(self) -> None:
        """Refuse the next one where the system has no file left for it."""
        LOG.warning("A connection was refused: the system has no open files left.")
        if self._spare is None:
            return
        os.close(self._spare)
        self._spare = None
        with contextlib.suppress(OSError):
            accepted, _ = self._next()
            self._refuse(accepted)
        with contextlib.suppress(OSError):
            self._spare = os.open(os.devnull, os.O_RDONLY)
