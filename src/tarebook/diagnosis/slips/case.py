"""One run and what stands on its sheet."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarebook.core.units import millilitres
from tarebook.diagnosis.slips.cups import (
    DILUENT,
    MODEL_TEMPERATURES,
    REAGENT,
    SAMPLE,
    Cups,
    largest_sample,
)
from tarebook.diagnosis.slips.habits import Habits
from tarebook.diagnosis.slips.odds import SlipOdds
from tarebook.measurement.own_errors import own_u
from tarebook.records.instruments import balance_of, ware_of
from tarebook.records.readings import VOLUMES, Quantity, RunTable
from tarebook.reduction.joint.problem import READ
from tarebook.series.experiment import Experiment

FAR_PORTION: Final = 0.5
FAR_POUR: Final = 0.25
"""By how much a portion (of the largest asked for) and a pour (of the total volume) must miss their
plan for nobody to have meant them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One run and what stands on its sheet.

    Attributes
    ----------
    experiment : Experiment
    table : RunTable
    odds : SlipOdds
    habits : Habits
    run : str
    index : int
        Of the run among those of the fit.
    values : mapping of place in `READ` to float
        Means of the readings that were taken, memory units.
    typed : mapping of Quantity to str
        Of quantities of which one number was written down, once or again.
    run_before : str
        Empty for the first run.
    """

    experiment: Experiment
    table: RunTable
    odds: SlipOdds
    habits: Habits
    run: str
    index: int
    values: dict[int, float]
    typed: dict[Quantity, str]
    run_before: str


def case_of(
    experiment: Experiment,
    table: RunTable,
    odds: SlipOdds,
    habits: Habits,
    runs: tuple[str, ...],
    index: int,
) -> Case:
    """Return one run with what stands on its sheet."""
    run = runs[index]
    values = {}
    for row, quantity in enumerate(READ):
        value = table.mean_of(run, quantity)
        if value is not None:
            values[row] = value
    return Case(
        experiment=experiment,
        table=table,
        odds=odds,
        habits=habits,
        run=run,
        index=index,
        values=values,
        typed=_typed(table, run),
        run_before=runs[index - 1] if index else "",
    )


def _typed(table: RunTable, run: str) -> dict[Quantity, str]:
    found = {quantity: typed_once(table, run, quantity) for quantity in Quantity}
    return {quantity: typed for quantity, typed in found.items() if typed is not None}


def typed_once(table: RunTable, run: str, quantity: Quantity) -> str | None:
    """Return the one number that was written down of a quantity; None if there is none or more."""
    typed = {reading.typed.strip() for reading in table.written(run, quantity)}
    return typed.pop() if len(typed) == 1 else None


def is_far_from_plan(case: Case) -> bool:
    """Return whether a run holds what nobody can have meant to do, so that a number is wrong.

    A cup that keeps to its plan is no slip only because the model ends before it.
    """
    experiment, run = case.experiment, case.run
    temperature = case.table.mean_of(run, Quantity.TEMPERATURE)
    if (
        temperature is not None
        and not MODEL_TEMPERATURES[0] <= temperature <= MODEL_TEMPERATURES[1]
    ):
        return True
    planned = experiment.planned_run(run)
    sample = case.values.get(SAMPLE)
    if sample is not None:
        asked = planned.sample if planned else experiment.sample.nominal_mass
        if abs(sample - asked) > FAR_PORTION * largest_sample(experiment):
            return True
    if planned is None:
        return False
    targets = {REAGENT: planned.reagent, DILUENT: planned.diluent}
    return any(
        abs(case.values[row] - target) > FAR_POUR * experiment.total_volume
        for row, target in targets.items()
        if row in case.values
    )


def step_of(experiment: Experiment, row: int) -> float:
    """Return the finest step of a reading, in memory units."""
    if row in (REAGENT, DILUENT):
        instrument = ware_of(experiment, READ[row])
        return instrument.finest_reading or instrument.capacity
    return balance_of(experiment, READ[row]).readability


def as_shown(text: str, finest: float, quantity: Quantity) -> str:
    """Return a number without noughts that its instrument does not show: 22.400 mL is 22.4 mL."""
    decimals = decimals_of(millilitres(finest) if quantity in VOLUMES else finest)
    whole, _, part = text.partition(".")
    shown = part[:decimals] + part[decimals:].rstrip("0")
    return f"{whole}.{shown}" if shown else whole


def decimals_of(step: float) -> int:
    """Return how many decimals show a step: 2 for 0.01 and 0.05."""
    return max(0, -math.floor(math.log10(step) + 1e-9))


def same_as(case: Case, quantity: Quantity) -> str:
    """Return the run whose number a run has, the one before first; empty if there is none.

    Volumes are asked for and often equal: only that of the run before is a copy worth a thought.
    """
    written = case.typed.get(quantity, "")
    others = case.table.runs if quantity.is_mass else (case.run_before,)
    for run in (case.run_before, *others):
        if written and run and run != case.run and typed_once(case.table, run, quantity) == written:
            return run
    return ""


def refresh_u(case: Case, cups: Cups) -> None:
    """Give each volume the uncertainty that it has where it is proposed to lie on the scale."""
    for row in (REAGENT, DILUENT):
        if row in case.values:
            instrument = ware_of(case.experiment, READ[row])
            on_scale = np.clip(cups.observed[row], 0.0, instrument.capacity)
            independent = case.table.independent(case.run, READ[row])
            cups.u[row] = own_u(instrument, on_scale, independent)
