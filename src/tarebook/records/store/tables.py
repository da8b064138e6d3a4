"""The tables and triggers of a record: made by the migrations, and held against what they make."""

from __future__ import annotations

from functools import cache

from sqlalchemy import Connection, create_engine, text

from tarebook.records.store.schema import VERSION_TABLE

MIGRATIONS = "tarebook.records.store:migrations"

_PARTS = text("SELECT type, name, tbl_name, sql FROM sqlite_master ORDER BY type, name")
VERSION_QUERY = text(f"SELECT version_num FROM {VERSION_TABLE}")  # noqa: S608 - a constant of ours

Part = tuple[str, str, str, str | None]
"""Type, name, table and text of a table, an index or a trigger."""


def upgrade(connection: Connection, version: str = "head") -> None:
    """Run the migrations that are missing, in the transaction of the caller."""
    # A tenth of a second to import, and needed once in the life of a record.
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", MIGRATIONS)
    config.attributes["connection"] = connection
    command.upgrade(config, version)


def altered_part(connection: Connection) -> str:
    """Return which table, index or trigger of an SQLite file is not as it was made; else nothing.

    A trigger of which one letter changed may guard nothing any more, and SQLite finds no fault.
    """
    found = _parts(connection)
    made = _made(str(connection.execute(VERSION_QUERY).scalar_one()))
    other = sorted(found ^ made, key=str)
    return f"{other[0][0]} {other[0][1][:60]} is not as it was made" if other else ""


def _parts(connection: Connection) -> frozenset[Part]:
    return frozenset((row[0], row[1], row[2], row[3]) for row in connection.execute(_PARTS))


@cache
def _made(version: str) -> frozenset[Part]:
    engine = create_engine("sqlite://")
    try:
        with engine.begin() as connection:
            upgrade(connection, version)
            return _parts(connection)
    finally:
        engine.dispose()
