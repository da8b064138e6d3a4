"""A copied folder does not write into the record of the first; an archive comes in whole or not."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from tarebook import cli
from tarebook.api import bench, exchange
from tarebook.api.folder import KEY_FILE, STORE
from tarebook.api.placing import SETTING
from tarebook.api.record import open_record
from tarebook.api.settle import settle
from tarebook.api.verify import verify
from tarebook.records.errors import RecordCopiedError, RecordNotEmptyError

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
TAREBOOK = str(Path(sys.executable).with_name("tarebook"))


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv(SETTING, raising=False)
    return Path(shutil.copytree(POOL, tmp_path / "pool"))


@pytest.fixture
def shared(folder: Path, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> Path:
    """Return a folder whose record is in a department's database."""
    monkeypatch.setenv(SETTING, request.getfixturevalue("postgresql").url)
    exchange.import_readings(folder, folder / "readings.csv")
    return folder


def _run(*words: object) -> Result:
    return CliRunner().invoke(cli.main, [str(word) for word in words], catch_exceptions=False)


def _count(folder: Path) -> int:
    with open_record(folder, mode="read") as opened:
        return opened.log.head().count


def _edit(folder: Path) -> Path:
    """Give a folder a sheet with one more note."""
    sheet = folder / "more.csv"
    sheet.write_text("run,note\n1,stirred twice\n")
    return sheet


def test_a_copy_does_not_write_into_the_record_of_the_first(shared: Path) -> None:
    copy = Path(shutil.copytree(shared, shared.parent / "copy"))
    before = _count(shared)
    refused = _run("import", copy, _edit(copy))
    assert refused.exit_code == 2
    for words in (str(shared), "settle", "--copied", "--moved"):
        assert words in refused.stderr
    with pytest.raises(RecordCopiedError), bench.open_workspace(copy, workers=False):
        pass
    # It may be read, and the first goes on as before.
    assert _count(copy) == before
    assert _run("import", shared, _edit(shared)).exit_code == 0
    assert _count(shared) == before + 1


def test_a_copy_begins_a_record_of_its_own(shared: Path) -> None:
    with bench.open_workspace(shared, workers=False) as workspace:
        codes = workspace.access.groups
    copy = Path(shutil.copytree(shared, shared.parent / "copy"))
    before = _count(shared)
    done = _run("settle", copy, "--copied")
    assert done.exit_code == 0
    assert "record-set-aside-1.toml" in done.stdout
    assert _run("import", copy, _edit(copy)).exit_code == 0
    # A reading, and before it the definition.
    assert (_count(shared), _count(copy)) == (before, 2)
    with bench.open_workspace(copy, workers=False) as workspace:
        assert workspace.access.groups != codes
        assert (workspace.n_lost, workspace.is_other) == (0, False)


def test_a_folder_that_was_moved_keeps_its_record(shared: Path) -> None:
    before = _count(shared)
    moved = shared.rename(shared.with_name("moved"))
    assert _run("import", moved, _edit(moved)).exit_code == 0
    # Moved to another disk it is a copy whose first is gone.
    other = Path(shutil.copytree(moved, moved.with_name("other")))
    shutil.rmtree(moved)
    (other / "more.csv").write_text("run,note\n2,warm\n")
    assert _run("import", other, other / "more.csv").exit_code == 0
    assert _count(other) == before + 2


def test_a_folder_of_another_computer_is_asked_about(
    shared: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = Path(shutil.copytree(shared, shared.parent / "copy"))
    shutil.rmtree(shared)
    monkeypatch.setattr("socket.gethostname", lambda: "another")
    with pytest.raises(RecordCopiedError, match=f"belongs to the folder {shared} on "):
        exchange.import_readings(copy, _edit(copy))
    settle(copy, "moved")
    exchange.import_readings(copy, _edit(copy))
    # The first, should it come back, is the copy now.
    first = Path(shutil.copytree(copy, shared))
    with pytest.raises(RecordCopiedError, match=f"belongs to the folder {copy} on another"):
        exchange.import_readings(first, _edit(first))


def test_the_same_folder_seen_from_another_computer_is_no_copy(
    shared: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("socket.gethostname", lambda: "another")
    elsewhere = shared.rename(shared.with_name("mounted"))
    exchange.import_readings(elsewhere, _edit(elsewhere))


def test_a_copy_with_a_file_of_its_own_says_so_once(folder: Path) -> None:
    with bench.open_workspace(folder, workers=False) as workspace:
        assert workspace.copied_from is None
    copy = Path(shutil.copytree(folder, folder.parent / "copy"))
    for expected in (str(folder), None):
        with bench.open_workspace(copy, workers=False) as workspace:
            found = workspace.copied_from
            assert (found.path if found else None) == expected
    settle(copy, "copied")
    assert not (copy / STORE).exists()
    with bench.open_workspace(copy, workers=False) as workspace:
        # It begins a record of its own: the one of the first folder is not missed.
        assert (workspace.n_lost, workspace.is_other, workspace.n_missed) == (0, False, 0)
    assert verify(copy).verdict.whole
    assert verify(copy / "tarebook-set-aside-1.db").verdict == verify(folder).verdict


def test_settling_a_folder_without_a_record_or_at_a_bench_is_refused(folder: Path) -> None:
    assert "nothing has been recorded" in _run("settle", folder, "--moved").stderr
    exchange.import_readings(folder, folder / "readings.csv")
    assert _run("settle", folder).exit_code == 2
    with bench.hold(folder, "http://here"):
        assert "open at a bench already" in _run("settle", folder, "--copied").stderr
    assert (folder / STORE).exists()


def test_an_archive_comes_back_into_the_database_it_came_from(shared: Path) -> None:
    file = exchange.export_archive(shared, shared.parent / "x.zip")
    exchange.import_readings(shared, _edit(shared))
    before = _count(shared)
    again = shared.with_name("again")
    refused = _run("import", again, file)
    assert refused.exit_code == 2
    assert f"belongs to the folder {shared.resolve()}" in refused.stderr
    assert not again.exists()
    # The folder is lost; the database is not.
    shutil.rmtree(shared)
    done = _run("import", again, file)
    assert f"{before} events" in done.stdout
    assert "nothing was recorded twice" in done.stdout
    assert _count(again) == before
    assert exchange.import_readings(again, _edit(again)).events == ()
    # A person says that the folder on another computer is gone.
    assert _run("import", again.with_name("third"), file, "--moved").exit_code == 0
    with pytest.raises(RecordCopiedError):
        exchange.import_readings(again, _edit(again))


def test_an_archive_that_is_ahead_of_the_database_is_refused(
    shared: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    early = exchange.export_archive(shared, shared.parent / "early.zip")
    url = os.environ[SETTING]
    monkeypatch.delenv(SETTING)
    beside = shared.with_name("beside")
    exchange.import_archive(beside, early)
    exchange.import_readings(beside, _edit(beside))
    late = exchange.export_archive(beside, shared.parent / "late.zip")
    monkeypatch.setenv(SETTING, url)
    shutil.rmtree(shared)
    with pytest.raises(RecordNotEmptyError, match="only the first"):
        exchange.import_archive(shared, late)
    assert not shared.exists()


KILLED = """
import os, signal, sys
from pathlib import Path
from tarebook.cli import main
from tarebook.records.store import SqlLog
restore = SqlLog.restore
def interrupted(log, events):
    if {after}:
        restore(log, events)
    os.kill(os.getpid(), signal.{how})
    import time; time.sleep(20)
SqlLog.restore = interrupted
main(["import", *sys.argv[1:]])
"""


@pytest.mark.parametrize("after", [False, True])
@pytest.mark.parametrize("how", ["SIGINT", "SIGTERM", "SIGKILL"])
@pytest.mark.parametrize("where", ["sqlite", "postgresql"])
def test_an_import_that_is_interrupted_leaves_nothing_half(
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    request: pytest.FixtureRequest,
    how: str,
    after: bool,
    where: str,
) -> None:
    exchange.import_readings(folder, folder / "readings.csv")
    file = exchange.export_archive(folder, folder / "x.zip")
    if where == "postgresql":
        monkeypatch.setenv(SETTING, request.getfixturevalue("postgresql").url)
    new = folder.parent / "in" / "new"
    new.parent.mkdir()
    done = subprocess.run(
        [sys.executable, "-c", KILLED.format(how=how, after=after), str(new), str(file)],
        capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip
    assert done.returncode == {"SIGINT": 130, "SIGTERM": 143, "SIGKILL": -9}[how], done.stderr
    assert not new.exists()
    if how != "SIGKILL":
        assert list(new.parent.iterdir()) == []
    assert _run("import", new, file).exit_code == 0
    assert [one.name for one in new.parent.iterdir()] == ["new"]
    assert sorted(one.name for one in new.iterdir()) == [
        "experiment.toml",
        KEY_FILE if where == "postgresql" else STORE,
    ]
    assert verify(new).verdict.whole


def test_no_room_leaves_nothing_of_an_import(folder: Path) -> None:
    exchange.import_readings(folder, folder / "readings.csv")
    file = exchange.export_archive(folder, folder / "x.zip")
    new = folder.parent / "in" / "new"
    new.parent.mkdir()
    limited = ["prlimit", "--fsize=30000", TAREBOOK, "import", str(new), str(file)]
    done = subprocess.run(limited, capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 2, done.stdout
    assert done.stderr.startswith("The record ")
    assert list(new.parent.iterdir()) == []


def test_an_archive_is_not_brought_in_beside_other_files(folder: Path) -> None:
    exchange.import_readings(folder, folder / "readings.csv")
    file = exchange.export_archive(folder, folder / "x.zip")
    new = folder.parent / "new"
    new.mkdir()
    assert _run("import", new, file).exit_code == 0
    other = folder.parent / "other"
    other.mkdir()
    (other / "notes.txt").touch()
    with pytest.raises(RecordNotEmptyError, match=r"holds notes\.txt already"):
        exchange.import_archive(other, file)
