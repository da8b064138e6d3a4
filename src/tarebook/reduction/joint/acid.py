"""Whether acid that the sample brings itself explains a row that makes no sense without it.

Gas that the reagent poured cannot have made, in a cup of plain water above all, is the mark of a
sample with a solid acid in it. The row is fitted once as the definition has it and once with that
acid unknown; what the second fit gains, and whether it then holds, is the answer.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from tarebook.core.errors import OutOfRangeError
from tarebook.core.quantity import Estimate
from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.parameters import NAMES
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.joint.determined import OpenContentError, require_content
from tarebook.reduction.joint.distributions import chi2_tail, normal_estimate
from tarebook.reduction.joint.problem import joint_problem
from tarebook.reduction.joint.profile import content_interval
from tarebook.reduction.joint.solve import CONTENT, NoFitError, Solution, solve
from tarebook.series.experiment import Experiment

DOUBT_P: Final = 0.05
"""Chance of a worse misfit below which the row as defined is looked at once more."""

HOLDS_P: Final = 0.001
"""Chance of a worse misfit from which the row with own acid holds."""

PULLED: Final = 3.0
"""Multiples of what was known of the own acid from which the row asks for more of it."""

CLEARLY_BETTER: Final = 20.0
"""By how much the sum of squares must fall for one unknown more: chance gives 15 in one of 10 000
rows; a single slip of the pen gives more, but then the row with own acid does not hold."""

OWN_ACID: Final = NAMES.index("own_acid")
FEWEST_RUNS: Final = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class AcidInSample:
    """Own acid that explains a row.

    Attributes
    ----------
    own_acid : Estimate, [mol/g]
    content : Estimate or None, [g/g]
        That goes with it; None where the row leaves it open.
    chi2_without, chi2_with : float
        Sums of squares of the row as defined (infinite where nothing fits it) and with own acid.
    p_without, p_with : float, [1]
        Chances of a worse misfit.
    """

    own_acid: Estimate
    content: Estimate | None
    chi2_without: float
    chi2_with: float
    p_without: float
    p_with: float

    @property
    def explains(self) -> bool:
        """Whether the row holds with it."""
        return self.p_with >= HOLDS_P


def with_unknown_acid(experiment: Experiment) -> Experiment:
    """Return the definition as if it said that the acid of the sample is unknown."""
    sample = experiment.sample
    acids = tuple(replace(acid, amount=None) for acid in sample.acids)
    unknown = replace(sample, own_acid=None, acids=acids, acid_is_unknown=not acids)
    return replace(experiment, sample=unknown)


def acid_in_sample(
    experiment: Experiment, table: RunTable, runs: Iterable[str] | None = None
) -> AcidInSample | None:
    """Return the own acid that a row asks for; None where it is good without, or no better with.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    runs : iterable of str, optional
        The runs to use; else all whose three masses were read.
    """
    chosen = tuple(runs) if runs is not None else _weighed(table)
    if len(chosen) < FEWEST_RUNS or not protons_of_extent(experiment.reaction):
        return None
    without = _fit(experiment, table, chosen)
    if without is not None and not _is_in_doubt(without):
        return None
    other = _fit(with_unknown_acid(experiment), table, chosen)
    # A row that fits no setting of the model at all is as bad as can be.
    chi2 = math.inf if without is None else without.chi2
    if other is None or chi2 - other.chi2 < CLEARLY_BETTER:
        return None
    found = _own_acid(other)
    if found.low <= 0.0:
        return None
    return AcidInSample(
        own_acid=found,
        content=_content(other),
        chi2_without=chi2,
        chi2_with=other.chi2,
        p_without=0.0 if without is None else _p(without),
        p_with=_p(other),
    )


def asks_for_acid(experiment: Experiment, table: RunTable) -> bool:
    """Return whether a row is in doubt as it is defined, so that acid is worth looking for.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    """
    chosen = _weighed(table)
    if len(chosen) < FEWEST_RUNS or not protons_of_extent(experiment.reaction):
        return False
    without = _fit(experiment, table, chosen)
    return without is None or _is_in_doubt(without)


def _is_in_doubt(without: Solution) -> bool:
    return _p(without) < DOUBT_P or _pull(without) >= PULLED


def _weighed(table: RunTable) -> tuple[str, ...]:
    masses = (Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
    return tuple(run for run in table.runs if all(table.of(run, mass) for mass in masses))


def _fit(experiment: Experiment, table: RunTable, runs: tuple[str, ...]) -> Solution | None:
    try:
        # A reading that cannot be may drive the fit to a cup without water: no result either.
        with np.errstate(divide="raise", invalid="raise"):
            return solve(joint_problem(experiment, table, runs, ALL_EFFECTS))
    except (NoFitError, OutOfRangeError, np.linalg.LinAlgError, FloatingPointError):
        return None


def _p(solution: Solution) -> float:
    return chi2_tail(solution.chi2, solution.dof)


def _pull(solution: Solution) -> float:
    prior = solution.problem.priors[OWN_ACID]
    return (float(solution.unknowns[OWN_ACID]) - prior.fit_centre) / prior.u


def _own_acid(solution: Solution) -> Estimate:
    variance = float(solution.covariance[OWN_ACID, OWN_ACID])
    return normal_estimate(float(solution.unknowns[OWN_ACID]), math.sqrt(variance), "mol/g")


def _content(solution: Solution) -> Estimate | None:
    try:
        require_content(solution)
    except OpenContentError:
        return None
    low, high, _ = content_interval(solution)
    u = math.sqrt(solution.covariance[CONTENT, CONTENT])
    value = float(solution.unknowns[CONTENT])
    return Estimate(value=value, u=u, low=low, high=high, unit="g/g")
