"""Whether acid or base that the sample brings itself explains a row that makes no sense without.

Gas that the reagent poured cannot have made, in a cup of plain water above all, is the mark of a
sample with a solid acid in it; gas that is missing wherever the reagent limits, of one that takes
up acid in other ways too (hydroxide, oxide, another carbonate). The row is fitted once as the
definition has it and once with the own acid unknown, which may come out negative; what the second
fit gains, and whether it then holds, is the answer.
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
from tarebook.reduction.joint.solution import NoFitError, Solution
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.trial import CONTENT
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

STRAINED: Final = 1.75
"""Multiples of what was known of pressure, degassing or head gas from which a base is looked for: a
fit that knows no base takes the gas that it kept from leaving for gas that stayed in the cup."""

HIDES_BASE: Final = ("gas_pressure", "degassing", "head_fraction")

BETTER_WITH_BASE: Final = 9.0
"""By how much the sum of squares must fall for a base: chance does that to one row in 370. Less
than for an acid, since that fit is a poor one and this one may look good: on garden lime with a
twentieth of slaked lime it fell by 9 to 12 while the content was 7 % too high and nothing else
looked odd."""

HOLDS_WITH_BASE_P: Final = 0.05
"""Chance of a worse misfit from which a row with a base holds: a single slip leaves a worse one."""

OWN_ACID: Final = NAMES.index("own_acid")
FEWEST_RUNS: Final = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class AcidInSample:
    """Own acid that explains a row.

    Attributes
    ----------
    own_acid : Estimate, [mol/g]
        Negative for a sample that takes up acid in other ways than by its analyte.
    content : Estimate or None, [g/g]
        That goes with it; None where the row leaves it open.
    chi2_without, chi2_with : float
        Sums of squares of the row as defined (infinite where nothing fits it) and with own acid.
    p_with : float, [1]
        Chance of a worse misfit with it.
    """

    own_acid: Estimate
    content: Estimate | None
    chi2_without: float
    chi2_with: float
    p_with: float

    @property
    def explains(self) -> bool:
        """Whether the row holds with it."""
        return self.p_with >= (HOLDS_WITH_BASE_P if self.is_base else HOLDS_P)

    @property
    def is_base(self) -> bool:
        """Whether the sample takes up acid rather than bringing it."""
        return self.own_acid.value < 0.0

    @property
    def gain(self) -> float:
        """How much the sum of squares falls with it."""
        return self.chi2_without - self.chi2_with


def with_unknown_acid(experiment: Experiment) -> Experiment:
    """Return the definition as if it said that the acid of the sample is unknown."""
    sample = experiment.sample
    acids = tuple(replace(acid, amount=None) for acid in sample.acids)
    unknown = replace(
        sample, own_acid=None, acids=acids, acid_is_unknown=not acids, acid_is_none=False
    )
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
    if other is None:
        return None
    found = _own_acid(other)
    if found.low <= 0.0 <= found.high:
        return None
    if chi2 - other.chi2 < (CLEARLY_BETTER if found.value > 0.0 else BETTER_WITH_BASE):
        return None
    return AcidInSample(
        own_acid=found,
        content=_content(other),
        chi2_without=chi2,
        chi2_with=other.chi2,
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
    hidden = max(_pull(without, name) for name in HIDES_BASE)
    return _p(without) < DOUBT_P or abs(_pull(without)) >= PULLED or hidden >= STRAINED


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


def _pull(solution: Solution, name: str = "own_acid") -> float:
    index = NAMES.index(name)
    prior = solution.problem.priors[index]
    return (float(solution.unknowns[index]) - prior.fit_centre) / prior.u


def _own_acid(solution: Solution) -> Estimate:
    variance = float(solution.covariance.shared[OWN_ACID, OWN_ACID])
    return normal_estimate(float(solution.unknowns[OWN_ACID]), math.sqrt(variance), "mol/g")


def _content(solution: Solution) -> Estimate | None:
    try:
        require_content(solution)
    except OpenContentError:
        return None
    low, high, _ = content_interval(solution)
    u = math.sqrt(solution.covariance.shared[CONTENT, CONTENT])
    value = float(solution.unknowns[CONTENT])
    return Estimate(value=value, u=u, low=low, high=high, unit="g/g")
