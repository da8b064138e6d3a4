"""Connections to the two databases, set up so that what is acknowledged is on the disk."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from sqlalchemy import Engine, create_engine, event, make_url
from sqlalchemy.engine import URL, Connection, ExceptionContext
from sqlalchemy.exc import ArgumentError
from sqlalchemy.pool import ConnectionPoolEntry

from tarebook.records.errors import RecordUnreachableError

PATIENCE = 10.0
"""Seconds to wait for another program that holds the record."""


MOST_KEPT = 40
"""Connections to a file that are kept: one for every thread of the app. Those beyond would be made
and thrown away for every single question, and just when most is asked."""


def sqlite_engine(path: str, *, mode: str) -> Engine:
    """Return an engine for a file.

    Parameters
    ----------
    path : str
    mode : {"create", "write", "read", "frozen"}
        Frozen is for a file on a medium that nobody can write, where SQLite may not even make its
        own lock files.
    """
    # To read, too, the file is opened so that it could be written: SQLite then clears away what it
    # needs beside the file while it is open.
    how = {"create": "rwc", "write": "rw", "read": "rw", "frozen": "ro"}[mode]
    query = {"mode": how, "uri": "true", **({"immutable": "1"} if mode == "frozen" else {})}
    # A name need not be text on every system; the bytes are what counts.
    file = f"file:{quote(path, errors='surrogateescape')}"
    url = URL.create("sqlite", database=file, query=query)
    engine = create_engine(url, connect_args={"timeout": PATIENCE}, pool_size=MOST_KEPT)
    # A delivery is one statement. Row by row the driver would let other threads go on after each,
    # and the readings of a long delivery would hold up all that wait behind them.
    engine.dialect.use_insertmanyvalues_wo_returning = True
    writes = mode in ("create", "write")

    @event.listens_for(engine, "connect")
    def _set_up(connection: Any, _: ConnectionPoolEntry) -> None:
        # The driver's own handling of transactions begins them too late for one that reads first.
        connection.isolation_level = None
        # Bytes that are no text are kept as such, so that their event is named as the altered one.
        connection.text_factory = _text
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA recursive_triggers = ON")
        connection.execute("PRAGMA trusted_schema = OFF")
        connection.execute(f"PRAGMA query_only = {'OFF' if writes else 'ON'}")
        if writes:
            # In this mode readers and the one writer do not wait for each other; NORMAL would let
            # the last commits go at a power cut.
            connection.execute("PRAGMA synchronous = FULL")
            # `SqlLog` does it itself, so that it knows of everything written into the file.
            connection.execute("PRAGMA wal_autocheckpoint = 0")
            # Once its content is in the file the log begins anew: without this it would keep its
            # size, by which the program sees when it is time to write it into the file.
            connection.execute("PRAGMA journal_size_limit = 0")
            # Only macOS makes a difference here: without it the disk may keep a commit to itself.
            connection.execute("PRAGMA fullfsync = ON")
            connection.execute("PRAGMA checkpoint_fullfsync = ON")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writing = connection.get_execution_options().get("writing", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")

    return engine


def _text(data: bytes) -> str:
    return data.decode("utf-8", "surrogateescape")


def postgresql_engine(url: str) -> Engine:
    """Return an engine for a PostgreSQL database.

    Raises
    ------
    RecordUnreachableError
        If the address is not one, or the driver is not installed.
    """
    try:
        parsed = make_url(url)
        known = parsed.get_backend_name() == "postgresql"
        parsed.render_as_string()
    except (ArgumentError, ValueError):
        known = False
    if not known:
        raise RecordUnreachableError(
            repr(url.rpartition("@")[2].partition("?")[0]),
            "this is not the address of a PostgreSQL database",
            "Write it as postgresql://USER@HOST/DATABASE.",
        )
    try:
        engine = create_engine(
            parsed.set(drivername="postgresql+psycopg"),
            pool_pre_ping=True,
            connect_args={
                "connect_timeout": int(PATIENCE),
                "application_name": "tarebook",
            },
        )
    except ModuleNotFoundError as error:
        raise RecordUnreachableError(
            name_of(url),
            "the driver is not installed",
            "Run `make department` in the folder of the program, or install its extra "
            "`department` there.",
        ) from error
    event.listen(engine, "handle_error", _lost)
    event.listen(engine, "connect", _wait_for_the_disk)
    return engine


def name_of(url: str) -> str:
    """Return the address of a database without the password, for messages."""
    # Options may hold a password too; and one with an @ in it is cut in two, of which only the
    # first half is known as one.
    shown = make_url(url).set(query={}).render_as_string(hide_password=True)
    if shown.count("@") < 2:
        return shown
    return f"{shown.partition(':')[0]}://***@{shown.rpartition('@')[2]}"


def _wait_for_the_disk(connection: Any, _: ConnectionPoolEntry) -> None:
    """Let a commit return when it is on the disk, whatever the server does by default."""
    connection.execute("SET synchronous_commit = on")
    connection.execute(f"SET lock_timeout = '{PATIENCE:g}s'")
    connection.commit()


def _lost(context: ExceptionContext) -> None:
    """Throw a connection away after the server ended it, so that the next one is made anew."""
    state = getattr(context.original_exception, "sqlstate", None)
    if state is not None and state.startswith("57P"):
        context.is_disconnect = True
