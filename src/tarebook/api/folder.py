"""The experiment folder on disk: read whole or not at all, write beside and rename."""

from __future__ import annotations

import contextlib
import errno
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

from tarebook.core.errors import CannotWriteError, Fault, InputError

DEFINITION = "experiment.toml"
READINGS = "readings.csv"
OUT = "out"
MOST_BYTES = 10_000_000
"""A definition or a sheet larger than this is some other file."""

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
    errno.ENOTDIR: ("a file stands where a folder is needed", "Choose another name."),
    errno.EISDIR: ("a folder stands where the file should go", "Move that folder away."),
    errno.ENAMETOOLONG: ("the name is too long", "Choose a shorter name."),
}


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
    if not folder.is_dir():
        found = "no such folder" if not folder.exists() else "a file"
        fix = f"Make one: tarebook start {folder}."
        raise _fault(str(folder), found, f"a folder with {DEFINITION} and {READINGS}", fix)
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        fix = f"Is {folder} the right folder? To begin one: tarebook start FOLDER."
        raise _fault(str(path), "no such file", f"{DEFINITION} and {READINGS}", fix) from None
    except OSError as error:
        reason = error.strerror or "it cannot be read"
        raise _fault(str(path), reason, "a file that you may read") from None
    if len(data) > MOST_BYTES:
        raise _fault(str(path), f"{len(data)} bytes", f"at most {MOST_BYTES} bytes")
    return _decode(data, str(path))


def _decode(data: bytes, path: str) -> str:
    how = "Save it again with the encoding UTF-8 (in a spreadsheet: CSV UTF-8)."
    for mark, encoding in _MARKS.items():
        if data.startswith(mark):
            raise _fault(path, f"a text in {encoding}", "a text in UTF-8", how)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        byte = data[error.start]
        found = f"a byte 0x{byte:02X} in line {line} that is not UTF-8 (Latin-1 or Windows-1252?)"
        raise _fault(path, found, "a text in UTF-8", how) from None
    if "\0" in text:
        raise _fault(path, "zero bytes: not a text, or UTF-16 without a mark", "UTF-8", how)
    return text


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
    written: list[tuple[Path, Path]] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, data in files.items():
            written.append((_beside(folder, name, data), folder / name))
        for _, place in written:
            if place.is_dir():
                raise OSError(errno.EISDIR, os.strerror(errno.EISDIR), str(place))
        for temporary, place in written:
            temporary.replace(place)
    except OSError as error:
        for temporary, _ in written:
            with contextlib.suppress(OSError):
                temporary.unlink(missing_ok=True)
        reason, fix = _REASONS.get(
            error.errno or 0, (error.strerror or str(error), "Try again, or choose another folder.")
        )
        raise CannotWriteError(str(error.filename or folder), reason, fix) from error
    return tuple(place for _, place in written)


def _beside(folder: Path, name: str, data: bytes) -> Path:
    handle, temporary = tempfile.mkstemp(dir=folder, prefix=f".{name}.", suffix=".part")
    path = Path(temporary)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        path.chmod(0o644)
    except OSError:
        path.unlink(missing_ok=True)
        raise
    return path
