"""A sample that takes up acid in a way nobody declared: allowed for, or found and nothing said."""

from __future__ import annotations

from pathlib import Path

import pytest

from tarebook.api.reduce_series import must_stop, reduce_table
from tarebook.findings.finding import Severity
from tarebook.records.sheet import parse_sheet
from tarebook.reduction.joint.acid import BETTER_WITH_BASE, acid_in_sample
from tarebook.report.outcome import Outcome
from tarebook.report.text import text
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

LIME = Path(__file__).parents[1] / "snapshots" / "lime"
TABLE = parse_sheet((LIME / "readings.csv").read_text(encoding="utf-8"))
CONTENT = 0.8909
"""Of calcium carbonate; a twentieth of the mass is slaked lime, 1.35 mmol of protons per gram."""


def lime(own_acid: str = "") -> Experiment:
    definition = (LIME / "experiment.toml").read_text(encoding="utf-8")
    return parse_definition(definition.replace("[reagent]", f"{own_acid}\n\n[reagent]", 1))


def reduced(experiment: Experiment) -> Outcome:
    return reduce_table(experiment, TABLE, seed=1, draws=2_000, made_on="", pictures=False)


def test_lime_of_which_nothing_is_said_gets_an_interval_that_holds_the_truth() -> None:
    """It printed 95.8 ± 0.7 %, and that nothing odd was noticed."""
    full = reduced(lime()).full
    assert full.series is not None
    content = full.series.sample_mass_fraction
    assert content.low < CONTENT < content.high
    assert content.u < 0.03


@pytest.mark.slow
def test_lime_said_to_hold_no_base_gets_no_content_and_its_cause() -> None:
    outcome = reduced(lime('own_acid = "none"'))
    assert must_stop(outcome.findings)
    first = outcome.findings[0]
    assert (first.code, first.severity) == ("base-in-sample", Severity.STOP)
    found, u = (float(first.evidence[k]) for k in ("own_acid_mmol/g", "u_mmol/g"))
    assert found == pytest.approx(-1.35, abs=2 * u)
    content, content_u = (float(first.evidence[k]) for k in ("content_with", "content_u"))
    assert content == pytest.approx(CONTENT, abs=2 * content_u)
    fall = float(first.evidence["chi2_without"]) - float(first.evidence["chi2_with"])
    assert fall > BETTER_WITH_BASE
    assert outcome.series is None
    assert outcome.full.is_withheld
    assert "We found" not in text(outcome)


def test_what_it_says_to_do_gives_the_content() -> None:
    full = reduced(lime('own_acid = "unknown"')).full
    assert full.series is not None
    content = full.series.sample_mass_fraction
    assert content.low < CONTENT < content.high
    assert content.u < 0.03
    assert full.series.own_acid.value == pytest.approx(-1.35e-3, abs=1e-3)


def test_a_row_that_was_told_of_it_is_not_asked_again() -> None:
    assert acid_in_sample(lime('own_acid = "unknown"'), TABLE) is None
