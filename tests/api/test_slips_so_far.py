"""The check for slips beside the server: newest first, never stale, never in the way."""

from __future__ import annotations

import time
from collections.abc import Callable
from concurrent.futures import Future, wait
from pathlib import Path
from typing import Any

import pytest

from tarebook.api.bench import slips_so_far
from tarebook.api.bench.background import Background
from tarebook.api.bench.fair import Turn
from tarebook.api.bench.slips_so_far import SlipsSoFar
from tarebook.diagnosis.slips.odds import default_odds
from tarebook.findings.finding import Finding, Severity
from tarebook.records.readings import RunTable
from tarebook.records.sheet import parse_sheet
from tarebook.series.definition import parse_definition

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
EXPERIMENT = parse_definition((POOL / "experiment.toml").read_text(encoding="utf-8"))
SHEET = (POOL / "readings.csv").read_text(encoding="utf-8")
TABLE = parse_sheet(SHEET)
CORRECTED = parse_sheet(SHEET.replace("15.790", "15.791", 1))


def finding(run: str) -> Finding:
    return Finding(
        code="slip-digits-swapped", severity=Severity.LOOK, run=run, reading="tare_g",
    )  # fmt: skip


class Later(Background):
    """Does its jobs when the test says so."""

    def __init__(self) -> None:
        super().__init__(workers=False)
        self.waiting: list[tuple[Future[Any], RunTable]] = []

    def start_for(
        self, turn: Turn, job: Callable[..., Any], *args: Any, **kwargs: Any
    ) -> Future[Any]:
        future: Future[Any] = Future()
        self.waiting.append((future, args[1]))
        return future

    def end(self, outcome: object) -> RunTable:
        future, table = self.waiting.pop(0)
        if isinstance(outcome, Exception):
            future.set_exception(outcome)
        else:
            future.set_result(outcome)
        return table


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> Later:
    monkeypatch.setattr(slips_so_far, "PATIENCE", 0.0)
    return Later()


def test_what_is_known_already_is_not_checked_again(later: Later) -> None:
    slips = SlipsSoFar(later, default_odds())
    assert slips.of_group(EXPERIMENT, TABLE, "1", 5) == ()
    later.end((finding("1"),))
    for _ in range(3):
        assert slips.of_group(EXPERIMENT, TABLE, "1", 5) == (finding("1"),)
    assert later.waiting == []


def test_while_newer_readings_are_checked_only_what_is_still_true_is_said(later: Later) -> None:
    slips = SlipsSoFar(later, default_odds())
    slips.of_group(EXPERIMENT, TABLE, "1", 5)
    later.end((finding("1"), finding("2")))
    # The first run was corrected meanwhile: what was said of it may no longer hold.
    assert slips.of_group(EXPERIMENT, CORRECTED, "1", 6) == (finding("2"),)


def test_one_check_of_a_group_at_a_time_and_the_newest_readings_last(later: Later) -> None:
    slips = SlipsSoFar(later, default_odds())
    slips.of_group(EXPERIMENT, TABLE, "1", 5)
    slips.of_group(EXPERIMENT, TABLE, "1", 6)
    slips.of_group(EXPERIMENT, CORRECTED, "1", 7)
    assert len(later.waiting) == 1
    assert later.end(()) == TABLE
    # Nobody has to ask again for the newest to be looked at.
    assert later.end((finding("3"),)) == CORRECTED
    assert slips.of_group(EXPERIMENT, CORRECTED, "1", 7) == (finding("3"),)


def test_a_check_that_fails_keeps_no_reading_from_being_answered(
    later: Later, caplog: pytest.LogCaptureFixture
) -> None:
    slips = SlipsSoFar(later, default_odds())
    slips.of_group(EXPERIMENT, TABLE, "1", 5)
    later.end(ZeroDivisionError("in the sums"))
    assert slips.of_group(EXPERIMENT, TABLE, "1", 5) == ()
    assert "could not be checked" in caplog.text


def test_groups_do_not_wait_for_each_other(later: Later) -> None:
    slips = SlipsSoFar(later, default_odds())
    slips.of_group(EXPERIMENT, TABLE, "1", 5)
    slips.of_group(EXPERIMENT, CORRECTED, "2", 6)
    assert [table for _, table in later.waiting] == [TABLE, CORRECTED]


def test_nobody_waits_for_a_helper_that_rests(
    later: Later, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a busy room every twentieth reading waited for the helper to rest and then to check."""
    now = [100.0]
    waits: list[object] = []

    def counted(given: object, **_: object) -> object:
        waits.append(given)
        return wait([])

    monkeypatch.setattr(slips_so_far, "wait", counted)
    slips = SlipsSoFar(later, default_odds(), clock=lambda: now[0])
    slips.of_group(EXPERIMENT, TABLE, "1", 5)
    assert len(waits) == 1
    now[0] = 100.1
    later.end(())
    for number, group in enumerate("234", start=6):
        slips.of_group(EXPERIMENT, TABLE, group, number)
        later.end(())
    assert len(waits) == 1
    # It took 0.1 s and has rested twice as long.
    now[0] = 100.31
    slips.of_group(EXPERIMENT, TABLE, "5", 9)
    assert len(waits) == 2


def test_a_process_that_was_ended_is_asked_again() -> None:
    background = Background(workers=True, imports=slips_so_far.IMPORTS)
    try:
        slips = SlipsSoFar(background, default_odds())
        assert background.start(len, "begun").result(timeout=60) == 5
        for process in background._pool._processes.values():  # type: ignore[union-attr] # began
            process.kill()
        for _ in range(600):
            slips.of_group(EXPERIMENT, TABLE, "1", 5)
            if slips._groups["1"].upto == 5:
                break
            time.sleep(0.1)
        assert slips._groups["1"].table == TABLE
    finally:
        background.close()
