"""An error that nobody foresaw is a sentence with a code and a report without anything private."""

from __future__ import annotations

import logging
import shutil
import stat
import threading
from pathlib import Path

import pytest
from click.testing import CliRunner

from tarebook import api, cli
from tarebook.web.log import log_config, tell_of_threads

POOL = Path(__file__).parent / "snapshots" / "pool"
SECRET = "15.790 g by Anna B."


def plant(monkeypatch: pytest.MonkeyPatch, error: BaseException) -> None:
    def broken(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(api, "reduce", broken)


def test_a_mistake_of_ours_is_a_sentence_with_a_code_and_a_report(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, fault_reports: Path
) -> None:
    folder = tmp_path / "Anna B"
    shutil.copytree(POOL, folder)
    plant(monkeypatch, ZeroDivisionError(SECRET))
    result = CliRunner().invoke(cli.main, ["reduce", str(folder)])
    assert result.exit_code == 70
    assert result.stdout == ""
    (report,) = fault_reports.iterdir()
    assert stat.S_IMODE(report.stat().st_mode) == 0o600
    code = report.stem.removeprefix("tarebook-fault-")
    assert result.stderr.startswith(f"Tarebook made a mistake of its own (code {code}).")
    assert str(report) in result.stderr
    text = report.read_text(encoding="utf-8")
    for word in ("Traceback", "File ", SECRET, "Anna"):
        assert word not in text
        if word != "Anna":
            assert word not in result.stderr
    assert "builtins.ZeroDivisionError" in text
    assert "tarebook.cli.readings, reduce" in text
    assert api.VERSION in text
    report.unlink()


def test_the_same_mistake_has_the_same_code_and_one_report(
    monkeypatch: pytest.MonkeyPatch, fault_reports: Path
) -> None:
    for reading in ("1.0", "2.0"):
        plant(monkeypatch, KeyError(reading))
        CliRunner().invoke(cli.main, ["reduce", str(POOL)])
    (report,) = fault_reports.iterdir()
    report.unlink()


def test_without_a_place_for_the_report_the_sentence_still_comes(
    monkeypatch: pytest.MonkeyPatch, fault_reports: Path
) -> None:
    monkeypatch.setenv("TAREBOOK_FAULT_REPORTS", str(fault_reports / "none"))
    plant(monkeypatch, KeyError("x"))
    result = CliRunner().invoke(cli.main, ["reduce", str(POOL)])
    assert result.exit_code == 70
    assert "no report file could be written" in result.stderr


def test_a_machine_with_too_little_memory_is_no_mistake(monkeypatch: pytest.MonkeyPatch) -> None:
    plant(monkeypatch, MemoryError())
    result = CliRunner().invoke(cli.main, ["reduce", str(POOL)])
    assert result.exit_code == 2
    assert "memory of this machine" in result.stderr


def test_a_recursion_without_end_makes_a_short_report(
    monkeypatch: pytest.MonkeyPatch, fault_reports: Path
) -> None:
    def deeper(*_: object, **__: object) -> None:
        deeper()

    monkeypatch.setattr(api, "reduce", deeper)
    assert CliRunner().invoke(cli.main, ["reduce", str(POOL)]).exit_code == 70
    (report,) = fault_reports.iterdir()
    assert len(report.read_text(encoding="utf-8").splitlines()) < 100
    report.unlink()


def test_the_apps_log_holds_sentences_and_no_trace(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, fault_reports: Path
) -> None:
    formatter = log_config(tmp_path, tmp_path)["formatters"]["sentences"]
    sentences = formatter["()"](formatter["folder"])
    try:
        raise ValueError(SECRET)
    except ValueError as error:
        record = logging.LogRecord(
            "uvicorn.error", logging.ERROR, "", 0, "Exception in app", None,
            (ValueError, error, error.__traceback__),
        )  # fmt: skip
    line = sentences.format(record)
    assert "\n" not in line
    assert "code" in line
    assert SECRET not in line
    for report in fault_reports.iterdir():
        report.unlink()


def test_a_thread_of_the_app_ends_without_a_trace(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture,
    capsys: pytest.CaptureFixture[str], tmp_path: Path, fault_reports: Path,
) -> None:  # fmt: skip
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    tell_of_threads(tmp_path)

    def broken() -> None:
        raise ValueError(SECRET)

    thread = threading.Thread(target=broken)
    thread.start()
    thread.join()
    assert "Traceback" not in capsys.readouterr().err
    assert SECRET not in caplog.text
    (report,) = fault_reports.iterdir()
    assert report.stem.removeprefix("tarebook-fault-") in caplog.text
    report.unlink()
