"""A sample with acid that the definition does not know of: the cause is named, no content is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from tests.words import said, to_do

from tarebook.api.reduce_series import must_stop, reduce_table
from tarebook.diagnosis.acid import acid_finding, weigh_with_acid
from tarebook.diagnosis.fit import MISFIT_P
from tarebook.findings.finding import Severity
from tarebook.records.readings import Quantity, RunTable
from tarebook.records.sheet import parse_sheet
from tarebook.reduction.joint.acid import CLEARLY_BETTER, acid_in_sample
from tarebook.report.outcome import Outcome
from tarebook.report.payload import payload
from tarebook.report.text import text
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

pytestmark = pytest.mark.slow

Tablet = Callable[..., Experiment]
Row = Callable[..., RunTable]

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
GRANULES = parse_definition((POOL / "experiment.toml").read_text(encoding="utf-8"))
CITRIC = '[[sample.acids]]\nformula = "C6H8O7"\n'
DECLARED = f"{CITRIC}mmol_per_g = 0.85\nu_mmol_per_g = 0.05"
TRUTH = {"content": 0.58, "own_acid": 2.55e-3}
"""Of protons; a mole of citric acid gives three."""


def reduced(experiment: Experiment, table: RunTable) -> Outcome:
    return reduce_table(experiment, table, seed=1, draws=2_000, made_on="", pictures=False)


@pytest.mark.parametrize("seed", [1, 2, 4, 9])
def test_a_tablet_with_unknown_acid_gets_no_content_and_its_cause(
    tablet: Tablet, row_of: Row, seed: int
) -> None:
    """Own acid not declared, a cup of plain water first: it printed 14.5 ± 0.6 % of 58."""
    experiment, true = tablet(), tablet(DECLARED)
    outcome = reduced(experiment, row_of(true, seed, **TRUTH))
    assert outcome.full.series is None
    assert outcome.full.rejected is not None
    assert must_stop(outcome.findings)
    first = outcome.findings[0]
    assert (first.code, first.severity) == ("acid-in-sample", Severity.STOP)
    found, u = (float(first.evidence[k]) for k in ("own_acid_mmol/g", "u_mmol/g"))
    assert pytest.approx(found, abs=3 * u) == 2.5
    assert u < 0.5
    content, content_u = (float(first.evidence[k]) for k in ("content_with", "content_u"))
    assert pytest.approx(content, abs=3 * content_u) == 0.58
    assert 'own_acid = "unknown"' in to_do(first)
    assert first.evidence["run"] == "1"
    assert "cup 1 got no reagent" in said(first)
    # The cause is named once, and the fit that it spoils stands nowhere as a result.
    codes = [finding.code for finding in outcome.findings]
    assert "model-impossible" not in codes
    assert "no-full-result" not in codes
    series = payload(outcome)["series"]["full"]
    assert series["sample_mass_fraction"] is None
    assert payload(outcome)["method"]["main_result"] is None
    shown = " ".join(text(outcome).split())
    assert "No content is stated" in shown
    assert "We found" not in shown
    assert outcome.series is None


def test_what_the_finding_offers_is_what_the_declared_row_gives(
    tablet: Tablet, row_of: Row
) -> None:
    unknown, known = tablet(), tablet(DECLARED)
    table = row_of(known, 2, **TRUTH)
    offered = acid_in_sample(unknown, table)
    assert offered is not None
    assert offered.explains
    assert offered.chi2_without - offered.chi2_with > CLEARLY_BETTER
    assert offered.content is not None
    full = reduced(known, table).full
    assert full.series is not None
    difference = offered.content.value - full.series.sample_mass_fraction.value
    assert abs(difference) < offered.content.u


def test_with_the_acid_declared_nothing_is_said_of_it(tablet: Tablet, row_of: Row) -> None:
    experiment = tablet(DECLARED)
    for seed in range(12):
        table = row_of(experiment, seed, content=0.58)
        assert acid_in_sample(experiment, table) is None


def test_granules_without_acid_are_never_said_to_bring_any(row_of: Row) -> None:
    for seed in range(25):
        assert acid_in_sample(GRANULES, row_of(GRANULES, seed, content=0.94)) is None


@pytest.mark.parametrize(
    ("run", "quantity", "shift"),
    [
        ("1", Quantity.FINAL, -0.090),
        ("2", Quantity.SAMPLE, 0.300),
        ("3", Quantity.LIQUID, 0.100),
        ("4", Quantity.REAGENT, -0.010),
    ],
)
def test_one_slip_is_not_taken_for_acid(run: str, quantity: Quantity, shift: float) -> None:
    table = parse_sheet((POOL / "readings.csv").read_text(encoding="utf-8"))
    slipped = replace(
        table,
        readings=tuple(
            replace(r, value=r.value + shift) if (r.run, r.quantity) == (run, quantity) else r
            for r in table.readings
        ),
    )
    outcome = reduced(GRANULES, slipped)
    assert "acid-in-sample" not in {finding.code for finding in outcome.findings}


def test_a_slip_beside_the_acid_hides_neither(tablet: Tablet, row_of: Row) -> None:
    """Cup 6 of the tablets has a digit of its last mass wrong as well: half a gram."""
    experiment = tablet()
    table = row_of(tablet(DECLARED), 2, **TRUTH)
    slipped = replace(
        table,
        readings=tuple(
            replace(r, value=r.value + 0.5, typed=f"{r.value + 0.5:.3f}")
            if (r.run, r.quantity) == ("6", Quantity.FINAL)
            else r
            for r in table.readings
        ),
    )
    found = {(finding.code, finding.run) for finding in reduced(experiment, slipped).findings}
    assert ("acid-in-sample", "") in found
    assert "6" in {run for code, run in found if code.startswith("slip-")}


@pytest.mark.parametrize("seed", [0, 3, 4, 8])
def test_an_unknown_acid_is_found_by_the_fit_from_any_start(
    tablet: Tablet, row_of: Row, seed: int
) -> None:
    """Scanned by the content alone a row ended in a valley beside, at 51 % and 1.6 mmol/g."""
    experiment = tablet('own_acid = "unknown"')
    full = reduced(experiment, row_of(tablet(DECLARED), seed, **TRUTH)).full
    assert full.series is not None
    assert full.series.p_chi2 > MISFIT_P
    assert full.series.own_acid.value == pytest.approx(2.55e-3, abs=3 * full.series.own_acid.u)
    content = full.series.sample_mass_fraction
    assert content.value == pytest.approx(0.58, abs=3 * content.u)


def test_a_row_that_nothing_fits_without_its_acid_has_its_cause_named() -> None:
    """A fifth of citric acid, 0.23 g lost in plain water: without it no fit even settles."""
    folder = Path(__file__).parents[2] / "examples" / "fizzing-tablet-hand-soak"
    known = parse_definition((folder / "experiment.toml").read_text(encoding="utf-8"))
    silent = replace(known, sample=replace(known.sample, own_acid=None, acids=()))
    table = parse_sheet((folder / "readings.csv").read_text(encoding="utf-8"))
    acid = acid_in_sample(silent, table)
    assert acid is not None
    assert acid.explains
    said = acid_finding(silent, table, acid)
    assert said.evidence["run"] == "1"
    assert all(v != float("inf") for v in said.evidence.values())
    weighed = weigh_with_acid(silent, table, None)
    assert weighed.acid is not None
    assert [f.code for f in weighed.slips if f.severity is Severity.STOP] == []
    outcome = reduced(silent, table)
    assert outcome.full.is_withheld
    assert outcome.series is None
    assert "We found" not in text(outcome)
