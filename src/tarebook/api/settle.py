"""Say which folder a record belongs to, after a folder was moved, restored or copied."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from tarebook.api.anchors import ANCHORS
from tarebook.api.bench.access import FILE as ACCESS
from tarebook.api.bench.access import PLACE
from tarebook.api.bench.only_one import refuse_second
from tarebook.api.folder import KEY_FILE, STORE, has_record, remove_all, set_aside
from tarebook.api.open_record import nothing_recorded, open_log
from tarebook.records.store import NOTE


def settle(folder: Path, how: Literal["moved", "copied"]) -> tuple[Path, ...]:
    """Have the record belong to a folder that was moved, or have a copied folder begin its own.

    Parameters
    ----------
    folder : Path
        At no bench.
    how : {"moved", "copied"}
        A copied folder keeps the record, or what ties it to one, under another name; its groups get
        codes of their own.

    Returns
    -------
    tuple of Path
        What was put aside.

    Raises
    ------
    AlreadyOpenError
        If it is open at a bench.
    RecordError
        If there is no record, or it cannot be written.
    """
    refuse_second(folder)
    if not has_record(folder):
        raise nothing_recorded(folder)
    if how == "moved":
        open_log(folder, mode="write", moved=True).close()
        return ()
    if (folder / STORE).exists():
        # Closed, the record is one file.
        open_log(folder, mode="write").close()
    # Where the other record ended is no concern of the one that begins.
    names = [name for name in (STORE, KEY_FILE, ANCHORS) if (folder / name).exists()]
    aside = tuple(set_aside(folder, name) for name in names)
    remove_all(folder, (f"{STORE}{NOTE}",))
    remove_all(folder / PLACE, (ACCESS,))
    return aside
