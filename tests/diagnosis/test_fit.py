"""Checks of the joint fit: a fit that cannot be is no result, and a bent prior is said."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from tests.words import said, to_do

from tarebook.diagnosis.acid import weigh_with_acid
from tarebook.diagnosis.fit import MISFIT_P, PULLED, check_fit
from tarebook.diagnosis.series import check_results
from tarebook.diagnosis.waiting import MATTERS, check_waiting
from tarebook.findings.finding import Finding, Severity
from tarebook.model.parameters import NAMES
from tarebook.model.priors import priors
from tarebook.records.readings import Quantity, RunTable
from tarebook.records.sheet import parse_sheet
from tarebook.reduction.joint.distributions import BEYOND_BELIEF
from tarebook.reduction.joint.full import reduce_full
from tarebook.reduction.joint.results import FullReduction
from tarebook.reduction.joint.within import cups_beyond
from tarebook.reduction.results import SetAside
from tarebook.reduction.usual_series import reduce_usual
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
DEFINITION = (POOL / "experiment.toml").read_text(encoding="utf-8")
EXPERIMENT = parse_definition(DEFINITION)
TABLE = parse_sheet((POOL / "readings.csv").read_text(encoding="utf-8"))
Tablet = Callable[..., Experiment]
Row = Callable[..., RunTable]
NOTHING = SetAside(unusable={}, doubtful={})


def moved(table: RunTable, shifts: dict[tuple[str, Quantity], float]) -> RunTable:
    """Return the readings with some of them moved."""
    readings = tuple(
        replace(r, value=r.value + shifts.get((r.run, r.quantity), 0.0)) for r in table.readings
    )
    return replace(table, readings=readings)


def fitted(table: RunTable) -> FullReduction:
    return reduce_full(EXPERIMENT, table, NOTHING, None, pictures=False)


def codes(findings: list[Finding]) -> list[str]:
    return [finding.code for finding in findings]


def test_a_good_row_has_nothing_to_say_of_the_fit() -> None:
    full = fitted(TABLE)
    assert full.series is not None
    assert full.rejected is None
    assert list(check_fit(full)) == []


def test_a_fit_that_cannot_be_is_no_result() -> None:
    """Three last masses off by 40 to 60 mg of a balance that is good to 2: p is far below 1e-6."""
    table = moved(
        TABLE,
        {
            ("2", Quantity.FINAL): 0.060,
            ("4", Quantity.FINAL): -0.050,
            ("7", Quantity.FINAL): 0.040,
        },
    )
    full = fitted(table)
    assert full.series is None
    assert full.runs == ()
    assert full.rejected is not None
    assert full.rejected.p_chi2 < BEYOND_BELIEF
    found = list(check_fit(full))
    assert codes(found) == ["model-impossible"]
    (one,) = found
    assert one.severity is Severity.STOP
    assert one.evidence["p"] == full.rejected.p_chi2
    assert one.evidence["worst_run"] in {"2", "4", "7"}
    # The content of such a fit is printed nowhere: neither in the words nor in the evidence.
    content = full.rejected.sample_mass_fraction.value
    assert f"{100 * content:.1f}" not in said(one) + to_do(one)
    assert all(v != content for v in one.evidence.values())


def test_the_textbook_calculation_is_not_promoted_in_silence() -> None:
    table = moved(TABLE, {("2", Quantity.FINAL): 0.060, ("4", Quantity.FINAL): -0.050})
    full = fitted(table)
    assert full.rejected is not None
    usual = reduce_usual(EXPERIMENT, table, NOTHING, seed=1, draws=1_000)
    found = list(check_results(usual, full))
    stop = next(f for f in found if f.code == "model-impossible")
    assert "do not rely on the textbook calculation" in said(stop)
    assert "no-full-result" not in codes(found)
    assert "scatter" not in codes(found)


def test_a_misfit_between_is_worth_a_look() -> None:
    table = moved(TABLE, {("4", Quantity.FINAL): -0.022})
    full = fitted(table)
    assert full.series is not None
    assert BEYOND_BELIEF < full.series.p_chi2 < MISFIT_P
    misfit = next(f for f in check_fit(full) if f.code == "model-misfit")
    assert misfit.severity is Severity.LOOK
    assert misfit.evidence["worst_run"] == "4"


def test_a_pull_is_value_less_prior_in_units_of_what_was_known() -> None:
    full = fitted(TABLE)
    assert full.series is not None
    for parameter in full.series.parameters:
        value, prior, u = parameter.value.value, parameter.prior, parameter.prior_u
        if parameter.name == "content":
            expected = 0.0
        elif parameter.name in ("gas_pressure", "degassing", "evaporation", "waiting"):
            expected = math.log(value / prior) / u
        elif parameter.name in ("vapour_saturation", "heat_kept"):
            expected = (math.log(value / (1 - value)) - math.log(prior / (1 - prior))) / u
        else:
            expected = (value - prior) / u
        assert parameter.pull == pytest.approx(expected, abs=1e-9), parameter.name


def test_liquid_left_behind_far_from_what_was_known_is_said(row_of: Row) -> None:
    """Every cup with 3.6 mL less than was read: 0.25 mL a pour, give or take 0.38, was known."""
    table = row_of(EXPERIMENT, 12, content=0.94, hold_up_reagent=0.0018, hold_up_diluent=0.0018)
    full = fitted(table)
    assert full.series is not None
    contradicted = [f for f in check_fit(full) if f.code == "known-value-contradicted"]
    assert contradicted
    first = contradicted[0]
    assert first.severity is Severity.LOOK
    assert str(first.evidence["parameter"]).startswith("hold_up")
    assert float(first.evidence["found_mL"]) > float(first.evidence["known_mL"])
    assert float(first.evidence["how_many_u"]) > PULLED
    assert "mL" in said(first)
    assert to_do(first)


def test_a_gas_pressure_that_no_open_cup_has_is_said(row_of: Row) -> None:
    table = row_of(EXPERIMENT, 5, content=0.94, gas_pressure=2.7 * 101_325.0)
    full = fitted(table)
    either = full.series or full.rejected
    assert either is not None
    by_name = {p.name: p for p in either.parameters}
    assert by_name["gas_pressure"].pull > PULLED
    found = list(check_fit(full))
    assert {"known-value-contradicted", "model-impossible"} & set(codes(found))


def test_every_parameter_that_can_contradict_has_words() -> None:
    full = fitted(TABLE)
    assert full.series is not None
    for name in NAMES:
        if name == "content":
            continue
        bent = replace(
            full.series,
            parameters=tuple(
                replace(p, pull=4.0) if p.name == name else p for p in full.series.parameters
            ),
        )
        (one,) = check_fit(replace(full, series=bent))
        assert one.code == "known-value-contradicted", name
        assert to_do(one), name
        assert one.evidence["parameter"] == name


@pytest.mark.slow
def test_few_clean_rows_are_looked_at(row_of: Row) -> None:
    """Forty clean rows, their nuisances from the priors: no stop, hardly a look."""
    stops = looks = 0
    for seed in range(40):
        table = row_of(EXPERIMENT, 100 + seed, content=0.94)
        full = fitted(table)
        usual = reduce_usual(EXPERIMENT, table, NOTHING, seed=1, draws=1_000)
        found = [f.severity for f in check_results(usual, full)]
        stops += Severity.STOP in found
        looks += Severity.LOOK in found
    assert stops == 0
    # Of 40 rows with one look in 20, more than five are seen in one study of seventy.
    assert looks <= 5


def test_one_cup_beyond_the_model_does_not_cost_the_row(tablet: Tablet, row_of: Row) -> None:
    experiment = tablet("own_acid_mmol_per_g = 2.5\nown_acid_u_mmol_per_g = 0.2")
    table = row_of(experiment, 3, content=0.58, own_acid=2.5e-3)
    # 100 g into cup 8, and so written: 50 mL of that are far beyond 4 mol/kg.
    heavy = 100.0
    table = moved(table, {("8", Quantity.SAMPLE): heavy, ("8", Quantity.FINAL): heavy})
    whole = reduce_full(experiment, table, NOTHING, None, pictures=False)
    assert [each.run for each in whole.beyond] == ["8"]
    assert whole.series is not None
    assert "8" not in [run.run for run in whole.runs]
    without = replace(
        table,
        runs=tuple(run for run in table.runs if run != "8"),
        readings=tuple(r for r in table.readings if r.run != "8"),
    )
    alone = reduce_full(experiment, without, NOTHING, None, pictures=False)
    assert alone.series is not None
    np.testing.assert_allclose(
        whole.series.sample_mass_fraction.value, alone.series.sample_mass_fraction.value, rtol=1e-9
    )
    said = next(f for f in check_fit(whole) if f.code == "cup-beyond-model")
    assert said.severity is Severity.LOOK
    assert said.run == "8"
    assert any(isinstance(value, float) for value in said.evidence.values())
    assert "less solid or with more liquid" in to_do(said)


def test_liquid_that_habit_explains_is_no_contradiction(row_of: Row) -> None:
    """1.4 mL left at a pour has been found: the row says it, and no finding is made of it."""
    table = row_of(EXPERIMENT, 12, content=0.94, hold_up_reagent=0.0014, hold_up_diluent=0.0013)
    full = fitted(table)
    assert full.series is not None
    assert [f for f in check_fit(full) if f.code == "known-value-contradicted"] == []
    assert full.series.hold_up.value == pytest.approx(0.0014, abs=0.0003)
    assert full.series.sample_mass_fraction.low < 0.94 < full.series.sample_mass_fraction.high


def test_minutes_that_nobody_read_are_said_where_the_content_leans_on_them() -> None:
    silent = replace(
        TABLE, readings=tuple(r for r in TABLE.readings if r.quantity is not Quantity.MINUTES)
    )
    full = fitted(silent)
    assert full.series is not None
    found = list(check_waiting(EXPERIMENT, silent, full))
    waiting = next(p for p in priors(EXPERIMENT) if p.name == "waiting")
    share = sum(b.share for b in full.series.budget if b.source == waiting.label)
    assert share > 0
    leaning = tuple(
        replace(b, share=0.2) if b.source == waiting.label else b for b in full.series.budget
    )
    leans = replace(full, series=replace(full.series, budget=leaning))
    (one,) = check_waiting(EXPERIMENT, silent, leans)
    assert (one.code, one.severity) == ("minutes-not-read", Severity.NOTE)
    assert one.evidence["share_of_variance"] == pytest.approx(0.2)
    assert "8 cups" in said(one)
    assert "10 minutes" in said(one)
    assert len(found) == (share >= MATTERS)
    # Where they were read there is nothing to say.
    assert list(check_waiting(EXPERIMENT, TABLE, leans)) == []


def test_one_cup_beyond_the_model_does_not_hide_the_slips_of_the_others() -> None:
    """Cup 8 with 100 g written, and a digit wrong in the last mass of cup 3."""
    table = moved(
        TABLE,
        {
            ("8", Quantity.SAMPLE): 100.0,
            ("8", Quantity.FINAL): 100.0,
            ("3", Quantity.FINAL): 0.500,
        },
    )
    assert [each.run for each in cups_beyond(EXPERIMENT, table)] == ["8"]
    found = weigh_with_acid(EXPERIMENT, table, None).slips
    assert "slips-not-weighed" not in codes(list(found))
    assert "3" in {finding.run for finding in found}
