"""Accepted readings per second, as a ratio to a bare durable insert loop on the same disk.

The loop is what the disk allows one program that waits for every commit: one row of the same texts,
no check, no hash, no index but the key, no guard. Readings are accepted through the store from one
device after the other and from forty at once.
"""

from __future__ import annotations

import datetime as dt
import sqlite3
import threading
import time
import uuid
from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path

import psycopg
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from tarebook.records.chain import verify_links
from tarebook.records.events import Event, event_of, object_of
from tarebook.records.log import EventLog
from tarebook.records.store import open_postgresql, open_sqlite

NOW = dt.datetime(2026, 10, 5, 12, 0, tzinfo=dt.UTC)
READINGS, DEVICES, ROUNDS = 1000, 40, 3


def readings(count: int) -> list[Event]:
    return [
        event_of(
            {
                "id": str(uuid.uuid4()),
                "kind": "reading",
                "group": str(number % DEVICES),
                "run": str(number % 8 + 1),
                "column": "tare_g",
                "typed": f"12,{number:04d} g",
                "instrument": "balance B",
                "who": "Ada",
                "device": "phone",
                "taken": NOW.isoformat(),
            }
        )
        for number in range(count)
    ]


def rows_of(events: Sequence[Event]) -> list[tuple[str | int, ...]]:
    return [tuple(object_of(event).values()) for event in events]


def bare_sqlite(folder: Path, round_: int) -> float:
    """Return durable inserts per second into a plain table."""
    rows = rows_of(readings(READINGS))
    with closing(sqlite3.connect(folder / f"bare{round_}.db", isolation_level=None)) as bare:
        bare.execute("PRAGMA journal_mode = WAL")
        bare.execute("PRAGMA synchronous = FULL")
        names = ", ".join(f"c{number}" for number in range(len(rows[0])))
        bare.execute(f"CREATE TABLE bare (n INTEGER PRIMARY KEY, {names})")
        insert = f"INSERT INTO bare ({names}) VALUES ({', '.join('?' * len(rows[0]))})"
        start = time.perf_counter()
        for row in rows:
            bare.execute(insert, row)
        return READINGS / (time.perf_counter() - start)


def bare_postgresql(url: str) -> float:
    """Return durable inserts per second into a plain table of a PostgreSQL server."""
    rows = rows_of(readings(READINGS))
    with psycopg.connect(url, autocommit=True) as bare:
        names = ", ".join(f"c{number}" for number in range(len(rows[0])))
        texts = names.replace(",", " TEXT,") + " TEXT"
        bare.execute(b"DROP TABLE IF EXISTS bare")
        bare.execute(f"CREATE TABLE bare (n SERIAL PRIMARY KEY, {texts})".encode())
        insert = f"INSERT INTO bare ({names}) VALUES ({', '.join(['%s'] * len(rows[0]))})".encode()
        start = time.perf_counter()
        for row in rows:
            bare.execute(insert, row)
        return READINGS / (time.perf_counter() - start)


def accepted(log: EventLog, devices: int) -> float:
    """Return readings per second that were acknowledged, each in a delivery of its own."""
    events = readings(READINGS)

    def device(number: int) -> None:
        for event in events[number::devices]:
            log.append([event], now=NOW)

    threads = [threading.Thread(target=device, args=(number,)) for number in range(devices)]
    before = log.head().count
    start = time.perf_counter()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    rate = READINGS / (time.perf_counter() - start)
    assert log.head().count == before + READINGS
    return rate


@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
def test_accepted_readings_per_second(
    benchmark: BenchmarkFixture, tmp_path: Path, request: pytest.FixtureRequest, database: str
) -> None:
    key = str(uuid.uuid4())
    bare: Callable[[int], float]
    log: EventLog
    if database == "sqlite":
        log = open_sqlite(str(tmp_path / "tarebook.db"), key=key, now=NOW, mode="create")
        bare = lambda number: bare_sqlite(tmp_path, number)  # noqa: E731 - one of two
    else:
        url = request.getfixturevalue("postgresql").url
        log = open_postgresql(url, key=key, now=NOW, mode="create")
        bare = lambda _: bare_postgresql(url)  # noqa: E731 - one of two
    # In turn, so that what else the disk is doing strikes all three alike.
    rates = [(bare(number), accepted(log, 1), accepted(log, DEVICES)) for number in range(ROUNDS)]
    loop, one, forty = (max(column) for column in zip(*rates, strict=True))
    benchmark.pedantic(accepted, args=(log, DEVICES), rounds=1)  # type: ignore[no-untyped-call] # half typed
    benchmark.extra_info.update(bare_loop=loop, one_device=one, forty_devices=forty)
    print(
        f"\n{database}: {forty:,.0f} readings accepted a second from {DEVICES} devices at once, "
        f"{one:,.0f} from one after the other; bare durable insert loop {loop:,.0f} "
        f"(ratios {forty / loop:.2f} and {one / loop:.2f})"
    )
    assert verify_links(log.experiment, log.links(), log.head()).whole
    log.close()
    assert forty >= loop / 2
