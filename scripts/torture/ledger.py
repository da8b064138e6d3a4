"""What devices were told is safe, held against what the record has."""

from __future__ import annotations

import os
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tarebook.api.open_record import open_log
from tarebook.api.placing import SETTING
from tarebook.records.events import DEFINITION, Event, time_of


@dataclass
class Ledger:
    """What came of the readings of all devices.

    Attributes
    ----------
    acknowledged : dict
        What was sent, by id, and when: the last of what the server said is on the disk.
    said_no : int
        Deliveries that were refused for now (503), to be sent again.
    reasons : set of str
        Codes of those refusals.
    errors : int
        Answers that nobody should get.
    """

    acknowledged: dict[str, tuple[dict[str, Any], float]] = field(default_factory=dict)
    said_no: int = 0
    reasons: set[str] = field(default_factory=set)
    errors: int = 0

    def acknowledge(self, events: Sequence[dict[str, Any]], sent: float) -> None:
        """Write down what is said to be on the disk, and when it was sent."""
        for event in events:
            self.acknowledged.setdefault(event["id"], (event, sent))

    def lost(self, kept: Sequence[Event], since: float = 0.0) -> int:
        """Return how many of what was acknowledged and sent since then are not there as sent."""
        there = {event.id: _said(event) for event in kept}
        return sum(
            there.get(id_) != _sent(event)
            for id_, (event, sent) in self.acknowledged.items()
            if sent >= since
        )


def doubled(kept: Sequence[Event]) -> int:
    """Return how many readings stand in a record again, under whatever id."""
    return sum(n - 1 for n in Counter(_said(event) for event in kept).values())


def _said(event: Event) -> tuple[object, ...]:
    return event.run, event.column, event.repeat, event.typed, event.device, event.taken


def _sent(sent: dict[str, Any]) -> tuple[object, ...]:
    return (
        sent["run"], sent["quantity"], sent["repeat"], sent["typed"], sent["device"],
        time_of(sent["taken_at"]),
    )  # fmt: skip


@contextmanager
def _database(url: str) -> Iterator[None]:
    before = os.environ.get(SETTING)
    os.environ[SETTING] = url
    try:
        yield
    finally:
        if before is None:
            del os.environ[SETTING]
        else:
            os.environ[SETTING] = before


def kept_in(folder: Path, database: str = "") -> tuple[Event, ...]:
    """Return the events of devices that the record of a folder holds."""
    with _database(database):
        log = open_log(folder, mode="read")
        try:
            events = (one.event for one in log.events())
            return tuple(event for event in events if event.column != DEFINITION)
        finally:
            log.close()


def now() -> float:
    """Return the clock by which devices send."""
    return time.perf_counter()
