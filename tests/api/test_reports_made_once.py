"""A file of a report is made once for all who ask, and anew when readings came."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from pathlib import Path
from typing import Any

from tarebook.api.bench.background import Background
from tarebook.api.bench.fair import Turn
from tarebook.api.bench.reports import MOST_KEPT, Reports
from tarebook.diagnosis.slips.odds import default_odds
from tarebook.records.sheet import parse_sheet
from tarebook.series.definition import parse_definition

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
EXPERIMENT = parse_definition((POOL / "experiment.toml").read_text(encoding="utf-8"))
SHEET = (POOL / "readings.csv").read_text(encoding="utf-8")
TABLE = parse_sheet(SHEET)
DAY = "2026-10-05"


class Counting(Background):
    """Counts its jobs and leaves them undone."""

    def __init__(self) -> None:
        super().__init__(workers=False)
        self.jobs: list[Future[Any]] = []

    def start_for(
        self, turn: Turn, job: Callable[..., Any], *args: Any, **kwargs: Any
    ) -> Future[Any]:
        self.jobs.append(Future())
        return self.jobs[-1]


def test_impatience_makes_no_work() -> None:
    background = Counting()
    reports = Reports(background, default_odds())
    asked = [reports.start(EXPERIMENT, TABLE, "1", "report.pdf", DAY) for _ in range(50)]
    assert len(background.jobs) == 1
    assert set(asked) == set(background.jobs)
    # The same readings read anew are the same readings.
    again = reports.start(EXPERIMENT, parse_sheet(SHEET), "1", "report.pdf", DAY)
    assert again is asked[0]


def test_another_file_group_day_or_reading_is_made_anew() -> None:
    background = Counting()
    reports = Reports(background, default_odds())
    other = parse_sheet(SHEET.replace("15.790", "15.791", 1))
    for table, group, name, day in (
        (TABLE, "1", "report.pdf", DAY),
        (TABLE, "1", "report.html", DAY),
        (TABLE, "2", "report.pdf", DAY),
        (TABLE, "1", "report.pdf", "2026-10-06"),
        (other, "1", "report.pdf", DAY),
    ):
        reports.start(EXPERIMENT, table, group, name, day)
    assert len(background.jobs) == 5


def test_what_failed_is_tried_again() -> None:
    background = Counting()
    reports = Reports(background, default_odds())
    reports.start(EXPERIMENT, TABLE, "1", "report.pdf", DAY).set_exception(MemoryError())
    reports.start(EXPERIMENT, TABLE, "1", "report.pdf", DAY).cancel()
    last = reports.start(EXPERIMENT, TABLE, "1", "report.pdf", DAY)
    last.set_result(b"%PDF")
    assert reports.start(EXPERIMENT, TABLE, "1", "report.pdf", DAY).result() == b"%PDF"
    assert len(background.jobs) == 3


def test_the_files_that_are_kept_are_counted() -> None:
    background = Counting()
    reports = Reports(background, default_odds())
    for group in range(3 * MOST_KEPT):
        reports.start(EXPERIMENT, TABLE, str(group), "report.pdf", DAY)
    assert len(reports._kept) == MOST_KEPT


def test_the_file_is_what_it_should_be() -> None:
    reports = Reports(Background(workers=False), default_odds())
    made = reports.start(EXPERIMENT, TABLE, "1", "readings.csv", DAY).result()
    assert parse_sheet(made.decode()).runs == TABLE.runs
