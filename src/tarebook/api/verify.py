"""Verify a record: in a folder, in an archive, in a backup."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tarebook.api.anchors import anchored_heads, kept_anchors
from tarebook.api.folder import DEFINITION
from tarebook.api.open_archive import archive_files, is_archive, is_there, no_such
from tarebook.api.open_record import open_log, read_file
from tarebook.core.errors import InputError
from tarebook.records import archive as archives
from tarebook.records.anchor import FOUND_MISSING, of_other_records
from tarebook.records.chain import Head, Link, Verdict, received_of, verify_links
from tarebook.records.definition import TakenBy
from tarebook.records.events import DEFINITION as COLUMN
from tarebook.records.events import digest_of
from tarebook.records.store import SqlLog


@dataclass(frozen=True, slots=True, kw_only=True)
class Verified:
    """What `verify` found.

    Attributes
    ----------
    name : str
        What was looked at.
    experiment : str
        Key of the experiment.
    verdict : Verdict
    n_anchors : int
        Earlier ends of the chain, kept outside it, with which it was compared.
    definition : TakenBy or None
        The last definition in the record; None if there is none.
    definition_now : str
        Digest of the definition beside it; empty if there is none.
    """

    name: str
    experiment: str
    verdict: Verdict
    n_anchors: int = 0
    definition: TakenBy | None = None
    definition_now: str = ""


def verify(path: Path, *, expected: str = "", number: int = 0) -> Verified:
    """Say whether a record is whole, and which event was altered, left out or moved first.

    Parameters
    ----------
    path : Path
        A folder, an archive (zip or folder), or a backup.
    expected : str
        The last hash as it was written down; without it nobody can see whether events were cut off
        at the end of a record, or whether all of it was written anew.
    number : int
        Of the event whose hash it is, where more may have come since; 0 for the last one.

    Raises
    ------
    InputError
        If there is no such file.
    BrokenArchiveError, RecordError
        If nothing can be said about it.
    """
    printed = (Head(count=number, hash=expected),) if number else ()
    expected = "" if number else expected
    if is_archive(path):
        files = archive_files(path)
        verdict = archives.verify_files(files, str(path), expected, printed)
        return Verified(
            name=str(path),
            experiment=archives.key_of(files),
            verdict=verdict,
            definition=_last_of(archives.links_of(files)),
            definition_now=_digest(files.get(archives.DEFINITION)),
        )
    if not is_there(path):
        raise no_such(path)
    if path.is_dir():
        log = open_log(path, mode="read")
    elif path.is_file():
        log = read_file(path)
    else:
        raise no_such(path)
    try:
        anchors = anchored_heads(path, log.experiment) if path.is_dir() else ()
        found = verified_log(log, str(path), expected, (*anchors, *printed))
        if path.is_dir() and found.verdict.whole:
            found = replace(found, verdict=replace(found.verdict, fault=_other_record(path, log)))
        file = path / DEFINITION
        beside = file.read_bytes() if path.is_dir() and file.is_file() else None
        return replace(found, definition_now=_digest(beside))
    finally:
        log.close()


def verified_log(
    log: SqlLog, name: str, expected: str = "", anchors: Sequence[Head] = ()
) -> Verified:
    """Return what is found in an open record; see `verify`."""
    verdict = verify_links(log.experiment, log.links(), anchors=anchors)
    if verdict.whole and expected and expected != verdict.head.hash:
        fault = f"the last hash is not the one that was written down ({expected})"
        verdict = replace(verdict, fault=fault)
    if verdict.whole and (damage := log.damage()):
        verdict = replace(verdict, fault=f"the database is damaged: {damage}")
    return Verified(
        name=name,
        experiment=log.experiment,
        verdict=verdict,
        n_anchors=len(anchors),
        definition=_last_of(log.links()),
    )


def _last_of(links: Iterable[Link]) -> TakenBy | None:
    """Return the last definition of a chain, as far as its lines can be read."""
    found = None
    for link in links:
        if f'"column":"{COLUMN}"' not in link.line:
            continue
        # What is no event is named by the verdict.
        with contextlib.suppress(InputError):
            one = received_of(link.line)
            if one.event.column == COLUMN:
                found = TakenBy(event=one.sequence, digest=one.event.number)
    return found


def _other_record(folder: Path, log: SqlLog) -> str:
    """Return which other record was missed in a folder; empty if none was."""
    others = of_other_records(kept_anchors(folder), log.experiment)
    missed = [anchor for anchor in others if anchor.occasion in FOUND_MISSING]
    if not missed:
        return ""
    longest = max(missed, key=lambda anchor: anchor.head.count)
    return (
        f"it is another record than was in this folder before: that one had {longest.head.count} "
        f"events ({longest.occasion.value})"
    )


def _digest(file: bytes | None) -> str:
    if file is None:
        return ""
    return digest_of(file.decode("utf-8-sig", errors="replace"))
