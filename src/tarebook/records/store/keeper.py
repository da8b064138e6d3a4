"""What keeps the record in a file honest while the program has it open."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, Final

from sqlalchemy import Connection, Engine

from tarebook.records.chain import Head
from tarebook.records.errors import DamagedRecordError
from tarebook.records.store.connect import sqlite_engine
from tarebook.records.store.refusals import plainly
from tarebook.records.store.tables import altered_part
from tarebook.records.store.watch import FileWatch, note_head

LOG_BYTES: Final = 4_000_000
"""Size of the log beside the file from which its content is written into the file: what SQLite does
by itself after as many pages."""

INTEGRITY = "PRAGMA integrity_check(1)"


class FileKeeper:
    """Looks whether the file is still the one that was opened, and what it holds if it was touched.

    Parameters
    ----------
    path : str
    engine : Engine
        Through which the record is written.
    """

    def __init__(self, path: str, engine: Engine) -> None:
        self._path, self._engine = path, engine
        self._watch = FileWatch(path)
        self._lock = threading.Lock()

    def settle(self, refuse: Callable[[Connection], None]) -> None:
        """Return if the record is the one that was opened and holds what is known of it.

        Parameters
        ----------
        refuse : callable
            Given a connection that believes nothing it saw before, raises if what the caller knows
            is not in the record. Called only where somebody wrote into the file.

        Raises
        ------
        RecordError
        """
        self._watch.refuse_another()
        if not self._watch.was_touched():
            return
        with self._lock:
            if self._watch.lost_its_log():
                # The last connection writes what the log held into the file.
                self._engine.dispose()
            if self._watch.was_touched():
                with plainly(self._path), fresh(self._path) as connection:
                    refuse_damage(connection, self._path)
                    refuse(connection)
                # What the other connections keep in memory may be of the file as it was.
                self._engine.dispose()
                self._watch.mark()

    def written(self, experiment: str, head: Head) -> None:
        """Note what was committed, and write the log into the file if it has grown.

        Parameters
        ----------
        experiment : str
            Its key.
        head : Head
            The end of its chain.
        """
        note_head(self._path, experiment, head)
        if self._watch.log_size() < LOG_BYTES:
            return
        with self._lock:
            if not self._watch.was_touched():
                with self._engine.connect() as connection:
                    driver: Any = connection.connection.driver_connection
                    driver.execute("PRAGMA wal_checkpoint(PASSIVE)")
                self._watch.mark()


@contextmanager
def fresh(path: str) -> Iterator[Connection]:
    """Give a connection of its own to a file, which keeps nothing of it in memory yet."""
    engine = sqlite_engine(path, mode="read")
    try:
        with engine.connect() as connection:
            yield connection
    finally:
        engine.dispose()


def refuse_damage(connection: Connection, name: str) -> None:
    """Refuse an SQLite file whose own check of itself finds a fault.

    Raises
    ------
    DamagedRecordError
    """
    found = _unsound(connection)
    if found:
        reason = f"the database is damaged ({found})"
        raise DamagedRecordError(
            name, reason, "Keep the file as it is, and go on from the last backup."
        )


def damage_of(connection: Connection) -> str:
    """Return what a database finds wrong with itself; empty if nothing, or if it has no such check.

    The chain covers what is recorded; this covers what it is kept in: pages, indexes, constraints,
    and the triggers that guard it.
    """
    if connection.dialect.name != "sqlite":
        return ""
    return _unsound(connection) or altered_part(connection)


def _unsound(connection: Connection) -> str:
    found = " ".join(str(connection.exec_driver_sql(INTEGRITY).scalar_one()).split())
    return "" if found == "ok" else found[:200]
