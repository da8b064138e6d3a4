"""The files of reports, each made once however many ask for it."""

from __future__ import annotations

import threading
from collections import OrderedDict
from concurrent.futures import Future
from dataclasses import dataclass, field
from typing import Final

from tarebook.api.bench.background import Background
from tarebook.api.bench.fair import Turn
from tarebook.api.folder import CUP_LABELS
from tarebook.api.reduce_series import reduce_table
from tarebook.core import defaults
from tarebook.diagnosis.slips.odds import SlipOdds
from tarebook.records.complete import columns_of
from tarebook.records.readings import RunTable
from tarebook.records.sheet import write_sheet
from tarebook.records.source import ReadingsSource
from tarebook.report.languages.writing import csv_way
from tarebook.series.experiment import Experiment

REPORT_FILES: Final = (
    "report.pdf",
    "report.html",
    "workbook.xlsx",
    "results.csv",
    "readings.csv",
)

HANDOVER_FILES: Final = ("report.pdf", CUP_LABELS, "report.html", "results.csv", "readings.csv")
"""The files while no cup is finished."""

MOST_KEPT = 60
"""Files that are kept, those that were asked for last: a report has some 0.3 MB."""


@dataclass(slots=True)
class Reports:
    """The files of every group's report; may be used by many threads at once.

    A page that is loaded again and again asks for nothing new: else one impatient device would
    keep the helper process from the work of all others.

    Parameters
    ----------
    background : Background
    odds : SlipOdds
    """

    background: Background
    odds: SlipOdds
    _kept: OrderedDict[tuple[str, str], tuple[tuple[RunTable, str], Future[bytes]]] = field(
        default_factory=OrderedDict
    )
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def start(
        self,
        experiment: Experiment,
        table: RunTable,
        group: str,
        name: str,
        made_on: str,
        address: str = "",
        source: ReadingsSource | None = None,
    ) -> Future[bytes]:
        """Begin a file, or return the one that is there or under way.

        Parameters
        ----------
        experiment : Experiment
        table : RunTable
            What counts in the group's record.
        group : str
        name : str
            A key of `REPORT_FILES` or `HANDOVER_FILES`.
        made_on : str
            Date, ISO 8601.
        address : str
            Of the app in the room, for the codes on labels; empty where nobody else comes in.
        source : ReadingsSource, optional
            What it rests on: record, group, definition.

        Returns
        -------
        Future of bytes
            Others may wait for it too: it must not be cancelled.
        """
        asked = (table, made_on)
        with self._lock:
            known = self._kept.pop((group, name), None)
            if known is not None and known[0] == asked and not _failed(known[1]):
                future = known[1]
            else:
                future = self.background.start_for(
                    Turn(group=group, kind=name),
                    report_file,
                    experiment,
                    table,
                    self.odds,
                    name,
                    made_on,
                    source or ReadingsSource(group=group),
                    address,
                )
            self._kept[group, name] = asked, future
            if len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)
        return future


def _failed(future: Future[bytes]) -> bool:
    return future.done() and (future.cancelled() or future.exception() is not None)


def report_file(
    experiment: Experiment,
    table: RunTable,
    odds: SlipOdds,
    name: str,
    made_on: str,
    source: ReadingsSource | None = None,
    address: str = "",
) -> bytes:
    """Return one file of a group's report; runs in the background process.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    odds : SlipOdds
    name : str
        A key of `REPORT_FILES` or `HANDOVER_FILES`.
    made_on : str
        Date, ISO 8601.
    source : ReadingsSource, optional
        Whose readings they are, for the foot of the page and the codes on labels.
    address : str
        For the codes on labels.

    Raises
    ------
    TarebookError
        If there is nothing that can be reduced.
    """
    from tarebook.api.write_report import one_file

    if name == "readings.csv":
        way = csv_way(experiment.preparation.course)
        return write_sheet(table, columns_of(experiment), way).encode()
    outcome = reduce_table(
        experiment,
        table,
        seed=defaults.SEED,
        draws=None,
        made_on=made_on,
        odds=odds,
        source=source,
    )
    return one_file(outcome, name, address=address)
