"""A blank cup in the joint fit: nothing was put into it, and no balance errs about nothing."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.reduction.joint.problem import N_SHARED, joint_problem
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.trial import CONTENT
from tarebook.series.definition import parse_definition

GROWS = Path(__file__).parents[3] / "examples" / "soda-grows-in-acid" / "experiment.toml"


@pytest.mark.parametrize("seed", range(5))
def test_a_row_with_a_blank_cup_settles_on_the_truth(seed: int) -> None:
    experiment = parse_definition(GROWS.read_text(encoding="utf-8"))
    truth = central_parameters(experiment).with_values(content=np.array(0.91))
    table = simulate(experiment, truth, np.random.Generator(np.random.SFC64(seed))).table
    problem = joint_problem(experiment, table, table.runs, ALL_EFFECTS)
    assert problem.portioned.tolist() == [False] + [True] * 7
    solution = solve(problem)
    found, u = solution.unknowns[CONTENT], np.sqrt(solution.covariance.shared[CONTENT, CONTENT])
    assert abs(found - 0.91) < 4.0 * u
    assert u < 0.007
    # the unknown mass of the blank cup's sample: nothing, to a hundredth of a milligram
    blank = N_SHARED + 2 * problem.n_runs
    assert abs(solution.unknowns[blank]) < 1e-5
    assert solution.predicted.state.gas_made[0, 0] < 1e-5
