"""The reductions of the groups, computed in the background and kept until readings come."""

from __future__ import annotations

import logging
import threading
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, ClassVar

from tarebook.api.bench.background import Background
from tarebook.api.bench.fair import Turn
from tarebook.api.bench.say import NOT_YET
from tarebook.api.reduce_series import reduce_table
from tarebook.core import defaults
from tarebook.core.errors import TarebookError
from tarebook.diagnosis.handover_findings import OF_A_WHOLE_ROW as OF_RESULTS
from tarebook.diagnosis.slips.odds import SlipOdds
from tarebook.findings.finding import Finding
from tarebook.records.readings import Quantity, RunTable
from tarebook.report.payload import Json, payload
from tarebook.series.experiment import Experiment

if TYPE_CHECKING:
    from tarebook.report.handover.story import HandoverStory
    from tarebook.report.story import Story

IMPORTS = ("tarebook.api.bench.reductions", "tarebook.report.page", "tarebook.report.story")
LIVE_DRAWS = 20_000
"""Monte Carlo draws of what is shown while readings come; a report has five times as many."""

OF_A_WHOLE_ROW = OF_RESULTS | {"row-under-way"}
"""Findings that mean nothing while cups are still to be weighed: the page says that it is so."""

LOG = logging.getLogger("tarebook.bench")


class CannotReduceError(TarebookError, RuntimeError):
    """The sums failed on these readings: a fault of ours, and the readings are as safe as ever.

    Parameters
    ----------
    group : str
    """

    code: ClassVar[str] = "cannot-reduce"

    def __init__(self, group: str) -> None:
        super().__init__(group)
        self.group = group

    def __str__(self) -> str:
        return (
            f"The sums failed on the readings of group {self.group}; all of them are kept. Look at "
            "the ones that were said to be odd; once they are corrected it is tried again."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Reduced:
    """A reduced series, as a page shows it.

    Attributes
    ----------
    payload : dict
        As ``tarebook reduce --json`` prints it.
    story : Story
    handover : HandoverStory or None
        What is said instead where no cup is finished.
    curve_wide, curve_narrow : str
        The chart as SVG for desk and phone; empty if no run has amounts.
    curve_key : str
    """

    payload: Json
    story: Story
    handover: HandoverStory | None
    curve_wide: str
    curve_narrow: str
    curve_key: str


def reduce_for_page(experiment: Experiment, table: RunTable, odds: SlipOdds) -> Reduced:
    """Reduce the readings of a group for the page; runs in the background process."""
    from tarebook.report import charts
    from tarebook.report.drawing import svg
    from tarebook.report.handover.story import tell_handover
    from tarebook.report.languages.writing import course_writing
    from tarebook.report.page import NARROW, WIDE
    from tarebook.report.story import tell

    outcome = reduce_table(
        experiment, table, seed=defaults.SEED, draws=LIVE_DRAWS, made_on="", odds=odds
    )
    outcome = replace(outcome, findings=findings_so_far(experiment, table, outcome.findings))
    how, handover = course_writing(experiment), None
    if outcome.handover is not None and not outcome.stage.has_results:
        handover = tell_handover(outcome, outcome.handover, how)
    wide = charts.curve(outcome, width=WIDE, how=how)
    narrow = charts.curve(outcome, width=NARROW, how=how)
    return Reduced(
        payload=payload(outcome),
        story=tell(outcome, how),
        handover=handover,
        curve_wide=svg(wide, adaptive=True, prefix="curve-w") if wide else "",
        curve_narrow=svg(narrow, adaptive=True, prefix="curve-n") if narrow else "",
        curve_key=charts.curve_key(outcome, how),
    )


def findings_so_far(
    experiment: Experiment, table: RunTable, findings: tuple[Finding, ...]
) -> tuple[Finding, ...]:
    """Return the findings without those that only say that the row is not finished.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    findings : tuple of Finding
    """
    open_runs = {
        planned.run for planned in experiment.planned if not table.of(planned.run, Quantity.FINAL)
    }
    if not open_runs:
        return findings
    return tuple(
        finding
        for finding in findings
        if finding.code not in OF_A_WHOLE_ROW
        and not (finding.code in NOT_YET and finding.run in open_runs)
    )


@dataclass(slots=True, kw_only=True)
class _OfGroup:
    """What is known and what is under way of one group."""

    upto: int = -1
    reduced: Reduced | None = None
    error: TarebookError | None = None
    running: Future[Reduced] | None = None


@dataclass(slots=True)
class Reductions:
    """The last reduction of each group; may be used by many threads at once.

    Parameters
    ----------
    background : Background
    odds : SlipOdds
    """

    background: Background
    odds: SlipOdds
    _groups: dict[str, _OfGroup] = field(default_factory=dict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def latest(
        self, experiment: Experiment, table: RunTable, group: str, upto: int
    ) -> tuple[Reduced | None, bool]:
        """Return the last reduction of a group, and whether a newer one is under way.

        Parameters
        ----------
        experiment : Experiment
        table : RunTable
        group : str
        upto : int
            Number of the last event in `table`: a reduction of fewer is done again.

        Raises
        ------
        TarebookError
            If these readings cannot be reduced.
        """
        with self._lock:
            known = self._groups.setdefault(group, _OfGroup())
            if known.upto != upto and known.running is None:
                known.running = self.background.start_for(
                    Turn(group=group), reduce_for_page, experiment, table, self.odds
                )
                running = known.running
            else:
                running = None
        if running is not None:
            running.add_done_callback(lambda future: self._keep(group, upto, future))
        with self._lock:
            if known.error is not None and known.upto == upto:
                raise known.error
            return known.reduced, known.upto != upto

    def _keep(self, group: str, upto: int, future: Future[Reduced]) -> None:
        error = None if future.cancelled() else future.exception()
        with self._lock:
            known = self._groups[group]
            known.running = None
            if future.cancelled() or isinstance(error, BrokenProcessPool):
                # The process was ended: whoever looks next begins it again.
                return
            if error is not None and not isinstance(error, TarebookError):
                LOG.error("The readings of a group could not be reduced.", exc_info=error)
                error = CannotReduceError(group)
            known.upto = upto
            known.error = error
            known.reduced = None if error else future.result()
