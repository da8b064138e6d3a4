"""The experiment folder on disk: read whole or not at all, write beside and rename."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path

from tarebook.core.errors import CannotWriteError, Fault, InputError

DEFINITION = "experiment.toml"
READINGS = "readings.csv"
OUT = "out"
STORE = "tarebook.db"
KEY_FILE = "record.toml"
HISTORY = "slips.toml"
CUP_LABELS = "cup-labels.pdf"
"""Labels of filled cups; `labels.pdf` is what `prepare` prints before anything is poured."""

MOST_BYTES = 10_000_000
"""A definition or a sheet larger than this is some other file."""

_WHAT_IS_MISSING = {
    DEFINITION: (
        "the definition of the experiment",
        "Is it the right folder? A new one begins with: tarebook start NEW_FOLDER.",
    ),
    READINGS: (
        "the sheet of readings, one row a run",
        "Save your readings under this name; tarebook start NEW_FOLDER makes a blank sheet.",
    ),
    HISTORY: (
        "how often each slip was confirmed in your course",
        "It is a link that leads nowhere: remove it, and the odds that ship are used.",
    ),
}

_MARKS = {
    b"\xff\xfe": "UTF-16",
    b"\xfe\xff": "UTF-16",
}

_REASONS = {
    errno.EACCES: (
        "you may not write there",
        "Choose another folder or ask for the right to write.",
    ),
    errno.EPERM: (
        "you may not write there",
        "Choose another folder or ask for the right to write.",
    ),
    errno.EROFS: ("the disk is read-only", "Copy the folder to a disk that can be written."),
    errno.ENOSPC: ("the disk is full", "Free some space and run the same command again."),
    errno.EDQUOT: ("your share of the disk is used up", "Free some space and run it again."),
    errno.EFBIG: (
        "the file would be larger than is allowed there",
        "Raise the limit on the size of files, or choose another disk.",
    ),
    errno.EEXIST: ("a file stands where a folder is needed", "Choose another name."),
    errno.ENOENT: ("there is no such place", "Choose another folder."),
    errno.ENOTDIR: ("a file stands where a folder is needed", "Choose another name."),
    errno.EISDIR: ("a folder stands where the file should go", "Move that folder away."),
    errno.ENAMETOOLONG: ("the name is too long", "Choose a shorter name."),
}


def has_record(folder: Path) -> bool:
    """Return whether anything was ever recorded for a folder, here or in a database."""
    return (folder / STORE).exists() or (folder / KEY_FILE).exists()


def read_text(folder: Path, name: str) -> str:
    """Return a file of the folder as text.

    Parameters
    ----------
    folder : Path
    name : str
        File name in the folder.

    Raises
    ------
    InputError
        If there is no such folder or file, it cannot be read, or it is not UTF-8.
    """
    path = folder / name
    try:
        refuse_no_folder(folder)
        # A device or a pipe has no end; only what may be used is read.
        if path.exists() and not path.is_file():
            found = "a folder" if path.is_dir() else "something that is not a file"
            raise _fault(str(path), found, "a file", "Move it away.")
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise _fault(str(path), "no such file", *_WHAT_IS_MISSING[name]) from None
    except OSError as error:
        reason = (error.strerror or "it cannot be read").lower()
        do = "Check the name and the right to read it."
        raise _fault(str(path), reason, "a file that you may read", do) from None
    if len(data) > MOST_BYTES:
        found, allowed = f"more than {MOST_BYTES:,} bytes", f"at most {MOST_BYTES:,} bytes"
        raise _fault(str(path), found, allowed, "This is some other file.")
    return _decode(data, str(path))


def refuse_no_folder(folder: Path) -> None:
    """Raise an `InputError` if a folder is not there or is a file."""
    try:
        if folder.is_dir():
            return
        found = "a file" if folder.exists() else "no such folder"
    except OSError as error:
        found = (error.strerror or "it cannot be read").lower()
    do = "Check the name; a new folder begins with: tarebook start NEW_FOLDER."
    raise _fault(str(folder), found, f"a folder with {DEFINITION} and {READINGS}", do)


def _decode(data: bytes, path: str) -> str:
    how = "Save it again with the encoding UTF-8 (in a spreadsheet: CSV UTF-8)."
    for mark, encoding in _MARKS.items():
        if data.startswith(mark):
            raise _fault(path, f"a text in {encoding}", "a text in UTF-8", how)
    if b"\0" in data:
        found = "zero bytes: another encoding (UTF-16?) or not a text at all"
        raise _fault(path, found, "a text in UTF-8", how)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        byte = data[error.start]
        found = f"a byte 0x{byte:02X} in line {line} that is not UTF-8 (Latin-1, Windows-1252?)"
        raise _fault(path, found, "a text in UTF-8", how) from None


def _fault(where: str, found: str, allowed: str, do: str = "") -> InputError:
    return InputError([Fault(where=where, found=found, allowed=allowed, do=do)])


def write_all(folder: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files into a folder: all of them, or none and what was there before is untouched.

    Every file is first written in full beside its place; only when all are on the disk are they
    renamed, one after the other, to their names.

    Parameters
    ----------
    folder : Path
        Made if it is not there.
    files : mapping of name to bytes

    Returns
    -------
    tuple of Path
        Where they are now.

    Raises
    ------
    CannotWriteError
        With the reason in plain words.
    """
    made: list[Path] = []
    written: list[tuple[Path, Path]] = []
    at = folder
    try:
        _make(folder, made)
        for name, data in files.items():
            at = folder / name
            if at.is_dir():
                raise OSError(errno.EISDIR, os.strerror(errno.EISDIR))
            written.append((_beside(at, data), at))
        at = folder
        _rename_all(written)
    except BaseException as error:
        for temporary, _ in written:
            _remove(temporary)
        for empty in reversed(made):
            with contextlib.suppress(OSError):
                empty.rmdir()
        if not isinstance(error, OSError):
            raise
        raise cannot_write(at, error) from error
    return tuple(place for _, place in written)


def remove_all(folder: Path, names: Iterable[str]) -> None:
    """Remove files of a folder, as far as they are there.

    Raises
    ------
    CannotWriteError
        If one of them cannot be removed, with the reason in plain words.
    """
    for name in names:
        try:
            (folder / name).unlink(missing_ok=True)
        except OSError as error:
            raise cannot_write(folder / name, error) from error


def set_aside(folder: Path, name: str) -> Path:
    """Give a file of a folder a name under which no command looks for it, and return that.

    Raises
    ------
    CannotWriteError
    """
    old = folder / name
    number = 1
    while (place := folder / f"{old.stem}-set-aside-{number}{old.suffix}").exists():
        number += 1
    try:
        old.rename(place)
    except OSError as error:
        raise cannot_write(place, error) from error
    return place


def cannot_write(place: Path, error: OSError) -> CannotWriteError:
    """Return the error of the system in plain words."""
    usual = (error.strerror or str(error)).lower(), "Try again, or choose another folder."
    reason, fix = _REASONS.get(error.errno or 0, usual)
    return CannotWriteError(str(place), reason, fix)


def _make(folder: Path, made: list[Path]) -> None:
    """Make a folder and those above it, and note which were made."""
    if folder.is_dir():
        return
    if folder.parent != folder:
        _make(folder.parent, made)
    folder.mkdir()
    made.append(folder)


def _beside(place: Path, data: bytes) -> Path:
    """Write a file in full beside its place and return where it is."""
    handle, temporary = tempfile.mkstemp(dir=place.parent, prefix=f".{place.name}.", suffix=".part")
    path = Path(temporary)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        _remove(path)
        raise
    # A new file is its owner's alone. One that takes the place of another keeps the rights that a
    # person gave that one. Some disks keep no rights (memory sticks): it is as good without.
    with contextlib.suppress(OSError):
        path.chmod(stat.S_IMODE(place.stat().st_mode))
    return path


def _rename_all(written: list[tuple[Path, Path]]) -> None:
    """Put every file in its place; if one cannot be, put back what stood there before."""
    kept: dict[Path, Path] = {}
    done: list[Path] = []
    try:
        for _, place in written:
            if place.exists():
                kept[place] = _beside(place, place.read_bytes())
        for temporary, place in written:
            temporary.replace(place)
            done.append(place)
        for folder in {place.parent for _, place in written}:
            sync_folder(folder)
    except BaseException:
        for place in done:
            if place in kept:
                kept.pop(place).replace(place)
            else:
                place.unlink()
        raise
    finally:
        for copy in kept.values():
            _remove(copy)


def sync_folder(folder: Path) -> None:
    """Have the disk keep the names in a folder too; where it cannot, the files are as good without.

    Else a power cut right after a rename may bring the old file back (Linux, fsync(2)).
    """
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _remove(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink(missing_ok=True)
