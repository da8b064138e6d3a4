"""One record on every backend, and events to put into it."""

from __future__ import annotations

import datetime as dt
import itertools
import uuid
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from tests.memory_log import MemoryLog

from tarebook.records.events import Event, event_of
from tarebook.records.log import EventLog
from tarebook.records.store import SqlLog, open_postgresql, open_sqlite

NOW = dt.datetime(2026, 10, 5, 12, 0, tzinfo=dt.UTC)


@dataclass(slots=True)
class Record:
    """A record that can be opened more than once, as by several programs.

    Attributes
    ----------
    backend : {"memory", "sqlite", "postgresql"}
    place : str
        File or address.
    """

    backend: str
    place: str
    key: str
    opened: list[EventLog] = field(default_factory=list)

    def open(self) -> EventLog:
        log: EventLog
        if self.backend == "memory":
            log = self.opened[0] if self.opened else MemoryLog(self.key)
        elif self.backend == "sqlite":
            log = open_sqlite(self.place, key=self.key, now=NOW, mode="create")
        else:
            log = open_postgresql(self.place, key=self.key, now=NOW, mode="create")
        self.opened.append(log)
        return log

    def sql(self) -> SqlLog:
        log = self.open()
        assert isinstance(log, SqlLog)
        return log

    def close(self) -> None:
        for log in self.opened:
            log.close()


def _record(backend: str, request: pytest.FixtureRequest, folder: Path) -> Record:
    place = str(folder / "tarebook.db")
    if backend == "postgresql":
        place = request.getfixturevalue("postgresql").url
    return Record(backend, place, str(uuid.uuid4()))


@pytest.fixture(params=["memory", "sqlite", "postgresql"])
def record(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Record]:
    made = _record(request.param, request, tmp_path)
    yield made
    made.close()


@pytest.fixture(params=["sqlite", "postgresql"])
def database(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Record]:
    made = _record(request.param, request, tmp_path)
    yield made
    made.close()


@pytest.fixture
def event() -> Callable[..., Event]:
    """Return a maker of events, each with an id of its own unless one is given."""
    numbers = itertools.count(1)

    def make(**given: Any) -> Event:
        number = next(numbers)
        taken = NOW + dt.timedelta(seconds=number)
        values = {
            "id": str(uuid.UUID(int=(0xBE7C << 112) + number)),
            "kind": "reading",
            "group": "3",
            "run": "1",
            "column": "tare_g",
            "typed": "12,31 g",
            "device": "phone",
            "who": "Ada",
            "taken": taken.isoformat(),
        }
        return event_of({**values, **given})

    return make
