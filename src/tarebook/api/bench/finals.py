"""Ranges of last masses, each worked out once: the model takes longest of all in an answer."""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass, field

import numpy as np

from tarebook.diagnosis.to_come import FINAL_RESTS_ON, Belief, Range, expected_final
from tarebook.model.parameters import Parameters
from tarebook.records.readings import Quantity, RunTable
from tarebook.series.experiment import Experiment

MOST_KEPT = 2_000
"""Ranges; a class of forty groups has some hundred cups under way."""


@dataclass(slots=True)
class Finals:
    """The ranges of the last masses of one experiment; may be used by many threads at once.

    A tare, a note, and above all the last mass itself change nothing of what is to be expected.
    """

    _kept: OrderedDict[object, Range | None] = field(default_factory=OrderedDict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def range_of(
        self,
        experiment: Experiment,
        table: RunTable,
        run: str,
        belief: Belief,
        parameters: Parameters,
        rng: np.random.Generator,
    ) -> Range | None:
        """Return what `expected_final` gives, from what is kept if it was asked before."""
        key = run, tuple(_as_written(table, run, quantity) for quantity in FINAL_RESTS_ON), belief
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        found = expected_final(experiment, table, run, belief, parameters, rng)
        with self._lock:
            self._kept[key] = found
            if len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)
        return found


def _as_written(table: RunTable, run: str, quantity: Quantity) -> tuple[tuple[float, ...], ...]:
    """Return the readings of one quantity, each with its fillings: two leave more in the glass."""
    return tuple(reading.fillings for reading in table.of(run, quantity))
