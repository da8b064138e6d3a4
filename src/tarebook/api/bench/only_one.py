"""One bench at a folder: the second is told where the first is.

The lock is the operating system's own: it goes with the process, however that ends. Some network
folders keep no locks, or none that another computer sees; so the bench also writes who holds the
folder into the locked file and touches it every few seconds. What was not touched for a while is
stale, by the clock of the disk on which it lies.
"""

from __future__ import annotations

import contextlib
import errno
import json
import os
import socket
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from enum import Enum
from pathlib import Path
from typing import ClassVar

from tarebook.api.bench.access import PLACE
from tarebook.api.folder import DEFINITION, STORE, cannot_write, read_text
from tarebook.api.open_record import clock
from tarebook.core.errors import TarebookError
from tarebook.records.events import time_text

FILE = "open.json"

BEAT = 5.0
"""Seconds after which the file is touched again."""
STALE = 20.0
"""Seconds without a touch after which nobody is at it any more."""

_MOST_BYTES = 10_000

_LOCKED_AT = 1 << 30
"""On Windows others cannot read the bytes that are locked: one is taken that is not there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """Who has a folder open.

    Attributes
    ----------
    address : str
        Of the app.
    host : str
        Name of its computer.
    process : int
    since : str
    """

    address: str
    host: str
    process: int
    since: str


class AlreadyOpenError(TarebookError, OSError):
    """A bench has the folder open already.

    Parameters
    ----------
    folder : str
    holder : Holder or None
        None if it has not said yet who it is.
    """

    code: ClassVar[str] = "already-open"

    def __init__(self, folder: str, holder: Holder | None) -> None:
        super().__init__(folder, holder)
        self.folder, self.holder = folder, holder

    @property
    def is_here(self) -> bool:
        """Whether it is on this computer, so that its address can be opened."""
        return self.holder is not None and self.holder.host == socket.gethostname()

    def __str__(self) -> str:
        if self.holder is None:
            return f"{self.folder} is being opened at another bench. Wait a moment and try again."
        who = f"since {self.holder.since[:16].replace('T', ' ')} UTC"
        if self.is_here:
            return (
                f"{self.folder} is open at a bench already ({who}, process {self.holder.process}): "
                f"{self.holder.address} . Go on there, or stop it there with Ctrl-C first."
            )
        return (
            f"{self.folder} is open at a bench on the computer {self.holder.host} already ({who}): "
            f"{self.holder.address} . Go on there, or stop it there with Ctrl-C first. If that "
            f"computer has gone off, wait {STALE:.0f} seconds and try again."
        )


class _Lock(Enum):
    HELD = "held"
    TAKEN = "taken"
    NONE = "the disk keeps no locks"


def refuse_second(folder: Path) -> None:
    """Refuse a folder that is open at a bench; nothing is made or changed.

    Raises
    ------
    AlreadyOpenError
    """
    path = _home(folder) / PLACE / FILE
    try:
        handle = os.open(path, os.O_RDWR)
    except OSError:
        # What cannot be opened here is said by whoever needs it.
        return
    try:
        _refuse_taken(folder, path, handle)
    finally:
        os.close(handle)


def _home(folder: Path) -> Path:
    """Return the folder in which the record of a folder lies: another one if it is a link there."""
    store = folder / STORE
    return store.resolve().parent if store.is_symlink() else folder


@contextmanager
def hold(folder: Path, address: str) -> Iterator[None]:
    """Hold a folder for one bench until the end of the block.

    Parameters
    ----------
    folder : Path
    address : str
        Of the app, for whoever comes second.

    Raises
    ------
    AlreadyOpenError
    InputError
        If there is no experiment in it.
    CannotWriteError
    """
    read_text(folder, DEFINITION)
    place = _home(folder) / PLACE
    path = place / FILE
    try:
        place.mkdir(mode=0o700, exist_ok=True)
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError as error:
        raise cannot_write(path, error) from error
    try:
        _refuse_taken(folder, path, handle)
        holder = Holder(
            address=address,
            host=socket.gethostname(),
            process=os.getpid(),
            since=time_text(clock()),
        )
        _write(path, handle, json.dumps(asdict(holder)) + "\n")
        ended = threading.Event()
        beating = threading.Thread(target=_beat, args=(path, ended), daemon=True)
        beating.start()
        try:
            yield
        finally:
            ended.set()
            beating.join()
            with contextlib.suppress(OSError):
                os.ftruncate(handle, 0)
    finally:
        os.close(handle)


def _refuse_taken(folder: Path, path: Path, handle: int) -> None:
    """Take the lock, or refuse the folder if another bench has it."""
    lock = _try_lock(handle)
    holder = _read(handle)
    if lock is _Lock.TAKEN:
        raise AlreadyOpenError(str(folder), holder)
    if holder is None:
        return
    # Of this computer, the lock says all there is to say.
    told = lock is _Lock.HELD and holder.host == socket.gethostname()
    if not told and _age(path) < STALE:
        raise AlreadyOpenError(str(folder), holder)


def _try_lock(handle: int) -> _Lock:
    """Take the lock of a file; it ends when the handle is closed, or with the process."""
    try:
        if sys.platform == "win32":
            import msvcrt

            os.lseek(handle, _LOCKED_AT, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        taken = error.errno in (errno.EWOULDBLOCK, errno.EACCES, errno.EDEADLK)
        return _Lock.TAKEN if taken else _Lock.NONE
    return _Lock.HELD


def _read(handle: int) -> Holder | None:
    """Return who stands in the file; None if nobody does, or it is not written yet."""
    try:
        os.lseek(handle, 0, os.SEEK_SET)
        given = json.loads(os.read(handle, _MOST_BYTES))
        return Holder(
            address=str(given["address"]),
            host=str(given["host"]),
            process=int(given["process"]),
            since=str(given["since"]),
        )
    except (OSError, ValueError, TypeError, KeyError, RecursionError):
        return None


def _write(path: Path, handle: int, text: str) -> None:
    try:
        os.ftruncate(handle, 0)
        os.lseek(handle, 0, os.SEEK_SET)
        os.write(handle, text.encode())
        os.fsync(handle)
    except OSError as error:
        raise cannot_write(path, error) from error


def _beat(path: Path, ended: threading.Event) -> None:
    while not ended.wait(BEAT):
        with contextlib.suppress(OSError):
            os.utime(path)


def _age(path: Path) -> float:
    """Return the seconds since the file was touched, by the clock of the disk it lies on."""
    probe = path.with_name(f"{FILE}.{os.getpid()}")
    try:
        probe.touch()
        return probe.stat().st_mtime - path.stat().st_mtime
    except OSError:
        return STALE
    finally:
        with contextlib.suppress(OSError):
            probe.unlink(missing_ok=True)
