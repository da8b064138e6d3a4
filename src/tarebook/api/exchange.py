"""Bring sheets and archives into a record and out of it, verify it, back it up."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from pathlib import Path

from tarebook.api.folder import DEFINITION, KEY_FILE, OUT, READINGS, STORE, read_text, write_all
from tarebook.api.incoming import Changes, changes
from tarebook.api.record import (
    LONE_GROUP,
    clock,
    new_id,
    nothing_recorded,
    open_log,
    open_record,
    read_file,
)
from tarebook.core.errors import CannotWriteError, Fault, InputError
from tarebook.core.version import VERSION
from tarebook.records import archive as archives
from tarebook.records.chain import Head, Verdict, verify_links
from tarebook.records.errors import RecordNotEmptyError
from tarebook.records.events import Kind
from tarebook.records.fold import Folded
from tarebook.records.sheet import NOTE, parse_sheet, write_sheet
from tarebook.records.store import SqlLog, copy_sqlite
from tarebook.series.faults import shown

__all__ = [
    "LONE_GROUP",
    "Changes",
    "Kind",
    "Verified",
    "backup",
    "export_archive",
    "export_readings",
    "import_archive",
    "import_readings",
    "is_archive",
    "verify",
]

IMPORT = "import"
"""What an event that came from a sheet names as its device."""


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
    """

    name: str
    experiment: str
    verdict: Verdict


def import_readings(
    folder: Path,
    file: Path,
    *,
    group: str = LONE_GROUP,
    who: str = "",
    now: dt.datetime | None = None,
) -> Changes:
    """Record what stands in a sheet and not yet in the record.

    A number that is new becomes a reading; one that differs from what counts becomes a correction;
    a blank cell takes nothing back. Bringing the same sheet in again records nothing.

    Parameters
    ----------
    folder : Path
    file : Path
        A sheet as `readings.csv`.
    group : str
        Whose readings they are.
    who : str
        Who says so.
    now : datetime, optional

    Raises
    ------
    InputError
        With every fault of the sheet; nothing was recorded.
    RecordError
        If the record cannot take it; nothing was recorded.
    """
    if not file.exists():
        raise _no_such(file, "a sheet like readings.csv, or an archive")
    table = parse_sheet(read_text(file.parent, file.name), file.name)
    now = now or clock()
    with open_record(folder) as opened:
        found = changes(
            table,
            opened.of_group(group),
            group=group,
            who=who,
            device=IMPORT,
            reason="a sheet that was brought in says so",
            now=now,
            new_id=new_id,
        )
        opened.log.append(found.events, now=now)
    return found


def import_archive(folder: Path, file: Path) -> Verified:
    """Begin a folder from an archive: definition and the whole record, as they were.

    Parameters
    ----------
    folder : Path
        Without a definition or a record so far.
    file : Path
        A zip file or a folder.

    Raises
    ------
    BrokenArchiveError
        If the archive is not whole; nothing was written.
    RecordNotEmptyError
        If the folder holds an experiment already.
    """
    archive = archives.archive_of(_archive_files(file), str(file))
    for name in (DEFINITION, READINGS, STORE, KEY_FILE):
        if (folder / name).exists():
            raise RecordNotEmptyError(
                str(folder), f"it holds {name} already", "Name a folder that is not there yet."
            )
    try:
        head = _restore(folder, archive)
    except Exception:
        # None of them was there before.
        for name in (DEFINITION, KEY_FILE, STORE, f"{STORE}-wal", f"{STORE}-shm"):
            (folder / name).unlink(missing_ok=True)
        raise
    return Verified(name=str(folder), experiment=archive.experiment, verdict=Verdict(head=head))


def _restore(folder: Path, archive: archives.Archive) -> Head:
    write_all(folder, {DEFINITION: archive.definition})
    log = open_log(folder, mode="create", key=archive.experiment)
    try:
        log.restore(archive.events)
        return log.head()
    finally:
        log.close()


def is_archive(file: Path) -> bool:
    """Return whether a file or folder is meant as an archive."""
    return file.suffix.lower() == ".zip" or (file / archives.MANIFEST).is_file()


def export_readings(folder: Path, *, group: str = "") -> tuple[Path, ...]:
    """Write what counts as sheets: `readings.csv`, or one for each group into `out`.

    Parameters
    ----------
    folder : Path
    group : str
        Only this one, into `readings.csv`.

    Returns
    -------
    tuple of Path

    Raises
    ------
    InputError
        If `readings.csv` holds numbers that the record does not know, which would be lost.
    RecordError
        If there is no record or it cannot be read.
    """
    with open_record(folder, mode="read") as opened:
        groups = opened.groups()
        planned = opened.of_group(group or LONE_GROUP)
    if group and group not in groups:
        allowed = ", ".join(groups) or "none yet: nothing has been recorded"
        raise InputError([Fault(where="--group", found=repr(group), allowed=allowed)])
    if group or len(groups) <= 1:
        folded = groups[group] if group else next(iter(groups.values()), planned)
        _refuse_to_lose(folder, folded)
        return write_all(folder, {READINGS: write_sheet(folded.table).encode()})
    names = _sheet_names(tuple(groups))
    sheets = {names[name]: write_sheet(folded.table).encode() for name, folded in groups.items()}
    return write_all(folder / OUT, sheets)


def _sheet_names(groups: tuple[str, ...]) -> dict[str, str]:
    """Return a file name for each group that every system accepts, no two the same."""
    plain = [re.sub(r"[^A-Za-z0-9_-]+", "-", group).strip("-").lower() for group in groups]
    unique = len(set(plain)) == len(plain) and all(plain)
    return {
        group: f"readings-{word if unique else number}.csv"
        for number, (group, word) in enumerate(zip(groups, plain, strict=True), start=1)
    }


def _refuse_to_lose(folder: Path, folded: Folded) -> None:
    """Refuse to write over a sheet with numbers that were never recorded."""
    if not (folder / READINGS).exists():
        return
    table = parse_sheet(read_text(folder, READINGS), READINGS)
    known = {
        (event.run, event.column, event.typed if event.column == NOTE else event.number)
        for event in (entry.event for entry in folded.entries)
    }
    known |= {(run, NOTE, note) for run, note in folded.table.notes.items()}
    there = [(r.run, r.quantity.value, r.typed, r.place) for r in table.readings]
    there += [(run, NOTE, note, f"run {run}, note") for run, note in table.notes.items()]
    lost = [(place, found) for *cell, found, place in there if (*cell, found) not in known]
    if lost:
        do = f"Bring it in first: tarebook import {folder} {folder / READINGS}; or move it away."
        allowed = "what is in the record, or no such file"
        raise InputError(
            Fault(where=f"{READINGS}, {place}", found=shown(found), allowed=allowed, do=do)
            for place, found in lost
        )


def export_archive(folder: Path, file: Path, *, now: dt.datetime | None = None) -> Path:
    """Write the whole experiment into one open file.

    Parameters
    ----------
    folder : Path
    file : Path
        A zip file that is not there yet.
    now : datetime, optional

    Raises
    ------
    InputError
        If the definition cannot be used, or the record is not whole.
    RecordError
        If there is no record or it cannot be read.
    CannotWriteError
        If the file is there already or cannot be written.
    """
    _refuse_to_replace(file)
    with open_record(folder, mode="read") as opened:
        files = archives.files_of(
            archives.Archive(
                experiment=opened.log.experiment,
                title=opened.experiment.title,
                definition=(folder / DEFINITION).read_bytes(),
                planned=opened.planned,
                events=opened.log.events(),
                made=now or clock(),
                made_by=f"tarebook {VERSION}",
            )
        )
    return write_all(file.parent, {file.name: archives.pack(files)})[0]


def _refuse_to_replace(file: Path) -> None:
    if file.exists():
        raise CannotWriteError(str(file), "it is there already", "Choose another name.")


def verify(path: Path, *, expected: str = "") -> Verified:
    """Say whether a record is whole, and which event was altered, left out or moved first.

    Parameters
    ----------
    path : Path
        A folder, an archive (zip or folder), or a backup.
    expected : str
        The last hash as it was written down; without it nobody can see whether events were cut off
        at the end of a record, or whether all of it was written anew.

    Raises
    ------
    InputError
        If there is no such file.
    BrokenArchiveError, RecordError
        If nothing can be said about it.
    """
    if is_archive(path):
        files = _archive_files(path)
        verdict = archives.verify_files(files, str(path), expected)
        return Verified(name=str(path), experiment=archives.key_of(files), verdict=verdict)
    if path.is_dir():
        log = open_log(path, mode="read")
    elif path.is_file():
        log = read_file(path)
    else:
        raise _no_such(path)
    try:
        return _verified(log, str(path), expected)
    finally:
        log.close()


def _verified(log: SqlLog, name: str, expected: str) -> Verified:
    verdict = verify_links(log.experiment, log.links())
    if verdict.whole and expected and expected != verdict.head.hash:
        fault = f"the last hash is not the one that was written down ({expected})"
        verdict = Verdict(head=verdict.head, fault=fault)
    return Verified(name=name, experiment=log.experiment, verdict=verdict)


def backup(folder: Path, file: Path) -> Verified:
    """Copy a record while readings come in, and verify the copy.

    Parameters
    ----------
    folder : Path
    file : Path
        That is not there yet. Ending in `.zip` it becomes an archive, which holds the definition
        too; otherwise a copy of `tarebook.db`, which can be put in its place.

    Raises
    ------
    InputError
        If the record is in a PostgreSQL database and the name does not end in `.zip`.
    RecordError, CannotWriteError
        If it cannot be read or written; no incomplete file is left.
    """
    _refuse_to_replace(file)
    if file.suffix.lower() == ".zip":
        return verify(export_archive(folder, file))
    if (folder / KEY_FILE).exists():
        allowed = "a name that ends in .zip: the record is in a database of its own"
        raise InputError([Fault(where=str(file), found=repr(file.suffix), allowed=allowed)])
    if not (folder / STORE).exists():
        raise nothing_recorded(folder)
    return _copy(folder, file)


def _copy(folder: Path, file: Path) -> Verified:
    if not file.parent.is_dir():
        reason = f"there is no folder {file.parent}"
        raise CannotWriteError(str(file), reason, "Make it, or choose another place.")
    part = file.with_name(f".{file.name}.part")
    part.unlink(missing_ok=True)
    log = open_log(folder, mode="read")
    try:
        copy_sqlite(log, str(part))
        copy = read_file(part)
        try:
            verified = _verified(copy, str(file), "")
        finally:
            copy.close()
        part.rename(file)
    finally:
        log.close()
        part.unlink(missing_ok=True)
    return verified


def _archive_files(path: Path) -> dict[str, bytes]:
    """Return the files of an archive, a zip file or a folder."""
    if path.is_dir():
        names = [one for one in sorted(path.iterdir()) if one.is_file()]
        if sum(one.stat().st_size for one in names) > archives.MOST_BYTES:
            raise _too_large(path)
        return {one.name: one.read_bytes() for one in names}
    try:
        if path.stat().st_size > archives.MOST_BYTES:
            raise _too_large(path)
        return archives.unpack(path.read_bytes(), str(path))
    except FileNotFoundError:
        raise _no_such(path) from None
    except OSError as error:
        found = error.strerror or "it cannot be read"
        allowed = "a file that you may read"
        raise InputError([Fault(where=str(path), found=found, allowed=allowed)]) from None


def _no_such(
    path: Path, allowed: str = "an experiment folder, an archive, or a backup"
) -> InputError:
    return InputError([Fault(where=str(path), found="no such file", allowed=allowed)])


def _too_large(path: Path) -> InputError:
    allowed = f"at most {archives.MOST_BYTES} bytes"
    return InputError([Fault(where=str(path), found="a larger file", allowed=allowed)])
