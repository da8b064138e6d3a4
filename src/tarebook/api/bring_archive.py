"""Begin a folder from an archive: all of it is there in one moment, or nothing."""

from __future__ import annotations

import contextlib
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tarebook.api.folder import (
    DEFINITION,
    KEY_FILE,
    READINGS,
    STORE,
    cannot_write,
    sync_folder,
    write_all,
)
from tarebook.api.open_archive import archive_files
from tarebook.api.open_record import open_log
from tarebook.api.verify import Verified
from tarebook.core.errors import TarebookError
from tarebook.records import archive as archives
from tarebook.records.chain import verify_links
from tarebook.records.errors import RecordCopiedError, RecordNotEmptyError
from tarebook.records.store import SqlLog


@dataclass(frozen=True, slots=True, kw_only=True)
class BroughtIn(Verified):
    """What a folder holds that was begun from an archive.

    Attributes
    ----------
    was_there : bool
        Whether the database had the record already; then nothing was recorded.
    """

    was_there: bool = False


def import_archive(folder: Path, file: Path, *, moved: bool = False) -> BroughtIn:
    """Begin a folder from an archive: definition and the whole record, as they were.

    Everything is made in a folder beside it, which then gets its name: however this is
    interrupted, there is no half of it under the name, and the next time begins afresh.

    Parameters
    ----------
    folder : Path
        That is not there yet, or is empty.
    file : Path
        A zip file or a folder.
    moved : bool
        Whether a person says that the folder to which the record belonged is gone. Only for a
        database that has the record already.

    Raises
    ------
    BrokenArchiveError
        If the archive is not whole; nothing was written.
    RecordNotEmptyError
        If the folder holds something already, or the database has this record and it belongs to
        another folder.
    """
    archive = archives.archive_of(archive_files(file), str(file))
    place = folder.resolve()
    _refuse_full(folder, place)
    with _made_beside(place) as part:
        write_all(part, {DEFINITION: archive.definition})
        log = _opened(part, place, archive, moved)
        try:
            was_there = log.head().count > 0
            if was_there:
                _refuse_other(log, archive)
            else:
                log.restore(archive.events)
            verdict = verify_links(log.experiment, log.links())
        finally:
            log.close()
    return BroughtIn(
        name=str(folder), experiment=archive.experiment, verdict=verdict, was_there=was_there
    )


def _refuse_full(folder: Path, place: Path) -> None:
    try:
        there = {one.name for one in place.iterdir()} if place.exists() else set()
        here = place.exists() and place.samefile(Path.cwd())
    except OSError as error:
        raise cannot_write(folder, error) from error
    do = "Name a folder that is not there yet."
    known = [name for name in (DEFINITION, READINGS, STORE, KEY_FILE) if name in there]
    for name in [*known, *sorted(there)][:1]:
        raise RecordNotEmptyError(str(folder), f"it holds {name} already", do)
    if here:
        raise RecordNotEmptyError(str(folder), "it is the folder in which you are", do)


@contextmanager
def _made_beside(place: Path) -> Iterator[Path]:
    """Give a folder in which to make what then gets the name of the place in one step."""
    part = place.with_name(f".{place.name}.part")
    try:
        # Left by one that was killed, or that lost its power.
        shutil.rmtree(part, ignore_errors=True)
        part.mkdir(parents=True)
        yield part
        if place.exists():
            place.rmdir()
        part.rename(place)
        sync_folder(place.parent)
    except BaseException as error:
        with contextlib.suppress(OSError):
            shutil.rmtree(part)
        if not isinstance(error, OSError) or isinstance(error, TarebookError):
            raise
        raise cannot_write(place, error) from error


def _opened(part: Path, place: Path, archive: archives.Archive, moved: bool) -> SqlLog:
    try:
        return open_log(part, mode="create", key=archive.experiment, at=place, moved=moved)
    except RecordCopiedError as error:
        raise RecordNotEmptyError(
            error.record,
            f"it holds the record of this archive already, and that belongs to the folder "
            f"{error.place}",
            "Nothing was changed, and nothing is recorded twice. Go on in that folder. If it is "
            "gone, bring the archive in with --moved.",
        ) from error


def _refuse_other(log: SqlLog, archive: archives.Archive) -> None:
    """Refuse a database that does not hold all events of the archive under its key."""
    there = log.events()
    same = 0
    for one, other in zip(there, archive.events, strict=False):
        if one.hash != other.hash:
            break
        same += 1
    if same < len(archive.events):
        raise RecordNotEmptyError(
            log.name,
            f"it holds {len(there)} events under the key of this archive, and only the first "
            f"{same} are those of the archive, which has {len(archive.events)}",
            "Nothing was changed. Without the setting for the database the archive can be brought "
            "in beside it, to see what differs.",
        )
