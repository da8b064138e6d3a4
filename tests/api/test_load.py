"""Which readings count: those of the record where there are any, else those of the sheet."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import pytest

from tarebook import api
from tarebook.api.exchange import import_readings
from tarebook.api.folder import READINGS
from tarebook.core.errors import InputError

POOL = Path(__file__).parents[2] / "examples" / "clean-pool-granules"
NOW = dt.datetime(2027, 3, 2, 14, 0, tzinfo=dt.UTC)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    there = tmp_path / "pool"
    there.mkdir()
    for name in ("experiment.toml", READINGS):
        shutil.copy(POOL / name, there / name)
    return there


def without_first_run(folder: Path) -> Path:
    rows = (folder / READINGS).read_text(encoding="utf-8").splitlines()
    shorter = folder / "shorter.csv"
    shorter.write_text("\n".join([rows[0], *rows[2:]]) + "\n", encoding="utf-8")
    return shorter


def test_without_a_record_the_sheet_counts(folder: Path) -> None:
    assert len(api.load(folder)[1].readings) == 64


def test_what_was_recorded_counts_before_the_sheet(folder: Path) -> None:
    import_readings(folder, without_first_run(folder), group="1", who="", now=NOW)
    table = api.load(folder)[1]
    assert len(table.readings) == 56
    assert not [reading for reading in table.readings if reading.run == "1"]


def test_several_groups_must_be_told_apart(folder: Path) -> None:
    import_readings(folder, folder / READINGS, group="A", who="", now=NOW)
    import_readings(folder, without_first_run(folder), group="B", who="", now=NOW)
    with pytest.raises(InputError, match="A, B") as fault:
        api.load(folder)
    assert "--group NAME" in str(fault.value)
    assert len(api.load(folder, "A")[1].readings) == 64
    assert len(api.load(folder, "B")[1].readings) == 56


def test_a_group_without_a_record_is_a_fault(folder: Path) -> None:
    with pytest.raises(InputError, match="--group"):
        api.load(folder, "A")
