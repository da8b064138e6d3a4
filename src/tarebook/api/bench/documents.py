"""Files to take away: the report of a group, and what is printed before the lesson."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tarebook.api.bench.workspace import Workspace
from tarebook.api.folder import OUT
from tarebook.api.reduce import DEFAULT_SEED, reduce_table
from tarebook.core.errors import Fault, InputError
from tarebook.diagnosis.slips.odds import SlipOdds
from tarebook.records.readings import RunTable
from tarebook.records.sheet import write_sheet
from tarebook.reduction.usual_series import DEFAULT_DRAWS
from tarebook.series.experiment import Experiment

REPORT_FILES: Final[Mapping[str, str]] = {
    "report.pdf": "to print or to hand in",
    "report.html": "to read in a browser, also offline",
    "workbook.xlsx": "every step of the usual sum as a live formula",
    "results.csv": "results run by run",
    "readings.csv": "the readings that count, one row a run",
}

MEDIA: Final[Mapping[str, str]] = {
    "pdf": "application/pdf",
    "html": "text/html; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "csv": "text/csv; charset=utf-8",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A file that was made before the lesson."""

    name: str
    what: str
    made: dt.datetime


def report_file(
    experiment: Experiment, table: RunTable, odds: SlipOdds, name: str, made_on: str
) -> bytes:
    """Return one file of a group's report; runs in the background process.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    odds : SlipOdds
    name : str
        A key of `REPORT_FILES`.
    made_on : str
        Date, ISO 8601.

    Raises
    ------
    TarebookError
        If there is nothing that can be reduced.
    """
    if name == "readings.csv":
        return write_sheet(table).encode()
    from tarebook.report.document import document
    from tarebook.report.page import page
    from tarebook.report.results_csv import results_csv
    from tarebook.report.workbook import workbook

    outcome = reduce_table(
        experiment, table, seed=DEFAULT_SEED, draws=DEFAULT_DRAWS, made_on=made_on, odds=odds
    )
    if name == "report.pdf":
        return document(outcome)
    if name == "report.html":
        return page(outcome).encode()
    return workbook(outcome) if name == "workbook.xlsx" else results_csv(outcome).encode()


def table_of_group(workspace: Workspace, group: str) -> RunTable:
    """Return the readings of a group that count.

    Raises
    ------
    InputError
        If there are none yet.
    """
    table = workspace.of_group(group).folded.table
    if not table.readings:
        fault = Fault(where=f"group {group}", found="no reading", allowed="at least one")
        raise InputError([fault])
    return table


def sheets_made(folder: Path) -> tuple[Sheet, ...]:
    """Return the files of the last preparation that are there."""
    from tarebook.api.write_sheets import FILES

    made = []
    for name, (_, what) in FILES.items():
        place = folder / OUT / name
        if place.is_file():
            when = dt.datetime.fromtimestamp(place.stat().st_mtime, dt.UTC).astimezone()
            made.append(Sheet(name=name, what=what, made=when))
    return tuple(made)


def sheet_made(folder: Path, name: str) -> bytes | None:
    """Return a file of the last preparation; None if it is not one or is not there."""
    from tarebook.api.write_sheets import FILES

    place = folder / OUT / name
    return place.read_bytes() if name in FILES and place.is_file() else None
