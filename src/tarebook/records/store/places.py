"""Where the folder of a record was, place after place; the last one counts."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import Connection, insert, select

from tarebook.records.events import time_text
from tarebook.records.place import Place
from tarebook.records.store.refusals import plainly
from tarebook.records.store.schema import PLACES
from tarebook.records.store.sql_log import SqlLog


def last_place(log: SqlLog) -> Place | None:
    """Return where the folder of a record was when it was last written down; None if never.

    Raises
    ------
    RecordError
        If the record cannot be read.
    """
    with plainly(log.name), log.engine.connect() as connection:
        found = _last(connection, log)
    return found[1] if found else None


def note_place(log: SqlLog, place: Place, *, now: dt.datetime) -> None:
    """Write down where the folder of a record is now.

    Raises
    ------
    RecordError
        If the record cannot be written.
    """
    with plainly(log.name), log.engine.connect() as connection:
        writer = connection.execution_options(writing=True)
        with writer.begin():
            before = _last(writer, log)
            number = before[0] + 1 if before else 1
            values = {
                "experiment": log.number,
                "number": number,
                "host": place.host,
                "path": place.path,
                "mark": place.mark,
                "since": time_text(now),
            }
            writer.execute(insert(PLACES), values)


def _last(connection: Connection, log: SqlLog) -> tuple[int, Place] | None:
    query = (
        select(PLACES.c.number, PLACES.c.host, PLACES.c.path, PLACES.c.mark)
        .where(PLACES.c.experiment == log.number)
        .order_by(PLACES.c.number.desc())
        .limit(1)
    )
    row = connection.execute(query).first()
    return (row.number, Place(host=row.host, path=row.path, mark=row.mark)) if row else None
