"""What SQLite itself takes without a word: a log cut short, a guard with a letter changed."""

from __future__ import annotations

import datetime as dt
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tarebook.api.anchors import ANCHORS, anchored_heads
from tarebook.api.backup import backup
from tarebook.api.bench import open_workspace
from tarebook.api.missed import DAMAGED
from tarebook.api.open_record import open_log, open_record
from tarebook.api.record import record
from tarebook.api.verify import verify
from tarebook.records.errors import DamagedRecordError
from tarebook.records.events import event_of

EXAMPLE = Path(__file__).parents[2] / "examples" / "clean-pool-granules"
RECORDED = 12
NOW = dt.datetime(2026, 10, 5, 13, 0, tzinfo=dt.UTC)


@pytest.fixture
def crashed(tmp_path: Path) -> Path:
    """A folder as it is left when the machine goes off: what came last is in the log alone."""
    folder = tmp_path / "pool"
    folder.mkdir()
    shutil.copy(EXAMPLE / "experiment.toml", folder)
    with open_record(folder) as opened:
        for number in range(RECORDED):
            given = {
                "id": f"0b8f3c1e-6d0a-4a5e-9a51-{number:012d}", "kind": "reading", "group": "1",
                "run": "1", "column": "tare_g", "repeat": number + 1, "typed": "15.790",
                "taken": "2026-10-05T12:00:00Z", "device": "phone",
            }  # fmt: skip
            record(opened, [event_of(given)], now=NOW)
        return Path(shutil.copytree(folder, tmp_path / "crashed"))


def _flip(file: Path, at: int) -> None:
    data = bytearray(file.read_bytes())
    data[at] ^= 1
    file.write_bytes(data)


def test_a_crash_loses_nothing_and_accuses_nobody(crashed: Path) -> None:
    assert verify(crashed).verdict.whole
    assert verify(crashed).verdict.head.count == RECORDED
    assert not (crashed / DAMAGED).exists()


def test_a_bit_flipped_in_the_log_is_missed(crashed: Path) -> None:
    log = crashed / "tarebook.db-wal"
    before = log.read_bytes()
    _flip(log, len(before) // 2)
    damaged = log.read_bytes()
    verdict = verify(crashed).verdict
    assert 0 < verdict.head.count < RECORDED
    first_missing = verdict.head.count + 1
    assert verdict.fault == f"event {first_missing} is missing: there were {RECORDED} events"
    # SQLite took the log away; what may still be read in it is kept.
    assert not log.exists()
    assert (crashed / DAMAGED).read_bytes() == damaged


def test_what_was_missed_is_not_forgotten_with_the_next_reading(crashed: Path) -> None:
    log = crashed / "tarebook.db-wal"
    _flip(log, log.stat().st_size - 4000)
    with open_workspace(crashed, workers=False) as workspace:
        # The bench has put the definition into the record.
        assert workspace.n_lost == RECORDED - (workspace.head() - 1) > 0
        lost = workspace.n_lost
        for number in range(lost + 1):
            given = {
                "id": f"0b8f3c1e-6d0a-4a5e-9a52-{number:012d}", "kind": "reading", "group": "1",
                "run": "1", "column": "final_g", "typed": "56.210", "repeat": number + 1,
                "taken": "2026-10-05T12:30:00Z", "device": "phone",
            }  # fmt: skip
            record(workspace.opened, [event_of(given)], now=NOW)
    fault = verify(crashed).verdict.fault
    assert fault == f"event {RECORDED} is another one than when its hash was kept"
    assert (crashed / ANCHORS).read_text(encoding="utf-8").count("missed at opening") == 1


def test_a_spoilt_note_says_nothing(crashed: Path) -> None:
    """What was noted last is a help; a record without it is as it is."""
    note = crashed / "tarebook.db-last"
    with closing(open_log(crashed, mode="read")) as log:
        key = log.experiment
    assert [head.count for head in anchored_heads(crashed, key)] == [RECORDED]
    _flip(note, 40)
    assert anchored_heads(crashed, key) == ()
    assert verify(crashed).verdict.whole


def _altered(store: Path, found: bytes, put: bytes) -> None:
    with closing(sqlite3.connect(store)) as raw:
        raw.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    data = store.read_bytes()
    assert data.count(found) == 1
    store.write_bytes(data.replace(found, put))


def test_a_letter_changed_in_a_guard_is_seen(crashed: Path) -> None:
    store = crashed / "tarebook.db"
    _altered(store, b"an event is never changed", b"an event is nevur changed")
    with closing(sqlite3.connect(store)) as raw:
        assert raw.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    fault = verify(crashed).verdict.fault
    assert fault.startswith("the database is damaged: trigger event_")
    assert fault.endswith("is not as it was made")


def test_bytes_that_are_no_text_in_a_guard_are_told(crashed: Path) -> None:
    _altered(crashed / "tarebook.db", b"CREATE TRIGGER experiment_is_never_deleted",
             b"CR\xc5ATE TRIGGER experiment_is_never_deleted")  # fmt: skip
    with pytest.raises(DamagedRecordError):
        verify(crashed)


def _damage_an_index(folder: Path) -> None:
    """Alter what an index holds: every event is as it was, and its chain is whole."""
    store = folder / "tarebook.db"
    with closing(sqlite3.connect(store)) as raw:
        raw.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        size = raw.execute("PRAGMA page_size").fetchone()[0]
        (page,) = raw.execute(
            "SELECT rootpage FROM sqlite_master WHERE type = 'index' AND tbl_name = 'event' "
            "ORDER BY rootpage LIMIT 1"
        ).fetchone()
    # The cells of a page grow from its end towards its beginning.
    _flip(store, page * size - 8)


def test_damage_beside_the_events_is_found_by_the_databases_own_check(
    crashed: Path, tmp_path: Path
) -> None:
    _damage_an_index(crashed)
    verdict = verify(crashed).verdict
    assert verdict.head.count == RECORDED
    assert "the database is damaged" in verdict.fault
    assert "the database is damaged" in backup(crashed, tmp_path / "copy.db").verdict.fault


def test_damage_beside_the_events_is_seen_before_more_is_recorded(crashed: Path) -> None:
    given = {
        "id": "0b8f3c1e-6d0a-4a5e-9a53-000000000000", "kind": "reading", "group": "1", "run": "1",
        "column": "final_g", "typed": "56.210", "taken": "2026-10-05T12:00:00Z", "device": "phone",
    }  # fmt: skip
    with open_record(crashed) as opened:
        _damage_an_index(crashed)
        with pytest.raises(DamagedRecordError):
            record(opened, [event_of(given)], now=NOW)
