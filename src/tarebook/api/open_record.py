"""Open the record of a folder.

The record is the file `tarebook.db` in the folder. Where the environment variable
`TAREBOOK_DATABASE` names a PostgreSQL database, the records of all folders are in that database;
the file `record.toml` in the folder then says under which key.
"""

from __future__ import annotations

import datetime as dt
import os
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, TypeAlias

from tarebook.api.definition import experiment_of
from tarebook.api.folder import DEFINITION, KEY_FILE, STORE, read_text, write_all
from tarebook.api.missed import keep_what_is_missed, log_beside
from tarebook.api.placing import SETTING, claim, key_file, key_of, place_of
from tarebook.records.errors import (
    RecordElsewhereError,
    RecordError,
    RecordReadOnlyError,
    RecordUnreachableError,
)
from tarebook.records.fold import Folded, by_group, fold
from tarebook.records.log import EventLog
from tarebook.records.store import SqlLog, open_postgresql, open_sqlite
from tarebook.series.experiment import Experiment

Mode: TypeAlias = Literal["create", "write", "read"]


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenRecord:
    """An experiment whose record is open; may be used by many threads at once.

    Attributes
    ----------
    folder : Path
    experiment : Experiment
        As the definition said when the record was opened.
    definition : str
        Its text then.
    log : EventLog
    """

    folder: Path
    experiment: Experiment
    definition: str
    log: EventLog

    @property
    def planned(self) -> tuple[str, ...]:
        """The runs of the plan."""
        return tuple(run.run for run in self.experiment.planned)

    def groups(self) -> dict[str, Folded]:
        """Return what every group recorded, group by group."""
        groups = by_group(one.event for one in self.log.events())
        return {group: fold(events, self.planned) for group, events in groups.items()}

    def of_group(self, group: str) -> Folded:
        """Return what one group recorded."""
        return fold((one.event for one in self.log.events(group=group)), self.planned)


@contextmanager
def open_record(folder: Path, *, mode: Mode = "create") -> Iterator[OpenRecord]:
    """Open the record of a folder, and close it at the end of the block.

    Parameters
    ----------
    folder : Path
    mode : {"create", "write", "read"}
        "create" begins a record where there is none; "read" changes nothing.

    Yields
    ------
    OpenRecord

    Raises
    ------
    InputError
        If the definition cannot be used.
    RecordError
        If the record cannot be opened.
    """
    definition = read_text(folder, DEFINITION)
    experiment = experiment_of(definition)
    log = open_log(folder, mode=mode)
    try:
        yield OpenRecord(folder=folder, experiment=experiment, definition=definition, log=log)
    finally:
        log.close()


def open_log(
    folder: Path,
    *,
    mode: Mode = "create",
    key: str = "",
    at: Path | None = None,
    moved: bool = False,
) -> SqlLog:
    """Return the log of a folder.

    Parameters
    ----------
    folder : Path
    mode : {"create", "write", "read"}
    key : str
        Of an archive that is to be brought in.
    at : Path, optional
        Where the folder is to be, if it is still made in another place.
    moved : bool
        Whether a person says that the folder to which the record belonged is gone.

    Raises
    ------
    RecordError
        If it cannot be opened, or belongs to another folder and is to be written.
    """
    url = os.environ.get(SETTING, "")
    kept = key_of(folder)
    if not url:
        if kept:
            raise RecordElsewhereError(
                str(folder),
                f"{KEY_FILE} says that its readings are in a database",
                f"Set {SETTING} to the address of that database.",
            )
        return _open_file(folder / STORE, mode, key)
    if (folder / STORE).exists():
        raise RecordElsewhereError(
            str(folder / STORE),
            f"the readings of this folder are here, but {SETTING} is set",
            f"Unset {SETTING}; or move the readings into the database: without {SETTING}, "
            "tarebook export FOLDER --archive FILE, then with it, tarebook import NEW_FOLDER FILE.",
        )
    if not kept and mode != "create":
        raise nothing_recorded(folder)
    if kept:
        log = open_postgresql(url, key=kept, now=clock(), mode=mode)
        return log if mode == "read" else _claimed(log, folder, at or folder, moved)
    return _begin_in_database(folder, url, key or new_id(), at or folder, moved)


def _claimed(log: SqlLog, folder: Path, at: Path, moved: bool) -> SqlLog:
    try:
        claim(log, place_of(at, folder / KEY_FILE), now=clock(), moved=moved)
    except BaseException:
        log.close()
        raise
    return log


def _begin_in_database(folder: Path, url: str, key: str, at: Path, moved: bool) -> SqlLog:
    # The key is on the disk before anything is recorded under it.
    (written,) = write_all(folder, {KEY_FILE: key_file(key)})
    try:
        log = open_postgresql(url, key=key, now=clock(), mode="create")
        return _claimed(log, folder, at, moved)
    except BaseException:
        # Nothing is recorded under it yet, and the folder is not bound to a wrong address.
        written.unlink(missing_ok=True)
        raise


def _open_file(path: Path, mode: Mode, key: str) -> SqlLog:
    if not path.exists() and mode != "create":
        raise nothing_recorded(path.parent)
    beside = log_beside(path)
    if mode == "read":
        log = read_file(path)
    else:
        log = open_sqlite(str(path), key=key or new_id(), now=clock(), mode=mode)
    keep_what_is_missed(path, log, beside)
    return log


def read_file(path: Path) -> SqlLog:
    """Return the log in a file, for reading only, also from a medium that cannot be written."""
    try:
        return open_sqlite(str(path), now=clock(), mode="read")
    except (RecordReadOnlyError, RecordUnreachableError):
        unfinished = Path(f"{path}-wal")
        if not path.is_file() or (unfinished.exists() and unfinished.stat().st_size):
            raise
        return open_sqlite(str(path), now=clock(), mode="frozen")


def nothing_recorded(folder: Path) -> RecordError:
    """Return the error of a folder without a record."""
    return RecordUnreachableError(
        str(folder / STORE),
        "nothing has been recorded in this folder yet",
        "Record at the bench (tarebook bench FOLDER), or bring a sheet in (tarebook import FOLDER "
        "readings.csv).",
    )


def clock() -> dt.datetime:
    """Return the time, in UTC."""
    return dt.datetime.now(dt.UTC)


def new_id() -> str:
    """Return an id that nothing else has."""
    return str(uuid.uuid4())
