"""Anchors of a folder's record: kept beside it, and compared with it by `verify` and the bench."""

from __future__ import annotations

import contextlib
import datetime as dt
import os
from pathlib import Path

from tarebook.api.folder import STORE, read_text
from tarebook.records.anchor import Anchor, Occasion, anchor_line, anchors_of, heads_of
from tarebook.records.chain import Head
from tarebook.records.log import EventLog
from tarebook.records.store import make_for_owner, noted_head

ANCHORS = "anchors.jsonl"


def keep_anchor(folder: Path, log: EventLog, occasion: Occasion) -> None:
    """Keep where the chain of a record stands; a folder that cannot be written goes without.

    Parameters
    ----------
    folder : Path
        Of the experiment.
    log : EventLog
    occasion : Occasion

    Raises
    ------
    RecordError
        If the record cannot be read.
    """
    keep_head(folder, log.experiment, log.head(), occasion)


def keep_head(folder: Path, experiment: str, head: Head, occasion: Occasion) -> None:
    """Keep where the chain of an experiment stands; see `keep_anchor`."""
    if head.count == 0:
        return
    now = dt.datetime.now(dt.UTC)
    # Names of people and readings do not stand there, but who worked when does.
    make_for_owner(str(folder / ANCHORS))
    anchor = Anchor(experiment=experiment, head=head, made=now, occasion=occasion)
    with contextlib.suppress(OSError), (folder / ANCHORS).open("a+b") as file:
        end = file.seek(0, os.SEEK_END)
        file.seek(max(end - 1, 0))
        # A line that was cut off by a power failure is no anchor: the next one begins anew.
        cut = b"\n" if file.read(1) not in (b"", b"\n") else b""
        file.write(cut + anchor_line(anchor).encode() + b"\n")
        file.flush()
        os.fsync(file.fileno())


def anchored_heads(folder: Path, experiment: str, *, noted: bool = True) -> tuple[Head, ...]:
    """Return where the record of a folder is known to have stood, the longest last.

    Parameters
    ----------
    folder : Path
    experiment : str
        Key of the experiment.
    noted : bool
        Whether what was noted beside the store with the last commit counts too.

    Raises
    ------
    InputError
        If the file was altered.
    """
    heads = set(heads_of(kept_anchors(folder), experiment))
    if noted and (head := noted_head(str(folder / STORE), experiment)):
        heads.add(head)
    return tuple(sorted(heads, key=lambda head: head.count))


def kept_anchors(folder: Path) -> tuple[Anchor, ...]:
    """Return the anchors that lie in a folder.

    Raises
    ------
    InputError
        If the file was altered.
    """
    if not (folder / ANCHORS).exists():
        return ()
    return anchors_of(read_text(folder, ANCHORS), ANCHORS)
