"""The log of an experiment in an SQL database."""

from __future__ import annotations

import datetime as dt
import threading
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from sqlalchemy import (
    Connection,
    Engine,
    Row,
    Select,
    bindparam,
    insert,
    literal,
    select,
    text,
)

from tarebook.core.errors import InputError
from tarebook.records.chain import (
    Head,
    Link,
    canonical,
    chained,
    first_hash,
    first_that_does_not_follow,
    hash_of,
    head_after,
    in_turn,
    line_of,
)
from tarebook.records.errors import (
    DamagedRecordError,
    IdTakenError,
    RecordError,
    RecordReplacedError,
)
from tarebook.records.events import (
    FIELDS,
    SIGNED_BY,
    Event,
    Kind,
    Received,
    object_of,
    time_of,
    time_text,
)
from tarebook.records.log import new_ones, not_empty, whole_chain
from tarebook.records.store.keeper import FileKeeper, damage_of
from tarebook.records.store.refusals import plainly
from tarebook.records.store.schema import EVENTS

_LAST = (
    select(EVENTS.c.sequence, EVENTS.c.hash)
    .where(EVENTS.c.experiment == bindparam("experiment"))
    .order_by(EVENTS.c.sequence.desc())
    .limit(1)
)
_NAMES = (*FIELDS, *SIGNED_BY, "sequence", "received", "previous", "hash")


def _after(*, signed: bool) -> Select[Any]:
    """Return the query for later events; a record that is only read may have no signatures yet."""
    columns = [
        literal("").label(name) if name in SIGNED_BY and not signed else EVENTS.c[name]
        for name in _NAMES
    ]
    return (
        select(*columns)
        .where(
            EVENTS.c.experiment == bindparam("experiment"),
            EVENTS.c.sequence > bindparam("after"),
        )
        .order_by(EVENTS.c.sequence)
    )


_ADD = insert(EVENTS)

_AT_ONCE = 500
"""Ids that are looked up in one question: far below what a database takes."""

# Any number will do, as long as no other program of the database uses the same.
_LOCK_CLASS = 0x5441


@dataclass(slots=True, kw_only=True)
class _Delivery:
    """Events that wait to be recorded, and what came of it."""

    events: Sequence[Event]
    now: dt.datetime
    turn: threading.Event = field(default_factory=threading.Event)
    done: bool = False
    received: tuple[Received, ...] = ()
    error: Exception | None = None


@dataclass(slots=True, kw_only=True)
class _Known:
    """What is in memory of the log: events are never changed, so it can only fall behind."""

    head: Head
    received: list[Received] = field(default_factory=list)
    by_id: dict[str, Received] = field(default_factory=dict)
    by_group: dict[str, list[Received]] = field(default_factory=dict)

    def add(self, received: Sequence[Received]) -> None:
        """Add what is not there yet; a reader may have been quicker than the writer."""
        for one in received:
            if one.sequence > len(self.received):
                self.by_id[one.event.id] = one
                self.by_group.setdefault(one.event.group, []).append(one)
                self.received.append(one)
                self.head = Head(count=one.sequence, hash=one.hash)


class SqlLog:
    """The events of one experiment in a database; see `tarebook.records.log.EventLog`.

    Deliveries that wait while another is being written are written together, in one transaction:
    each is still recorded whole or not at all, and none is acknowledged before the commit.

    Parameters
    ----------
    engine : Engine
    name : str
        Of the record, for messages.
    number : int
        Of the experiment in the database.
    key : str
        Of the experiment.
    keeper : FileKeeper, optional
        Of a file that is written to.
    signed : bool
        Whether its tables have room for signatures: those of older versions have not.
    """

    def __init__(
        self,
        engine: Engine,
        *,
        name: str,
        number: int,
        key: str,
        keeper: FileKeeper | None = None,
        signed: bool = True,
    ) -> None:
        self._after = _after(signed=signed)
        self._engine, self._name, self._number, self._key = engine, name, number, key
        self._keeper = keeper
        self._known = _Known(head=Head(count=0, hash=first_hash(key)))
        self._know = threading.Lock()
        self._queue = threading.Lock()
        self._waiting: list[_Delivery] = []
        self._writing = False
        self._refused = ""

    @property
    def experiment(self) -> str:
        """Key of the experiment."""
        return self._key

    @property
    def number(self) -> int:
        """Number of the experiment in the database."""
        return self._number

    @property
    def engine(self) -> Engine:
        """The way to the database."""
        return self._engine

    @property
    def name(self) -> str:
        """Name of the record for messages: its file, or its database without the password."""
        return self._name

    def append(self, events: Sequence[Event], *, now: dt.datetime) -> tuple[Received, ...]:
        """Record a delivery: all of it, durably, or nothing; see `EventLog.append`."""
        delivery = _Delivery(events=events, now=now.astimezone(dt.UTC))
        with self._queue:
            self._waiting.append(delivery)
            leads = not self._writing
            self._writing = True
        if not leads:
            delivery.turn.wait()
        if not delivery.done:
            self._lead()
        if delivery.error is not None:
            raise delivery.error
        return delivery.received

    def _lead(self) -> None:
        """Record all that waits, then let the next thread that waits do the same."""
        with self._queue:
            batch, self._waiting = self._waiting, []
        try:
            self._record(batch)
        finally:
            with self._queue:
                self._writing = bool(self._waiting)
                ready = [*batch, *self._waiting[:1]]
            for delivery in ready:
                delivery.turn.set()

    def _record(self, deliveries: Sequence[_Delivery]) -> None:
        """Record deliveries in one transaction; the caller holds the lock for writing."""
        for delivery in deliveries:
            # Whatever happens now, nobody is told that a delivery is safe unless it is.
            delivery.done, delivery.error = True, _interrupted(self._name)
        try:
            self._write(deliveries)
        except Exception as error:
            # Each of those that wait raises it in its own thread.
            for delivery in deliveries:
                delivery.error = error
            return
        for delivery in deliveries:
            if delivery.error is None:
                by_id = self._known.by_id
                delivery.received = tuple(by_id[event.id] for event in delivery.events)

    def _write(self, deliveries: Sequence[_Delivery]) -> None:
        self._settle()
        with plainly(self._name), self._engine.connect() as connection:
            writer = connection.execution_options(writing=True)
            with writer.begin():
                self._lock_for_writing(writer)
                self._catch_up(writer)
                self._refuse_lost(writer, deliveries)
                new = self._chain(deliveries)
                self._insert(writer, new)
        with self._know:
            self._known.add(new)
        # The commit may have gone into a file that was taken away meanwhile.
        self._settle()
        if self._keeper is not None:
            with plainly(self._name):
                self._keeper.written(self._key, self._known.head)

    def refuse_from_now_on(self, reason: str) -> None:
        """Refuse all that is asked of the log until it is opened again.

        Parameters
        ----------
        reason : str
            Why it is not the record that it should be, by what is known outside it.
        """
        self._refused = reason

    def remembers(self, head: Head) -> bool:
        """Return whether the chain stood at a head, as far as it was read or written here."""
        known = self._known.received
        return 0 < head.count <= len(known) and known[head.count - 1].hash == head.hash

    def known_head(self) -> Head:
        """Return the end of the chain as far as it was read or written here: nothing is asked."""
        return self._known.head

    def _settle(self) -> None:
        """Refuse a file that is not the one that was opened, or lost what was acknowledged."""
        if self._refused:
            raise RecordReplacedError(self._name, self._refused)
        if self._keeper is not None:
            self._keeper.settle(partial(self._refuse_other, self._known.head.count))

    def _refuse_other(self, count: int, connection: Connection) -> None:
        """Refuse a record that does not hold the first so many events that are known of it."""
        after = {"experiment": self._number, "after": 0}
        with self._know:
            known = self._known.received[:count]
        found = [self._received(row) for row in connection.execute(self._after, after)]
        for one, kept in zip(known, found, strict=False):
            if one.hash != kept.hash:
                raise RecordReplacedError(
                    self._name, f"its event {one.sequence} is another one than was acknowledged"
                )
        if len(found) < len(known):
            raise self._shrunk(len(found), len(known))

    def _refuse_lost(self, connection: Connection, deliveries: Sequence[_Delivery]) -> None:
        """Refuse a record without an event that comes again: memory alone acknowledges nothing."""
        known = self._known.by_id
        again = [known[e.id] for one in deliveries for e in one.events if e.id in known]
        for start in range(0, len(again), _AT_ONCE):
            part = again[start : start + _AT_ONCE]
            query = select(EVENTS.c.id, EVENTS.c.hash).where(
                EVENTS.c.experiment == self._number, EVENTS.c.id.in_([one.event.id for one in part])
            )
            hashes = {row.id: row.hash for row in connection.execute(query)}
            for one in part:
                if hashes.get(one.event.id) != one.hash:
                    lost = f"its event {one.sequence}, which was acknowledged, is gone"
                    raise RecordReplacedError(self._name, lost)

    def _shrunk(self, found: int, known: int) -> RecordReplacedError:
        return RecordReplacedError(
            self._name, f"it holds {found} events, and {known} were acknowledged"
        )

    def _chain(self, deliveries: Sequence[_Delivery]) -> list[Received]:
        """Return what is new in some deliveries; one that is refused leaves the others be."""
        head = self._known.head
        last = self._known.received[-1].received if self._known.received else None
        pending: dict[str, Received] = {}
        for delivery in deliveries:
            delivery.error = None
            try:
                new = new_ones(delivery.events, self._known.by_id, pending)
            except IdTakenError as error:
                delivery.error = error
                continue
            received = chained(new, head, in_turn(delivery.now, last))
            head = head_after(received, head)
            last = received[-1].received if received else last
            pending |= {one.event.id: one for one in received}
        return list(pending.values())

    def _insert(self, writer: Connection, received: Sequence[Received]) -> None:
        if not received:
            return
        rows = [
            {
                **dict.fromkeys(SIGNED_BY, ""),
                **object_of(one.event),
                "experiment": self._number,
                "sequence": one.sequence,
                "received": time_text(one.received),
                "previous": one.previous,
                "hash": one.hash,
            }
            for one in received
        ]
        writer.execute(_ADD, rows)

    def _lock_for_writing(self, writer: Connection) -> None:
        """Let no other program write to this experiment until the transaction ends."""
        if self._engine.dialect.name == "postgresql":
            lock = text("SELECT pg_advisory_xact_lock(:class, :number)")
            writer.execute(lock, {"class": _LOCK_CLASS, "number": self._number})

    def _catch_up(self, connection: Connection) -> None:
        """Take into memory what other programs have recorded."""
        # First what is known: it may grow while this connection still sees what was before.
        known = self._known.head
        last = connection.execute(_LAST, {"experiment": self._number}).first()
        count = last.sequence if last else 0
        if not isinstance(count, int):
            raise self._altered(count, "it has no number")
        if count < known.count:
            raise self._shrunk(count, known.count)
        if count == known.count:
            if last and last.hash != known.hash:
                raise self._altered(count, "it is another one than was acknowledged")
            return
        with self._know:
            after = {"experiment": self._number, "after": self._known.head.count}
            rows = connection.execute(self._after, after).all()
            new = [self._received(row) for row in rows]
            gap = first_that_does_not_follow(new, self._known.head)
            if gap:
                raise self._altered(gap, "it is missing, or does not follow the one before it")
            self._known.add(new)

    def _received(self, row: Row[Any]) -> Received:
        """Return an event from its row, whose hash must still be right."""
        values = dict(zip(_NAMES, row, strict=True))
        number = values["sequence"]
        try:
            received = Received(
                sequence=values.pop("sequence"),
                received=time_of(values.pop("received")),
                previous=values.pop("previous"),
                hash=values.pop("hash"),
                event=Event(
                    **values | {"kind": Kind(values["kind"]), "taken": time_of(values["taken"])}
                ),
            )
            fault = "" if received.hash == hash_of(line_of(received)) else "its hash is another one"
        except InputError as error:
            fault = str(error.faults[0]).rstrip(".")
        except (ValueError, TypeError, OverflowError):
            fault = "it holds what no event can hold"
        if fault:
            raise self._altered(number, fault)
        return received

    def _altered(self, number: object, fault: str) -> DamagedRecordError:
        return DamagedRecordError(
            self._name,
            f"event {number} was altered: {fault}",
            "Keep the file as it is, and see where: tarebook verify FOLDER.",
        )

    def events(self, *, group: str = "", after: int = 0) -> tuple[Received, ...]:
        """Return the events of a group, or of all, with a sequence number above `after`."""
        self._settle()
        with plainly(self._name), self._engine.connect() as connection:
            self._catch_up(connection)
        return self.known(group=group, after=after)

    def known(self, *, group: str = "", after: int = 0) -> tuple[Received, ...]:
        """Return the same as far as it was read or written here: the store is not asked."""
        known = self._known
        with self._know:
            if not group:
                return tuple(known.received[after:])
            of_group = known.by_group.get(group, [])
            begin = bisect_right(of_group, after, key=lambda one: one.sequence)
            return tuple(of_group[begin:])

    def head(self) -> Head:
        """Return the end of the chain."""
        self._settle()
        with plainly(self._name), self._engine.connect() as connection:
            last = connection.execute(_LAST, {"experiment": self._number}).first()
        if last is None:
            return Head(count=0, hash=first_hash(self._key))
        if not isinstance(last.sequence, int):
            raise self._altered(last.sequence, "it has no number")
        return Head(count=last.sequence, hash=last.hash)

    def links(self) -> Iterator[Link]:
        """Return every event as it stands in the database, nothing believed."""
        after = {"experiment": self._number, "after": -1}
        with plainly(self._name), self._engine.connect() as connection:
            for row in connection.execute(self._after, after):
                yield Link(line=_line_of_row(row), hash=row.hash)

    def damage(self) -> str:
        """Return what the database finds wrong with itself; empty if nothing."""
        with plainly(self._name), self._engine.connect() as connection:
            return damage_of(connection)

    def restore(self, events: Sequence[Received]) -> None:
        """Record the events of an archive as they were received; see `EventLog.restore`."""
        whole_chain(self._key, events)
        with plainly(self._name), self._engine.connect() as connection:
            writer = connection.execution_options(writing=True)
            with writer.begin():
                self._lock_for_writing(writer)
                if writer.execute(_LAST, {"experiment": self._number}).first() is not None:
                    raise not_empty(self._name)
                self._insert(writer, events)
            with self._know:
                self._known.add(events)

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()


def _interrupted(name: str) -> RecordError:
    return RecordError(name, "the work was interrupted", "Send the readings again.")


def _line_of_row(row: Row[Any]) -> str:
    values = dict(zip(_NAMES, row, strict=True))
    del values["hash"]
    # Whoever takes the guards away can put in bytes, which no line can hold: then there is none.
    plain = {
        name: None if isinstance(value, bytes) else value
        for name, value in values.items()
        if name not in SIGNED_BY or value != ""
    }
    return canonical(plain)
