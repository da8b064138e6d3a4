"""The log of an experiment with no store under it: what every store is held against."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Iterator, Sequence

from tarebook.records.chain import Head, Link, chained, first_hash, head_after, in_turn, line_of
from tarebook.records.events import Event, Received
from tarebook.records.log import new_ones, not_empty, whole_chain


class MemoryLog:
    """A log that lives as long as the test.

    Parameters
    ----------
    experiment : str
        Key of the experiment.
    """

    def __init__(self, experiment: str) -> None:
        self._experiment = experiment
        self._received: list[Received] = []
        self._by_id: dict[str, Received] = {}
        self._head = Head(count=0, hash=first_hash(experiment))
        self._lock = threading.Lock()

    @property
    def experiment(self) -> str:
        """Key of the experiment."""
        return self._experiment

    def append(self, events: Sequence[Event], *, now: dt.datetime) -> tuple[Received, ...]:
        """Record a delivery; see `EventLog.append`."""
        with self._lock:
            new = new_ones(events, self._by_id, {})
            last = self._received[-1].received if self._received else None
            received = chained(new, self._head, in_turn(now.astimezone(dt.UTC), last))
            self._head = head_after(received, self._head)
            self._received += received
            self._by_id |= {one.event.id: one for one in received}
            return tuple(self._by_id[event.id] for event in events)

    def events(self, *, group: str = "", after: int = 0) -> tuple[Received, ...]:
        """Return the events of a group, or of all, with a sequence number above `after`."""
        later = self._received[after:]
        return tuple(one for one in later if not group or one.event.group == group)

    def known(self, *, group: str = "", after: int = 0) -> tuple[Received, ...]:
        """Return the same: all of it is here."""
        return self.events(group=group, after=after)

    def head(self) -> Head:
        """Return the end of the chain."""
        return self._head

    def links(self) -> Iterator[Link]:
        """Return every event as it stands in the store."""
        for one in self._received:
            yield Link(line=line_of(one), hash=one.hash)

    def restore(self, events: Sequence[Received]) -> None:
        """Record the events of an archive; see `EventLog.restore`."""
        with self._lock:
            if self._received:
                raise not_empty("in memory")
            self._head = whole_chain(self._experiment, events)
            self._received = list(events)
            self._by_id = {one.event.id: one for one in events}

    def close(self) -> None:
        """Do nothing: there is no store."""
