"""Put events into an open record: a delivery of readings, a correction, a withdrawal."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from tarebook.api.open_record import OpenRecord, clock, new_id, open_record
from tarebook.api.placing import SETTING
from tarebook.core.errors import Fault, InputError
from tarebook.records.definition import definition_event, last_definition
from tarebook.records.errors import IdTakenError, RecordError
from tarebook.records.events import (
    LONE_GROUP,
    Event,
    Kind,
    Received,
    event_of,
    number_of,
    object_of,
    time_text,
    unit_of,
)
from tarebook.records.fold import Conflict, Entry, Folded, fold
from tarebook.records.log import EventLog
from tarebook.records.readings import Quantity
from tarebook.records.sheet import HEADER, NOTE
from tarebook.records.typed import read_number

__all__ = [
    "HEADER",
    "LONE_GROUP",
    "NOTE",
    "SETTING",
    "Conflict",
    "Delivered",
    "Entry",
    "Event",
    "EventLog",
    "Folded",
    "IdTakenError",
    "Kind",
    "OpenRecord",
    "Quantity",
    "Received",
    "RecordError",
    "clock",
    "correct",
    "event_of",
    "fold",
    "new_id",
    "note_definition",
    "object_of",
    "open_record",
    "read_number",
    "record",
    "time_text",
    "withdraw",
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


def correct(
    opened: OpenRecord,
    group: str,
    superseded: str,
    typed: str,
    *,
    reason: str,
    who: str = "",
    device: str,
    instrument: str = "",
    now: dt.datetime | None = None,
) -> Received:
    """Record a correction of an event.

    Parameters
    ----------
    opened : OpenRecord
    group : str
        Only its own events can be corrected.
    superseded : str
        Id of the event that no longer counts.
    typed : str
        What counts instead.
    reason : str
        Why.
    who, device, instrument : str
        Who says so, on what; an instrument if it was read anew.

    Raises
    ------
    InputError
        If the group has no such event, or what was typed is no number.
    RecordError
        If the store cannot take it.
    """
    old = _event_of_group(opened, group, superseded)
    event = made(
        old,
        kind=Kind.CORRECTION,
        typed=typed.strip(),
        number=number_of(old.column, typed.strip()),
        reason=reason,
        who=who,
        device=device,
        instrument=instrument or old.instrument,
        now=now or clock(),
    )
    return opened.log.append([event], now=now or clock())[0]


def withdraw(
    opened: OpenRecord,
    group: str,
    superseded: str,
    *,
    reason: str,
    who: str = "",
    device: str,
    now: dt.datetime | None = None,
) -> Received:
    """Record that an event does not count, with the reason; see `correct`."""
    event = made(
        _event_of_group(opened, group, superseded),
        kind=Kind.WITHDRAWAL,
        typed="",
        number="",
        reason=reason,
        who=who,
        device=device,
        instrument="",
        now=now or clock(),
    )
    return opened.log.append([event], now=now or clock())[0]


def made(
    old: Event,
    *,
    kind: Kind,
    typed: str,
    number: str,
    reason: str,
    who: str,
    device: str,
    instrument: str,
    now: dt.datetime,
) -> Event:
    """Return a new event that supersedes an old one, in the same cell of the sheet."""
    return Event(
        id=new_id(),
        kind=kind,
        group=old.group,
        run=old.run,
        column=old.column,
        repeat=old.repeat,
        typed=typed,
        number=number,
        unit="" if kind is Kind.WITHDRAWAL else unit_of(old.column),
        instrument=instrument,
        who=who,
        device=device,
        taken=now,
        supersedes=old.id,
        reason=reason.strip(),
    )


def _event_of_group(opened: OpenRecord, group: str, id_: str) -> Event:
    for one in opened.log.events(group=group):
        if one.event.id == id_:
            return one.event
    allowed = f"the id of an event of group {group}"
    raise InputError([Fault(where="supersedes", found=repr(id_[:60]), allowed=allowed)])


def note_definition(opened: OpenRecord, *, now: dt.datetime | None = None) -> None:
    """Put the definition into the record if it is another one than the last there."""
    last = last_definition(opened.log.events())
    if last is None or last.event.typed != opened.definition:
        now = now or clock()
        event = definition_event(opened.definition, last, id_=new_id(), now=now)
        opened.log.append([event], now=now)
