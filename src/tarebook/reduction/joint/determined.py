"""Do the readings determine the content at all? If not, why not.

Two fits may claim the same row: one in which the sample limits from some run on, and one in which
the reagent was used up in every run, where any larger content does as well. If the second one is
not clearly worse, the first says nothing: where a row ends just before its change-over, the scatter
of the last run alone makes a narrow minimum there.
"""

from __future__ import annotations

import math
from contextlib import suppress
from typing import Final

import numpy as np

from tarebook.core.errors import OutOfRangeError, TarebookError
from tarebook.core.phrase import Phrase
from tarebook.measurement.weighing import mass_loss_u
from tarebook.model.water import water_beside_gas
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.distributions import BEYOND_BELIEF, chi2_tail
from tarebook.reduction.joint.problem import READ, predict
from tarebook.reduction.joint.solution import NoFitError, Solution
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.trial import CONTENT, CONTENT_RANGE

OPEN_U: Final = 0.4
"""g/g; with a standard uncertainty above it the interval spans all contents there are."""

CLEARLY_WORSE: Final = 10.83
"""By how much the sum of squares must be larger if the reagent is to limit in every run: the
99.9 % point of chi-squared with one degree of freedom (general tables, from memory; compared with a
library in the tests). Rows without a change-over are common, so 95 % would not do."""

NO_DOUBT: Final = 400.0
"""Sum of squares by which the runs past the change-over outweigh their own weighings that makes a
second fit a waste of time: what all runs share cannot take up so much."""

TRIALS: Final = 6
"""Contents from there to the end of the range; the model may not reach the larger ones."""

MISLEADS: Final = 0.25
"""Part of the rise that the interval promises; with less, the interval is twice too narrow."""

JUST_BEYOND: Final = 1.05
"""The content at which the last run would be limited by the reagent as well, and 5 % more."""


class OpenContentError(TarebookError, ArithmeticError):
    """The readings leave open what the sample holds.

    Parameters
    ----------
    why : Phrase
        What the readings lack, and what to do.
    gas_is_hidden : bool
        Whether the mass lost is as much water as gas, so that it says little of what reacted.
    """

    code = "open-content"

    def __init__(self, why: Phrase, *, gas_is_hidden: bool = False) -> None:
        super().__init__(why)
        self.why, self.gas_is_hidden = why, gas_is_hidden


def require_content(solution: Solution) -> None:
    """Refuse a fit whose content is open or at the end of its range.

    Parameters
    ----------
    solution : Solution
        With its covariance.

    Raises
    ------
    OpenContentError
    """
    why = _why_open(solution)
    if why is not None:
        raise OpenContentError(why)


def _why_open(solution: Solution) -> Phrase | None:
    """Return what leaves the content open, and what to do; None if it is determined.

    Raises
    ------
    OpenContentError
        Where water hides the gas: more follows from that than words.
    """
    content = float(solution.unknowns[CONTENT])
    variance = float(solution.covariance.shared[CONTENT, CONTENT])
    # Of an open content the inverse of a nearly singular matrix may say anything, minus included.
    is_open = not 0.0 < variance < OPEN_U**2
    low, high = CONTENT_RANGE
    state = solution.predicted.state
    if np.all(state.excess < 0) and (is_open or content >= high):
        return Phrase.of("open-all-used-up")
    fits = chi2_tail(solution.chi2, solution.dof) > BEYOND_BELIEF
    if is_open and fits and float(np.max(state.gas_released)) < _weighing_u(solution):
        return Phrase.of("open-no-gas")
    if not (low < content < high and (fits or not is_open)):
        return Phrase.of("open-none-fits", low=low, high=high)
    if is_open:
        return _too_little_read(solution)
    if fits and _water_hides_the_gas(solution):
        raise OpenContentError(Phrase.of("open-water-hides-gas"), gas_is_hidden=True)
    if _reagent_may_limit_throughout(solution):
        return Phrase.of("open-may-be-used-up")
    return None


def _water_hides_the_gas(solution: Solution) -> bool:
    """Return whether, in the vessel with most gas, about as much water left: the plan's rule.

    By the fit, or by what was known of these cups beforehand: where the readings tell water from
    gas that badly, a fit that happens to find less water is no reason to trust it.
    """
    states = [solution.predicted.state]
    # What was known beforehand need not lie where the model can be used, as the fit does.
    with suppress(OutOfRangeError):
        states.append(predict(solution.problem, solution.problem.start()[None, :]).state)
    return any(
        water_beside_gas(state.gas_released[0], state.vapour[0] + state.evaporated[0]).hides_it
        for state in states
    )


def _too_little_read(solution: Solution) -> Phrase:
    if not solution.problem.taken.all():
        return Phrase.of("open-too-few-readings")
    return Phrase.of("open-too-uncertain")


def _weighing_u(solution: Solution) -> float:
    """Return the standard uncertainty of a mass lost that a cup's own weighings make, [g]."""
    equipment = solution.problem.experiment.equipment
    return mass_loss_u(equipment.balance, equipment.sample_balance, linearity=False)


def _reagent_may_limit_throughout(solution: Solution) -> bool:
    """Return whether a fit in which the reagent limits in every run is not clearly worse."""
    state = solution.predicted.state
    reaction = solution.problem.experiment.reaction
    gas = np.maximum(state.excess, 0.0) * reaction.gas_coefficient * reaction.gas_molar_mass.value
    masses = (Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
    weighed = solution.problem.taken[[READ.index(quantity) for quantity in masses]].all(axis=0)
    if float(np.sum((gas * weighed / _weighing_u(solution)) ** 2)) > NO_DOUBT:
        return False
    # By the acid of each run and its analyte: at this many times the content all acid is used up. A
    # cup without sample has none to use it up at any content.
    by_analyte = state.analyte_amount / reaction.analyte_coefficient
    filled = by_analyte > 0.0
    most = float(np.max(1.0 + state.excess[filled] / by_analyte[filled], initial=0.0))
    content = float(solution.unknowns[CONTENT])
    least = JUST_BEYOND * max(most, 1.0) * content
    for trial in np.geomspace(min(least, CONTENT_RANGE[1]), CONTENT_RANGE[1], TRIALS):
        # A wide interval that holds the trial already says so: only a narrow one would lie.
        promised = (trial - content) ** 2 / float(solution.covariance.shared[CONTENT, CONTENT])
        rise = _chi2_at(solution, float(trial)) - solution.chi2
        if rise < min(CLEARLY_WORSE, MISLEADS * promised):
            return True
    return False


def _chi2_at(solution: Solution, content: float) -> float:
    """Return the least sum of squares at a content; infinite where there is no fit."""
    start = solution.unknowns.copy()
    start[CONTENT] = content
    fixed = np.zeros(len(start), dtype=np.bool_)
    fixed[CONTENT] = True
    try:
        return solve(solution.problem, start=start, fixed=fixed, with_covariance=False).chi2
    except (NoFitError, OutOfRangeError):
        return math.inf
