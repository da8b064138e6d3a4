"""Archives on a disk: whether a path is one, and what files it holds."""

from __future__ import annotations

import zipfile
from pathlib import Path

from tarebook.core.errors import Fault, InputError
from tarebook.records import archive as archives


def is_there(path: Path) -> bool:
    """Return whether there is something of that name.

    Raises
    ------
    InputError
        If that cannot be said: the name is too long, or the folder above may not be read.
    """
    try:
        path.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return False
    except OSError as error:
        raise _unreadable(path, error) from None
    return True


def is_archive(path: Path) -> bool:
    """Return whether a file or folder is meant as an archive."""
    if path.suffix.lower() == ".zip":
        return True
    if not is_there(path):
        return False
    try:
        return (path / archives.MANIFEST).is_file() or (path.is_file() and zipfile.is_zipfile(path))
    except OSError as error:
        raise _unreadable(path, error) from None


def archive_files(path: Path) -> dict[str, bytes]:
    """Return the files of an archive, a zip file or a folder.

    Raises
    ------
    InputError
        If it is not there, cannot be read, or is larger than any archive.
    BrokenArchiveError
        If it is no zip file.
    """
    if not is_there(path):
        raise no_such(path)
    try:
        # A pipe or a device has no end; only files are read.
        if path.is_dir():
            files = [one for one in sorted(path.iterdir()) if one.is_file()]
        elif path.is_file():
            files = [path]
        else:
            raise no_such(path)
        if sum(one.stat().st_size for one in files) > archives.MOST_BYTES:
            raise _too_large(path)
        data = {one.name: one.read_bytes() for one in files}
    except OSError as error:
        raise _unreadable(path, error) from None
    return data if path.is_dir() else archives.unpack(data[path.name], str(path))


def no_such(
    path: Path, allowed: str = "an experiment folder, an archive, or a backup"
) -> InputError:
    """Return the error of a path that leads nowhere."""
    return InputError([Fault(where=str(path), found="no such file", allowed=allowed)])


def _unreadable(path: Path, error: OSError) -> InputError:
    found = (error.strerror or "it cannot be read").lower()
    do = "Check the name and the right to read it."
    allowed = "a file that you may read"
    return InputError([Fault(where=str(path), found=found, allowed=allowed, do=do)])


def _too_large(path: Path) -> InputError:
    allowed = f"at most {archives.MOST_BYTES} bytes"
    return InputError([Fault(where=str(path), found="a larger file", allowed=allowed)])
