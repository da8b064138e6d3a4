"""Which readings count is always said, and the end of a record is known outside it."""

from __future__ import annotations

import datetime as dt
import json
import os
import shutil
import sqlite3
import stat
import uuid
from contextlib import closing
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from tests.words import said

from tarebook import api, cli
from tarebook.api import bench, exchange
from tarebook.api.anchors import ANCHORS
from tarebook.api.backup import backup
from tarebook.api.folder import STORE
from tarebook.api.placing import SETTING
from tarebook.api.record import open_record
from tarebook.api.reduce_series import load_source
from tarebook.api.verify import verify
from tarebook.core.errors import InputError
from tarebook.diagnosis.source import check_source
from tarebook.findings.finding import Finding
from tarebook.records.events import Kind, event_of

TAKEN = "2026-10-05T12:03:21.500000Z"

POOL = Path(__file__).parents[1] / "snapshots" / "pool"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv(SETTING, raising=False)
    made = Path(shutil.copytree(POOL, tmp_path / "pool"))
    exchange.import_readings(made, made / "readings.csv")
    return made


def _run(*words: str) -> Result:
    return CliRunner().invoke(cli.main, list(words), catch_exceptions=False)


def _edit(folder: Path) -> tuple[str, str]:
    """Write another last mass of the third run into the sheet; return both numbers."""
    sheet = folder / "readings.csv"
    lines = sheet.read_text().splitlines()
    at = lines[0].split(",").index("final_g")
    cells = lines[3].split(",")
    old = cells[at]
    cells[at] = f"{float(old) + 0.4:.3f}"
    lines[3] = ",".join(cells)
    sheet.write_text("\n".join(lines) + "\n")
    return old, cells[at]


def _findings(folder: Path) -> dict[str, Finding]:
    _, _, source = load_source(folder)
    return {finding.code: finding for finding in check_source(source)}


def test_an_edited_sheet_is_shown_with_what_differs(folder: Path) -> None:
    assert "sheet-not-used" not in _findings(folder)
    old, new = _edit(folder)
    finding = _findings(folder)["sheet-not-used"]
    assert f"{new} (recorded: {old})" in said(finding)
    assert finding.evidence == {"cells": 1.0}
    printed = json.loads(_run("reduce", str(folder), "--json", "--draws", "1000").stdout)
    assert "sheet-not-used" in {one["code"] for one in printed["findings"]}
    with open_record(folder, mode="read") as opened:
        head = opened.log.head()
    used = {"from": "record", "group": "1", "events": head.count, "last_hash": head.hash}
    assert used.items() <= printed["method"]["readings"].items()


def test_an_edited_sheet_is_brought_in_by_one_step(folder: Path) -> None:
    _, new = _edit(folder)
    done = _run("import", str(folder), str(folder / "readings.csv"), "--who", "Ada Moll")
    assert "0 new, 1 corrected" in done.stdout
    with open_record(folder, mode="read") as opened:
        last = opened.log.events()[-1].event
    assert (last.kind, last.who, last.number) == (Kind.CORRECTION, "Ada Moll", new)
    assert "sheet-not-used" not in _findings(folder)


def test_an_edited_sheet_is_left_out_by_one_step(folder: Path) -> None:
    old, new = _edit(folder)
    edited = (folder / "readings.csv").read_bytes()
    with pytest.raises(InputError, match="--set-aside"):
        exchange.export_readings(folder)
    assert _run("export", str(folder), "--set-aside").exit_code == 0
    assert (folder / "readings-set-aside-1.csv").read_bytes() == edited
    assert new.encode() not in (folder / "readings.csv").read_bytes()
    assert old.encode() in (folder / "readings.csv").read_bytes()
    assert "sheet-not-used" not in _findings(folder)


def test_what_the_bench_corrected_since_is_no_edit_of_the_sheet(folder: Path) -> None:
    sheet = (folder / "readings.csv").read_bytes()
    _edit(folder)
    exchange.import_readings(folder, folder / "readings.csv", who="Ada Moll")
    (folder / "readings.csv").write_bytes(sheet)
    assert "sheet-not-used" not in _findings(folder)


def test_a_sheet_that_cannot_be_read_keeps_nobody_from_the_record(folder: Path) -> None:
    (folder / "readings.csv").write_text("run,tare_g\n1,heavy\n")
    assert "heavy" in said(_findings(folder)["sheet-not-used"])


def test_the_bench_says_that_a_sheet_is_not_used(folder: Path) -> None:
    _edit(folder)
    with bench.open_workspace(folder, workers=False) as workspace:
        (one,) = workspace.beside.unrecorded
    assert one.column == "final_g"


def _lines(folder: Path) -> list[str]:
    return (folder / "readings.csv").read_text().splitlines()


def _write(folder: Path, lines: list[str]) -> None:
    (folder / "readings.csv").write_text("\n".join(lines) + "\n")


def _blank(line: str, at: int) -> str:
    cells = line.split(",")
    cells[at] = ""
    return ",".join(cells)


def test_a_row_taken_out_and_a_cell_blanked_are_shown(folder: Path) -> None:
    lines = _lines(folder)
    _write(folder, [lines[0], _blank(lines[1], 1), *lines[3:]])
    findings = _findings(folder)
    assert "sheet-not-used" not in findings
    sentence = said(findings["sheet-leaves-out"])
    tare = lines[1].split(",")[1]
    assert f"run 1, tare_g (recorded: {tare}); the row of run 2." in sentence
    n_row = sum(bool(cell) for cell in lines[2].split(",")[1:])
    assert findings["sheet-leaves-out"].evidence == {"cells": 1.0 + n_row}
    checked = _run("check", str(folder))
    assert "sheet" in checked.stdout
    assert f"readings.csv differs in {1 + n_row} entries and is not used" in checked.stdout
    with bench.open_workspace(folder, workers=False) as workspace:
        assert workspace.beside.n_differing == 1 + n_row


def test_what_a_sheet_leaves_out_is_taken_back_by_one_step(folder: Path) -> None:
    lines = _lines(folder)
    _write(folder, [lines[0], _blank(lines[1], 1), *lines[3:]])
    words = ("import", str(folder), str(folder / "readings.csv"), "--who", "Ada Moll")
    assert "blank in the sheet still count" in _run(*words).stdout
    assert "sheet-leaves-out" in _findings(folder)
    done = _run(*words, "--take-back")
    n_gone = 1 + sum(bool(cell) for cell in lines[2].split(",")[1:])
    assert f"0 new, 0 corrected, {n_gone} taken back" in done.stdout
    assert "sheet-leaves-out" not in _findings(folder)
    with open_record(folder, mode="read") as opened:
        last = opened.log.events()[-1].event
        table = opened.of_group("1").table
    assert (last.kind, last.who) == (Kind.WITHDRAWAL, "Ada Moll")
    assert not [reading for reading in table.readings if reading.run == "2"]


def test_one_of_two_repeats_that_is_left_out_is_the_one_taken_back(folder: Path) -> None:
    lines = _lines(folder)
    cells = lines[1].split(",")
    twice = [f"{lines[0]},tare_g_2", f"{lines[1]},{cells[1]}9", *(f"{one}," for one in lines[2:])]
    _write(folder, twice)
    exchange.import_readings(folder, folder / "readings.csv")
    _write(folder, [twice[0], _blank(twice[1], 1), *twice[2:]])
    assert _findings(folder)["sheet-leaves-out"].evidence == {"cells": 1.0}
    exchange.import_readings(folder, folder / "readings.csv", take_back=True)
    with open_record(folder, mode="read") as opened:
        folded = opened.of_group("1")
    tares = [reading for reading in folded.table.readings if reading.quantity == "tare_g"]
    assert [one.typed for one in tares if one.run == "1"] == [f"{cells[1]}9"]
    assert not folded.conflicts


def _at_the_bench(folder: Path, run: str, column: str, typed: str) -> None:
    event = {"id": str(uuid.uuid4()), "kind": "reading", "group": "1", "run": run}
    event |= {"column": column, "typed": typed, "device": "phone", "taken": TAKEN}
    with open_record(folder) as opened:
        opened.log.append([event_of(event)], now=dt.datetime.now(dt.UTC))


def test_what_the_bench_records_since_is_not_left_out_of_a_sheet(folder: Path) -> None:
    _at_the_bench(folder, "1", "vessel_liquid_g", "55.5")
    _at_the_bench(folder, "9", "tare_g", "15.5")
    assert not _findings(folder).keys() & {"sheet-leaves-out", "sheet-not-used"}


def test_what_was_read_at_the_bench_is_missed_in_a_sheet_that_was_written_since(
    folder: Path,
) -> None:
    _at_the_bench(folder, "9", "tare_g", "15.5")
    _at_the_bench(folder, "10", "tare_g", "15.7")
    exchange.export_readings(folder)
    lines = _lines(folder)
    _write(folder, [line for line in lines if not line.startswith("9,")])
    assert "the row of run 9" in said(_findings(folder)["sheet-leaves-out"])


def test_with_several_groups_the_sheet_is_that_of_one_of_them(folder: Path) -> None:
    old, new = _edit(folder)
    event = {"id": str(uuid.uuid4()), "kind": "reading", "group": "2", "run": "1"}
    event |= {"column": "tare_g", "typed": "15.1", "device": "phone", "taken": TAKEN}
    with open_record(folder) as opened:
        opened.log.append([event_of(event)], now=dt.datetime.now(dt.UTC))
    _, _, source = load_source(folder, "1")
    (one,) = source.beside.unrecorded
    assert (one.found, one.counts) == (new, old)
    _, _, other = load_source(folder, "2")
    assert other.beside.n_differing == 0


def test_every_command_says_which_readings_it_used(folder: Path) -> None:
    _edit(folder)
    with open_record(folder, mode="read") as opened:
        count = opened.log.head().count
    for command in (["check"], ["reduce", "--draws", "1000"], ["report", "--draws", "1000"]):
        printed = _run(command[0], str(folder), *command[1:]).stdout
        assert f"those of group 1 in the record, as far as event {count}." in printed
        assert "readings.csv differs in 1 entry and is not used." in printed
    checked = json.loads(_run("check", str(folder), "--json").stdout)
    assert (checked["readings"]["from"], checked["readings"]["events"]) == ("record", count)
    assert "Readings used: readings.csv" in _run("check", str(POOL)).stdout


def test_nothing_is_started_where_a_record_is(folder: Path) -> None:
    (folder / "experiment.toml").unlink()
    (folder / "readings.csv").unlink()
    with pytest.raises(InputError, match=STORE):
        api.start(folder)
    assert not (folder / "experiment.toml").exists()


def _cut(folder: Path, last: int) -> None:
    with closing(sqlite3.connect(folder / STORE)) as raw, raw:
        for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'"):
            raw.execute(f"DROP TRIGGER {name}")
        raw.execute("DELETE FROM event WHERE sequence > ?", (last,))


def test_results_of_a_record_that_lost_its_end_say_so(folder: Path) -> None:
    assert "record-cut" not in _findings(folder)
    with open_record(folder, mode="read") as opened:
        count = opened.log.head().count
    _cut(folder, count - 2)
    finding = _findings(folder)["record-cut"]
    assert "2 events are missing from the record" in said(finding)
    checked = _run("check", str(folder))
    assert "2 events are missing" in checked.stdout
    # Recorded anew it is as long as before, and still not the record that it was.
    _at_the_bench(folder, "1", "tare_g", "15.5")
    _at_the_bench(folder, "2", "tare_g", "15.5")
    assert "continues differently" in said(_findings(folder)["record-cut"])


@pytest.mark.parametrize("occasion", ["bench", "report", "backup", "archive"])
def test_a_cut_tail_is_found_without_asking_for_it(
    folder: Path, tmp_path: Path, occasion: str
) -> None:
    # What is noted with every commit would find it too.
    (folder / "tarebook.db-last").unlink()
    assert verify(folder).n_anchors == 0
    if occasion == "bench":
        with bench.open_workspace(folder, workers=False):
            pass
    elif occasion == "report":
        api.report(folder, draws=1000)
    elif occasion == "backup":
        backup(folder, tmp_path / "copy.db")
    else:
        exchange.export_archive(folder, tmp_path / "copy.zip")
    whole = verify(folder)
    assert (whole.verdict.whole, whole.n_anchors) == (True, 1)
    _cut(folder, 20)
    n = whole.verdict.head.count
    assert verify(folder).verdict.fault == f"event 21 is missing: there were {n} events"
    with bench.open_workspace(folder, workers=False) as workspace:
        assert workspace.n_lost == n - 20


def test_anchors_are_their_owners_alone(folder: Path, tmp_path: Path) -> None:
    before = os.umask(0o022)
    try:
        backup(folder, tmp_path / "copy.db")
        assert stat.S_IMODE((folder / ANCHORS).stat().st_mode) == 0o600
        # Those of an older version are closed when the bench opens.
        (folder / ANCHORS).chmod(0o644)
        with bench.open_workspace(folder, workers=False):
            assert stat.S_IMODE((folder / ANCHORS).stat().st_mode) == 0o600
    finally:
        os.umask(before)


def test_a_record_that_was_written_anew_is_found(folder: Path, tmp_path: Path) -> None:
    backup(folder, tmp_path / "copy.db")
    kept = json.loads((folder / ANCHORS).read_text())
    (folder / ANCHORS).write_text(json.dumps(kept | {"count": 5, "last": "0" * 64}) + "\n")
    fault = verify(folder).verdict.fault
    assert fault == "event 5 is another one than when its hash was kept"


def test_anchors_that_were_cut_off_while_they_were_written_do_no_harm(
    folder: Path, tmp_path: Path
) -> None:
    backup(folder, tmp_path / "copy.db")
    with (folder / ANCHORS).open("a") as file:
        file.write('{"experiment": "6d0a')
    assert verify(folder).verdict.whole
    backup(folder, tmp_path / "copy 2.db")
    assert verify(folder).verdict.whole
    (folder / ANCHORS).write_text('{"experiment": 1}\n')
    with pytest.raises(InputError, match=f"{ANCHORS}, line 1"):
        verify(folder)


def test_a_printed_anchor_is_compared_however_much_came_since(folder: Path, tmp_path: Path) -> None:
    with open_record(folder, mode="read") as opened:
        printed = opened.log.head()
    _edit(folder)
    exchange.import_readings(folder, folder / "readings.csv")
    archive = exchange.export_archive(folder, tmp_path / "x.zip")
    for path in (folder, archive):
        given = ("verify", str(path), "--last", printed.hash.upper())
        assert _run(*given, "--number", str(printed.count)).exit_code == 0
        # Without its number it is the last one.
        assert _run(*given).exit_code == 1
        other = _run(*given, "--number", str(printed.count - 1))
        assert "is another one than when its hash was kept" in other.stdout
        beyond = _run(*given, "--number", str(printed.count + 9))
        assert f"there were {printed.count + 9} events" in beyond.stdout
    assert _run("verify", str(folder), "--number", "3").exit_code == 2


def test_a_clock_that_was_set_back_is_marked(folder: Path) -> None:
    assert "clock-set-back" not in _findings(folder)
    assert "clock was set back" not in _run("verify", str(folder)).stdout
    with open_record(folder, mode="read") as opened:
        n, last = opened.log.head().count, opened.log.events()[-1].received
    _edit(folder)
    sheet = folder / "readings.csv"
    # Deliveries that wait for each other may have been begun in another order.
    exchange.import_readings(folder, sheet, now=last - dt.timedelta(seconds=1))
    assert verify(folder).verdict.set_back == ()
    _edit(folder)
    exchange.import_readings(folder, sheet, now=last - dt.timedelta(hours=2))
    assert f"set back before event {n + 2}:" in _run("verify", str(folder)).stdout
    assert f"event {n + 2} of the record" in said(_findings(folder)["clock-set-back"])
    archive = exchange.export_archive(folder, folder / "x.zip")
    assert f"set back before event {n + 2}:" in _run("verify", str(archive)).stdout


def test_a_report_has_the_anchor_at_its_foot(folder: Path) -> None:
    api.report(folder, draws=1000)
    with open_record(folder, mode="read") as opened:
        head = opened.log.head()
    page = (folder / "out" / "report.html").read_text(encoding="utf-8")
    assert f"{head.count} events, the last with the hash {head.hash}" in page
