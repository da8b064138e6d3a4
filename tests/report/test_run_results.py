"""What is known of each run, and the yield that the mass lost is of the gas expected."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from tests import dense_fit

from tarebook.api.reduce_series import load, reduce
from tarebook.core.phrase import Phrase
from tarebook.diagnosis.checks import check_table, runs_to_set_aside
from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.parameters import NAMES
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.problem import N_SHARED, READ, joint_problem, predict
from tarebook.reduction.joint.slopes import N_CURVED, derivatives, perturbed
from tarebook.reduction.joint.solve import solve
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import run_results

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.mark.parametrize("name", ["clean-pool-granules", "weak-acid-foot-bath"])
def test_u_of_the_yield_is_that_of_the_whole_covariance(name: str) -> None:
    """The report has variances and leverages only; here the fit's covariance says what is right."""
    folder = EXAMPLES / name
    experiment, table = load(folder)
    aside = runs_to_set_aside(check_table(experiment, table))
    runs = tuple(r for r in table.runs if r not in aside.unusable and r not in aside.doubtful)
    problem = joint_problem(experiment, table, runs, ALL_EFFECTS)
    solution = solve(problem)
    sets = perturbed(problem, solution.unknowns, central=True)
    slopes = derivatives(problem, predict(problem, sets).state.gas_made)
    results = {result.run: result for result in run_results(reduce(folder, draws=2_000))}
    n, jacobian = problem.n_runs, dense_fit.jacobian(solution.slopes)
    whole = dense_fit.covariance(solution)
    for index, run in enumerate(runs):
        gradient = np.zeros(problem.n_unknowns)
        own = [N_SHARED + i * n + index for i in range(N_CURVED)]
        gradient[[*range(len(NAMES)), *own]] = slopes[:, index]
        of_expected = gradient @ whole @ jacobian.T
        of_lost = np.zeros_like(of_expected)
        for quantity, sign in ((Quantity.LIQUID, 1), (Quantity.SAMPLE, 1), (Quantity.FINAL, -1)):
            row = READ.index(quantity)
            of_lost[row * n + index] = sign * problem.u[row, index]
        linear = len(READ) * n + len(NAMES)
        # A row of a prior is 0 = error + noise, so the error has the other sign.
        of_lost[linear + 1], of_lost[linear + 2] = problem.linearity_u[1], -problem.linearity_u[2]
        result = results[run]
        assert result.lost is not None
        assert result.gas_expected is not None
        assert result.yield_percent is not None
        ratio = result.lost.value / result.gas_expected.value
        error = (of_lost - ratio * of_expected) / result.gas_expected.value
        exact = 100.0 * math.sqrt(float(error @ error))
        assert result.yield_percent.u == pytest.approx(exact, rel=0.05)


def test_the_models_numbers_come_first(outcome: Outcome) -> None:
    full = {run.run: run for run in outcome.full.runs}
    for result in run_results(outcome):
        assert result.full is full[result.run]
        assert result.gas_expected is full[result.run].gas_expected
        assert result.p_of_limiting is not None
        assert result.p_of_limiting >= 0.5


def test_without_the_model_the_usual_sum_speaks(usual_outcome: Outcome) -> None:
    usual = {run.run: run for run in usual_outcome.usual.runs}
    *most, last = run_results(usual_outcome)
    for result in most:
        assert result.full is None
        assert result.gas_expected is usual[result.run].gas_expected
        assert result.yield_percent is usual[result.run].yield_percent
        assert result.why_not_full is None
    assert last.gas_expected is last.lost is None
    assert last.why_not_usual == Phrase.of("not-read", lacking=(Quantity.FINAL,))


def test_a_run_with_a_doubtful_reading_is_still_in_the_fit(odd_outcome: Outcome) -> None:
    third = run_results(odd_outcome)[2]
    assert third.run == "3"
    assert third.full is not None
    assert third.lost is None
    assert third.why_not_usual is not None
    assert third.why_not_usual.key == "lost-more-than-sample"


def test_a_run_that_the_fit_sets_aside_says_why(impossible_outcome: Outcome) -> None:
    third = run_results(impossible_outcome)[2]
    assert third.run == "3"
    assert third.full is None
    assert third.why_not_full is not None
    assert third.why_not_full.key == "reading-impossible"
