"""The record of a folder: deliveries, corrections, and where it is kept."""

from __future__ import annotations

import datetime as dt
import shutil
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tarebook.api.folder import KEY_FILE, STORE
from tarebook.api.placing import SETTING
from tarebook.api.record import OpenRecord, open_record, record
from tarebook.core.errors import InputError
from tarebook.records.errors import (
    NotARecordError,
    RecordElsewhereError,
    RecordUnreachableError,
)
from tarebook.records.events import Event, event_of
from tarebook.records.readings import Quantity

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
NOW = dt.datetime(2026, 10, 5, 12, 0, tzinfo=dt.UTC)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv(SETTING, raising=False)
    return Path(shutil.copytree(POOL, tmp_path / "pool"))


@pytest.fixture
def opened(folder: Path) -> Iterator[OpenRecord]:
    with open_record(folder) as one:
        yield one


def reading(**given: Any) -> Event:
    values = {
        "id": str(uuid.uuid4()),
        "kind": "reading",
        "group": "3",
        "run": "1",
        "column": "tare_g",
        "typed": "12,31",
        "device": "phone",
        "taken": NOW.isoformat(),
    }
    return event_of({**values, **given})


def test_a_delivery_is_recorded_and_comes_back(opened: OpenRecord) -> None:
    sent = [reading(), reading(column="sample_g", typed="1.02"), reading(group="4")]
    done = record(opened, sent, now=NOW)
    assert [one.event for one in done.received] == sent
    assert done.refused == ()
    assert record(opened, sent).received == done.received
    groups = opened.groups()
    assert list(groups) == ["3", "4"]
    assert groups["3"] == opened.of_group("3")
    assert [r.typed for r in groups["3"].table.readings] == ["12.31", "1.02"]
    assert opened.planned == opened.of_group("none yet").table.runs


def test_one_refused_event_does_not_keep_the_others_out(opened: OpenRecord) -> None:
    known = reading()
    record(opened, [known])
    twice = str(uuid.uuid4())
    good = reading()
    sent = [
        reading(id=known.id, typed="9"),
        good,
        reading(id=twice, typed="1"),
        reading(id=twice, typed="2"),
    ]
    done = record(opened, sent)
    assert [one.event for one in done.received] == [good]
    assert done.refused == (known.id, twice)
    assert [one.event for one in opened.log.events()] == [known, good]


def correction(of: Event, typed: str, reason: str) -> Event:
    return reading(
        kind="correction", column=of.column, typed=typed, supersedes=of.id, reason=reason
    )


def test_a_correction_keeps_both(opened: OpenRecord) -> None:
    first = reading()
    better = correction(first, "12,13 g", "digits swapped")
    record(opened, [first, better])
    folded = opened.of_group("3")
    assert [r.typed for r in folded.table.of("1", Quantity.TARE)] == ["12.13"]
    counts = {entry.event.typed: entry.counts for entry in folded.of("1", "tare_g")}
    assert counts == {"12,31": False, "12,13 g": True}
    gone = reading(kind="withdrawal", typed="", supersedes=better.id, reason="wrong cup")
    record(opened, [gone])
    assert opened.of_group("3").table.readings == ()


def test_a_note_is_corrected_too(opened: OpenRecord) -> None:
    note = reading(column="note", typed="spilt")
    record(opened, [note, correction(note, "spilt a drop", "more exact")])
    assert opened.of_group("3").table.notes == {"1": "spilt a drop"}


def test_a_correction_says_why() -> None:
    with pytest.raises(InputError, match="why, in a few words"):
        correction(reading(), "1", "")


def test_nothing_is_made_by_looking(folder: Path) -> None:
    before = sorted(folder.iterdir())
    with (
        pytest.raises(RecordUnreachableError, match="nothing has been recorded"),
        open_record(folder, mode="read"),
    ):
        pass
    assert sorted(folder.iterdir()) == before


def test_a_bad_definition_leaves_the_folder_alone(folder: Path) -> None:
    (folder / "experiment.toml").write_text("title = 1")
    with pytest.raises(InputError), open_record(folder):
        pass
    assert not (folder / STORE).exists()


def test_one_setting_puts_the_record_into_a_department_database(
    folder: Path, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    url = request.getfixturevalue("postgresql").url
    monkeypatch.setenv(SETTING, url)
    with open_record(folder) as opened:
        record(opened, [reading()])
        key = opened.log.experiment
    assert not (folder / STORE).exists()
    assert key in (folder / KEY_FILE).read_text()
    with open_record(folder, mode="read") as opened:
        assert opened.log.experiment == key
        assert len(opened.log.events()) == 1
    other = Path(shutil.copytree(POOL, folder.parent / "other"))
    with open_record(other) as opened:
        assert opened.log.experiment != key
        assert opened.log.events() == ()
    # Without the setting nobody begins a second record by mistake.
    monkeypatch.delenv(SETTING)
    with pytest.raises(RecordElsewhereError, match="are in a database"), open_record(folder):
        pass
    assert not (folder / STORE).exists()


def test_a_record_in_the_folder_is_not_left_behind_by_the_setting(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with open_record(folder) as opened:
        record(opened, [reading()])
    monkeypatch.setenv(SETTING, "postgresql://bench@127.0.0.1:9/readings")
    here = "the readings of this folder are here"
    with pytest.raises(RecordElsewhereError, match=here), open_record(folder):
        pass
    assert not (folder / KEY_FILE).exists()


def test_a_key_that_is_lost_or_spoilt(
    folder: Path, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    monkeypatch.setenv(SETTING, request.getfixturevalue("postgresql").url)
    (folder / KEY_FILE).write_text("experiment = 3")
    with pytest.raises(InputError, match=KEY_FILE), open_record(folder):
        pass
    (folder / KEY_FILE).write_text(f'experiment = "{uuid.uuid4()}"')
    none = "has no experiment"
    with pytest.raises(RecordUnreachableError, match=none), open_record(folder, mode="read"):
        pass


def test_a_file_of_another_program_is_not_written_to(folder: Path) -> None:
    (folder / STORE).write_bytes(b"something else entirely" * 100)
    with pytest.raises(NotARecordError), open_record(folder):
        pass
    assert (folder / STORE).read_bytes().startswith(b"something else")
