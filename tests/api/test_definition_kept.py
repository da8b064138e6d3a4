"""The record holds the definition by which readings were taken, and says where it differs now."""

from __future__ import annotations

import hashlib
import json
import shutil
import sqlite3
import uuid
from contextlib import closing
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from tests.words import said

from tarebook import api, cli
from tarebook.api import bench, exchange
from tarebook.api.folder import STORE
from tarebook.api.placing import SETTING
from tarebook.api.record import open_record, record
from tarebook.api.reduce_series import load_source
from tarebook.api.verify import verify
from tarebook.diagnosis.source import check_source
from tarebook.findings.finding import Finding, Severity
from tarebook.records.events import event_of

POOL = Path(__file__).parents[1] / "snapshots" / "pool"


@pytest.fixture(params=["sqlite", "postgresql"])
def folder(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder that was opened at the bench, which took its sheet over."""
    monkeypatch.delenv(SETTING, raising=False)
    if request.param == "postgresql":
        monkeypatch.setenv(SETTING, request.getfixturevalue("postgresql").url)
    made = Path(shutil.copytree(POOL, tmp_path / "pool"))
    _open(made)
    return made


def _open(folder: Path) -> int:
    with bench.open_workspace(folder, workers=False) as workspace:
        return workspace.taken_over


def _run(*words: object) -> Result:
    return CliRunner().invoke(cli.main, [str(word) for word in words], catch_exceptions=False)


def _digest(folder: Path) -> str:
    return hashlib.sha256((folder / "experiment.toml").read_bytes()).hexdigest()


def _change(folder: Path) -> str:
    """Change the definition; return the digest of the one before."""
    before = _digest(folder)
    file = folder / "experiment.toml"
    file.write_text(file.read_text(encoding="utf-8") + "\n# corrected\n", encoding="utf-8")
    return before


def _finding(folder: Path) -> Finding | None:
    _, _, source = load_source(folder)
    found = {one.code: one for one in check_source(source)}
    return found.get("definition-changed")


def test_the_bench_records_the_definition_before_the_first_reading(folder: Path) -> None:
    with open_record(folder, mode="read") as opened:
        first, *others = opened.log.events()
    text = (folder / "experiment.toml").read_text(encoding="utf-8")
    assert (first.event.column, first.event.typed) == ("definition", text)
    assert first.event.number == _digest(folder)
    assert {one.event.column for one in others} >= {"tare_g", "final_g"}
    n = len(others)
    # Opened again it is the same one, and nothing is taken over twice.
    assert _open(folder) == 0
    found = verify(folder)
    assert (found.verdict.head.count, found.verdict.whole) == (n + 1, True)
    assert f"experiment.toml as it is now: event 1, SHA-256 {_digest(folder)}" in (
        _run("verify", folder).stdout
    )
    assert _finding(folder) is None


def test_a_definition_that_was_changed_is_noticed(folder: Path, tmp_path: Path) -> None:
    before = _change(folder)
    printed = _run("verify", folder).stdout
    assert "is whole" in printed
    assert "ATTENTION: experiment.toml is not the definition in the record" in printed
    assert before in printed
    assert _digest(folder) in printed
    found = _finding(folder)
    assert found is not None
    assert found.severity is Severity.LOOK
    assert "event 1 of the record" in said(found)
    # The one of then can be had.
    assert _run("export", folder, "--definition", tmp_path / "then.toml").exit_code == 0
    assert hashlib.sha256((tmp_path / "then.toml").read_bytes()).hexdigest() == before


def test_the_bench_takes_another_definition_over(folder: Path) -> None:
    before = _change(folder)
    _open(folder)
    with open_record(folder, mode="read") as opened:
        first, *_, last = opened.log.events()
    assert last.event.supersedes == first.event.id
    assert last.event.number == _digest(folder) != before
    found = _finding(folder)
    assert found is not None
    assert found.severity is Severity.NOTE
    assert "experiment.toml as it is now" in _run("verify", folder).stdout


def test_reduce_and_report_say_by_which_definition(folder: Path) -> None:
    said = json.loads(_run("reduce", folder, "--json", "--draws", "1000").stdout)
    used = said["method"]["readings"]
    digest = _digest(folder)
    assert [one["sha256"] for one in used["definitions"]] == [digest]
    assert used["definition_now_sha256"] == digest
    _change(folder)
    api.report(folder, draws=1000)
    page = (folder / "out" / "report.html").read_text(encoding="utf-8")
    assert f"Taken by the definition in event 1, SHA-256 {digest}." in page
    assert "a definition that has been changed since" in page


def test_it_travels_in_the_archive(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _change(folder)
    file = exchange.export_archive(folder, tmp_path / "x.zip")
    assert "is not the definition in the record" in _run("verify", file).stdout
    whole = verify(folder).verdict
    monkeypatch.delenv(SETTING, raising=False)
    new = tmp_path / "new"
    assert exchange.import_archive(new, file).verdict == whole
    again = exchange.export_archive(new, tmp_path / "y.zip")
    assert verify(again).definition == verify(file).definition


def test_a_record_from_before_says_that_it_holds_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(SETTING, raising=False)
    folder = Path(shutil.copytree(POOL, tmp_path / "pool"))
    with open_record(folder) as opened:
        given = {
            "id": str(uuid.uuid4()), "kind": "reading", "group": "1", "run": "1",
            "column": "tare_g", "typed": "15.790", "device": "phone",
            "taken": "2026-10-05T12:00:00Z",
        }  # fmt: skip
        record(opened, [event_of(given)])
    assert "It holds no definition" in _run("verify", folder).stdout
    assert _finding(folder) is None
    refused = _run("export", folder, "--definition", tmp_path / "then.toml")
    assert refused.exit_code == 2
    # Opened at the bench it gets one, and the readings before stay without.
    _open(folder)
    _, _, source = load_source(folder)
    assert [(one.event, one.n_events > 0) for one in source.taken_by] == [(0, True), (2, False)]


def test_a_definition_altered_in_the_record_is_found(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(POOL, tmp_path / "pool"))
    _open(folder)
    with closing(sqlite3.connect(folder / STORE)) as raw, raw:
        for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'"):
            raw.execute(f"DROP TRIGGER {name}")
        raw.execute("UPDATE event SET typed = typed || ' ' WHERE sequence = 1")
    assert "event 1 was altered" in verify(folder).verdict.fault


def test_no_device_can_put_a_definition_in(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(POOL, tmp_path / "pool"))
    with bench.open_workspace(folder, workers=False) as workspace:
        head = workspace.head()
        sent = {
            "id": str(uuid.uuid4()), "kind": "reading", "run": "*", "quantity": "definition",
            "typed": "title = 1", "taken_at": "2026-10-05T12:00:00Z", "device": "phone",
        }  # fmt: skip
        done = bench.record_events(workspace, "1", [sent])
        assert "definition" in done["refused"][0]["message"]
        assert workspace.head() == head


def test_a_sheet_brought_into_a_folder_that_was_never_opened_records_the_definition(
    tmp_path: Path,
) -> None:
    folder = Path(shutil.copytree(POOL, tmp_path / "new"))
    exchange.import_readings(folder, folder / "readings.csv")
    with open_record(folder, mode="read") as opened:
        events = opened.log.events()
    assert (events[0].event.column, events[0].event.number) == ("definition", _digest(folder))
    assert len(events) > 1
    # The same sheet again records nothing, nor does it with another definition.
    _change(folder)
    exchange.import_readings(folder, folder / "readings.csv")
    assert verify(folder).verdict.head.count == len(events)
    before = hashlib.sha256(events[0].event.typed.encode()).hexdigest()
    finding = _finding(folder)
    assert finding is not None
    assert before[:12] in said(finding)


def test_a_report_of_the_app_names_the_definition_as_one_of_the_command_line_does(
    folder: Path,
) -> None:
    before = _change(folder)
    with bench.open_workspace(folder, workers=False) as workspace:
        table = bench.table_of_group(workspace, "1")
        source = bench.source_of_group(workspace, "1")
        job = workspace.reports.start(
            workspace.experiment, table, "1", "report.html", "2026-10-05", "", source
        )
        page = job.result().decode()
    assert f"Taken by the definition in event 1, SHA-256 {before}." in page
    _, _, at_the_command_line = load_source(folder)
    assert source.taken_by == at_the_command_line.taken_by
    assert source.definition_now == at_the_command_line.definition_now == _digest(folder)
