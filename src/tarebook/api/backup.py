"""Copy a record while readings come in."""

from __future__ import annotations

import contextlib
from dataclasses import replace
from pathlib import Path

from tarebook.api.anchors import anchored_heads, keep_head
from tarebook.api.exchange import export_archive, refuse_to_replace
from tarebook.api.folder import KEY_FILE, STORE, cannot_write, sync_folder
from tarebook.api.open_record import nothing_recorded, open_log, read_file
from tarebook.api.verify import Verified, verified_log, verify
from tarebook.core.errors import CannotWriteError, Fault, InputError
from tarebook.records.anchor import Occasion
from tarebook.records.errors import RecordError
from tarebook.records.store import copy_sqlite


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
    refuse_to_replace(file)
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
    log = open_log(folder, mode="read")
    try:
        part.unlink(missing_ok=True)
        # Before it is copied: more may come in meanwhile.
        known = anchored_heads(folder, log.experiment)
        copy_sqlite(log, str(part))
        copy = read_file(part)
        try:
            # A backup of a record that lost something must not pass for a good one; by itself the
            # copy is compared with nothing.
            verified = replace(verified_log(copy, str(file), anchors=known), n_anchors=0)
        finally:
            copy.close()
        part.rename(file)
        sync_folder(file.parent)
        keep_head(folder, log.experiment, verified.verdict.head, Occasion.BACKUP)
    except RecordError:
        raise
    except OSError as error:
        raise cannot_write(file, error) from error
    finally:
        log.close()
        for ending in ("", "-wal", "-shm", "-journal"):
            with contextlib.suppress(OSError):
                part.with_name(part.name + ending).unlink(missing_ok=True)
    return verified
