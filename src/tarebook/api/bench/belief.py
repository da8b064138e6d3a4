"""What is believed of the sample as a series grows: the definition's word, then the fit so far."""

from __future__ import annotations

import threading
import time
from concurrent.futures import Future
from dataclasses import dataclass, field

from tarebook.api.bench.background import Background
from tarebook.api.bench.fair import Turn
from tarebook.diagnosis.checks import check_table, runs_to_set_aside
from tarebook.diagnosis.to_come import Belief
from tarebook.planning.contents import ContentRange
from tarebook.records.readings import NEEDED, RunTable
from tarebook.reduction.joint.full import FEWEST_RUNS, reduce_full
from tarebook.series.experiment import Experiment

PAUSE = 10.0
"""Seconds between two fits of one group; a cup takes minutes, a test of the app may not."""

MOST_KEPT = 40
"""Fits of a group that are kept, the last ones."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SoFar:
    """A fit of the finished runs.

    Attributes
    ----------
    runs : frozenset of str
        Those that it rests on.
    belief : Belief or None
        None if these runs give no fit.
    """

    runs: frozenset[str]
    belief: Belief | None


def finished(table: RunTable) -> frozenset[str]:
    """Return the runs in which everything was read."""
    return frozenset(
        run for run in table.runs if all(table.of(run, quantity) for quantity in NEEDED)
    )


def fit_so_far(experiment: Experiment, table: RunTable) -> SoFar:
    """Fit the finished runs of a group; runs in the background process."""
    runs = finished(table)
    whole = RunTable(
        runs=tuple(run for run in table.runs if run in runs),
        readings=tuple(reading for reading in table.readings if reading.run in runs),
    )
    set_aside = runs_to_set_aside(check_table(experiment, whole))
    series = reduce_full(experiment, whole, set_aside, None).series
    if series is None:
        return SoFar(runs=runs, belief=None)
    content, acid = series.sample_mass_fraction, series.own_acid
    belief = Belief(content=(content.value, content.u), own_acid=(acid.value, acid.u), fitted=True)
    return SoFar(runs=runs, belief=belief)


@dataclass(slots=True)
class Beliefs:
    """The fits of every group so far; may be used by many threads at once.

    A run is judged by a fit that it has no part in, else it would speak for itself.

    Parameters
    ----------
    background : Background
    """

    background: Background
    _fits: dict[str, list[SoFar]] = field(default_factory=dict)
    _running: set[str] = field(default_factory=set)
    _begun: dict[str, float] = field(default_factory=dict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def look_at(self, experiment: Experiment, table: RunTable, group: str) -> None:
        """Begin a fit if more runs of a group are finished than the last fit rests on."""
        runs = finished(table)
        with self._lock:
            fits = self._fits.setdefault(group, [])
            fresh = bool(fits) and fits[-1].runs == runs
            if fresh or len(runs) < FEWEST_RUNS or group in self._running:
                return
            now = time.monotonic()
            if now - self._begun.get(group, -PAUSE) < PAUSE:
                return
            self._begun[group] = now
            self._running.add(group)
        running = self.background.start_for(Turn(group=group), fit_so_far, experiment, table)
        running.add_done_callback(lambda future: self._keep(group, future))

    def of_run(self, group: str, run: str, contents: ContentRange) -> Belief:
        """Return what is believed before a run is weighed for the last time."""
        with self._lock:
            for fit in reversed(self._fits.get(group, ())):
                if run not in fit.runs and fit.belief is not None:
                    return fit.belief
        return Belief(content=(contents.low, contents.high))

    def _keep(self, group: str, future: Future[SoFar]) -> None:
        with self._lock:
            self._running.discard(group)
            if not future.cancelled() and future.exception() is None:
                self._fits[group] = [*self._fits[group], future.result()][-MOST_KEPT:]
