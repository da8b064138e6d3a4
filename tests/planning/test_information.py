"""The plan's information against the joint fit itself."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from tarebook.core.errors import OutOfRangeError
from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.parameters import NAMES
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.planning.changes import row_of, with_row, with_sample, with_stock
from tarebook.planning.information import (
    candidates,
    expected_u,
    natural_steps,
    prior_information,
    scenario,
    uncertainties,
    within_model,
)
from tarebook.reduction.joint.full import reduce_full
from tarebook.reduction.joint.problem import joint_problem
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.trial import CONTENT
from tarebook.reduction.results import SetAside
from tarebook.series.experiment import Experiment


@pytest.mark.parametrize("which", ["pool", "bath"])
def test_expected_u_is_that_of_a_fit(which: str, request: pytest.FixtureRequest) -> None:
    """The mean over some simulated series: each pours near its targets, not on them."""
    experiment: Experiment = request.getfixturevalue(which)
    content = 0.9
    truth = central_parameters(experiment).with_values(content=np.array(content))
    rng = np.random.Generator(np.random.SFC64(5))
    found = []
    for _ in range(8):
        table = simulate(experiment, truth, rng).table
        full = reduce_full(experiment, table, SetAside(unusable={}, doubtful={}), None).series
        assert full is not None
        found.append((full.sample_mass_fraction.u, full.equivalence.u))
    content_u, equivalence_u = np.mean(found, axis=0)
    expected = expected_u(experiment, row_of(experiment), np.array([content]))
    assert expected.content == pytest.approx(content_u, rel=0.03)
    assert expected.equivalence == pytest.approx(equivalence_u, rel=0.05)


@pytest.mark.parametrize("ends", [False, True], ids=["mixed", "with unmixed ends"])
def test_marginal_information_is_the_whole_fit_s(pool: Experiment, ends: bool) -> None:
    """Eliminating each run's own unknowns must leave the covariance of the whole fit as it is.

    Also where a vessel is filled from one measuring vessel alone: nothing poured has no error.
    """
    row, content = row_of(pool), 0.93
    if ends:
        row = np.concatenate([[0.0], row[1:-1], [pool.total_volume]])
        pool = with_row(pool, row)
    planned = scenario(pool, row, content)
    own = np.einsum("cki,ckj->ij", planned.factors, planned.factors)
    steps = natural_steps(pool)
    mine = np.linalg.inv(prior_information(pool) + own) * np.outer(steps, steps)
    truth = central_parameters(pool).with_values(content=np.array(content))
    table = simulate(pool, truth, np.random.Generator(np.random.SFC64(1))).table
    problem = joint_problem(pool, table, table.runs, ALL_EFFECTS)
    same = replace(
        problem,
        observed=planned.problem.observed,
        temperature=planned.problem.temperature,
        minutes=planned.problem.minutes,
    )
    fitted = solve(same, start=planned.unknowns)
    assert fitted.unknowns[CONTENT] == pytest.approx(content, abs=1e-6)
    whole = fitted.covariance.shared
    u = np.sqrt(np.diag(whole))
    np.testing.assert_allclose(np.sqrt(np.diag(mine)), u, rtol=1e-3)
    np.testing.assert_allclose(mine / np.outer(u, u), whole / np.outer(u, u), rtol=0, atol=3e-3)


def test_a_run_more_never_hurts(pool: Experiment) -> None:
    row = row_of(pool)
    contents = np.array([0.9, 0.95])
    every = candidates(pool, row, contents)
    whole = uncertainties(every)
    for index in range(len(row)):
        without = uncertainties(every, left_out=index)
        assert without.content >= whole.content
        assert without.equivalence >= whole.equivalence


def test_many_replicates_leave_the_priors(pool: Experiment) -> None:
    """What all runs share does not average out: u falls far less than with the root of runs."""
    row = row_of(pool)
    few, many, more = (
        expected_u(pool, np.tile(row, times), np.array([0.95])).content for times in (1, 40, 160)
    )
    assert few > many > more
    assert many > 3.0 * few / math.sqrt(40.0)
    assert more > 3.0 * few / math.sqrt(160.0)


def test_no_prior_on_the_content(pool: Experiment) -> None:
    known = prior_information(pool)
    assert known[CONTENT, CONTENT] == 0.0
    assert np.all(np.diag(known)[[i for i in range(len(NAMES)) if i != CONTENT]] > 0.0)


def test_more_sample_tells_more(pool: Experiment) -> None:
    row, contents = row_of(pool), np.array([0.9])
    small = expected_u(with_sample(pool, 1.0), row, contents).content
    large = expected_u(with_sample(pool, 1.8), row, contents).content
    assert large < small


def test_where_the_model_ends(pool: Experiment) -> None:
    row = np.linspace(0.005, 0.035, 31)
    contents = np.array([0.9, 1.0])
    assert within_model(pool, row, contents) == 31
    strong = with_stock(pool, 6.0)
    holds = within_model(strong, row, contents)
    assert 0 < holds < 31
    assert within_model(strong, row[:holds], contents) == holds
    assert within_model(with_stock(pool, 12.0), row[20:], contents) == 0
    with pytest.raises(OutOfRangeError, match="more is in no solution of it"):
        with_stock(pool, 100.0)
    assert math.isfinite(float(scenario(strong, row[:holds], 0.95).factors.sum()))
