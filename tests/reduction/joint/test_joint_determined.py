"""Rows that do not say what the sample holds are refused in words, and only those."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import chi2 as chi2_distribution
from tests.words import said

from tarebook.core.phrase import Phrase
from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.joint.determined import CLEARLY_WORSE, OpenContentError, require_content
from tarebook.reduction.joint.full import reduce_full
from tarebook.reduction.joint.problem import joint_problem
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.trial import CONTENT, CONTENT_RANGE
from tarebook.reduction.results import SetAside
from tarebook.series.experiment import Experiment

Exact = Callable[..., RunTable]
Build = Callable[..., Experiment]
Without = Callable[..., RunTable]
NONE = SetAside(unusable={}, doubtful={})
ROW = "[5, 10, 14, 18, 22, 26, 30, 35]"


def test_a_row_without_change_over_leaves_the_content_open(build: Build, exact: Exact) -> None:
    """The reagent is used up in every cup: more sample would change nothing."""
    short = build({"[5, 10, 14, 18, 22, 26, 30, 35]": "[3, 5, 7, 9, 11]"})
    found = reduce_full(short, exact(short, 0.95), NONE, None)
    assert found.series is None
    assert found.no_series_because == Phrase("open-all-used-up")


def test_a_stock_ten_times_as_strong_is_not_believed(build: Build, exact: Exact) -> None:
    """The strength slipped by ten: no content fits, and the end of the range is no result."""
    table = exact(build(), 0.95)
    light = build({"nominal_g = 1.5": "nominal_g = 0.15"})
    readings = tuple(
        replace(r, value=r.value / 10) if r.quantity is Quantity.SAMPLE else r
        for r in table.readings
    )
    found = reduce_full(light, replace(table, readings=readings), NONE, None)
    assert found.series is None
    why = found.no_series_because
    assert found.rejected is not None or (why is not None and why.key == "open-none-fits")


@pytest.mark.slow
@pytest.mark.parametrize("row", ["[2, 4, 6, 8, 10, 12, 14, 16]", "[1, 2, 3, 4, 5, 6, 7, 8]"])
def test_scatter_of_the_last_run_is_no_change_over(build: Build, row: str) -> None:
    """The reagent is used up in every cup; by chance the last one lost a little less.

    A content at which just that run is limited by the sample fits a little better than all larger
    ones, in a narrow minimum: 0.65 +- 0.006 where 0.94 is true.
    """
    short = build({ROW: row})
    narrow = 0
    for seed in range(24):
        rng = np.random.Generator(np.random.SFC64(seed))
        truth = central_parameters(short).with_values(content=np.array(0.94))
        table = simulate(short, truth, rng).table
        fit = solve(joint_problem(short, table, table.runs, ALL_EFFECTS))
        narrow += 0.0 < fit.covariance.shared[CONTENT, CONTENT] < 0.01**2
        with pytest.raises(OpenContentError) as refused:
            require_content(fit)
        assert refused.value.why.key in {"open-all-used-up", "open-may-be-used-up"}
    assert narrow >= 2


def test_larger_contents_are_tried_as_far_as_the_model_reaches(build: Build) -> None:
    """A heavy sample: at 1.5 g/g the cup would be beyond the constants; at twice the content not.

    0.25 +- 0.015 where 0.39 is true, if only the end of the range were tried.
    """
    may_be = 0
    heavy = build(
        {ROW: "[4, 11, 18]", "total_mL = 40": "total_mL = 25", "nominal_g = 1.5": "nominal_g = 2.8"}
        | {
            "mol_per_L = 0.750": "mol_per_L = 0.500",
            "readability_g = 0.001": "readability_g = 0.01",
        }
    )
    for seed in (0, 3, 5, 11):
        rng = np.random.Generator(np.random.SFC64(seed))
        truth = central_parameters(heavy).with_values(content=np.array(0.39))
        table = simulate(heavy, truth, rng).table
        why = reduce_full(heavy, table, NONE, None, pictures=False).no_series_because
        assert why is not None
        assert why.key in {"open-all-used-up", "open-may-be-used-up", "out-of-range"}
        may_be += why.key == "open-may-be-used-up"
    assert may_be >= 2


def test_a_start_where_no_gas_leaves_is_left(build: Build) -> None:
    """Three cups with citric acid: contents too small for any gas to leave hold a fit that strays.

    The first start promises most and ends with a sum of squares of thousands.
    """
    citric = build(
        {"NaHCO3 + HCl -> NaCl + H2O + CO2": "3 NaHCO3 + C6H8O7 -> Na3C6H5O7 + 3 H2O + 3 CO2"}
        | {'reagent = "HCl"': 'reagent = "C6H8O7"', ROW: "[3, 11, 19]"}
        | {"total_mL = 40": "total_mL = 20", "nominal_g = 1.5": "nominal_g = 1.607"}
        | {"mol_per_L = 0.750": "mol_per_L = 0.300"}
    )
    for seed in range(6):
        rng = np.random.Generator(np.random.SFC64(seed))
        truth = central_parameters(citric).with_values(content=np.array(0.434))
        table = simulate(citric, truth, rng).table
        fit = solve(joint_problem(citric, table, table.runs, ALL_EFFECTS))
        assert fit.chi2 < 40.0
        assert fit.unknowns[CONTENT] == pytest.approx(0.434, abs=0.03)


def test_a_sample_that_reads_nothing(build: Build) -> None:
    """A tenth of a gram on a balance that shows tenths: some read 0.0 g, one less than nothing."""
    coarse = build(
        {"readability_g = 0.001": "readability_g = 0.1", "nominal_g = 1.5": "nominal_g = 0.12"}
    )
    truth = central_parameters(coarse).with_values(content=np.array(0.94))
    table = simulate(coarse, truth, np.random.Generator(np.random.SFC64(0))).table
    values = iter((0.0, -0.1, 0.1, 0.2, 0.0, 0.1, 0.1, 0.1))
    readings = tuple(
        replace(r, value=next(values)) if r.quantity is Quantity.SAMPLE else r
        for r in table.readings
    )
    why = reduce_full(coarse, replace(table, readings=readings), NONE, None).no_series_because
    assert why is not None
    assert why.key.startswith("open-")


def test_one_run_clearly_past_the_change_over_is_enough(build: Build) -> None:
    one = build({ROW: "[5, 10, 14, 18, 21, 26]"})
    for seed in range(6):
        rng = np.random.Generator(np.random.SFC64(seed))
        truth = central_parameters(one).with_values(content=np.array(0.90))
        found = reduce_full(one, simulate(one, truth, rng).table, NONE, None, pictures=False)
        assert found.series is not None
        content = found.series.sample_mass_fraction
        assert content.value == pytest.approx(0.90, abs=4 * content.u)


def test_a_start_that_ends_at_the_end_is_not_the_last_word(build: Build) -> None:
    """The last cup is just past the change-over: from a start beyond it the fit runs to the end."""
    row = build({ROW: "[5, 10, 14, 18, 22]"})
    truth = central_parameters(row).with_values(content=np.array(0.94))
    table = simulate(row, truth, np.random.Generator(np.random.SFC64(0))).table
    problem = joint_problem(row, table, table.runs, ALL_EFFECTS)
    beyond = problem.start()
    beyond[CONTENT] = 1.3
    there, found = solve(problem, start=beyond), solve(problem)
    assert there.unknowns[CONTENT] == CONTENT_RANGE[1]
    assert found.unknowns[CONTENT] < 1.0
    assert found.chi2 < there.chi2 - 0.2


def test_too_little_to_fizz(build: Build, exact: Exact) -> None:
    """1 % of 1.5 g: all of the gas stays dissolved, and any content so small does."""
    found = reduce_full(build(), exact(build(), 0.01), NONE, None)
    assert found.series is None
    assert found.no_series_because == Phrase("open-no-gas")


def test_too_few_readings(granules: Experiment, exact: Exact, without: Without) -> None:
    """Without any final mass nothing speaks of the content."""
    bare = without(exact(granules, 0.94), Quantity.FINAL)
    found = reduce_full(granules, bare, NONE, None)
    assert found.series is None
    assert found.no_series_because == Phrase("open-too-few-readings")


def test_no_reason_has_a_number_that_means_nothing(
    build: Build, exact: Exact, without: Without
) -> None:
    """No "0.95 +- 2e+04 g/g"."""
    short = build({ROW: "[3, 5, 7, 9, 11]"})
    for experiment, table in (
        (short, exact(short, 0.95)),
        (build(), exact(build(), 0.01)),
        (build(), without(exact(build(), 0.94), Quantity.FINAL)),
    ):
        why = reduce_full(experiment, table, NONE, None).no_series_because
        assert why is not None
        assert why.key.startswith("open-")
        assert not re.search(r"e[+-]\d|±", said(why))


def test_clearly_worse_is_one_in_a_thousand() -> None:
    assert chi2_distribution.sf(CLEARLY_WORSE, 1) == pytest.approx(0.001, rel=0.01)
