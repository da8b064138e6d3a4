"""The database itself refuses to change what is recorded, whoever asks.

No code of the record runs between these statements and the database.
"""

from __future__ import annotations

import datetime as dt
import sqlite3
from collections.abc import Callable
from contextlib import closing
from typing import Protocol

import psycopg
import pytest

from tarebook.records.chain import Link, verify_links
from tarebook.records.events import Event
from tarebook.records.log import EventLog

NOW = dt.datetime(2026, 10, 5, 12, 0, tzinfo=dt.UTC)

COPY = (
    "SELECT experiment, {sequence}, received, {id}, kind, group_name, run, column_name, repeat, "
    "'99.99', '99.99', unit, instrument, who, device, taken, supersedes, reason, {previous}, hash "
    "FROM event WHERE sequence = 1"
)
COLUMNS = (
    "(experiment, sequence, received, id, kind, group_name, run, column_name, repeat, typed, "
    "number, unit, instrument, who, device, taken, supersedes, reason, previous, hash)"
)
NEW_ID = "'ffffffff-ffff-4fff-8fff-ffffffffffff'"
LAST = "(SELECT hash FROM event WHERE sequence = 3)"


def copy(how: str, sequence: str = "sequence", id_: str = "id", previous: str = "previous") -> str:
    """Return a statement that puts the first event in again, more or less as it was."""
    selected = COPY.format(sequence=sequence, id=id_, previous=previous)
    return f"{how} INTO event {COLUMNS} {selected}"


CHANGES = {
    "update a value": "UPDATE event SET typed = '99.99'",
    "update one event": "UPDATE event SET who = '' WHERE sequence = 2",
    "update nothing but the hash": "UPDATE event SET hash = previous",
    "update the number of the event": "UPDATE event SET sequence = sequence + 10",
    "delete all": "DELETE FROM event",
    "delete the last": "DELETE FROM event WHERE sequence = 3",
    "the same event again": copy("INSERT"),
    "a known id at the end": copy("INSERT", sequence="4", previous=LAST),
    "a new id in a known place": copy("INSERT", id_=NEW_ID),
    "a new id after a gap": copy("INSERT", sequence="9", id_=NEW_ID, previous=LAST),
    "a new id that follows another event": copy("INSERT", sequence="4", id_=NEW_ID),
    "update an experiment": "UPDATE experiment SET key = lower(key)",
    "delete an experiment": "DELETE FROM experiment",
    "an event of no experiment": copy("INSERT").replace("SELECT experiment", "SELECT 999"),
}
SQLITE = {
    "replace a known id": copy("INSERT OR REPLACE", sequence="4", previous=LAST),
    "replace a known place": copy("INSERT OR REPLACE", id_=NEW_ID),
    "replace, as one word": copy("REPLACE"),
    "ignore what is there": copy("INSERT OR IGNORE", id_=NEW_ID, sequence="2"),
    "insert or change": copy("INSERT") + " ON CONFLICT DO UPDATE SET typed = '99.99'",
    "update or replace": "UPDATE OR REPLACE event SET sequence = 1 WHERE sequence = 2",
    "a text for a number": copy("INSERT", sequence="'four'", id_=NEW_ID, previous=LAST),
    "replace an experiment": "REPLACE INTO experiment SELECT number, key, 'x' FROM experiment",
    "a row number of one's own": copy("INSERT OR REPLACE")
    .replace("(exp", "(rowid, exp")
    .replace("SELECT exp", "SELECT 1, exp"),
}
POSTGRESQL = {
    "insert or change": copy("INSERT")
    + " ON CONFLICT (experiment, id) DO UPDATE SET typed = '99.99'",
    "insert or leave": copy("INSERT") + " ON CONFLICT DO NOTHING",
    "empty the events": "TRUNCATE event",
    "empty all": "TRUNCATE experiment CASCADE",
    "merge": "MERGE INTO event USING (SELECT 1) one ON sequence = 1 "
    "WHEN MATCHED THEN UPDATE SET typed = '99.99'",
}


class Record(Protocol):
    place: str

    def open(self) -> EventLog: ...


def filled(record: Record, event: Callable[..., Event]) -> tuple[EventLog, list[Link]]:
    log = record.open()
    log.append([event(), event(), event()], now=NOW)
    return log, list(log.links())


def unchanged(log: EventLog, before: list[Link]) -> bool:
    verdict = verify_links(log.experiment, log.links(), log.head())
    return list(log.links()) == before and verdict.whole


@pytest.mark.parametrize("change", (CHANGES | SQLITE).values(), ids=(CHANGES | SQLITE).keys())
@pytest.mark.parametrize("database", ["sqlite"], indirect=True)
def test_sqlite_refuses(database: Record, event: Callable[..., Event], change: str) -> None:
    log, before = filled(database, event)
    with closing(sqlite3.connect(database.place)) as other:
        # Foreign keys are off in a plain connection; all the rest must hold all the same.
        other.execute(f"PRAGMA foreign_keys = {'999' in change}")
        with pytest.raises(sqlite3.Error), other:
            other.execute(change)
    assert unchanged(log, before)


@pytest.mark.parametrize("recursive", [False, True])
@pytest.mark.parametrize("database", ["sqlite"], indirect=True)
def test_sqlite_says_why(database: Record, event: Callable[..., Event], *, recursive: bool) -> None:
    filled(database, event)
    with closing(sqlite3.connect(database.place)) as other:
        other.execute(f"PRAGMA recursive_triggers = {recursive}")
        for change, why in (
            (CHANGES["update a value"], "never changed: record a correction"),
            (CHANGES["delete all"], "never deleted: record a withdrawal"),
            (SQLITE["replace a known id"], "never used again"),
            (SQLITE["replace a known place"], "follows the last one"),
        ):
            with pytest.raises(sqlite3.IntegrityError, match=why):
                other.execute(change)


@pytest.mark.parametrize("who", ["owner", "superuser"])
@pytest.mark.parametrize(
    "change", (CHANGES | POSTGRESQL).values(), ids=(CHANGES | POSTGRESQL).keys()
)
@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
def test_postgresql_refuses(
    database: Record,
    event: Callable[..., Event],
    change: str,
    who: str,
    request: pytest.FixtureRequest,
) -> None:
    log, before = filled(database, event)
    server = request.getfixturevalue("postgresql")
    # Other experiments are in the same database.
    number = f"experiment = (SELECT number FROM experiment WHERE key = '{log.experiment}')"
    one = change.replace("WHERE sequence", f"WHERE {number} AND sequence")
    with psycopg.connect(server.url if who == "owner" else server.superuser_url) as other:
        with pytest.raises(psycopg.Error) as refused:
            other.execute(one.encode())
        other.rollback()
    assert refused.value.sqlstate in {
        "P0001",  # raised by a trigger
        "42501",  # the right was taken away
        "23503",  # no such experiment
    }
    assert unchanged(log, before)


def test_what_follows_is_recorded_after_every_refusal(
    database: Record, event: Callable[..., Event]
) -> None:
    log, before = filled(database, event)
    after = log.append([event()], now=NOW)
    assert after[0].sequence == 4
    assert list(log.links())[:3] == before
