"""A record that is moved, replaced, cut or written over while it is open takes no more readings."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from tarebook.records.errors import DamagedRecordError, RecordError, RecordReplacedError
from tarebook.records.events import Event
from tarebook.records.store import SqlLog, copy_sqlite, open_sqlite
from tarebook.records.store.watch import FileWatch

from .conftest import NOW

KEY = "6d0a4a5e-9a51-4f6f-8f3f-7a100b8f3c1e"
LATER = 30


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "tarebook.db"


@pytest.fixture
def log(file: Path, event: Callable[..., Event]) -> SqlLog:
    opened = open_sqlite(str(file), key=KEY, now=NOW, mode="create")
    opened.append([event() for _ in range(20)], now=NOW)
    return opened


def _older(log: SqlLog, event: Callable[..., Event], place: Path) -> Path:
    """Return a backup, after which more was acknowledged."""
    copy_sqlite(log, str(place))
    log.append([event() for _ in range(LATER)], now=NOW)
    return place


def _refused(log: SqlLog, event: Callable[..., Event], kind: type[RecordError]) -> None:
    for question in (
        lambda: log.append([event()], now=NOW),
        log.events,
        log.head,
        lambda: log.append([event()], now=NOW),
    ):
        with pytest.raises(kind):
            question()


def test_a_record_that_was_moved_is_refused(
    log: SqlLog, file: Path, event: Callable[..., Event]
) -> None:
    file.rename(file.with_name("elsewhere.db"))
    _refused(log, event, RecordReplacedError)
    # Put back, it is the same as before.
    file.with_name("elsewhere.db").rename(file)
    log.append([event()], now=NOW)
    assert log.head().count == 21


def test_a_record_that_was_deleted_is_refused(
    log: SqlLog, file: Path, event: Callable[..., Event]
) -> None:
    file.unlink()
    _refused(log, event, RecordReplacedError)


def test_another_file_in_its_place_is_refused(
    log: SqlLog, file: Path, event: Callable[..., Event], tmp_path: Path
) -> None:
    older = _older(log, event, tmp_path / "backup.db")
    older.replace(file)
    _refused(log, event, RecordReplacedError)


def test_a_backup_written_over_it_is_refused(
    log: SqlLog, file: Path, event: Callable[..., Event], tmp_path: Path
) -> None:
    """The file keeps its place on the disk: only what is in it changes."""
    older = _older(log, event, tmp_path / "backup.db")
    log.engine.dispose()
    assert not file.with_name("tarebook.db-wal").exists()
    shutil.copyfile(older, file)
    with pytest.raises(RecordReplacedError, match="it holds 20 events, and 50 were acknowledged"):
        log.append([event()], now=NOW)


def test_a_backup_written_over_it_with_its_log_open_is_refused(
    log: SqlLog, file: Path, event: Callable[..., Event], tmp_path: Path
) -> None:
    older = _older(log, event, tmp_path / "backup.db")
    shutil.copyfile(older, file)
    first: list[int] = []
    try:
        log.append([event()], now=NOW)
        first.append(1)
    except RecordError:
        pass
    # Either all that was acknowledged is in the file, or nothing more is acknowledged.
    log.close()
    if first:
        again = open_sqlite(str(file), key=KEY, now=NOW, mode="read")
        assert again.head().count == 20 + LATER + 1


def test_events_cut_off_by_another_program_are_missed(
    log: SqlLog, file: Path, event: Callable[..., Event]
) -> None:
    with closing(sqlite3.connect(file)) as raw, raw:
        for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'"):
            raw.execute(f"DROP TRIGGER {name}")
        raw.execute("DELETE FROM event WHERE sequence > 15")
    with pytest.raises(RecordReplacedError, match="it holds 15 events, and 20 were acknowledged"):
        log.append([event()], now=NOW)


def test_an_event_that_comes_again_is_not_acknowledged_from_memory(
    log: SqlLog, file: Path, event: Callable[..., Event]
) -> None:
    sent = log.events()[3].event
    with closing(sqlite3.connect(file)) as raw, raw:
        for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'"):
            raw.execute(f"DROP TRIGGER {name}")
        raw.execute("DELETE FROM event WHERE sequence = 4")
    with pytest.raises(RecordReplacedError, match="its event 4, which was acknowledged, is gone"):
        log.append([sent], now=NOW)


def test_a_log_taken_away_loses_nothing(
    log: SqlLog, file: Path, event: Callable[..., Event]
) -> None:
    file.with_name("tarebook.db-wal").unlink()
    kept = [one.event.id for one in log.events()]
    more = [event() for _ in range(5)]
    kept += [one.event.id for one in log.append(more, now=NOW)]
    log.close()
    again = open_sqlite(str(file), key=KEY, now=NOW, mode="read")
    assert [one.event.id for one in again.events()] == kept


def test_a_flipped_bit_is_seen_before_more_is_recorded(
    log: SqlLog, file: Path, event: Callable[..., Event]
) -> None:
    log.engine.dispose()
    data = bytearray(file.read_bytes())
    at = data.rindex(b"2026-10-05T12:00:00")
    data[at] ^= 1
    with file.open("r+b") as open_file:
        open_file.write(data)
    with pytest.raises(DamagedRecordError):
        log.append([event()], now=NOW)


def test_two_programs_at_one_record_do_not_suspect_each_other(
    log: SqlLog, file: Path, event: Callable[..., Event], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each writes what is in the log into the file, and the other sees that as a change."""
    monkeypatch.setattr("tarebook.records.store.keeper.LOG_BYTES", 1)
    other = open_sqlite(str(file), key=KEY, now=NOW, mode="write")
    for _ in range(20):
        log.append([event()], now=NOW)
        other.append([event()], now=NOW)
    assert log.head() == other.head()
    assert log.head().count == 60
    assert len(log.events()) == len(other.events()) == 60
    other.close()
    log.append([event()], now=NOW)
    assert log.head().count == 61


def test_the_log_is_written_into_the_file_when_it_has_grown_not_with_each_delivery(
    log: SqlLog, event: Callable[..., Event], monkeypatch: pytest.MonkeyPatch
) -> None:
    """It kept its size once it had grown: from then on each delivery waited for three writes."""
    monkeypatch.setattr("tarebook.records.store.keeper.LOG_BYTES", 200_000)
    written: list[FileWatch] = []
    mark = FileWatch.mark

    def marked(watch: FileWatch) -> None:
        written.append(watch)
        mark(watch)

    monkeypatch.setattr(FileWatch, "mark", marked)
    while not written:
        log.append([event() for _ in range(50)], now=NOW)
    for _ in range(10):
        log.append([event()], now=NOW)
    assert len(written) == 1
