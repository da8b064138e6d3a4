"""What a cup lost by its weighings, beside what could have left it at all."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.model.effects import ALL_EFFECTS
from tarebook.records.instruments import balance_of
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.joint.problem import joint_problem, predict
from tarebook.reduction.joint.trial import CONTENT
from tarebook.series.experiment import Experiment

DRAUGHT: Final = 10.0
"""Times the water that still air would take: a draught makes it ten times more (docs/model.md)."""

VAPOUR: Final = 2.0
"""Times the vapour that the model expects: hot cups differ."""

WEIGHED: Final = (Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """The mass that one cup lost.

    Attributes
    ----------
    lost, u : float, [g]
        By the weighings, and its standard uncertainty.
    sample : float, [g]
    gas : float, [g]
        What the sample gives by the equation if it is pure.
    """

    lost: float
    u: float
    sample: float
    gas: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MostLost(Lost):
    """The mass that one cup lost, and the most that could have left it.

    Attributes
    ----------
    water : float, [g]
        As vapour and by evaporation, at the very most.
    """

    water: float

    @property
    def could_leave(self) -> float:
        """The most that could have left the cup, [g]."""
        return max(self.sample, self.gas + self.water)


def losses(experiment: Experiment, table: RunTable) -> Mapping[str, Lost]:
    """Return what each cup lost, of the cups whose masses were all read.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    """
    reaction = experiment.reaction
    per_gram = (reaction.gas_coefficient * reaction.gas_molar_mass.value) / (
        reaction.analyte_coefficient * reaction.analyte_molar_mass.value
    )
    found = {}
    for run in table.runs:
        masses = _masses(table, run)
        if masses is not None:
            liquid, sample, final = masses
            found[run] = Lost(
                lost=liquid + sample - final,
                u=lost_u(experiment, table, run),
                sample=sample,
                gas=per_gram * sample,
            )
    return found


def most_lost(
    experiment: Experiment, table: RunTable, of: Mapping[str, Lost] | None = None
) -> Mapping[str, MostLost]:
    """Return what cups lost and could have lost, for which the model of the cup is asked.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    of : mapping of str to Lost, optional
        Of these cups; else of all whose masses were all read.
    """
    found = losses(experiment, table) if of is None else of
    if not found:
        return {}
    water = _water(experiment, table, tuple(found))
    return {
        run: MostLost(lost=one.lost, u=one.u, sample=one.sample, gas=one.gas, water=float(most))
        for (run, one), most in zip(found.items(), water, strict=True)
    }


def _masses(table: RunTable, run: str) -> tuple[float, float, float] | None:
    liquid, sample, final = (table.mean_of(run, quantity) for quantity in WEIGHED)
    if liquid is None or sample is None or final is None:
        return None
    return liquid, sample, final


def lost_u(experiment: Experiment, table: RunTable, run: str) -> float:
    """Return the standard uncertainty of the mass that a cup lost, by its weighings, [g]."""
    balance, own = experiment.equipment.balance, experiment.equipment.sample_balance
    u2 = balance.linearity_u**2 + own.linearity_u**2
    for quantity in WEIGHED:
        weighed_on = balance_of(experiment, quantity)
        u2 += weighed_on.weighing_u**2 / table.independent(run, quantity)
    return math.sqrt(u2)


def _water(experiment: Experiment, table: RunTable, runs: tuple[str, ...]) -> FloatArray:
    """Return the most water that could have left each cup, shape (n,), [g]."""
    problem = joint_problem(experiment, table, runs, ALL_EFFECTS)
    unknowns = problem.start()
    unknowns[CONTENT] = 1.0
    still = next(prior.centre for prior in problem.priors if prior.name == "evaporation")
    dried = DRAUGHT * still * np.maximum(problem.minutes, 0.0)
    try:
        # A reading that cannot be has its own finding; here it only must not break the sum.
        with np.errstate(all="ignore"):
            state = predict(problem, unknowns[None, :]).state
    except OutOfRangeError:
        return dried
    vapour = np.nan_to_num(state.vapour + state.evaporated, posinf=0.0)
    most: FloatArray = dried + VAPOUR * np.maximum(vapour, 0.0).reshape(problem.n_runs)
    return most
