"""What is read off the fit: budget, residuals, chances, waterfall, what was learned."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from tests import dense_fit

from tarebook.core.phrase import Phrase
from tarebook.model.cup import Contents, cup_state
from tarebook.model.effects import ALL_EFFECTS, NO_EFFECTS
from tarebook.model.observables import Seen
from tarebook.model.parameters import NAMES
from tarebook.model.priors import central_parameters
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.joint.band import BAND_POINTS
from tarebook.reduction.joint.full import reduce_full
from tarebook.reduction.joint.learned import INFORMED, TOLD_APART
from tarebook.reduction.joint.problem import N_SHARED, READ, joint_problem
from tarebook.reduction.joint.results import FullReduction, FullSeries
from tarebook.reduction.joint.solution import NoFitError, Solution
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.trial import CONTENT
from tarebook.reduction.joint.waterfall import NO_EFFECTS as FIRST_JOINT
from tarebook.reduction.joint.waterfall import ORDER, USUAL, waterfall
from tarebook.reduction.results import SetAside
from tarebook.series.experiment import Experiment

Exact = Callable[..., RunTable]
Build = Callable[..., Experiment]
Drawn = Callable[..., list[tuple[RunTable, object]]]
NONE = SetAside(unusable={}, doubtful={})


@pytest.fixture(scope="module")
def table(granules: Experiment, drawn: Drawn) -> RunTable:
    ((readings, _),) = drawn(granules, 1, seed=12, low=0.94, high=0.95)
    return readings


@pytest.fixture(scope="module")
def solution(granules: Experiment, table: RunTable) -> Solution:
    return solve(joint_problem(granules, table, table.runs, ALL_EFFECTS))


@pytest.fixture(scope="module")
def found(granules: Experiment, table: RunTable) -> FullReduction:
    return reduce_full(granules, table, NONE, 0.88)


@pytest.fixture(scope="module")
def whole(found: FullReduction) -> FullSeries:
    assert found.series is not None
    return found.series


def test_the_budget_adds_up_to_one(whole: FullSeries) -> None:
    shares = [line.share for line in whole.budget]
    assert sum(shares) == pytest.approx(1.0, rel=1e-12)
    assert shares == sorted(shares, reverse=True)
    assert len({line.source for line in whole.budget}) == len(whole.budget)


def test_a_share_of_the_budget_is_what_that_source_moves(
    granules: Experiment, whole: FullSeries, solution: Solution
) -> None:
    """The strength of the stock, and the sample's acid: move the prior, fit again, square."""
    problem, u = solution.problem, whole.sample_mass_fraction.u
    for name, label in (
        ("concentration", "strength of the stock"),
        ("own_acid", "acid of the sample itself"),
    ):
        moved = []
        for sign in (1, -1):
            priors = tuple(
                replace(p, centre=p.centre + sign * 0.2 * p.u) if p.name == name else p
                for p in problem.priors
            )
            again = solve(replace(problem, priors=priors), start=solution.unknowns)
            moved.append(again.unknowns[CONTENT])
        per_u = (moved[0] - moved[1]) / 0.4
        share = {line.source: line.share for line in whole.budget}[label]
        assert share == pytest.approx((per_u / u) ** 2, rel=0.05)


def test_single_weighings_are_a_source_of_their_own(
    granules: Experiment, whole: FullSeries, solution: Solution
) -> None:
    """Sum over the final masses, each moved by its u; the other weighings with them."""
    problem, u = solution.problem, whole.sample_mass_fraction.u
    total = 0.0
    rows = [READ.index(q) for q in (Quantity.TARE, Quantity.LIQUID, Quantity.FINAL)]
    rows.append(READ.index(Quantity.SAMPLE))
    for row in rows:
        for run in range(problem.n_runs):
            observed = problem.observed.copy()
            observed[row, run] += problem.u[row, run]
            again = solve(replace(problem, observed=observed), start=solution.unknowns)
            total += (again.unknowns[CONTENT] - solution.unknowns[CONTENT]) ** 2
    share = {line.source: line.share for line in whole.budget}["0.001 g balance: single weighings"]
    assert share == pytest.approx(total / u**2, rel=0.05)


def test_residuals_and_leverages(found: FullReduction, solution: Solution) -> None:
    """Leverages of readings and of what was known add up to the unknowns; residuals to chi2."""
    residuals = [r for run in found.runs for r in run.residuals]
    problem = solution.problem
    assert len(residuals) == 6 * problem.n_runs
    of_priors = dense_fit.jacobian(solution.slopes)[6 * problem.n_runs :]
    covariance = dense_fit.covariance(solution)
    leverage = sum(r.leverage for r in residuals)
    leverage += float(np.einsum("ij,jk,ik->", of_priors, covariance, of_priors))
    assert leverage == pytest.approx(len(solution.unknowns), rel=1e-6)
    squares = sum(((r.observed - r.expected) / r.u) ** 2 for r in residuals)
    squares += float(np.sum(solution.rows[6 * problem.n_runs :] ** 2))
    assert squares == pytest.approx(solution.chi2, rel=1e-9)
    for r in residuals:
        plain = (r.observed - r.expected) / r.u
        assert r.standardised == pytest.approx(plain / math.sqrt(1 - r.leverage), rel=1e-6)


def test_a_wrong_reading_stands_out(granules: Experiment, table: RunTable) -> None:
    """20 mg on one final mass: the largest standardised residuals are those of that run."""
    readings = tuple(
        replace(r, value=r.value + 0.020) if r.run == "6" and r.quantity is Quantity.FINAL else r
        for r in table.readings
    )
    wrong = reduce_full(granules, replace(table, readings=readings), NONE, None, pictures=False)
    # So bad a fit is no result; it is kept to say where it fails.
    assert wrong.series is None
    assert wrong.rejected is not None
    assert wrong.rejected.p_chi2 < 1e-6
    runs = wrong.rejected_runs
    largest = {run.run: max(abs(r.standardised) for r in run.residuals) for run in runs}
    assert max(largest, key=lambda run: largest[run]) == "6"
    assert largest["6"] > 3


def test_what_a_splash_does(granules: Experiment, exact: Exact) -> None:
    """docs/model.md: 50 mg that left one cup as drops and not as gas."""
    table = exact(granules, 0.944)
    readings = tuple(
        replace(r, value=r.value - 0.050) if r.run == "7" and r.quantity is Quantity.FINAL else r
        for r in table.readings
    )
    found = reduce_full(granules, replace(table, readings=readings), NONE, None, pictures=False)
    assert found.series is None
    assert found.rejected is not None
    higher = 100 * (found.rejected.sample_mass_fraction.value / 0.944 - 1)
    page = (Path(__file__).parents[3] / "docs" / "model.md").read_text(encoding="utf-8")
    assert f"raises the content by {higher:.1f} %" in " ".join(page.split())
    assert found.rejected.p_chi2 < 1e-6


def test_chances_and_limiting(found: FullReduction) -> None:
    chances = [run.p_reagent_limiting for run in found.runs]
    assert chances[0] > 0.9999
    assert chances[-1] < 0.0001
    for run in found.runs:
        assert run.limiting == ("reagent" if run.p_reagent_limiting > 0.5 else "sample")


def test_gas_found_is_gas_expected_within_its_u(found: FullReduction) -> None:
    for run in found.runs:
        assert run.gas_full is not None
        off = run.gas_full.value - run.gas_expected.value
        assert abs(off) < 4 * run.gas_full.u
        kept = run.dissolved + run.head_gas
        assert run.retained.value == pytest.approx(kept, rel=1e-9)
        assert run.ph is not None
        assert run.ph.low < run.ph.value < run.ph.high


def test_the_ph_carries_what_databases_disagree_about(found: FullReduction) -> None:
    """Where bicarbonate is left over the first pK counts in full; where acid is, activities do."""
    first, last = found.runs[0].ph, found.runs[-1].ph
    assert first is not None
    assert last is not None
    assert first.u > 0.05
    assert 0.02 < last.u < 0.04


def test_the_waterfall_ends_at_the_full_result(whole: FullSeries) -> None:
    steps = whole.waterfall
    assert steps[0].label == USUAL
    assert steps[0].content == 0.88
    assert steps[1].label == FIRST_JOINT
    assert [step.label for step in steps[2:]] == [effect.value for effect in ORDER]
    assert set(ORDER) == ALL_EFFECTS
    end = whole.sample_mass_fraction
    assert steps[-1].content == pytest.approx(end.value, abs=0.005 * end.u)
    for before, after in pairwise(steps):
        assert after.change == pytest.approx(after.content - before.content, abs=1e-15)


def test_the_waterfall_without_a_usual_sum(solution: Solution) -> None:
    steps = waterfall(solution, None)
    assert steps[0].label == FIRST_JOINT
    assert steps[0].change == 0.0


def test_a_step_that_does_not_settle_is_left_out(
    solution: Solution, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tarebook.reduction.joint import waterfall as module

    def stubborn(problem: object, **known: object) -> Solution:
        if len(problem.effects) == 3:  # type: ignore[attr-defined] # it is a JointProblem
            raise NoFitError
        return solve(problem, **known)  # type: ignore[arg-type] # passed on as it came

    monkeypatch.setattr(module, "solve", stubborn)
    labels = [step.label for step in waterfall(solution, 0.88)]
    assert len(labels) == len(ORDER) + 1
    assert ORDER[2].value not in labels


def test_the_dissolved_gas_is_the_largest_step_of_a_clean_series(whole: FullSeries) -> None:
    changes = {step.label: step.change for step in whole.waterfall[2:]}
    assert max(changes, key=lambda label: changes[label]) == "dissolved gas"
    assert 0.03 < changes["dissolved gas"] < 0.08
    assert changes["vapour"] < 0 < changes["head gas"]


def test_the_band_goes_through_the_readings(whole: FullSeries, table: RunTable) -> None:
    band = whole.band
    reagent = np.array([point.reagent for point in band])
    lost = np.array([point.lost for point in band])
    assert reagent[0] == 0.0
    assert reagent[-1] == pytest.approx(0.040)
    assert all(point.low <= point.lost <= point.high for point in band)
    for run in table.runs:
        liquid, sample, final = (
            table.of(run, q)[0].value for q in (Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
        )
        at = np.interp(table.of(run, Quantity.REAGENT)[0].value, reagent, lost)
        # the row's pours and portions scatter about the nominal ones of the curve
        assert liquid + sample - final == pytest.approx(at, abs=0.03)
    ph = np.array([point.ph for point in band], dtype=np.float64)
    assert np.all(np.diff(ph) < 0.05)
    assert 7.9 < ph[0] < 8.3
    assert ph[-1] < 2


def test_the_equivalence_point(granules: Experiment, exact: Exact) -> None:
    found = reduce_full(granules, exact(granules, 0.90), NONE, None, pictures=False).series
    assert found is not None
    moles = 0.90 * 1.5 / granules.reaction.analyte_molar_mass.value
    poured = moles / 0.750 + found.hold_up.value
    assert found.equivalence.value == pytest.approx(poured, rel=1e-6)
    assert 0 < found.equivalence.u < 0.0005


def test_what_was_learned(whole: FullSeries) -> None:
    names = [parameter.name for parameter in whole.parameters]
    assert tuple(names) == NAMES
    for parameter in whole.parameters:
        assert 0 <= parameter.learned <= 1
        assert (parameter.name in whole.uninformed) == (parameter.learned < INFORMED)
        assert parameter.value.low < parameter.value.value < parameter.value.high
        assert parameter.source.work
    learned = {parameter.name: parameter.learned for parameter in whole.parameters}
    assert learned["content"] == 1.0
    assert "vapour_saturation" in whole.uninformed
    assert "hold_up_reagent" not in whole.uninformed


def test_parameters_that_act_alike_are_said_to_be_confounded(
    granules: Experiment, exact: Exact
) -> None:
    """All cups wait alike: nothing tells what evaporates from gas that leaves with time."""
    full = reduce_full(granules, exact(granules, 0.90), NONE, None, pictures=False).series
    assert full is not None
    pairs = {frozenset((pair.first, pair.second)): pair.correlation for pair in full.confounded}
    assert pairs[frozenset(("evaporation", "degassing"))] < -TOLD_APART
    assert frozenset(("gas_pressure", "scale_reagent")) not in pairs


def test_confounded_pairs_move_together_and_the_prediction_stays(
    granules: Experiment, exact: Exact
) -> None:
    """What confounded means: along the pair's direction the readings hardly change."""
    table = exact(granules, 0.90)
    problem = joint_problem(granules, table, table.runs, ALL_EFFECTS)
    best = solve(problem)
    i, j = NAMES.index("evaporation"), NAMES.index("degassing")
    fixed = np.zeros(problem.n_unknowns, dtype=np.bool_)
    fixed[[i, j]] = True
    growth = {}
    for name, signs in (("along", (1, -1)), ("across", (1, 1))):
        start = best.unknowns.copy()
        start[i] += signs[0] * 0.5 * problem.priors[i].u
        start[j] += signs[1] * 0.5 * problem.priors[j].u
        moved = solve(problem, start=start, fixed=fixed, with_covariance=False)
        n = 6 * problem.n_runs
        growth[name] = float(np.sum(moved.rows[:n] ** 2))
    assert growth["along"] < 0.35 * growth["across"]


@pytest.mark.slow
def test_chi2_is_what_chance_gives(granules: Experiment, drawn: Drawn) -> None:
    values, dof = [], 0
    for table, _ in drawn(granules, 40, seed=13):
        full = solve(joint_problem(granules, table, table.runs, ALL_EFFECTS))
        values.append(full.chi2)
        dof = full.dof
    # readings are rounded and scales are triangular, so the tails are a little short
    assert np.mean(values) == pytest.approx(dof, abs=4 * math.sqrt(2 * dof / 40))


def test_effects_that_are_off_leave_their_parameters_alone(
    granules: Experiment, table: RunTable
) -> None:
    found = reduce_full(granules, table, NONE, None, NO_EFFECTS, pictures=False)
    # Without the effects the model cannot explain the row, so the fit is evidence, no result.
    assert found.series is None
    assert found.rejected is not None
    assert set(found.rejected.uninformed) == set(NAMES) - {"content", "concentration"}
    assert all(run.ph is None for run in found.rejected_runs)
    assert all(run.retained.value == 0.0 for run in found.rejected_runs)


def test_a_reaction_without_equilibrium(build: Build, exact: Exact) -> None:
    """Magnesium and acid: a result, no pH, and what was taken for granted in words."""
    metal = build(
        {
            "NaHCO3 + HCl -> NaCl + H2O + CO2": "Mg + 2 HCl -> MgCl2 + H2",
            '"NaHCO3"': '"Mg"',
            'gas = "CO2"': 'gas = "H2"',
            "nominal_g = 1.5": "nominal_g = 0.20",
            "[vessel]": "[waiting]\nevaporation_mg_per_minute = 0.05\n[vessel]",
        }
    )
    found = reduce_full(metal, exact(metal, 0.97), NONE, None)
    assert found.series is not None
    assert found.series.sample_mass_fraction.value == pytest.approx(0.97, abs=2e-4)
    assert all(run.ph is None for run in found.runs)
    assert all(point.ph is None for point in found.series.band)
    (said,) = found.series.assumptions
    assert said.key == "model-no_equilibrium"


def test_chalk(build: Build, exact: Exact) -> None:
    chalk = build(
        {"NaHCO3 + HCl -> NaCl + H2O + CO2": "CaCO3 + 2 HCl -> CaCl2 + H2O + CO2"}
        | {'"NaHCO3"': '"CaCO3"', "nominal_g = 1.5": "nominal_g = 0.90"}
    )
    found = reduce_full(chalk, exact(chalk, 0.93), NONE, None, pictures=False)
    assert found.series is not None
    assert found.series.sample_mass_fraction.value == pytest.approx(0.93, abs=1e-4)
    assert found.series.assumptions[0].key == "model-dissolves_so_far"


def test_a_cup_outside_the_constants_gives_a_reason(build: Build, exact: Exact) -> None:
    """3 degC: the readings could be made at 20 only, the fit refuses and says why."""
    cold = build({"[vessel]": "[room]\ntemperature_C = 3\n[vessel]"})
    table = exact(build(), 0.90)
    readings = tuple(
        replace(r, value=276.15) if r.quantity is Quantity.TEMPERATURE else r
        for r in table.readings
    )
    found = reduce_full(cold, replace(table, readings=readings), NONE, None)
    assert found.series is None
    assert found.no_series_because is not None
    assert "temperature" in str(found.no_series_because.values["name"])
    assert found.runs == ()


def test_a_row_beyond_the_change_over_has_its_plateau(build: Build, exact: Exact) -> None:
    """The sample is used up in every cup: what was made says what it holds."""
    long = build({"[5, 10, 14, 18, 22, 26, 30, 35]": "[28, 30, 32, 34, 36]"})
    found = reduce_full(long, exact(long, 0.95), NONE, None, pictures=False)
    assert found.series is not None
    assert found.series.sample_mass_fraction.value == pytest.approx(0.95, abs=1e-5)
    assert all(run.p_reagent_limiting < 0.001 for run in found.runs)


def test_ware_that_is_declared_exact(build: Build, exact: Exact) -> None:
    """No tolerance and no reading error: there is still something to divide by."""
    ware = 'capacity_mL = 50\ngrade = "A"'
    perfect = build({ware: "capacity_mL = 50\ntolerance_mL = 0\nreading_half_width_mL = 0"})
    found = reduce_full(perfect, exact(perfect, 0.90), NONE, None, pictures=False).series
    assert found is not None
    assert found.sample_mass_fraction.value == pytest.approx(0.90, rel=1e-5)


def test_the_curve_leaves_liquid_behind_at_every_filling(build: Build, exact: Exact) -> None:
    """Poured with a cylinder of 10 mL: 30 mL leave three films behind, not one."""
    small = build({"capacity_mL = 50": "capacity_mL = 10"})
    table = exact(small, 0.90)
    found = reduce_full(small, table, NONE, None).series
    assert found is not None
    fitted = central_parameters(small).with_values(
        **{each.name: np.array(each.value.value) for each in found.parameters}
    )
    point = next(each for each in found.band if each.reagent == pytest.approx(0.014))
    acid = 0.014 * (1 + fitted.scale_reagent) - 2 * fitted.hold_up_reagent
    water = 0.026 * (1 + fitted.scale_diluent) - 3 * fitted.hold_up_diluent
    minutes, celsius_ = (
        np.mean([table.of(run, q)[0].value for run in table.runs])
        for q in (Quantity.MINUTES, Quantity.TEMPERATURE)
    )
    contents = Contents(
        reagent=np.array([acid]),
        diluent=np.array([water]),
        sample=np.array([small.sample.nominal_mass]),
        temperature=np.array([celsius_]),
        minutes=np.array([minutes]),
    )
    state = cup_state(small, fitted, contents)
    shown = Seen(small, fitted, contents, np.zeros(1), state)
    lost = shown.lost
    assert point.lost == pytest.approx(float(lost[0]), abs=1e-5)


def test_the_curve_of_a_row_in_which_the_sample_grows(build: Build, exact: Exact) -> None:
    grows = build({"[5, 10, 14, 18, 22, 26, 30, 35]": "[30]\nsample_g = [0.8, 1, 1.5, 2, 2.5, 3]"})
    table = exact(grows, 0.90)
    found = reduce_full(grows, table, NONE, None).series
    assert found is not None
    assert {point.reagent for point in found.band} == {0.030}
    assert found.band[0].sample == 0.0
    masses = [point.sample for point in found.band]
    for run in table.runs:
        liquid, sample, final = (
            table.of(run, q)[0].value for q in (Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
        )
        lost = np.interp(sample, masses, [point.lost for point in found.band])
        # the pours of the row scatter by some tenths of a mL about that of the curve
        assert lost == pytest.approx(liquid + sample - final, abs=0.02)
    assert found.equivalence_sample is not None
    assert found.meets_at == found.equivalence_sample
    assert found.equivalence_sample.unit == "g"
    # By volume and by mass it is one point, but for the film that stays in the cylinder.
    nominal = grows.sample.nominal_mass * 0.030 / found.equivalence.value
    assert found.equivalence_sample.value == pytest.approx(nominal, rel=0.01)


def test_the_curve_ends_where_the_model_does(build: Build, exact: Exact) -> None:
    """A strong stock, 6 mol/L: nothing but it is beyond the constants, the runs are not."""
    strong = build(
        {"mol_per_L = 0.750": "mol_per_L = 6.000"}
        | {"[5, 10, 14, 18, 22, 26, 30, 35]": "[1, 1.4, 1.8, 2.2, 2.6, 3, 3.6, 4.2]"}
    )
    found = reduce_full(strong, exact(strong, 0.90), NONE, None).series
    assert found is not None
    assert found.sample_mass_fraction.value == pytest.approx(0.90, rel=1e-5)
    reagent = [point.reagent for point in found.band]
    assert len(reagent) == BAND_POINTS
    assert 0.0005 < min(reagent) < 0.0010
    assert 0.0030 < max(reagent) < 0.0046


def test_cups_of_pure_diluent_and_pure_reagent(build: Build, exact: Exact) -> None:
    """What was not poured has no error: no liquid left behind, no eye at a meniscus."""
    ends = build({"[5, 10, 14, 18, 22, 26, 30, 35]": "[0, 10, 20, 30, 40]"})
    table = exact(ends, 0.90)
    full = reduce_full(ends, table, NONE, None)
    assert full.series is not None
    assert full.series.sample_mass_fraction.value == pytest.approx(0.90, abs=1e-5)
    assert full.runs[0].reagent.value == pytest.approx(0.0, abs=1e-12)
    # the sample's own acid is zero but for what is not known of it
    assert full.runs[0].gas_expected.value == pytest.approx(0.0, abs=1e-9)
    assert full.runs[0].gas_expected.u < 0.002
    assert full.runs[0].limiting == "reagent"


def test_the_content_is_not_bounded_by_one(granules: Experiment, exact: Exact) -> None:
    """More than all of the sample: a finding elsewhere, not a wall here."""
    found = reduce_full(granules, exact(granules, 1.08), NONE, None, pictures=False).series
    assert found is not None
    assert found.sample_mass_fraction.value == pytest.approx(1.08, rel=1e-5)


def test_the_claim_is_compared(build: Build, exact: Exact) -> None:
    claimed = build(
        {"nominal_g = 1.5": "nominal_g = 1.5\nclaimed_mass_fraction = 0.95\nclaimed_u = 0.01"}
    )
    full = reduce_full(claimed, exact(claimed, 0.85), NONE, None, pictures=False).series
    assert full is not None
    assert full.claim is not None
    assert not full.claim.agrees
    assert full.claim.difference == pytest.approx(-0.10, abs=1e-5)
    plain = reduce_full(build(), exact(build(), 0.85), NONE, None, pictures=False).series
    assert plain is not None
    assert plain.claim is None


def test_repeats_count_as_their_mean(granules: Experiment, table: RunTable) -> None:
    """What differs is a reading of its own; the line of a graduation stays where it is."""
    step = granules.equipment.balance.readability
    again = tuple(
        replace(r, value=r.value + 2 * step, typed=f"{r.value + 2 * step:.4f}")
        for r in table.readings
        if r.quantity.is_mass
    )
    twice = replace(table, readings=table.readings + again)
    problem = joint_problem(granules, twice, twice.runs, ALL_EFFECTS)
    once = joint_problem(granules, table, table.runs, ALL_EFFECTS)
    masses = [READ.index(quantity) for quantity in READ if quantity.is_mass]
    np.testing.assert_allclose(problem.observed[masses], once.observed[masses] + step)
    np.testing.assert_allclose(problem.u[masses], once.u[masses] / math.sqrt(2))
    assert problem.n_unknowns == N_SHARED + 4 * problem.n_runs


@pytest.mark.parametrize("times", [2, 10, 400])
def test_the_same_number_again_tells_nothing_new(
    granules: Experiment, table: RunTable, times: int
) -> None:
    again = replace(table, readings=tuple(r for r in table.readings for _ in range(times)))
    problem = joint_problem(granules, again, again.runs, ALL_EFFECTS)
    once = joint_problem(granules, table, table.runs, ALL_EFFECTS)
    np.testing.assert_allclose(problem.observed, once.observed)
    np.testing.assert_allclose(problem.u, once.u)


def test_a_metal_that_loses_more_water_than_hydrogen_gets_no_content(
    build: Build, exact: Exact
) -> None:
    """In an open cup that stands there warm the water weighs as much as the gas."""
    metal = build(
        {
            "NaHCO3 + HCl -> NaCl + H2O + CO2": "Mg + 2 HCl -> MgCl2 + H2",
            '"NaHCO3"': '"Mg"',
            'gas = "CO2"': 'gas = "H2"',
            "nominal_g = 1.5": "nominal_g = 0.20",
        }
    )
    found = reduce_full(metal, exact(metal, 0.97), NONE, None)
    assert found.series is None
    assert found.no_series_because == Phrase("open-water-hides-gas")


UNSAID = "own_acid_mmol_per_g = 0.0\nown_acid_u_mmol_per_g = 0.03\n"


def lime(build: Build, said: str) -> Experiment:
    """Return a row of lime, in which the definition says something of its acid or nothing."""
    return build(
        {"NaHCO3 + HCl -> NaCl + H2O + CO2": "CaCO3 + 2 HCl -> CaCl2 + H2O + CO2"}
        | {'"NaHCO3"': '"CaCO3"', "nominal_g = 1.5": "nominal_g = 0.90", UNSAID: said}
    )


@pytest.mark.parametrize("slaked", [0.0, 0.02, 0.05, 0.10])
def test_slaked_lime_in_chalk_of_which_nothing_is_said(
    build: Build, exact: Exact, slaked: float
) -> None:
    """It eats acid and gives no gas, which looks like gas that stayed in all cups."""
    chalk = lime(build, "")
    table = exact(chalk, 0.85, own_acid=-2.0 * slaked / 74.093)
    series = reduce_full(chalk, table, NONE, None, pictures=False).series
    assert series is not None
    found = series.sample_mass_fraction
    assert found.low < 0.85 < found.high
    assert "model-may_hold_base" in {one.key for one in series.assumptions}


def test_a_word_that_there_is_no_base_makes_the_content_surer(build: Build, exact: Exact) -> None:
    unsaid, said = lime(build, ""), lime(build, 'own_acid = "none"\n')
    table = exact(said, 0.85)
    wide, narrow = (
        reduce_full(one, table, NONE, None, pictures=False).series for one in (unsaid, said)
    )
    assert wide is not None
    assert narrow is not None
    assert wide.sample_mass_fraction.u > 1.6 * narrow.sample_mass_fraction.u
    assert "model-may_hold_base" not in {one.key for one in narrow.assumptions}
