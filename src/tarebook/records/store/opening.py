"""Open a record: make its tables or bring them up to date, and find the experiment in it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Connection, Engine, insert, inspect, select, text

from tarebook.records.errors import (
    DamagedRecordError,
    NewerRecordError,
    NotARecordError,
    RecordError,
    RecordUnreachableError,
)
from tarebook.records.events import time_text
from tarebook.records.store.connect import name_of, postgresql_engine, sqlite_engine
from tarebook.records.store.keeper import FileKeeper
from tarebook.records.store.refusals import plainly
from tarebook.records.store.schema import (
    APPLICATION_ID,
    EVENTS,
    EXPERIMENTS,
    VERSION,
    VERSION_TABLE,
    WITH_SIGNATURES,
)
from tarebook.records.store.sql_log import SqlLog
from tarebook.records.store.tables import VERSION_QUERY, upgrade
from tarebook.records.store.watch import make_for_owner

_KEEP = "Keep the file as it is, and go on from the last backup."


def open_sqlite(path: str, *, key: str = "", now: dt.datetime, mode: str = "write") -> SqlLog:
    """Open the record in an SQLite file, which holds one experiment.

    Parameters
    ----------
    path : str
    key : str
        Of the experiment that is begun if the file is made; a file that is there has its own.
    now : datetime
        When it is begun, if it is.
    mode : {"create", "write", "read", "frozen"}
        "create" makes the file if it is not there; "frozen" reads from a medium that cannot be
        written.

    Raises
    ------
    RecordError
        If it cannot be opened, is not a record, or was written by a newer version.
    """
    if mode == "create":
        make_for_owner(path)
    engine = sqlite_engine(path, mode=mode)
    try:
        with plainly(path):
            if mode in ("create", "write"):
                _prepare_sqlite(engine, path, key, now)
            with engine.connect() as connection:
                signed = _version(connection, path, may_be_new=False) >= WITH_SIGNATURES
                number, known_key = _only_experiment(connection, path)
            keeper = FileKeeper(path, engine) if mode in ("create", "write") else None
    except RecordError:
        engine.dispose()
        raise
    return SqlLog(engine, name=path, number=number, key=known_key, keeper=keeper, signed=signed)


def _only_experiment(connection: Connection, path: str) -> tuple[int, str]:
    rows = connection.execute(select(EXPERIMENTS.c.number, EXPERIMENTS.c.key)).all()
    if len(rows) != 1:
        found = f"it holds {len(rows)} experiments, and there must be one"
        raise DamagedRecordError(path, found, _KEEP)
    return rows[0].number, rows[0].key


def _prepare_sqlite(engine: Engine, path: str, key: str, now: dt.datetime) -> None:
    with engine.connect() as connection:
        version = _version(connection, path, may_be_new=bool(key))
    with raw(engine) as driver:
        driver.execute("PRAGMA journal_mode = WAL")
    if version == VERSION:
        return
    with engine.connect() as connection:
        writer = connection.execution_options(writing=True)
        with writer.begin():
            # Another program may have been quicker while this one waited for its turn.
            version = _version(writer, path, may_be_new=bool(key))
            if version != VERSION:
                upgrade(writer)
                writer.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
            if not version:
                _begin(writer, key, now)


def open_postgresql(url: str, *, key: str, now: dt.datetime, mode: str = "write") -> SqlLog:
    """Open the record of an experiment in a PostgreSQL database, which holds many.

    Parameters
    ----------
    url : str
    key : str
        Of the experiment.
    now : datetime
        When it is begun, if it is.
    mode : {"create", "write", "read"}
        Only "create" begins an experiment that is not there.

    Raises
    ------
    RecordError
        If it cannot be opened, is not a record, or was written by a newer version.
    """
    engine = postgresql_engine(url)
    name = name_of(url)
    query = select(EXPERIMENTS.c.number).where(EXPERIMENTS.c.key == key)
    try:
        with plainly(name), engine.begin() as connection:
            if mode != "read":
                lock = text("SELECT pg_advisory_xact_lock(:number)")
                connection.execute(lock, {"number": APPLICATION_ID})
            version = _version(connection, name, may_be_new=mode == "create")
            if mode != "read" and version != VERSION:
                upgrade(connection)
                version = VERSION
            number = connection.execute(query).scalar_one_or_none()
            if number is None and mode == "create":
                _begin(connection, key, now)
                number = connection.execute(query).scalar_one()
        if number is None:
            raise RecordUnreachableError(
                name,
                f"it has no experiment {key}",
                "Is this the database in which the readings of this folder were recorded?",
            )
    except RecordError:
        engine.dispose()
        raise
    return SqlLog(engine, name=name, number=number, key=key, signed=version >= WITH_SIGNATURES)


def _begin(connection: Connection, key: str, now: dt.datetime) -> None:
    connection.execute(insert(EXPERIMENTS), {"key": key, "created": time_text(now)})


def copy_sqlite(log: SqlLog, path: str) -> None:
    """Copy an SQLite record into a new file while readings come in.

    Parameters
    ----------
    log : SqlLog
    path : str
        Of the new file.

    Raises
    ------
    RecordError
        If it cannot be written.
    """
    make_for_owner(path)
    target = sqlite_engine(path, mode="create")
    try:
        with plainly(path), raw(log.engine) as source, raw(target) as copy:
            # All pages in one step: a reader does not keep the writer waiting.
            source.backup(copy)
            # One file, without a log beside it.
            copy.execute("PRAGMA journal_mode = DELETE")
    finally:
        target.dispose()


@contextmanager
def raw(engine: Engine) -> Iterator[Any]:
    """Give the connection of the driver itself, for what SQL has no words for."""
    connection = engine.raw_connection()
    try:
        yield connection.driver_connection
    finally:
        connection.close()


def _version(connection: Connection, name: str, *, may_be_new: bool) -> str:
    """Return the version of the tables, empty if there are none; refuse what is not a record."""
    tables = set(inspect(connection).get_table_names())
    if VERSION_TABLE in tables:
        version = str(connection.execute(VERSION_QUERY).scalar_one_or_none() or "")
        if not version.isdigit():
            raise DamagedRecordError(name, "it does not say its version", _KEEP)
        if int(version) > int(VERSION):
            raise NewerRecordError(
                name,
                f"it was written by a newer version of this program (tables {version}, "
                f"this program knows {VERSION})",
                "Install the newer version; nothing was changed.",
            )
        lost = sorted({EXPERIMENTS.name, EVENTS.name} - tables)
        if lost:
            raise DamagedRecordError(name, f"its table {lost[0]} is gone", _KEEP)
        return version
    ours = {EXPERIMENTS.name, EVENTS.name} & tables
    other = tables if connection.dialect.name == "sqlite" else ours
    if other or not may_be_new:
        found = f"it holds the tables {', '.join(sorted(other))}" if other else "it is empty"
        raise NotARecordError(
            name,
            f"it is not a record of this program: {found}",
            "Move it away, or name the right one; nothing was changed.",
        )
    return ""
