"""How far a cup and a row have come: from the readings that are there, and from nothing else."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from enum import StrEnum

from tarebook.records.readings import VOLUMES, Quantity, RunTable
from tarebook.series.experiment import Experiment


class Stage(StrEnum):
    """What has been done with a cup, the last thing first said.

    planned: nothing is in it yet (it may have been weighed empty). poured: liquid is in it. sample
    weighed: its portion is weighed. reacted: the portion is in, and it waits. finished: it was
    weighed for the last time.
    """

    PLANNED = "planned"
    POURED = "poured"
    SAMPLE_WEIGHED = "sample weighed"
    REACTED = "reacted"
    FINISHED = "finished"

    @property
    def place(self) -> int:
        """Its place in the order of the work, from 0."""
        return _ORDER[self]


_ORDER: Mapping[Stage, int] = {stage: place for place, stage in enumerate(Stage)}

_READ_AT: Mapping[Stage, tuple[Quantity, ...]] = {
    Stage.POURED: (
        Quantity.TARE,
        Quantity.REAGENT_START,
        Quantity.REAGENT_END,
        Quantity.REAGENT,
        Quantity.DILUENT_START,
        Quantity.DILUENT_END,
        Quantity.DILUENT,
        Quantity.LIQUID,
        Quantity.TEMPERATURE,
    ),
    Stage.SAMPLE_WEIGHED: (
        Quantity.PIECES,
        Quantity.HOLDER_BEFORE,
        Quantity.HOLDER_AFTER,
        Quantity.SAMPLE,
    ),
    Stage.FINISHED: (Quantity.MINUTES, Quantity.FINAL),
}

READ_BY: Mapping[Quantity, Stage] = {
    quantity: stage for stage, quantities in _READ_AT.items() for quantity in quantities
}
"""The stage by which a reading should be there; before it, a blank is a step that comes."""


def stage_of_run(table: RunTable, run: str) -> Stage:
    """Return how far a run has come by its readings.

    Parameters
    ----------
    table : RunTable
    run : str
        A run without readings is planned.

    Notes
    -----
    A volume or a portion of nothing is no work done: a plan may ask for 0 mL, and a cup without
    sample has 0 g of it.

    Examples
    --------
    >>> from tarebook.records.readings import table_of
    >>> table = table_of(["1", "2"], {Quantity.TARE: ["12.31", "12.40"],
    ...                               Quantity.LIQUID: ["", "52.20"]})
    >>> [stage_of_run(table, run).value for run in table.runs]
    ['planned', 'poured']
    """
    if table.of(run, Quantity.FINAL):
        return Stage.FINISHED
    if table.of(run, Quantity.MINUTES):
        return Stage.REACTED
    # A holder that was emptied is weighed last of all that is read of a portion.
    if any(_more_than_nothing(table, run, q) for q in (Quantity.SAMPLE, Quantity.HOLDER_AFTER)):
        return Stage.SAMPLE_WEIGHED
    liquids = (Quantity.LIQUID, *VOLUMES, Quantity.REAGENT_END, Quantity.DILUENT_END)
    if any(_more_than_nothing(table, run, quantity) for quantity in liquids):
        return Stage.POURED
    return Stage.PLANNED


def _more_than_nothing(table: RunTable, run: str, quantity: Quantity) -> bool:
    return any(reading.value != 0 for reading in table.of(run, quantity))


@dataclass(frozen=True, slots=True, kw_only=True)
class RowStage:
    """How far a row has come.

    Attributes
    ----------
    runs : mapping of str to Stage
        Of the planned runs in their order, then of those that were added at the bench.
    left_out : frozenset of str
        Runs that do not hold the row back.
    """

    runs: Mapping[str, Stage]
    left_out: frozenset[str] = frozenset()

    @property
    def stage(self) -> Stage:
        """The least that all runs have reached, those left out apart."""
        return min(self._counting, key=lambda stage: stage.place, default=Stage.PLANNED)

    @property
    def furthest(self) -> Stage:
        """The most that any run has reached, those left out apart."""
        return max(self._counting, key=lambda stage: stage.place, default=Stage.PLANNED)

    @property
    def is_mixed(self) -> bool:
        """Whether the runs have come to different stages."""
        return self.stage is not self.furthest

    @property
    def is_open(self) -> bool:
        """Whether any run is still to be finished."""
        return self.stage is not Stage.FINISHED

    @property
    def in_work(self) -> tuple[str, ...]:
        """The runs that were begun and are still to be finished."""
        open_ends = (Stage.PLANNED, Stage.FINISHED)
        return tuple(run for run, reached in self.runs.items() if reached not in open_ends)

    @property
    def has_results(self) -> bool:
        """Whether any run is finished, so that there is a loss to reduce."""
        return self.furthest is Stage.FINISHED

    def at(self, stage: Stage) -> tuple[str, ...]:
        """Return the runs that are at one stage."""
        return tuple(run for run, reached in self.runs.items() if reached is stage)

    @property
    def _counting(self) -> list[Stage]:
        return [stage for run, stage in self.runs.items() if run not in self.left_out]


def stage_of(
    table: RunTable, experiment: Experiment, left_out: Collection[str] = frozenset()
) -> RowStage:
    """Return how far a row has come.

    Parameters
    ----------
    table : RunTable
    experiment : Experiment
        Its planned runs belong to the row whether they have readings or not.
    left_out : collection of str
        Runs that were given up and do not hold the row back.
    """
    names = dict.fromkeys(run.run for run in experiment.planned)
    names |= dict.fromkeys(run for run in table.runs if _has_readings(table, run))
    stages = {run: stage_of_run(table, run) for run in names}
    if any(stage.place > Stage.POURED.place for stage in stages.values()):
        # Into a cup without sample nothing goes: once poured it waits for the others.
        for run in experiment.planned:
            if run.is_blank and stages[run.run] is Stage.POURED:
                stages[run.run] = Stage.SAMPLE_WEIGHED
    return RowStage(runs=stages, left_out=frozenset(left_out))


def _has_readings(table: RunTable, run: str) -> bool:
    return any(table.of(run, quantity) for quantity in Quantity)
