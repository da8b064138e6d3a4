"""A closed run: kept mass is a note, a leak is found, its run lies on no line, clean rows stay."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from tests.words import said

from tarebook.api.bench.cautions import cautions
from tarebook.api.bench.steps import hints_of
from tarebook.api.reduce_series import reduce_table
from tarebook.core.phrase import Phrase
from tarebook.diagnosis.checks import check_table, runs_to_set_aside
from tarebook.diagnosis.losses import lost_u
from tarebook.diagnosis.slips.cups import cups_of, shared_prior, view
from tarebook.findings.finding import Finding, Severity
from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.parameters import NAMES, Parameters
from tarebook.model.priors import drawn_parameters
from tarebook.model.simulate import simulate
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.joint.problem import LINEAR, N_SHARED, joint_problem
from tarebook.report.languages.writing import in_files
from tarebook.report.run_results import run_results
from tarebook.report.sheets.cautions import cautions_of_gas
from tarebook.series.definition import parse_definition

POOL = (Path(__file__).parents[1] / "snapshots" / "pool" / "experiment.toml").read_text("utf-8")
CLOSED = """
[weighing]
sealed_runs = ["8"]
sealed_vessel_rated_kPa = 600
sealed_vessel_mL = 500
"""
EXPERIMENT = parse_definition(POOL + CLOSED)
ONLY_RATED = "Never stopper a glass vessel or a cup"


def row(seed: int) -> tuple[RunTable, float]:
    rng = np.random.Generator(np.random.SFC64(seed))
    draws = drawn_parameters(EXPERIMENT, rng, 1)
    truth = Parameters(**{name: getattr(draws, name)[0, 0] for name in NAMES})
    content = float(rng.uniform(0.85, 1.0))
    truth = truth.with_values(content=np.array(content))
    return simulate(EXPERIMENT, truth, rng).table, content


def leaked(table: RunTable, grams: float) -> RunTable:
    """Return the row with so much less in run 8 at the end than there was."""
    return replace(
        table,
        readings=tuple(
            replace(r, value=r.value - grams, typed=f"{r.value - grams:.3f}")
            if r.run == "8" and r.quantity is Quantity.FINAL
            else r
            for r in table.readings
        ),
    )


def of_run_8(table: RunTable) -> list[Finding]:
    codes = ("mass-kept", "mass-not-kept", "final-above-start", "lost-more-than-sample")
    return [f for f in check_table(EXPERIMENT, table) if f.run == "8" and f.code in codes]


@pytest.mark.parametrize("seed", range(4))
def test_a_clean_row_with_a_closed_run_is_clean(seed: int) -> None:
    table, content = row(seed)
    outcome = reduce_table(EXPERIMENT, table, seed=1, draws=2000, made_on="", pictures=False)
    assert [f.code for f in outcome.findings if f.severity is not Severity.NOTE] == []
    (kept,) = [f for f in outcome.findings if f.code == "mass-kept"]
    assert (kept.run, kept.severity) == ("8", Severity.NOTE)
    assert abs(float(kept.evidence["change_g"])) < 3.0 * float(kept.evidence["u_g"])
    assert outcome.full.series is not None
    found = outcome.full.series.sample_mass_fraction
    assert abs(found.value - content) < 3.5 * found.u
    (out,) = outcome.usual.left_out
    assert out.run == "8"
    assert out.why == Phrase("weighed-closed")
    assert "8" not in [run.run for run in outcome.usual.runs]
    closed = run_results(outcome)[-1]
    assert (closed.run, closed.yield_percent) == ("8", None)
    assert all(run.yield_percent is not None for run in run_results(outcome)[:-1])


@pytest.mark.slow
def test_the_content_of_many_clean_rows_is_unbiased() -> None:
    off = []
    for seed in range(100, 120):
        table, content = row(seed)
        outcome = reduce_table(EXPERIMENT, table, seed=1, draws=2000, made_on="", pictures=False)
        assert outcome.full.series is not None
        found = outcome.full.series.sample_mass_fraction
        off.append((found.value - content) / found.u)
    assert abs(np.mean(off)) < 3.0 / np.sqrt(len(off))
    assert 0.5 < np.std(off) < 1.6


@pytest.mark.parametrize(
    ("in_u", "code", "severity"),
    [
        (8.0, "mass-not-kept", Severity.STOP),
        (-8.0, "mass-not-kept", Severity.STOP),
        (4.5, "mass-not-kept", Severity.LOOK),
        (1.0, "mass-kept", Severity.NOTE),
    ],
)
def test_a_leak_is_found_by_its_size(in_u: float, code: str, severity: Severity) -> None:
    table, _ = row(0)
    u = lost_u(EXPERIMENT, table, "8")
    (now,) = of_run_8(table)
    # what this row lost by chance is taken out first
    table = leaked(table, float(now.evidence["change_g"]) + in_u * u)
    (finding,) = of_run_8(table)
    assert (finding.code, finding.severity) == (code, severity)
    assert float(finding.evidence["change_g"]) == pytest.approx(-in_u * u)
    assert ("leaks" in said(finding)) == (code == "mass-not-kept" and in_u > 0)
    set_aside = runs_to_set_aside([finding])
    assert ("8" in set_aside.unusable) == (severity is Severity.STOP)


def test_an_error_of_the_balances_straight_line_counts_once() -> None:
    """At unknowns that already hold such an error, the differences have it taken off."""
    table, _ = row(0)
    problem = joint_problem(EXPERIMENT, table, table.runs, ALL_EFFECTS)
    prior, cups = shared_prior(problem), cups_of(problem)
    moved = np.zeros(N_SHARED)
    moved[-len(LINEAR) :] = [0.7, -1.1, 1.6]
    at_centre = view(EXPERIMENT, prior, np.zeros(N_SHARED), cups)
    there = view(EXPERIMENT, prior, moved, cups)
    np.testing.assert_allclose(there.gap, at_centre.gap - at_centre.by_shared @ moved, atol=2e-5)
    assert np.min(np.abs(there.gap[:, 1] - at_centre.gap[:, 1])) > 2e-3


def test_all_gas_lost_stops_the_row_and_leaves_the_content_of_the_others() -> None:
    table, content = row(2)
    outcome = reduce_table(
        EXPERIMENT, leaked(table, 0.5), seed=1, draws=2000, made_on="", pictures=False
    )
    stops = [f for f in outcome.findings if f.severity is Severity.STOP]
    assert "mass-not-kept" in [f.code for f in stops]
    assert {run for f in stops for run in f.all_runs} == {"8"}
    assert outcome.full.series is not None
    found = outcome.full.series.sample_mass_fraction
    assert abs(found.value - content) < 3.5 * found.u


def test_the_caution_stands_wherever_the_steps_do() -> None:
    assert any(ONLY_RATED in line for line in cautions(EXPERIMENT))
    assert any(ONLY_RATED.lower() in line.lower() for line in cautions_of_gas(EXPERIMENT))
    assert ONLY_RATED in hints_of(EXPERIMENT, "8", in_files())[Quantity.FINAL.value]
    assert hints_of(EXPERIMENT, "7", in_files()) == {}
    assert cautions(parse_definition(POOL)) == ()
    assert cautions_of_gas(parse_definition(POOL)) == ()
