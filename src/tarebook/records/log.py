"""The log of an experiment: what every store of events does."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from typing import Protocol

from tarebook.records.chain import Head, Link, line_of, verify_links
from tarebook.records.errors import BrokenArchiveError, IdTakenError, RecordNotEmptyError
from tarebook.records.events import Event, Received


class EventLog(Protocol):
    """The events of one experiment, in the order in which they were received.

    One log may be used by many threads at once.
    """

    @property
    def experiment(self) -> str:
        """Key of the experiment, a UUID; with the first hash it stands at the head of the chain."""
        ...

    def append(self, events: Sequence[Event], *, now: dt.datetime) -> tuple[Received, ...]:
        """Record a delivery: all of it, durably, or nothing.

        Parameters
        ----------
        events : sequence of Event
            An event that is there already, with the same content, is not recorded twice.
        now : datetime
            When they are received.

        Returns
        -------
        tuple of Received
            One for each of `events`, in their order, as they stand in the log: those that were
            there already keep their sequence number and time. When this returns they are on the
            disk.

        Raises
        ------
        IdTakenError
            With the ids that stand there with another content; nothing was recorded.
        RecordError
            If the store cannot take them; nothing was recorded.
        """
        ...

    def events(self, *, group: str = "", after: int = 0) -> tuple[Received, ...]:
        """Return the events of a group, or of all, with a sequence number above `after`."""
        ...

    def known(self, *, group: str = "", after: int = 0) -> tuple[Received, ...]:
        """Return the same as far as it was read or written here: the store is not asked."""
        ...

    def head(self) -> Head:
        """Return the end of the chain."""
        ...

    def links(self) -> Iterator[Link]:
        """Return every event as it stands in the store, for `verify_links`."""
        ...

    def restore(self, events: Sequence[Received]) -> None:
        """Record the events of an archive as they were received, into a log that is empty.

        Raises
        ------
        RecordNotEmptyError
            If it is not; nothing was recorded.
        BrokenArchiveError
            If they are not a whole chain of this experiment; nothing was recorded.
        """
        ...

    def close(self) -> None:
        """Let go of the store."""
        ...


def new_ones(
    events: Sequence[Event], known: Mapping[str, Received], pending: Mapping[str, Received]
) -> tuple[Event, ...]:
    """Return the events of a delivery that are not recorded yet, each once.

    Parameters
    ----------
    events : sequence of Event
    known, pending : mapping of id to Received
        What is recorded, and what is about to be.

    Raises
    ------
    IdTakenError
        With every id that stands for two different events.
    """
    new: dict[str, Event] = {}
    taken = []
    for event in events:
        there = known.get(event.id) or pending.get(event.id)
        same = event == (there.event if there else new.setdefault(event.id, event))
        if not same:
            taken.append(event.id)
    if taken:
        raise IdTakenError(dict.fromkeys(taken))
    return tuple(new.values())


def whole_chain(experiment: str, events: Sequence[Received]) -> Head:
    """Return the head of a chain that is to be restored.

    Raises
    ------
    BrokenArchiveError
        If it is not whole.
    """
    verdict = verify_links(experiment, (Link(line=line_of(one), hash=one.hash) for one in events))
    if not verdict.whole:
        raise BrokenArchiveError("the list of events", verdict.fault)
    return verdict.head


def not_empty(record: str) -> RecordNotEmptyError:
    """Return the error of a record that would be written over."""
    return RecordNotEmptyError(
        record,
        "holds readings already",
        "Import into a new folder: tarebook import NEW_FOLDER FILE.",
    )
