"""The store of events: the only part that speaks SQL. Only `tarebook.api` opens one."""

from __future__ import annotations

from tarebook.records.store.connect import name_of
from tarebook.records.store.opening import copy_sqlite, open_postgresql, open_sqlite
from tarebook.records.store.places import last_place, note_place
from tarebook.records.store.sql_log import SqlLog
from tarebook.records.store.watch import NOTE, make_for_owner, noted_end, noted_head

__all__ = [
    "NOTE",
    "SqlLog",
    "copy_sqlite",
    "last_place",
    "make_for_owner",
    "name_of",
    "note_place",
    "noted_end",
    "noted_head",
    "open_postgresql",
    "open_sqlite",
]
