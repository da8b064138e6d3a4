"""The folder on disk: read whole or not at all, written whole or not at all."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from tarebook.api.folder import DEFINITION, MOST_BYTES, READINGS, read_text, write_all
from tarebook.core.errors import CannotWriteError, Fault, InputError


def content(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def fault(folder: Path, name: str = READINGS) -> Fault:
    with pytest.raises(InputError) as caught:
        read_text(folder, name)
    (one,) = caught.value.faults
    return one


def test_utf8_with_and_without_a_mark(tmp_path: Path) -> None:
    for data in ("grüße\n".encode(), "grüße\n".encode("utf-8-sig")):
        (tmp_path / READINGS).write_bytes(data)
        assert read_text(tmp_path, READINGS) == "grüße\n"


@pytest.mark.parametrize(
    ("encoding", "found"),
    [
        ("utf-16", "UTF-16"),
        ("utf-16-le", "UTF-16"),
        ("utf-16-be", "UTF-16"),
        ("latin-1", "0xFC in line 2"),
    ],
)
def test_another_encoding_is_named(tmp_path: Path, encoding: str, found: str) -> None:
    (tmp_path / READINGS).write_bytes("first\ngrüße\n".encode(encoding))
    one = fault(tmp_path)
    assert found in one.found
    assert "UTF-8" in one.do


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    assert "tarebook start" in fault(tmp_path, DEFINITION).do
    assert "sheet of readings" in fault(tmp_path).allowed


def test_no_folder_a_file_a_name_too_long(tmp_path: Path) -> None:
    assert fault(tmp_path / "none").found == "no such folder"
    (tmp_path / "file").write_text("x")
    assert fault(tmp_path / "file").found == "a file"
    assert "too long" in fault(tmp_path / ("x" * 300)).found


def test_a_folder_a_pipe_or_a_device_where_the_sheet_should_be(tmp_path: Path) -> None:
    (tmp_path / READINGS).mkdir()
    assert fault(tmp_path).found == "a folder"
    os.mkfifo(tmp_path / DEFINITION)
    assert fault(tmp_path, DEFINITION).found == "something that is not a file"
    device = tmp_path / "device"
    device.mkdir()
    (device / READINGS).symlink_to("/dev/zero")
    assert fault(device).found == "something that is not a file"


def test_a_file_too_large_is_not_read_to_its_end(tmp_path: Path) -> None:
    with (tmp_path / READINGS).open("wb") as file:
        file.truncate(1_000 * MOST_BYTES)  # sparse: takes no room
    assert "other file" in fault(tmp_path).do


def test_files_are_written_and_replaced(tmp_path: Path) -> None:
    places = write_all(tmp_path / "a" / "b", {"one": b"1", "two": b"2"})
    assert [place.name for place in places] == ["one", "two"]
    write_all(tmp_path / "a" / "b", {"two": b"22", "three": b"3"})
    assert content(tmp_path) == {"a/b/one": b"1", "a/b/two": b"22", "a/b/three": b"3"}
    assert (tmp_path / "a" / "b" / "one").stat().st_mode & 0o777 == 0o600


def fail_at(number: int, code: int, real: Callable[..., object]) -> Callable[..., object]:
    """Return a function that fails at its n-th call with an error of the system."""
    calls = []

    def fake(*arguments: object) -> object:
        calls.append(arguments)
        if len(calls) == number:
            raise OSError(code, os.strerror(code))
        return real(*arguments)

    return fake


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (errno.ENOSPC, "the disk is full"),
        (errno.EDQUOT, "your share of the disk"),
        (errno.EFBIG, "larger than is allowed"),
        (errno.EROFS, "read-only"),
        (errno.EIO, "input/output error"),
    ],
)
@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_disk_that_fails_while_writing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int, words: str, number: int
) -> None:
    """The disk fails at the first, the last new file, or while the old one is kept."""
    write_all(tmp_path / "out", {"two": b"old"})
    before = content(tmp_path)
    monkeypatch.setattr(os, "fsync", fail_at(number, code, os.fsync))
    with pytest.raises(CannotWriteError, match=words) as caught:
        write_all(tmp_path / "out", {"one": b"1", "two": b"new"})
    assert content(tmp_path) == before
    assert ".part" not in str(caught.value)


@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_rename_that_fails_puts_everything_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    write_all(tmp_path, {"one": b"old 1", "two": b"old 2"})
    before = content(tmp_path)
    real = Path.replace
    fake = fail_at(number, errno.EPERM, real)
    monkeypatch.setattr(Path, "replace", lambda self, target: fake(self, target))
    with pytest.raises(CannotWriteError, match="may not write"):
        write_all(tmp_path, {"one": b"1", "new": b"3", "two": b"2"})
    assert content(tmp_path) == before


def test_folders_made_for_nothing_are_taken_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "fsync", fail_at(1, errno.ENOSPC, os.fsync))
    with pytest.raises(CannotWriteError):
        write_all(tmp_path / "a" / "b", {"one": b"1"})
    assert list(tmp_path.iterdir()) == []


def test_an_interrupt_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupt(_: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_all(tmp_path / "out", {"one": b"1"})
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_may_not_be_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Root may write everywhere, so the refusal is made up where files are begun."""
    write_all(tmp_path, {"one": b"old"})

    def refuse(**_: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(tmp_path / "x.part"))

    monkeypatch.setattr("tempfile.mkstemp", refuse)
    with pytest.raises(CannotWriteError, match="may not write there") as caught:
        write_all(tmp_path, {"one": b"new"})
    assert caught.value.path == str(tmp_path / "one")
    assert content(tmp_path) == {"one": b"old"}


def test_a_place_where_nothing_can_be_made() -> None:
    with pytest.raises(CannotWriteError, match="cannot be written"):
        write_all(Path("/proc/tarebook"), {"one": b"1"})


def test_a_file_where_a_folder_is_needed_and_the_other_way_round(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(CannotWriteError, match="a file stands where a folder is needed"):
        write_all(tmp_path / "file", {"one": b"1"})
    with pytest.raises(CannotWriteError, match="a file stands where a folder is needed"):
        write_all(tmp_path / "file" / "deeper", {"one": b"1"})
    (tmp_path / "one").mkdir()
    before = content(tmp_path)
    with pytest.raises(CannotWriteError, match="a folder stands where the file should go"):
        write_all(tmp_path, {"two": b"2", "one": b"1"})
    assert content(tmp_path) == before


def test_a_disk_without_rights_is_good_enough(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Memory sticks refuse to change the rights of a file."""

    def refuse(*_: object) -> None:
        raise PermissionError(errno.EPERM, os.strerror(errno.EPERM))

    monkeypatch.setattr(Path, "chmod", refuse)
    write_all(tmp_path, {"one": b"1"})
    assert content(tmp_path) == {"one": b"1"}
