"""The normal equations in their arrow: the same answers as a plain matrix, and linear in runs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from tests import dense_fit

from tarebook.core.arrays import FloatArray, IntArray
from tarebook.model.effects import ALL_EFFECTS
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.joint import solve
from tarebook.reduction.joint.arrow import Normal, held
from tarebook.reduction.joint.missing import missing_readings
from tarebook.reduction.joint.problem import READ, JointProblem, joint_problem, readings_u
from tarebook.reduction.joint.profile import content_interval
from tarebook.reduction.joint.runs import fitted_runs
from tarebook.reduction.joint.slopes import linearise
from tarebook.reduction.joint.solution import Solution
from tarebook.reduction.joint.starts import left_by_others
from tarebook.reduction.joint.trial import CONTENT
from tarebook.series.experiment import Experiment

Drawn = Callable[..., list[tuple[RunTable, object]]]


def problem_of(experiment: Experiment, table: RunTable) -> JointProblem:
    return joint_problem(experiment, table, table.runs, ALL_EFFECTS)


@pytest.fixture(scope="module")
def table(granules: Experiment, drawn: Drawn) -> RunTable:
    ((table, _),) = drawn(granules, 1, seed=3)
    return table


@pytest.fixture(scope="module")
def fitted(granules: Experiment, table: RunTable) -> Solution:
    return solve.solve(problem_of(granules, table))


@pytest.mark.parametrize("fixed", [[], [CONTENT], [3, 20, 29, 40]])
def test_steps_are_those_of_the_plain_matrix(fitted: Solution, fixed: list[int]) -> None:
    """Own unknowns may be held as well as shared ones; damped steps too."""
    problem, scales = fitted.problem, fitted.problem.scales()
    free = np.ones(problem.n_unknowns, dtype=np.bool_)
    free[fixed] = False
    straight = fitted.slopes.scaled(held(scales, free))
    plain = dense_fit.jacobian(fitted.slopes)[:, free] * scales[free]
    rows = np.random.Generator(np.random.SFC64(1)).standard_normal((3, len(plain)))
    pulls = straight.against(rows)
    np.testing.assert_allclose(pulls[:, free], rows @ plain, rtol=1e-12, atol=1e-9)
    assert not pulls[:, ~free].any()
    normal = plain.T @ plain
    steps = Normal(straight, free).solved(pulls)
    exact = np.linalg.solve(normal, (rows @ plain).T).T
    np.testing.assert_allclose(steps[:, free], exact, rtol=1e-7, atol=1e-9)
    assert not steps[:, ~free].any()
    along = straight.along(steps)
    np.testing.assert_allclose(along, exact @ plain.T, rtol=1e-7, atol=1e-7)
    dampings = np.array([1e-3, 1.0, 1e4])
    damped = Normal(straight, free, dampings).solved(pulls)
    for damping, pull, step in zip(dampings, rows @ plain, damped, strict=True):
        matrix = normal + damping * np.diag(np.diag(normal))
        np.testing.assert_allclose(step[free], np.linalg.solve(matrix, pull), rtol=1e-6, atol=1e-10)


def test_the_covariance_is_that_of_the_plain_matrix(fitted: Solution) -> None:
    whole, covariance = dense_fit.covariance(fitted), fitted.covariance
    n, s, p = covariance.across.shape
    u = np.sqrt(np.diag(whole))

    def same(found: FloatArray, rows: IntArray, columns: IntArray) -> None:
        scale = np.outer(u[rows], u[columns])
        exact = whole[np.ix_(rows, columns)]
        np.testing.assert_allclose(found / scale, exact / scale, rtol=1e-6, atol=1e-8)

    shared = np.arange(s)
    same(covariance.shared, shared, shared)
    np.testing.assert_allclose(
        covariance.column(CONTENT) / u, whole[CONTENT] / u, rtol=1e-6, atol=1e-8
    )
    for run in range(n):
        own = s + run + n * np.arange(p)
        same(covariance.across[run], shared, own)
        same(covariance.own[run], own, own)
    leverage = np.diag(
        dense_fit.jacobian(fitted.slopes) @ whole @ dense_fit.jacobian(fitted.slopes).T
    )
    found = covariance.spread(fitted.slopes.shared, fitted.slopes.own)
    np.testing.assert_allclose(found.T.ravel(), leverage[: len(READ) * n], rtol=1e-6, atol=1e-9)


def test_what_the_others_leave_is_what_a_projection_leaves(fitted: Solution) -> None:
    problem = fitted.problem
    rows = np.random.Generator(np.random.SFC64(2)).standard_normal((4, len(fitted.rows)))
    rows[2] = np.nan
    scaled = dense_fit.jacobian(fitted.slopes) * problem.scales()
    basis, _ = np.linalg.qr(np.delete(scaled, CONTENT, axis=1))
    left = left_by_others(problem, fitted.slopes, rows)
    exact = rows - (rows @ basis) @ basis.T
    np.testing.assert_allclose(left, exact, rtol=1e-6, atol=1e-8)


def test_what_missing_readings_cost_is_that_of_the_plain_matrix(
    granules: Experiment, table: RunTable
) -> None:
    gone = {("2", Quantity.FINAL), ("5", Quantity.TARE), ("5", Quantity.REAGENT)}
    kept = tuple(r for r in table.readings if (r.run, r.quantity) not in gone)
    fitted = solve.solve(problem_of(granules, replace(table, readings=kept)))
    problem, scales = fitted.problem, fitted.problem.scales()
    as_taken = np.where(problem.taken, problem.u, readings_u(granules, problem.observed))
    there = linearise(replace(problem, u=as_taken), fitted.unknowns, central=False)
    before, after = (dense_fit.jacobian(s) * scales for s in (fitted.slopes, there.slopes))
    found = missing_readings(fitted)
    assert {(each.run, each.reading) for each in found} == {(r, q.value) for r, q in gone}
    for each in found:
        reading = [quantity.value for quantity in READ].index(each.reading)
        rows = before.copy()
        row = reading * problem.n_runs + problem.runs.index(each.run)
        rows[row] = after[row]
        u = np.sqrt(np.linalg.inv(rows.T @ rows)[CONTENT, CONTENT]) * scales[CONTENT]
        assert each.u_if_taken == pytest.approx(u, rel=1e-6)


def test_no_array_is_larger_than_runs_ask_for(
    granules: Experiment, drawn: Drawn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Twice the runs: matrices twice as many, none larger; steps as many as before."""
    solved: list[tuple[int, ...]] = []
    plain = {name: getattr(np.linalg, name) for name in ("solve", "inv")}

    def counted(name: str) -> Callable[..., FloatArray]:
        def count(matrix: FloatArray, *right: FloatArray) -> FloatArray:
            solved.append(matrix.shape)
            return np.asarray(plain[name](matrix, *right))

        return count

    for name in plain:
        monkeypatch.setattr(np.linalg, name, counted(name))

    def numbers(table: RunTable) -> tuple[int, int]:
        solved.clear()
        solution = solve.solve(problem_of(granules, table))
        content_interval(solution)
        fitted_runs(solution)
        of_fit = [shape for shape in solved if shape[-1] in (4, arrow_size)]
        return max(shape[-1] for shape in solved), sum(int(np.prod(s)) for s in of_fit)

    ((table, _),) = drawn(granules, 1, seed=4)
    arrow_size = len(
        linearise(
            problem_of(granules, table), problem_of(granules, table).start(), False
        ).slopes.known
    )
    one = numbers(table)
    eight = numbers(repeated(table, 8))
    assert one[0] == eight[0] == arrow_size
    assert eight[1] < 10 * one[1]


def repeated(table: RunTable, times: int) -> RunTable:
    """Return a row as often as that one after the other, each run under a name of its own."""
    runs = tuple(f"{run}-{again}" for again in range(times) for run in table.runs)
    readings = tuple(
        replace(reading, run=f"{reading.run}-{again}")
        for again in range(times)
        for reading in table.readings
    )
    return replace(table, runs=runs, readings=readings)
