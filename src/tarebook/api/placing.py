"""What ties a folder to its record: the key beside the definition, and the place in the record.

Both are needed: the key travels with every copy of the folder, and a copy must not write into the
record of the first.
"""

from __future__ import annotations

import datetime as dt
import socket
import tomllib
import uuid
from pathlib import Path

from tarebook.api.folder import KEY_FILE, STORE, read_text
from tarebook.core.errors import Fault, InputError
from tarebook.records.errors import RecordCopiedError
from tarebook.records.place import Place
from tarebook.records.store import SqlLog, last_place, note_place

SETTING = "TAREBOOK_DATABASE"


def key_of(folder: Path) -> str:
    """Return the key under which a folder's record is in a shared database; empty if it is not.

    Raises
    ------
    InputError
        If it cannot be read.
    """
    if not (folder / KEY_FILE).exists():
        return ""
    text = read_text(folder, KEY_FILE)
    allowed = f'experiment = "KEY", as it was written when {SETTING} was first set'
    try:
        key = tomllib.loads(text)["experiment"]
        return str(uuid.UUID(key))
    except (tomllib.TOMLDecodeError, KeyError, ValueError, AttributeError):
        where, found = str(folder / KEY_FILE), "something else"
        raise InputError([Fault(where=where, found=found, allowed=allowed)]) from None


def key_file(key: str) -> bytes:
    """Return the file that holds a key."""
    text = (
        f"# The readings of this folder are in the database that {SETTING} names, under this key.\n"
        f'experiment = "{key}"\n'
    )
    return text.encode()


def place_of(folder: Path, file: Path) -> Place:
    """Return where a folder is.

    Parameters
    ----------
    folder : Path
    file : Path
        That ties it to its record; it need not be in its place yet.
    """
    found = file.stat()
    # A copy can be given any time but this one; a file that is written to has it anew each time.
    changed = f":{found.st_ctime_ns}" if file.name == KEY_FILE else ""
    path = str(folder.resolve())
    return Place(host=socket.gethostname(), path=path, mark=f"{found.st_ino}{changed}")


def claim(log: SqlLog, here: Place, *, now: dt.datetime, moved: bool = False) -> None:
    """Have a record in a shared database belong to a folder, unless it belongs to another one.

    Parameters
    ----------
    log : SqlLog
    here : Place
    now : datetime
    moved : bool
        Whether a person says that the other folder is gone.

    Raises
    ------
    RecordCopiedError
        If it belongs to another folder, which is still there or cannot be seen from here.
    """
    last = last_place(log)
    if last == here:
        return
    if last and not moved and not last.is_same(here) and not _is_gone(last, log.experiment):
        raise RecordCopiedError(log.name, here.path, last)
    note_place(log, here, now=now)


def copied_from(folder: Path, log: SqlLog, *, now: dt.datetime) -> Place | None:
    """Return of which folder another is a copy, whose record lies in a file of its own.

    Its file belongs to it from now on: this is said once.
    """
    here, last = place_of(folder, folder / STORE), last_place(log)
    if last == here:
        return None
    note_place(log, here, now=now)
    if last is None or last.is_same(here) or last.host != here.host:
        return None
    return last if (Path(last.path) / STORE).exists() else None


def _is_gone(place: Place, key: str) -> bool:
    """Return whether a folder of this computer is no longer there, or has another record."""
    if place.host != socket.gethostname():
        return False
    try:
        return key_of(Path(place.path)) != key
    except InputError:
        return False
