r"""The hash chain over the events of an experiment, in the order in which they were received.

An event is one line of text: its JSON object with the keys in alphabetical order and no spaces, as
RFC 8785 writes JSON. The line holds the hash of the line before it, so that nothing can be changed,
left out or moved without every later line changing too. The hash is the SHA-256 of the bytes of the
line, in hexadecimal; the first line holds the SHA-256 of the experiment's key.

References
----------
.. [1] RFC 8785, JSON Canonicalization Scheme (JCS), 2020.
.. [2] NIST FIPS 180-4, Secure Hash Standard, 2015 (SHA-256).
"""

from __future__ import annotations

import datetime as dt
import hashlib
import itertools
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tarebook.core.errors import Fault, InputError
from tarebook.records.events import (
    FIELDS,
    SIGNED_BY,
    Event,
    Received,
    event_of,
    object_of,
    time_of,
    time_text,
)
from tarebook.records.signature import Signers

_CANONICAL = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":"))

LINE_FIELDS = tuple(sorted((*FIELDS, "sequence", "received", "previous")))
"""The keys of a line, in their order."""

SIGNED_LINE_FIELDS = tuple(sorted((*LINE_FIELDS, *SIGNED_BY)))
"""The keys of the line of an event that a device signed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """The end of a chain.

    Attributes
    ----------
    count : int
        Number of events.
    hash : str
        Of the last one; that of the experiment's key if there is none.
    """

    count: int
    hash: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """One event as the store or an archive holds it, before anything is believed about it.

    Attributes
    ----------
    line : str
        Its line, as it stands there or as it follows from the columns of the store.
    hash : str
        The hash that was kept for it; empty if none was.
    """

    line: str
    hash: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What `verify` found.

    Attributes
    ----------
    head : Head
        Of the part that is unbroken.
    fault : str
        The first thing that is wrong, with the number of the event; empty if nothing is.
    set_back : tuple of int
        Events that were received, by the clock, before the one before them.
    n_signed : int
        Events with the signature of the device that recorded them.
    unsigned : tuple of (str, int)
        What else recorded, and how many events.
    """

    head: Head
    fault: str = ""
    set_back: tuple[int, ...] = ()
    n_signed: int = 0
    unsigned: tuple[tuple[str, int], ...] = ()

    @property
    def whole(self) -> bool:
        """Whether nothing was altered, left out or moved."""
        return not self.fault


def first_hash(experiment: str) -> str:
    """Return what the first line of an experiment holds as the hash before it.

    Examples
    --------
    >>> first_hash("abc")
    'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'
    """
    return hash_of(experiment)


def hash_of(line: str) -> str:
    """Return the hash of a line, which is also what the next line holds."""
    return hashlib.sha256(line.encode()).hexdigest()


def line_of(received: Received) -> str:
    """Return the line of an event, without line feed."""
    return _line(received.event, received.sequence, time_text(received.received), received.previous)


def _line(event: Event, sequence: int, received: str, previous: str) -> str:
    place = {"sequence": sequence, "received": received, "previous": previous}
    return canonical({**object_of(event), **place})


def canonical(values: Mapping[str, Any]) -> str:
    """Return JSON as RFC 8785 writes it, of objects with ASCII keys, texts and whole numbers."""
    return _CANONICAL.encode(values)


def received_of(line: str) -> Received:
    """Return the event of a line.

    Raises
    ------
    InputError
        If the line is not one that `line_of` could have written.
    """
    try:
        values = json.loads(line)
    except (ValueError, RecursionError):
        raise _not_a_line(line, "a JSON object") from None
    keys = tuple(sorted(values)) if isinstance(values, dict) else ()
    if keys not in (LINE_FIELDS, SIGNED_LINE_FIELDS):
        raise _not_a_line(line, f"a JSON object with the keys {', '.join(LINE_FIELDS)}")
    sequence, time, previous = (values.pop(key) for key in ("sequence", "received", "previous"))
    # JSON's true is a whole number to Python.
    if type(sequence) is not int or not isinstance(time, str) or not isinstance(previous, str):
        raise _not_a_line(line, "sequence a whole number, received and previous texts")
    try:
        received = Received(
            event=event_of(values),
            sequence=sequence,
            received=time_of(time),
            previous=previous,
            hash=hash_of(line),
        )
        written = line_of(received)
    except InputError:
        raise
    except (ValueError, OverflowError):
        raise _not_a_line(line, "received in ISO 8601") from None
    if written != line:
        raise _not_a_line(line, "keys in alphabetical order, no spaces, times in UTC")
    return received


def _not_a_line(line: str, allowed: str) -> InputError:
    found = "an empty line" if not line else f"{line[:60]!r}{' …' if len(line) > 60 else ''}"
    return InputError([Fault(where="events", found=found, allowed=allowed)])


IN_TURN = dt.timedelta(seconds=5)
"""By how much deliveries that wait for each other may stand in another order than their times."""


def in_turn(now: dt.datetime, last: dt.datetime | None) -> dt.datetime:
    """Return when a delivery is received that follows the last one.

    Those that waited for each other follow in time too; a clock that was set back is left as it is,
    so that it shows (`set_back`).

    Examples
    --------
    >>> noon = dt.datetime(2026, 10, 5, 12, tzinfo=dt.UTC)
    >>> in_turn(noon - dt.timedelta(seconds=1), noon) == noon
    True
    >>> in_turn(noon - dt.timedelta(hours=1), noon) == noon
    False
    """
    return last if last is not None and dt.timedelta(0) < last - now < IN_TURN else now


def set_back(times: Sequence[dt.datetime]) -> tuple[int, ...]:
    """Return the numbers of the events whose time of receiving is before that of the one before."""
    pairs = itertools.pairwise(times)
    return tuple(number for number, (one, other) in enumerate(pairs, start=2) if other < one)


def chained(events: Iterable[Event], head: Head, now: dt.datetime) -> tuple[Received, ...]:
    """Return new events as they follow a head."""
    sequence, previous = head.count, head.hash
    time = time_text(now)
    received = []
    for event in events:
        sequence += 1
        one = Received(
            event=event,
            sequence=sequence,
            received=now,
            previous=previous,
            hash=hash_of(_line(event, sequence, time, previous)),
        )
        received.append(one)
        previous = one.hash
    return tuple(received)


def head_after(received: Sequence[Received], head: Head) -> Head:
    """Return the end of a chain after events that follow a head."""
    return Head(count=received[-1].sequence, hash=received[-1].hash) if received else head


def first_that_does_not_follow(received: Sequence[Received], head: Head) -> int:
    """Return the number of the first event that does not follow the one before it; 0 if all do.

    Parameters
    ----------
    received : sequence of Received
        Whose own hashes are right.
    head : Head
        Of the chain that they go on from.
    """
    for one in received:
        if one.sequence != head.count + 1 or one.previous != head.hash:
            return head.count + 1
        head = Head(count=one.sequence, hash=one.hash)
    return 0


def verify_links(
    experiment: str,
    links: Iterable[Link],
    expected: Head | None = None,
    anchors: Iterable[Head] = (),
) -> Verdict:
    """Return whether a chain is whole, and where it first is not.

    Parameters
    ----------
    experiment : str
        Key of the experiment.
    links : iterable of Link
        In the order in which they stand there.
    expected : Head, optional
        Where the chain must end: what an archive says of itself, or what somebody wrote down.
        Without it nobody can see whether events were cut off at the end.
    anchors : iterable of Head
        Where the chain stood at earlier moments, by what is kept outside it.

    Returns
    -------
    Verdict
    """
    known: dict[int, set[str]] = {}
    for anchor in anchors:
        known.setdefault(anchor.count, set()).add(anchor.hash)
    count, previous = 0, first_hash(experiment)
    ids: set[str] = set()
    times: list[dt.datetime] = []
    signers = Signers()
    for link in links:
        fault = _fault_of(link, count + 1, previous, ids, times, signers)
        if fault:
            return Verdict(head=Head(count=count, hash=previous), fault=fault)
        now = hash_of(link.line)
        if known.get(count + 1, {now}) != {now}:
            fault = f"event {count + 1} is another one than when its hash was kept"
            return Verdict(head=Head(count=count, hash=previous), fault=fault)
        count, previous = count + 1, now
    head = Head(count=count, hash=previous)
    longest = max(known, default=0)
    if longest > count:
        fault = f"event {count + 1} is missing: there were {longest} events"
        return Verdict(head=head, fault=fault)
    if expected is None or expected == head:
        return Verdict(
            head=head,
            set_back=set_back(times),
            n_signed=signers.n_signed,
            unsigned=tuple(sorted(signers.unsigned.items())),
        )
    if expected.count > count:
        fault = f"event {count + 1} is missing: there should be {expected.count} events"
    elif expected.count < count:
        fault = f"event {expected.count + 1} was added: there should be {expected.count} events"
    else:
        fault = f"event {count} was altered, or the whole chain was written anew"
    return Verdict(head=head, fault=fault)


def _fault_of(
    link: Link,
    sequence: int,
    previous: str,
    ids: set[str],
    times: list[dt.datetime],
    signers: Signers,
) -> str:
    try:
        received = received_of(link.line)
    except InputError as error:
        return f"event {sequence} was altered: {str(error.faults[0]).rstrip('.')}"
    if received.sequence > sequence:
        return f"event {sequence} is missing: event {received.sequence} stands in its place"
    if received.sequence < sequence:
        return f"event {received.sequence} stands again in the place of event {sequence}"
    if received.previous != previous:
        if sequence == 1:
            return "event 1 was altered or belongs to another experiment"
        return (
            f"event {sequence - 1} was altered or moved: "
            f"event {sequence} was recorded after another one"
        )
    if link.hash and link.hash != hash_of(link.line):
        return f"event {sequence} was altered: its hash is no longer the one that was kept"
    if received.event.id in ids:
        return f"event {sequence} has the id of an earlier event"
    if unsigned := signers.fault_of(received):
        return f"event {sequence} was altered: {unsigned}"
    ids.add(received.event.id)
    times.append(received.received)
    return ""
