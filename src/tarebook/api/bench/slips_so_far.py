"""What probably went wrong so far, worked out beside the server so that no reading waits for it."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from concurrent.futures import Future, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field

from tarebook.api.bench.background import Background
from tarebook.api.bench.fair import Turn
from tarebook.diagnosis.acid import slips_and_cause
from tarebook.diagnosis.slips.odds import SlipOdds
from tarebook.findings.finding import Finding
from tarebook.records.readings import Quantity, RunTable
from tarebook.series.experiment import Experiment

PATIENCE = 0.15
"""Seconds that an answer waits for the check if the helper process has nothing else to do and has
rested: a person at one cup sees what went wrong at once. Under load nobody waits: it stands in the
next answer."""

REST = 2.0
"""The helper process rests this many times as long as a check took, so that many groups with many
odd readings take a third of a core from the server and no more. A lone group never meets it."""

IMPORTS = ("tarebook.api.bench.slips_so_far",)

LOG = logging.getLogger("tarebook.bench")

Found = tuple[Finding, ...]


class _Rest:
    """When the helper process has rested enough; each process has its own."""

    until = 0.0


def check_then_rest(experiment: Experiment, table: RunTable, odds: SlipOdds) -> Found:
    """Return what probably went wrong; runs in the helper process, one check after the other."""
    time.sleep(max(0.0, _Rest.until - time.monotonic()))
    begun = time.monotonic()
    try:
        return slips_and_cause(experiment, table, odds)
    finally:
        now = time.monotonic()
        _Rest.until = now + REST * (now - begun)


@dataclass(slots=True, kw_only=True)
class _OfGroup:
    """What is known and what is under way of one group."""

    upto: int = 0
    table: RunTable | None = None
    found: Found = ()
    running: bool = False
    wanted: Callable[[], object] | None = None


@dataclass(slots=True)
class SlipsSoFar:
    """The last check of each group; may be used by many threads at once.

    Parameters
    ----------
    background : Background
    odds : SlipOdds
    clock : callable
        Returns seconds.
    """

    background: Background
    odds: SlipOdds
    clock: Callable[[], float] = time.monotonic
    _groups: dict[str, _OfGroup] = field(default_factory=dict)
    _n_running: int = 0
    _rested: float = 0.0
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def of_group(self, experiment: Experiment, table: RunTable, group: str, upto: int) -> Found:
        """Return what probably went wrong in the series of a group, as far as it is known.

        Parameters
        ----------
        experiment : Experiment
        table : RunTable
        group : str
        upto : int
            Number of the last event in `table`.

        Returns
        -------
        tuple of Finding
            Where the check of the newest readings is not there yet: the older findings of those
            runs in which nothing has changed since.
        """
        with self._lock:
            known = self._groups.setdefault(group, _OfGroup())
            if known.upto == upto:
                return known.found
            alone = self._n_running == 0 and self.clock() >= self._rested
            if known.running:
                known.wanted = lambda: self._begin(experiment, table, group, upto)
            busy = known.running
        checking = None if busy else self._begin(experiment, table, group, upto)
        if checking is not None and alone:
            ended = wait([checking], timeout=PATIENCE).done
            if ended and not checking.cancelled() and checking.exception() is None:
                return checking.result()
        with self._lock:
            return known.found if known.upto == upto else _still_true(known, table)

    def _begin(
        self, experiment: Experiment, table: RunTable, group: str, upto: int
    ) -> Future[Found] | None:
        with self._lock:
            known = self._groups[group]
            if known.running:
                return None
            known.running, known.wanted = True, None
            self._n_running += 1
        begun = self.clock()
        checking = self.background.start_for(
            Turn(group=group), check_then_rest, experiment, table, self.odds
        )
        checking.add_done_callback(lambda future: self._keep(group, table, upto, begun, future))
        return checking

    def _keep(
        self, group: str, table: RunTable, upto: int, begun: float, future: Future[Found]
    ) -> None:
        now = self.clock()
        error = None if future.cancelled() else future.exception()
        ended = future.cancelled() or isinstance(error, BrokenProcessPool)
        if error is not None and not ended:
            LOG.error("The readings of a group could not be checked for slips.", exc_info=error)
        with self._lock:
            known = self._groups[group]
            known.running = False
            self._n_running -= 1
            self._rested = max(self._rested, now + REST * (now - begun))
            if not ended:
                known.upto, known.table = upto, table
                known.found = () if error else future.result()
            wanted = None if future.cancelled() else known.wanted
        if wanted is not None:
            wanted()


def _still_true(known: _OfGroup, table: RunTable) -> Found:
    before = known.table
    if before is None:
        return ()
    return tuple(
        finding
        for finding in known.found
        if finding.run and all(_same(before, table, run) for run in finding.all_runs)
    )


def _same(before: RunTable, after: RunTable, run: str) -> bool:
    return all(before.of(run, quantity) == after.of(run, quantity) for quantity in Quantity)
