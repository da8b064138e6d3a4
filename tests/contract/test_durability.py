"""What was acknowledged is there after the program was killed, and after the server was.

A helper process forks a writer again and again and kills it at a random moment: while it makes the
tables, opens, writes, or acknowledges. Writers say over a pipe, which survives them, which events
were acknowledged.
"""

from __future__ import annotations

import json
import subprocess
import sys
import threading
import uuid
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Protocol

import pytest

from tarebook.records.chain import verify_links
from tarebook.records.errors import RecordError
from tarebook.records.events import Event
from tarebook.records.log import EventLog
from tarebook.records.store import SqlLog

KILLS = 50

HELPER = """
import datetime as dt, json, os, random, signal, sys, tempfile, threading, time, uuid
import alembic.command
from tarebook.records.events import event_of
from tarebook.records.store import open_postgresql, open_sqlite

backend, kills, records = sys.argv[1], int(sys.argv[2]), json.loads(sys.argv[3])
chance = random.Random(20)
now = dt.datetime(2026, 10, 5, tzinfo=dt.UTC)

made = open_sqlite if backend == "sqlite" else open_postgresql

# Once in the helper, so that a writer need not import what only the first opening needs.
with tempfile.TemporaryDirectory() as folder:
    open_sqlite(f"{folder}/x.db", key=str(uuid.uuid4()), now=now, mode="create").close()
if backend == "postgresql":
    made(records[0][0], key=str(uuid.uuid4()), now=now, mode="create").close()

def write(pipe, place, key):
    log = made(place, key=key, now=now, mode="create")
    def client():
        while True:
            events = [
                event_of({"id": str(uuid.uuid4()), "kind": "reading", "group": "3", "run": "1",
                          "column": "tare_g", "typed": "12.31", "device": "phone",
                          "taken": "2026-10-05T12:00:00Z"})
                for _ in range(uuid.uuid4().int % 3 + 1)
            ]
            log.append(events, now=now)
            os.write(pipe, "".join(event.id + "\\n" for event in events).encode())
            time.sleep(0.002)
    for _ in range(4):
        threading.Thread(target=client).start()

rounds = []
for number in range(kills):
    readable, writable = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(readable)
        write(writable, *records[number % len(records)])
        time.sleep(60)
    os.close(writable)
    said = bytearray()
    def drain():
        while part := os.read(readable, 65536):
            said.extend(part)
    reader = threading.Thread(target=drain)
    reader.start()
    # Every other writer is let come as far as its first acknowledgement.
    patience = time.monotonic() + 20
    while number % 2 and not said and time.monotonic() < patience:
        time.sleep(0.001)
    time.sleep(chance.uniform(0, 0.2))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    reader.join()
    os.close(readable)
    rounds.append(said.decode().splitlines())
print(json.dumps(rounds))
"""


@dataclass
class Record(Protocol):
    backend: str
    place: str
    key: str
    opened: list[EventLog]

    def open(self) -> EventLog: ...

    def sql(self) -> SqlLog: ...

    def close(self) -> None: ...


def test_what_was_acknowledged_survives_fifty_kills(database: Record) -> None:
    # Several records, so that their tables are made under fire too.
    records = [
        replace(database, place=f"{database.place}{suffix}", key=str(uuid.uuid4()), opened=[])
        for suffix in (["", "2", "3", "4", "5"] if database.backend == "sqlite" else [""] * 5)
    ]
    places = json.dumps([(record.place, record.key) for record in records])
    command = [sys.executable, "-c", HELPER, database.backend, str(KILLS), places]
    done = subprocess.run(command, check=True, capture_output=True, timeout=120, text=True)
    rounds: list[list[str]] = json.loads(done.stdout)
    assert len(rounds) == KILLS
    # Otherwise the writers were killed before they could write, and nothing would be tested.
    assert sum(bool(one) for one in rounds) >= KILLS / 2
    for number, record in enumerate(records):
        acknowledged = [id_ for one in rounds[number :: len(records)] for id_ in one]
        try:
            check(record.open(), acknowledged)
        finally:
            record.close()


def check(log: EventLog, acknowledged: list[str]) -> None:
    assert len(set(acknowledged)) == len(acknowledged)
    recorded = [one.event.id for one in log.events()]
    assert set(acknowledged) <= set(recorded)
    assert len(set(recorded)) == len(recorded)
    assert verify_links(log.experiment, log.links(), log.head()).whole
    # Sending all of it again records nothing twice.
    again = log.append([one.event for one in log.events()], now=log.events()[0].received)
    assert again == log.events()


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
def test_what_was_acknowledged_survives_the_server(
    database: Record, event: Callable[..., Event], request: pytest.FixtureRequest
) -> None:
    server = request.getfixturevalue("postgresql")
    log = database.open()
    acknowledged: list[str] = []
    refused: list[RecordError] = []
    first = event()
    now = first.taken

    def write(stop: threading.Event) -> None:
        while not stop.is_set():
            one = event()
            try:
                log.append([one], now=now)
            except RecordError as error:
                refused.append(error)
                return
            acknowledged.append(one.id)

    for _ in range(2):
        stop = threading.Event()
        writers = [threading.Thread(target=write, args=(stop,)) for _ in range(4)]
        before = len(acknowledged)
        for writer in writers:
            writer.start()
        while len(acknowledged) < before + 40:
            assert any(writer.is_alive() for writer in writers)
        server.stop("immediate")
        for writer in writers:
            writer.join()
        server.start()
    assert {error.code for error in refused} == {"record-unreachable"}
    log.append([first], now=now)
    recorded = [one.event.id for one in database.open().events()]
    assert set(acknowledged) <= set(recorded)
    assert len(set(recorded)) == len(recorded)
    assert [one.event.id for one in log.events()] == recorded
    assert verify_links(log.experiment, log.links(), log.head()).whole


def test_the_database_waits_for_the_disk(database: Record) -> None:
    log = database.sql()
    with log.engine.connect() as connection:
        if database.backend == "postgresql":
            settings: tuple[Any, ...] = tuple(
                connection.exec_driver_sql(f"SHOW {name}").scalar_one()
                for name in ("synchronous_commit", "fsync")
            )
            assert settings == ("on", "on")
        else:
            settings = tuple(
                connection.exec_driver_sql(f"PRAGMA {name}").scalar_one()
                for name in ("journal_mode", "synchronous", "foreign_keys")
            )
            # 2 is FULL: a commit returns when it is on the disk.
            assert settings == ("wal", 2, 1)
