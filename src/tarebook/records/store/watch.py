"""Whether a file is still the one that was opened, and whether anybody else wrote into it.

SQLite keeps a file open whatever becomes of its name: a record that was moved, replaced or deleted
goes on taking readings that nobody finds again. So the program looks before and after each write.

And where the log beside the file is damaged, SQLite drops every commit from there on, as if it had
never been: the chain is whole then, only shorter. So the last number is noted beside the file.
"""

from __future__ import annotations

import contextlib
import hashlib
from dataclasses import dataclass
from pathlib import Path

from tarebook.records.chain import Head
from tarebook.records.errors import RecordReplacedError


@dataclass(frozen=True, slots=True, kw_only=True)
class _Mark:
    """What the disk says of a file: which one it is, and when it was last written."""

    device: int
    inode: int
    size: int
    written: int
    changed: int

    def is_file_of(self, other: _Mark) -> bool:
        return (self.device, self.inode) == (other.device, other.inode)


class FileWatch:
    """A record's file and the log beside it that holds what was written last.

    Only this program's own checkpoints write into the file itself, and it marks the file anew after
    each: any other change is somebody else's.

    Parameters
    ----------
    path : str
        Of the file, which is there.

    Raises
    ------
    RecordReplacedError
        If it is not.
    """

    def __init__(self, path: str) -> None:
        # Looked at three times for each delivery: to make a `Path` each time would cost more.
        self._path, self._beside = Path(path), Path(f"{path}-wal")
        self._file, self._log = self._there(), _mark(self._beside)

    def refuse_another(self) -> None:
        """Refuse a record whose file is no longer in its place.

        Raises
        ------
        RecordReplacedError
        """
        if not self._there().is_file_of(self._file):
            raise RecordReplacedError(str(self._path), "another file was put in its place")

    def was_touched(self) -> bool:
        """Return whether somebody wrote into the file, or took its log away."""
        return self._there() != self._file or self.lost_its_log()

    def lost_its_log(self) -> bool:
        """Return whether the log beside the file is gone, or another one."""
        if self._log is None:
            # SQLite makes it with the first write.
            self._log = _mark(self._beside)
            return False
        now = _mark(self._beside)
        return now is None or not now.is_file_of(self._log)

    def mark(self) -> None:
        """Take the file as it is now for the one that is watched."""
        self._file, self._log = self._there(), _mark(self._beside)

    def log_size(self) -> int:
        """Return the size of the log beside the file, in bytes."""
        log = _mark(self._beside)
        return log.size if log else 0

    def _there(self) -> _Mark:
        found = _mark(self._path)
        if found is None:
            raise RecordReplacedError(str(self._path), "its file was moved or deleted")
        return found


def _mark(path: Path) -> _Mark | None:
    with contextlib.suppress(OSError):
        found = path.stat()
        return _Mark(
            device=found.st_dev,
            inode=found.st_ino,
            size=found.st_size,
            written=found.st_mtime_ns,
            changed=found.st_ctime_ns,
        )
    return None


def make_for_owner(path: str) -> None:
    """Make a file that its owner alone may read, where there is none yet.

    SQLite gives the files that it makes beside its own the same rights. What cannot be made here is
    refused with its reason by whoever opens it.

    Parameters
    ----------
    path : str
    """
    with contextlib.suppress(OSError):
        Path(path).touch(0o600, exist_ok=False)


NOTE = "-last"
"""What the file with the note has after the name of the store."""

_NOTE_BYTES = 256
"""The note always has this length and is written in place: there is never half of one."""


def note_head(path: str, experiment: str, head: Head) -> None:
    """Note beside a store where its chain ends; a folder that cannot be written goes without.

    The disk is not waited for: a note outlives the program, and after a power failure an older one
    says less but nothing wrong.

    Parameters
    ----------
    path : str
        Of the store.
    experiment : str
        Its key.
    head : Head
    """
    note = f"{experiment} {head.count} {head.hash}"
    line = f"{note} {_check(note)}".ljust(_NOTE_BYTES - 1) + "\n"
    place = Path(f"{path}{NOTE}")
    make_for_owner(str(place))
    with contextlib.suppress(OSError), place.open("r+b", buffering=0) as file:
        file.write(line.encode())


def noted_head(path: str, experiment: str) -> Head | None:
    """Return where the chain of a store is known to have ended; None if nothing is known."""
    noted = noted_end(path)
    return noted[1] if noted and noted[0] == experiment else None


def noted_end(path: str) -> tuple[str, Head] | None:
    """Return which experiment's chain was noted last beside a store, and where it ended."""
    with contextlib.suppress(OSError, ValueError):
        note, _, check = Path(f"{path}{NOTE}").read_text(encoding="ascii").strip().rpartition(" ")
        key, count, last = note.split(" ")
        if check == _check(note):
            return key, Head(count=int(count), hash=last)
    return None


def _check(note: str) -> str:
    return hashlib.sha256(note.encode()).hexdigest()[:16]
