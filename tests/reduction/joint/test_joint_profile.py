"""The interval of the content: by profile where the straight one is poor."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import least_squares

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.model.effects import ALL_EFFECTS
from tarebook.records.readings import RunTable
from tarebook.reduction.joint.distributions import NORMAL_95
from tarebook.reduction.joint.problem import JointProblem, joint_problem, predict, rows_of
from tarebook.reduction.joint.profile import content_interval
from tarebook.reduction.joint.solution import NoFitError, Solution
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.trial import CONTENT
from tarebook.series.experiment import Experiment

Build = Callable[..., Experiment]
Drawn = Callable[..., list[tuple[RunTable, object]]]

NASTY = {
    "readability_g = 0.001": "readability_g = 0.01",
    "reagent_mL = [5, 10, 14, 18, 22, 26, 30, 35]": "reagent_mL = [5, 12, 18, 24, 28]",
    "own_acid_u_mmol_per_g = 0.03": "own_acid_u_mmol_per_g = 1.0",
}
"""Few runs, a coarse balance, a row that ends soon after the change-over, own acid unknown."""


def brute_force(problem: JointProblem, content: float, start: FloatArray) -> float:
    """Return the least sum of squares at a content, by a general-purpose optimiser."""
    scales = np.delete(problem.scales(), CONTENT)
    others = np.delete(start, CONTENT)

    def rows(moved: FloatArray) -> FloatArray:
        unknowns = np.insert(others + moved * scales, CONTENT, content)[None, :]
        found = rows_of(problem, unknowns, predict(problem, unknowns).readings)[0]
        return np.asarray(found)

    def slopes(moved: FloatArray) -> FloatArray:
        steps = 1e-3 * np.eye(len(scales))
        sets = np.insert(others + np.vstack([moved + steps, moved - steps]) * scales, CONTENT,
                         content, axis=1)  # fmt: skip
        found = rows_of(problem, sets, predict(problem, sets).readings)
        return np.asarray((found[: len(scales)] - found[len(scales) :]).T / 2e-3)

    best = least_squares(rows, np.zeros(len(scales)), jac=slopes, method="lm", xtol=1e-12)
    return 2.0 * float(best.cost)


@pytest.fixture(scope="module")
def nasty(build: Build, drawn: Drawn) -> Solution:
    """A series whose straight interval is poor."""
    experiment = build(NASTY)
    for table, _ in drawn(experiment, 40, seed=14):
        found = solve(joint_problem(experiment, table, table.runs, ALL_EFFECTS))
        if content_interval(found)[2] == "profile":
            return found
    raise AssertionError("no series of the forty is nasty")


def test_the_ends_are_where_a_general_optimiser_finds_them(nasty: Solution) -> None:
    """At both ends the sum of squares, all else free, has grown by that of 95 %."""
    low, high, method = content_interval(nasty)
    assert method == "profile"
    best = brute_force(nasty.problem, float(nasty.unknowns[CONTENT]), nasty.unknowns)
    assert best == pytest.approx(nasty.chi2, abs=1e-4)
    for end in (low, high):
        growth = brute_force(nasty.problem, end, nasty.unknowns) - best
        assert growth == pytest.approx(NORMAL_95**2, rel=0.01)


def test_the_straight_interval_would_have_been_poor(nasty: Solution) -> None:
    low, high, _ = content_interval(nasty)
    value, u = nasty.unknowns[CONTENT], math.sqrt(nasty.covariance.shared[CONTENT, CONTENT])
    ends = np.array([value - low, high - value]) / (NORMAL_95 * u)
    assert np.max(np.abs(ends - 1)) > 0.02


def test_a_clean_series_needs_no_profile(granules: Experiment, drawn: Drawn) -> None:
    straight = 0
    for table, _ in drawn(granules, 20, seed=15):
        found = solve(joint_problem(granules, table, table.runs, ALL_EFFECTS))
        low, high, method = content_interval(found)
        if method == "linear":
            straight += 1
            u = math.sqrt(found.covariance.shared[CONTENT, CONTENT])
            assert high - low == pytest.approx(2 * NORMAL_95 * u, rel=1e-12)
            for end in (low, high):
                growth = brute_force(found.problem, end, found.unknowns) - found.chi2
                assert growth == pytest.approx(NORMAL_95**2, rel=0.15)
            if straight == 3:
                return
    raise AssertionError("fewer than three clean series were straight")


@pytest.mark.parametrize("error", [NoFitError(), OutOfRangeError("I", 2.0, "mol/kg", "[0, 1.5]")])
def test_where_a_profile_cannot_be_made_the_straight_interval_stands(
    nasty: Solution, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    def fails(*_: object, **__: object) -> Solution:
        raise error

    monkeypatch.setattr("tarebook.reduction.joint.profile.solve", fails)
    low, high, method = content_interval(nasty)
    assert method == "linear"
    assert (low + high) / 2 == pytest.approx(nasty.unknowns[CONTENT], rel=1e-12)
