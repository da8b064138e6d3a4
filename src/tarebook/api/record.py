"""Put events into an open record: a delivery, and the definition."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from tarebook.api.open_record import OpenRecord, clock, new_id, open_record
from tarebook.records.definition import definition_event, last_definition
from tarebook.records.errors import IdTakenError, RecordError
from tarebook.records.events import LONE_GROUP, Event, Received

__all__ = [
    "LONE_GROUP",
    "OpenRecord",
    "RecordError",
    "clock",
    "note_definition",
    "open_record",
    "record",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivered:
    """What became of a delivery.

    Attributes
    ----------
    received : tuple of Received
        What is in the record now, for good; events that were there already stand here too.
    refused : tuple of str
        Ids that stand in the record with another content; those events were not recorded.
    """

    received: tuple[Received, ...]
    refused: tuple[str, ...] = ()


def record(
    opened: OpenRecord, events: Sequence[Event], *, now: dt.datetime | None = None
) -> Delivered:
    """Record a delivery; what is received is on the disk when this returns.

    Parameters
    ----------
    opened : OpenRecord
    events : sequence of Event
        In the order in which they were made. Sending one again does no harm.
    now : datetime, optional
        When they are received; the clock says if not given.

    Returns
    -------
    Delivered
        An event whose id stands for another one is refused; the others are recorded.

    Raises
    ------
    RecordError
        If the store cannot take them; nothing of the delivery was recorded.
    """
    now = now or clock()
    refused: tuple[str, ...] = ()
    while True:
        rest = [event for event in events if event.id not in refused]
        try:
            return Delivered(received=opened.log.append(rest, now=now), refused=refused)
        except IdTakenError as error:
            refused += error.ids


def note_definition(opened: OpenRecord, *, now: dt.datetime | None = None) -> None:
    """Put the definition into the record if it is another one than the last there."""
    last = last_definition(opened.log.events())
    if last is None or last.event.typed != opened.definition:
        now = now or clock()
        event = definition_event(opened.definition, last, id_=new_id(), now=now)
        opened.log.append([event], now=now)
