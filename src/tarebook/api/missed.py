"""What a record is known to have held and holds no longer, by what is kept outside it."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from pathlib import Path

from tarebook.api.anchors import anchored_heads, keep_head, kept_anchors
from tarebook.core.errors import InputError
from tarebook.records.anchor import (
    FOUND_MISSING,
    Occasion,
    heads_of,
    of_other_records,
    times_missed,
)
from tarebook.records.chain import Head
from tarebook.records.errors import RecordError
from tarebook.records.log import EventLog
from tarebook.records.store import SqlLog, noted_end

DAMAGED = "tarebook.db-wal-damaged"
"""The log beside the store as it was found: SQLite takes away what it cannot use of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Missed:
    """What is missing in a record.

    Attributes
    ----------
    n_lost : int
        Events that it once had more than now.
    is_other : bool
        Whether it is another record than the folder held before, or goes on otherwise than before.
    times : int
        How often something was found to be missing.
    """

    n_lost: int
    is_other: bool
    times: int


def missed(folder: Path, log: EventLog) -> Missed:
    """Return what is missing in the record of a folder, by its anchors.

    Raises
    ------
    InputError
        If the file of anchors was altered.
    RecordError
        If the record cannot be read.
    """
    heads = anchored_heads(folder, log.experiment)
    count = log.head().count
    longest = max((head.count for head in heads), default=0)
    strayed = any(head.count <= count and not holds(log, head) for head in heads)
    anchors = kept_anchors(folder)
    return Missed(
        n_lost=max(longest - count, 0),
        is_other=strayed or bool(of_other_records(anchors, log.experiment)),
        times=times_missed(anchors),
    )


def holds(log: EventLog, head: Head) -> bool:
    """Return whether the chain of a record stood at a head once, or stands there now."""
    following = log.events(after=head.count - 1)
    return bool(following) and following[0].hash == head.hash


def log_beside(store: Path) -> bytes:
    """Return the log beside a store; empty if there is none."""
    with contextlib.suppress(OSError):
        return store.with_name(f"{store.name}-wal").read_bytes()
    return b""


def keep_what_is_missed(store: Path, log: SqlLog, beside: bytes) -> None:
    """Keep where a record ended that lost its end or was replaced, and the log that held it.

    Before anything more is written: that writes over the note beside the store.

    Parameters
    ----------
    store : Path
    log : SqlLog
    beside : bytes
        The log beside it as it was before the record was opened.
    """
    noted = noted_end(str(store))
    with contextlib.suppress(RecordError, InputError, OSError):
        if noted is None:
            return
        key, head = noted
        if key == log.experiment and log.head().count >= head.count and holds(log, head):
            return
        # One of another occasion says where it stood, not that it was missed.
        said = [one for one in kept_anchors(store.parent) if one.occasion in FOUND_MISSING]
        if head not in heads_of(said, key):
            keep_head(store.parent, key, head, Occasion.MISSED)
        kept = store.with_name(DAMAGED)
        if beside and not kept.exists():
            kept.write_bytes(beside)
