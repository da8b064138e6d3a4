"""Two benches at one folder: the second says so, and opens the first."""

from __future__ import annotations

import json
import os
import pty
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tarebook.api.bench import only_one
from tarebook.api.bench.only_one import AlreadyOpenError, hold, refuse_second

TAREBOOK = str(Path(sys.executable).with_name("tarebook"))


def _command(folder: Path, *options: str) -> list[str]:
    return [TAREBOOK, "bench", str(folder), "--port", "0", *options]


@pytest.fixture
def start(folder: Path) -> Iterator[Callable[[], tuple[subprocess.Popen[str], str]]]:
    """Start the app of the folder and return it with its address."""
    running: list[subprocess.Popen[str]] = []

    def begin() -> tuple[subprocess.Popen[str], str]:
        app = subprocess.Popen(
            _command(folder, "--no-browser"), stdout=subprocess.PIPE, text=True,
            env={**os.environ, "PYTHONUNBUFFERED": "1"},
        )  # fmt: skip
        running.append(app)
        assert app.stdout is not None
        for line in app.stdout:
            found = re.search(r"http://127\.0\.0\.1:[0-9]+", line)
            if found:
                return app, found[0]
        raise AssertionError("it did not begin")

    yield begin
    for app in running:
        app.kill()
        app.wait()
        assert app.stdout is not None
        app.stdout.close()


def test_the_second_says_where_the_first_is(
    start: Callable[[], tuple[subprocess.Popen[str], str]], folder: Path
) -> None:
    _, address = start()
    done = subprocess.run(
        _command(folder, "--no-browser"), capture_output=True, text=True, timeout=60, check=False
    )
    assert done.returncode == 2
    assert "is open at a bench already" in done.stderr
    assert address in done.stderr
    assert done.stdout == ""
    # Also where it would have the same port, which it is not about.
    port = address.rpartition(":")[2]
    command = [TAREBOOK, "bench", str(folder), "--port", port, "--no-browser"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert "is open at a bench already" in done.stderr


@pytest.mark.parametrize("linked", ["folder", "store"])
def test_a_link_to_the_folder_or_to_its_record_is_the_same_bench(
    folder: Path, tmp_path: Path, linked: str
) -> None:
    link = tmp_path / "link"
    if linked == "folder":
        link.symlink_to(folder)
    else:
        link.mkdir()
        shutil.copy(folder / "experiment.toml", link)
        (link / "tarebook.db").symlink_to(folder / "tarebook.db")
    with hold(folder, "here"):
        with pytest.raises(AlreadyOpenError, match="here"):
            refuse_second(link)
        with pytest.raises(AlreadyOpenError, match="here"), hold(link, "there"):
            pass


def test_the_second_opens_the_first(
    start: Callable[[], tuple[subprocess.Popen[str], str]], folder: Path, tmp_path: Path
) -> None:
    _, address = start()
    opened = tmp_path / "opened"
    browser = tmp_path / "browser"
    browser.write_text(f'#!/bin/sh\nprintf %s "$1" > "{opened}"\n')
    browser.chmod(0o755)
    ours, theirs = pty.openpty()
    os.write(ours, b"y\n")
    environment = {**os.environ, "DISPLAY": ":0", "BROWSER": str(browser)}
    done = subprocess.run(
        _command(folder), stdin=theirs, capture_output=True, text=True, timeout=60, check=False,
        env=environment,
    )  # fmt: skip
    os.close(ours)
    os.close(theirs)
    assert done.returncode == 0
    assert "Open that page now?" in done.stdout
    assert opened.read_text() == address


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGINT])
def test_a_bench_that_was_ended_is_in_nobodys_way(
    start: Callable[[], tuple[subprocess.Popen[str], str]], how: signal.Signals
) -> None:
    app, _ = start()
    app.send_signal(how)
    app.wait(timeout=20)
    again, _ = start()
    assert again.poll() is None


def _from_another_computer(folder: Path, monkeypatch: pytest.MonkeyPatch, seconds: float) -> None:
    """Leave the mark of a bench on a computer whose locks do not reach here."""
    with monkeypatch.context() as there:
        there.setattr("socket.gethostname", lambda: "other")
        with hold(folder, "http://192.0.2.7:8420"):
            mark = folder / ".bench" / "open.json"
            kept = mark.read_bytes()
    mark.write_bytes(kept)
    old = mark.stat().st_mtime - seconds
    os.utime(mark, (old, old))


def test_a_bench_on_another_computer_counts_as_long_as_it_touches_its_mark(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _from_another_computer(folder, monkeypatch, 0.0)
    with pytest.raises(AlreadyOpenError, match="on the computer other"), hold(folder, "here"):
        pass
    _from_another_computer(folder, monkeypatch, only_one.STALE + 1)
    with hold(folder, "here"):
        assert json.loads((folder / ".bench" / "open.json").read_text())["address"] == "here"


def test_where_the_disk_keeps_no_locks_the_mark_counts(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_locks(*_: object) -> None:
        raise OSError(37, "No locks available")

    monkeypatch.setattr("fcntl.flock", no_locks)
    monkeypatch.setattr(only_one, "BEAT", 0.01)
    with hold(folder, "first"):
        with pytest.raises(AlreadyOpenError, match="first"), hold(folder, "second"):
            pass
        # A bench that lives touches its mark, however long it is open.
        mark = folder / ".bench" / "open.json"
        os.utime(mark, (0, 0))
        while mark.stat().st_mtime == 0:
            pass
    with hold(folder, "second"):
        pass


def test_a_folder_without_an_experiment_is_left_alone(tmp_path: Path) -> None:
    done = subprocess.run(
        _command(tmp_path, "--no-browser"), capture_output=True, text=True, timeout=60, check=False
    )
    assert done.returncode == 2
    assert list(tmp_path.iterdir()) == []
