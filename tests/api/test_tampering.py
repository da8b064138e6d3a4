"""Every kind of tampering with a store is found, by `verify` and by whoever reads on."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tarebook.api import exchange
from tarebook.api.backup import backup
from tarebook.api.folder import STORE
from tarebook.api.placing import SETTING
from tarebook.api.record import open_record
from tarebook.api.verify import verify
from tarebook.records.errors import DamagedRecordError

POOL = Path(__file__).parents[1] / "snapshots" / "pool"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv(SETTING, raising=False)
    return Path(shutil.copytree(POOL, tmp_path / "pool"))


def _loosen(raw: sqlite3.Connection) -> None:
    """Take from the tables what they hold fast, as somebody with an editor for such files can."""
    raw.execute("CREATE TABLE loose AS SELECT * FROM event")
    raw.execute("DROP TABLE event")
    raw.execute("ALTER TABLE loose RENAME TO event")


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ("UPDATE event SET typed = '9', number = '9' WHERE sequence = 5", "event 5 was altered"),
        ("UPDATE event SET who = 'Eve' WHERE sequence = 1", "event 1 was altered"),
        ("UPDATE event SET hash = previous WHERE sequence = 5", "event 5 was altered"),
        ("DELETE FROM event WHERE sequence = 3", "event 3 is missing"),
        ("UPDATE event SET sequence = 900 WHERE sequence = 7", "event 7 is missing"),
        ("DELETE FROM event WHERE sequence > 20", "event 21 is missing: there were"),
        ("UPDATE experiment SET key = upper(key)", "event 1 was altered or belongs to another"),
        ("UPDATE event SET who = CAST(x'ff' AS TEXT) WHERE sequence = 5", "event 5 was altered"),
        ("UPDATE event SET taken = '0001-01-01T00:00+14:00' WHERE sequence = 5", "event 5 was al"),
        ("UPDATE event SET received = '0001-01-01T00:00+14:00' WHERE sequence = 5", "event 5 was"),
        ("UPDATE event SET received = 'now' WHERE sequence = 5", "event 5 was altered"),
        ("UPDATE event SET repeat = 2 WHERE sequence = 5", "event 5 was altered"),
        ("UPDATE event SET id = (SELECT id FROM event WHERE sequence = 4) WHERE sequence = 5",
         "event 5 was altered"),
        ("UPDATE event SET sequence = 6 - sequence + 5 WHERE sequence IN (5, 6)", "event 4 was al"),
        ("UPDATE event SET group_name = '2' WHERE sequence = 5", "event 5 was altered"),
        ("UPDATE event SET previous = hash, hash = previous WHERE sequence = 1", "event 1 was alt"),
    ],
)  # fmt: skip
def test_verify_finds_what_was_done_to_a_store(folder: Path, change: str, fault: str) -> None:
    exchange.import_readings(folder, folder / "readings.csv")
    whole = verify(folder)
    assert whole.verdict.whole
    with closing(sqlite3.connect(folder / STORE)) as raw, raw:
        names = raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for (name,) in names:
            raw.execute(f"DROP TRIGGER {name}")
        _loosen(raw)
        raw.execute(change)
    found = verify(folder, expected=whole.verdict.head.hash).verdict
    assert found.fault.startswith(fault)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("UPDATE event SET who = NULL WHERE sequence = 5", "event 5 was altered"),
        ("UPDATE event SET who = x'ff00' WHERE sequence = 5", "event 5 was altered"),
        ("UPDATE event SET typed = 12.5 WHERE sequence = 5", "event 5 was altered"),
        ("UPDATE event SET sequence = 'five' WHERE sequence = 5", "event"),
        ("UPDATE event SET kind = 'guess' WHERE sequence = 5", "event 5 was altered"),
        ("DELETE FROM event WHERE sequence = 5", "event 5 was altered: it is missing"),
        ("UPDATE experiment SET key = upper(key)", "event 1 was altered"),
        ("DELETE FROM experiment", "it holds 0 experiments"),
        ("INSERT INTO experiment VALUES (7, '" + "x" * 36 + "', 'now')", "it holds 2 experiments"),
        ("DROP TABLE event", "its table event is gone"),
        ("DROP TABLE experiment", "its table experiment is gone"),
    ],
)
def test_no_answer_rests_on_a_record_that_was_altered(folder: Path, change: str, said: str) -> None:
    """Whoever reads, reduces or goes on recording is told; nobody has to run `verify` first."""
    exchange.import_readings(folder, folder / "readings.csv")
    with closing(sqlite3.connect(folder / STORE)) as raw, raw:
        raw.execute("PRAGMA foreign_keys = OFF")
        for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'"):
            raw.execute(f"DROP TRIGGER {name}")
        _loosen(raw)
        raw.execute(change)
    with pytest.raises(DamagedRecordError, match=said), open_record(folder, mode="read") as opened:
        opened.groups()
    with pytest.raises(DamagedRecordError, match=said):
        exchange.import_readings(folder, folder / "readings.csv")


def test_verify_and_backup_see_damage_beside_what_is_recorded(folder: Path) -> None:
    """An index that no longer fits its table: every event is still right."""
    exchange.import_readings(folder, folder / "readings.csv")
    with closing(sqlite3.connect(folder / STORE)) as raw, raw:
        (page,) = raw.execute(
            "SELECT rootpage FROM sqlite_master WHERE type = 'index' AND tbl_name = 'event'"
        ).fetchone()
        (size,) = raw.execute("PRAGMA page_size").fetchone()
        raw.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    data = bytearray((folder / STORE).read_bytes())
    start = (page - 1) * size
    index = data[start : start + size]
    at = index.rindex(b"-")
    data[start + at] = ord("+")
    (folder / STORE).write_bytes(data)
    found = verify(folder).verdict
    assert found.fault.startswith("the database is damaged:")
    assert backup(folder, folder / "copy.db").verdict.fault == found.fault
