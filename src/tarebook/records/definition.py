"""The definition in the record: by which one readings were taken, and whether it differs now.

The whole text is an event like any other, in a column of its own and of no group. The first is a
reading; another one is a correction of it, so that the last one counts.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from tarebook.records.events import DEFINITION, NO_GROUP, Event, Kind, Received, digest_of

BENCH = "bench"
"""What an event that holds a definition names as its device."""

TAKEN_OVER = "the bench was opened with another definition"


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenBy:
    """By which definition readings were taken.

    Attributes
    ----------
    event : int
        Number of the event that holds the definition; 0 where the record held none yet.
    digest : str
        SHA-256 of its text in UTF-8; empty for none.
    n_events : int
        Events of the group that came while it was the last one.
    """

    event: int
    digest: str
    n_events: int = 0


def last_definition(received: Iterable[Received]) -> Received | None:
    """Return the event that holds the last definition of a record; None if none does."""
    found = None
    for one in received:
        if one.event.column == DEFINITION:
            found = one
    return found


def definition_event(text: str, last: Received | None, *, id_: str, now: dt.datetime) -> Event:
    """Return the event that puts a definition into a record.

    Parameters
    ----------
    text : str
    last : Received or None
        The one that it takes the place of.
    id_ : str
        A new one.
    now : datetime
    """
    return Event(
        id=id_,
        kind=Kind.CORRECTION if last else Kind.READING,
        group=NO_GROUP,
        run=NO_GROUP,
        column=DEFINITION,
        repeat=1,
        typed=text,
        number=digest_of(text),
        unit="",
        instrument="",
        who="",
        device=BENCH,
        taken=now,
        supersedes=last.event.id if last else "",
        reason=TAKEN_OVER if last else "",
    )


def taken_by(received: Iterable[Received], group: str) -> tuple[TakenBy, ...]:
    """Return by which definitions the readings of a group were taken, in the order of the record.

    The last one of the record is always among them.

    Parameters
    ----------
    received : iterable of Received
        All events of the record.
    group : str
    """
    counts: dict[tuple[int, str], int] = {}
    now = (0, "")
    for one in received:
        if one.event.column == DEFINITION:
            now = (one.sequence, one.event.number)
        elif one.event.group == group:
            counts[now] = counts.get(now, 0) + 1
    counts.setdefault(now, 0)
    return tuple(
        TakenBy(event=event, digest=digest, n_events=n) for (event, digest), n in counts.items()
    )
