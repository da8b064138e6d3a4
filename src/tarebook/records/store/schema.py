"""The tables as queries use them; the migrations make them."""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Integer, MetaData, Table, Text

VERSION = "0003"
"""The newest migration; a record with a higher number was written by a newer version."""

VERSION_TABLE = "record_version"

WITH_SIGNATURES = "0003"
"""The first migration with room for the signatures of devices."""

APPLICATION_ID = 0x54415245
"""Marks an SQLite file as ours, in its header; the letters TARE."""


METADATA = MetaData()

EXPERIMENTS = Table(
    "experiment",
    METADATA,
    Column("number", Integer, primary_key=True),
    Column("key", Text, nullable=False, unique=True),
    Column("created", Text, nullable=False),
)

EVENTS = Table(
    "event",
    METADATA,
    Column("experiment", Integer, ForeignKey("experiment.number"), primary_key=True),
    Column("sequence", Integer, primary_key=True),
    Column("received", Text, nullable=False),
    Column("id", Text, nullable=False),
    Column("kind", Text, nullable=False),
    # `group` and `column` are words of SQL: these names need no quotes.
    Column("group_name", Text, nullable=False, key="group"),
    Column("run", Text, nullable=False),
    Column("column_name", Text, nullable=False, key="column"),
    Column("repeat", Integer, nullable=False),
    Column("typed", Text, nullable=False),
    Column("number", Text, nullable=False),
    Column("unit", Text, nullable=False),
    Column("instrument", Text, nullable=False),
    Column("who", Text, nullable=False),
    Column("device", Text, nullable=False),
    Column("taken", Text, nullable=False),
    Column("supersedes", Text, nullable=False),
    Column("reason", Text, nullable=False),
    Column("signer", Text, nullable=False),
    Column("signature", Text, nullable=False),
    Column("previous", Text, nullable=False),
    Column("hash", Text, nullable=False),
)

PLACES = Table(
    "place",
    METADATA,
    Column("experiment", Integer, ForeignKey("experiment.number"), primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("host", Text, nullable=False),
    Column("path", Text, nullable=False),
    Column("mark", Text, nullable=False),
    Column("since", Text, nullable=False),
)
