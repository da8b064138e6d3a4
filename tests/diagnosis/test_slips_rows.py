"""Rows as laboratories have them: clean cups are left in peace, whatever the row."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.phrases import inside, names
from tests.slipped_rows import WELL_KNOWN, alike, changed, clean, defined

from tarebook.diagnosis.slips.case import case_of
from tarebook.diagnosis.slips.check import NOT_WEIGHED, SUREST, check_slips
from tarebook.diagnosis.slips.cups import CONTENT, OWN_ACID, SAMPLE, cups_of, shared_prior, view
from tarebook.diagnosis.slips.habits import habits_of
from tarebook.diagnosis.slips.hypotheses import Hypothesis
from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.diagnosis.slips.odds import default_odds
from tarebook.diagnosis.slips.rows import LEAST_CHANCE, log_sense
from tarebook.diagnosis.slips.shared import fit_shared
from tarebook.diagnosis.slips.weigh import CLEARLY, Weighed, is_clearly_better
from tarebook.findings.finding import Finding, Severity
from tarebook.model.effects import ALL_EFFECTS
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.joint.problem import N_SHARED, READ, joint_problem
from tarebook.series.experiment import Experiment

pytestmark = pytest.mark.slow


def severe(found: tuple[Finding, ...]) -> list[Finding]:
    return [finding for finding in found if finding.severity is not Severity.NOTE]


# What the sample brings itself -------------------------------------------------------------------


def test_own_acid_that_is_hardly_known_accuses_no_cup() -> None:
    """The content that is right with a wrong own acid leaves good cups out."""
    of = defined(own_acid_mmol_per_g=2.0, own_acid_u_mmol_per_g=2.0)
    found = [
        check_slips(of, clean(of, seed, own_acid=acid).table)
        for seed, acid in enumerate((0.0, 0.0005, 0.0012, 0.0030, 0.0035, 0.0040) * 4)
    ]
    assert sum(any(f.severity is Severity.STOP for f in one) for one in found) == 0
    assert sum(bool(severe(one)) for one in found) <= 2


@pytest.mark.parametrize("acid", [0.0, 0.0035])
def test_content_and_own_acid_are_found_together(acid: float) -> None:
    of = defined(own_acid_mmol_per_g=2.0, own_acid_u_mmol_per_g=1.5)
    table = clean(of, 3, own_acid=acid).table
    problem = joint_problem(of, table, table.runs, ALL_EFFECTS)
    prior = shared_prior(problem)
    fit = fit_shared(of, prior, cups_of(problem))
    found = prior.centre[OWN_ACID] + prior.step[OWN_ACID] * fit.shared[OWN_ACID]
    assert found == pytest.approx(acid, abs=0.0003)
    assert fit.kept.all()


# Ways of weighing, cups with nothing in them -----------------------------------------------------


def zeroed(table: RunTable, runs: tuple[str, ...]) -> RunTable:
    """The same row with the balance set to zero on these empty cups."""
    tare = np.array([table.mean_of(run, Quantity.TARE) for run in table.runs], dtype=np.float64)
    off = np.where([run in runs for run in table.runs], tare, 0.0)
    for quantity in (Quantity.TARE, Quantity.LIQUID, Quantity.FINAL):
        values = np.array([table.mean_of(run, quantity) for run in table.runs], dtype=np.float64)
        table = changed(table, quantity, values - off)
    return table


@pytest.mark.parametrize("which", [slice(None), slice(0, 1), slice(0, 4), slice(1, None)])
def test_a_balance_set_to_zero_on_the_cup_is_no_slip(which: slice) -> None:
    of = defined(own_acid_mmol_per_g=0.0)
    for seed in range(4):
        table = clean(of, seed, own_acid=0.0).table
        assert severe(check_slips(of, zeroed(table, table.runs[which]))) == []


def test_a_slip_is_found_where_the_balance_was_set_to_zero_on_the_cups() -> None:
    of = defined()
    table = clean(of, 2).table
    weighed = zeroed(table, table.runs)
    final = np.array([weighed.mean_of(run, Quantity.FINAL) for run in weighed.runs])
    final[4] += 9.0
    found = severe(check_slips(of, changed(weighed, Quantity.FINAL, final)))
    assert [(f.run, f.reading) for f in found] == [("5", "final_g")]


def test_blank_cups_go_through() -> None:
    """No sample in the last cup, no reagent in the first: nothing is wrong with either."""
    of = defined(own_acid_mmol_per_g=0.0)
    planned = tuple(replace(p, sample=0.0) if p.run == "9" else p for p in of.planned)
    of = replace(of, planned=planned)
    for seed in range(6):
        table = clean(of, seed, own_acid=0.0).table
        assert table.mean_of("9", Quantity.SAMPLE) == 0.0
        assert table.mean_of("1", Quantity.REAGENT) == 0.0
        assert severe(check_slips(of, table)) == []


def test_every_hypothesis_about_a_blank_cup_is_weighed() -> None:
    """A blank cup that is in doubt has no portion that can be lost, doubled or still fizzing."""
    of = defined(own_acid_mmol_per_g=0.0)
    planned = tuple(replace(p, sample=0.0) if p.run == "9" else p for p in of.planned)
    of = replace(of, planned=planned)
    table = clean(of, 1, own_acid=0.0).table
    final = np.array([table.mean_of(run, Quantity.FINAL) for run in table.runs])
    final[8] += 0.5
    (found,) = severe(check_slips(of, changed(table, Quantity.FINAL, final)))
    assert (found.run, found.reading) == ("9", "final_g")


# Beyond the model --------------------------------------------------------------------------------


def beyond() -> tuple[Experiment, RunTable]:
    """A row whose eighth cup asks for more than the activity model can be asked about."""
    of = defined(own_acid_mmol_per_g=0.0)
    planned = tuple(replace(p, sample=30.0) if p.run == "8" else p for p in of.planned)
    table = clean(of, 4, own_acid=0.0).table
    for quantity, more in ((Quantity.SAMPLE, 28.0), (Quantity.FINAL, 26.0)):
        values = np.array([table.mean_of(run, quantity) for run in table.runs])
        values[7] += more
        table = changed(table, quantity, values)
    return replace(of, planned=planned), table


def test_what_the_model_cannot_be_asked_about_is_not_judged() -> None:
    """A cup that keeps to its plan is no slip because the chemistry ends before it."""
    of, table = beyond()
    problem = joint_problem(of, table, table.runs, ALL_EFFECTS)
    cups = cups_of(problem)
    views = view(of, shared_prior(problem), np.zeros(N_SHARED), cups)
    assert views.possible.tolist() == [True] * 7 + [False, True]
    found = check_slips(of, table)
    assert severe(found) == []
    assert not any(f.code == NOT_WEIGHED for f in found), "the other cups are weighed"


def test_what_nobody_can_have_meant_is_judged_though_the_model_ends_before_it() -> None:
    of, table = beyond()
    planned = tuple(replace(p, sample=2.0) for p in of.planned)
    (found,) = severe(check_slips(replace(of, planned=planned), table))
    assert found.run == "8"
    assert found.severity is Severity.STOP
    assert found.code == "slip-unknown"
    assert {quantity for _, quantity in found.readings} == set(READ), "the whole cup is left out"
    assert "misfit_u" not in found.evidence, "of a cup that cannot be, no misfit is known"
    assert "probability" not in found.evidence


# What may be proposed ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("before", "after", "better"),
    [
        (7.8, 19.7, False),
        (7.8, 7.8, False),
        (12.0, 12.0 - CLEARLY + 0.1, False),
        (12.0, 12.0 - CLEARLY - 0.1, True),
        (np.inf, 3.0, True),
        (np.inf, np.inf, False),
    ],
)
def test_nothing_is_proposed_that_does_not_fit_clearly_better(
    before: float, after: float, better: bool
) -> None:
    """However rare the reading as it stands and however usual the slip."""
    of = defined()
    table = clean(of, 2).table
    problem = joint_problem(of, table, table.runs, ALL_EFFECTS)
    habits = habits_of(of, table.runs, cups_of(problem))
    case = case_of(of, table, default_odds(), habits, table.runs, 4)
    hypothesis = Hypothesis(
        kind=SlipKind.DIGIT_WRONG,
        quantity=Quantity.SAMPLE,
        rate=0.5,
        meant="2.100",
        cup=((SAMPLE, 2.1),),
        habit=((SAMPLE, 2.1),),
    )
    weighed = Weighed(hypothesis=hypothesis, log_evidence=50.0, misfit=after, value=2.1)
    assert is_clearly_better(case, weighed, before) is better


def test_no_finding_proposes_what_fits_worse_and_none_is_certain() -> None:
    """Over rows of large portions with a wrong digit in each."""
    of = defined(nominal_g=3.0, mol_per_L=0.8, own_acid_mmol_per_g=1.0)
    for seed in range(6):
        table = clean(of, seed, own_acid=0.001).table
        mass = np.array([table.mean_of(run, Quantity.SAMPLE) for run in table.runs])
        mass[seed + 2] += 0.7
        found = severe(check_slips(of, changed(table, Quantity.SAMPLE, mass)))
        assert [f.run for f in found] == [table.runs[seed + 2]]
        for finding in found:
            after = float(finding.evidence["misfit_u_if"])
            before = float(finding.evidence.get("misfit_u", np.inf))
            assert after**2 <= before**2 - CLEARLY
            assert float(finding.evidence["probability"]) <= SUREST


# A row that does not keep to the model -----------------------------------------------------------


def test_a_row_that_scatters_as_a_whole_accuses_no_single_cup_of_it() -> None:
    """Weighings far more restless than the balance says: no cup is worse than the others."""
    of = defined(own_acid_mmol_per_g=0.0)
    stops = 0
    for seed in range(12):
        table = clean(of, seed, own_acid=0.0).table
        rng = np.random.Generator(np.random.SFC64(1000 + seed))
        liquid = np.array([table.mean_of(run, Quantity.LIQUID) for run in table.runs])
        final = np.array([table.mean_of(run, Quantity.FINAL) for run in table.runs])
        table = changed(table, Quantity.LIQUID, liquid + 0.003 * rng.standard_normal(9))
        table = changed(table, Quantity.FINAL, final + 0.003 * rng.standard_normal(9))
        stops += any(f.severity is Severity.STOP for f in check_slips(of, table))
    assert stops <= 1


def test_the_other_runs_say_how_far_a_row_scatters() -> None:
    of = defined(own_acid_mmol_per_g=0.0)
    table = clean(of, 5, own_acid=0.0).table
    calm = joint_problem(of, table, table.runs, ALL_EFFECTS)
    assert fit_shared(of, shared_prior(calm), cups_of(calm)).scatter([3]) == 1.0
    final = np.array([table.mean_of(run, Quantity.FINAL) for run in table.runs])
    final += 0.02 * np.array([1, -1, 1, -1, 1, -1, 1, -1, 1])
    restless = joint_problem(of, changed(table, Quantity.FINAL, final), table.runs, ALL_EFFECTS)
    assert fit_shared(of, shared_prior(restless), cups_of(restless)).scatter([3]) > 2.0


# Something wrong with all runs alike -------------------------------------------------------------


def named(of: Experiment, table: RunTable) -> Finding:
    (found,) = severe(check_slips(of, table))
    return found


@pytest.mark.parametrize("boat", [0.35, -0.35])
def test_portions_weighed_with_the_boat(boat: float) -> None:
    of = defined(**WELL_KNOWN)
    found = named(of, alike(clean(of, 11).table, Quantity.SAMPLE, boat))
    # Portions and last masses off by as much are hardly told apart: both are named.
    assert names(found, SlipKind.PORTIONS_OFF)
    assert found.severity is Severity.STOP
    assert found.run == ""
    assert found.readings == ()


@pytest.mark.parametrize("seed", [12, 16, 17])
@pytest.mark.parametrize(
    ("quantity", "off", "true"),
    [
        (Quantity.FINAL, 0.4, SlipKind.WEIGHINGS_OFF),
        (Quantity.SAMPLE, -0.4, SlipKind.PORTIONS_OFF),
    ],
)
def test_last_masses_on_another_zero(
    quantity: Quantity, off: float, true: SlipKind, seed: int
) -> None:
    """Last masses too heavy and portions too light leave the same loss missing in every cup.

    Where all portions are alike the row cannot tell; how often we think each happens must not.
    """
    of = defined(**WELL_KNOWN)
    found = named(of, alike(clean(of, seed).table, quantity, off))
    first_or_tied = {found.code, str(found.evidence["as_likely"])}
    assert f"slip-{true.value}" in first_or_tied
    assert first_or_tied == {"slip-portions-off-throughout", "slip-weighings-off-throughout"}
    assert float(found.evidence["probability_of_this"]) < 0.501
    assert abs(float(found.evidence["too_heavy_g"])) == pytest.approx(0.4, abs=0.05)
    assert "content" not in found.evidence
    assert found.values["tied"] is True
    told = inside(found)
    assert set(told) == {
        found.code,
        *(f"slip-{of}-{SlipKind.PORTIONS_OFF.value}" for of in ("if", "now", "decide")),
        *(f"slip-{of}-{SlipKind.WEIGHINGS_OFF.value}" for of in ("if", "now", "decide")),
        "slip-row-decide",
    }


@pytest.mark.parametrize(
    ("quantity", "off", "true"),
    [
        (Quantity.FINAL, 0.4, SlipKind.WEIGHINGS_OFF),
        (Quantity.SAMPLE, -0.4, SlipKind.PORTIONS_OFF),
    ],
)
def test_a_blank_cup_tells_portions_from_last_masses(
    quantity: Quantity, off: float, true: SlipKind
) -> None:
    """Into a blank cup went no portion that could be off, but its last mass is off with the others.

    Two such cups: one alone may be a slip of its own.
    """
    of = defined(**WELL_KNOWN)
    blank = {"1", "9"}
    planned = tuple(replace(p, sample=0.0) if p.run in blank else p for p in of.planned)
    of = replace(of, planned=planned)
    table = clean(of, 12).table
    values = np.array([table.mean_of(run, quantity) for run in table.runs])
    at_fault = np.array([quantity is Quantity.FINAL or run not in blank for run in table.runs])
    found = named(of, changed(table, quantity, values + off * at_fault))
    assert found.code == f"slip-{true.value}"
    assert "as_likely" not in found.evidence


def test_columns_of_the_two_liquids_exchanged() -> None:
    of = defined(**WELL_KNOWN)
    table = clean(of, 13).table
    other = {Quantity.REAGENT: Quantity.DILUENT, Quantity.DILUENT: Quantity.REAGENT}
    readings = tuple(replace(r, quantity=other.get(r.quantity, r.quantity)) for r in table.readings)
    found = named(of, replace(table, readings=readings))
    assert found.code == "slip-liquids-exchanged-throughout"
    assert float(found.evidence["content"]) == pytest.approx(0.58, abs=0.02)


@pytest.mark.parametrize("factor", [0.1, 0.7, 1.4, 10.0])
def test_a_label_misread(factor: float) -> None:
    of = defined(**WELL_KNOWN)
    table = clean(of, 14).table
    wrong = defined(**WELL_KNOWN, mol_per_L=0.4 * factor)
    found = named(wrong, table)
    assert names(found, SlipKind.OTHER_STOCK_THROUGHOUT)
    if "strength_mol_per_L" in found.evidence:
        assert float(found.evidence["strength_mol_per_L"]) == pytest.approx(0.4, rel=0.03)


def test_every_cup_weighed_too_early_is_among_what_is_named() -> None:
    """It looks much like another stock and a smaller content: both are said."""
    of = defined(**WELL_KNOWN)
    table = clean(of, 15).table
    mass = {q: np.array([table.mean_of(r, q) for r in table.runs]) for q in Quantity if q.is_mass}
    lost = mass[Quantity.LIQUID] + mass[Quantity.SAMPLE] - mass[Quantity.FINAL]
    found = named(of, changed(table, Quantity.FINAL, mass[Quantity.FINAL] + 0.2 * lost))
    assert names(found, SlipKind.WEIGHED_EARLY_THROUGHOUT)


def test_a_balance_that_shows_a_tenth_too_much() -> None:
    of = defined(**WELL_KNOWN)
    table = clean(of, 16).table
    for quantity in (Quantity.TARE, Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL):
        values = np.array([table.mean_of(run, quantity) for run in table.runs])
        table = changed(table, quantity, 1.1 * values)
    found = named(of, table)
    assert found.code == "slip-balance-scale-off"
    assert float(found.evidence["factor"]) == pytest.approx(1.1)


def test_a_content_above_one_pays() -> None:
    """Two stocks fit alike; the one that needs more than all of the sample is the less likely."""
    of = defined(**WELL_KNOWN)
    problem = joint_problem(of, clean(of, 2).table, clean(of, 2).table.runs, ALL_EFFECTS)
    prior = shared_prior(problem)
    fit = fit_shared(of, prior, cups_of(problem))
    high = replace(prior, centre=prior.centre + (0.6 * (np.arange(len(prior.centre)) == CONTENT)))
    assert log_sense(fit) == pytest.approx(0.0, abs=1e-6)
    assert log_sense(replace(fit, prior=high)) == pytest.approx(np.log(LEAST_CHANCE))


@pytest.mark.parametrize("seed", range(8))
def test_clean_rows_have_nothing_wrong_in_all_runs(seed: int) -> None:
    of = defined(**WELL_KNOWN)
    assert not any("throughout" in f.code for f in check_slips(of, clean(of, seed).table))
