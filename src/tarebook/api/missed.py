"""Keep what is known of a record that lost its end, before anything more is written."""

from __future__ import annotations

import contextlib
from pathlib import Path

from tarebook.api.anchors import anchored_heads, keep_head
from tarebook.core.errors import InputError
from tarebook.records.anchor import Occasion
from tarebook.records.errors import RecordError
from tarebook.records.store import SqlLog, noted_head

DAMAGED = "tarebook.db-wal-damaged"
"""The log beside the store as it was found: SQLite takes away what it cannot use of it."""


def log_beside(store: Path) -> bytes:
    """Return the log beside a store; empty if there is none."""
    with contextlib.suppress(OSError):
        return store.with_name(f"{store.name}-wal").read_bytes()
    return b""


def keep_what_is_missed(store: Path, log: SqlLog, beside: bytes) -> None:
    """Keep where a record ended that has lost its end, and the log that held it.

    Parameters
    ----------
    store : Path
    log : SqlLog
    beside : bytes
        The log beside it as it was before the record was opened.
    """
    noted = noted_head(str(store), log.experiment)
    with contextlib.suppress(RecordError, InputError, OSError):
        if noted is None or log.head().count >= noted.count:
            return
        if noted not in anchored_heads(store.parent, log.experiment, noted=False):
            keep_head(store.parent, log.experiment, noted, Occasion.MISSED)
        kept = store.with_name(DAMAGED)
        if beside and not kept.exists():
            kept.write_bytes(beside)
