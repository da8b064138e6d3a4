"""The fizzing tablet of the examples, as somebody defines it who does not know of its acid."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.words import to_do

from tarebook.api.reduce_series import reduce_table
from tarebook.findings.finding import Severity
from tarebook.records.sheet import parse_sheet
from tarebook.report.derivation import derivation
from tarebook.report.facts import facts
from tarebook.report.languages.writing import ENGLISH
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import run_results
from tarebook.series.definition import parse_definition

pytestmark = pytest.mark.slow

FOLDER = Path(__file__).parents[2] / "examples" / "fizzing-tablet-hand-soak"


@pytest.fixture(scope="module")
def outcome() -> Outcome:
    text = (FOLDER / "experiment.toml").read_text(encoding="utf-8")
    before, _, after = text.partition("[[sample.acids]]")
    _, _, rest = after.partition("\n[reagent]")
    definition = parse_definition(f"{before}\n[reagent]{rest}")
    assert definition.sample.acids == ()
    table = parse_sheet((FOLDER / "readings.csv").read_text(encoding="utf-8"))
    return reduce_table(definition, table, seed=1, draws=2_000, made_on="", pictures=False)


def test_the_acid_is_named_and_no_cup_is_accused(outcome: Outcome) -> None:
    """No setting fits the row as defined; that is the acid, not a stock, not five slips."""
    stops = [finding for finding in outcome.findings if finding.severity is Severity.STOP]
    assert [finding.code for finding in stops] == ["acid-in-sample"]
    assert 'own_acid = "unknown"' in to_do(stops[0])
    # a fifth of the mass is citric acid, 3 protons in 192.12 g
    found = float(stops[0].evidence["own_acid_mmol/g"])
    assert found == pytest.approx(3000 * 0.20 / 192.12, abs=0.3)


def test_no_content_is_stated(outcome: Outcome) -> None:
    assert outcome.full.series is None


def test_nothing_that_rests_on_a_content_is_said_beside_the_stop(outcome: Outcome) -> None:
    """The equivalence point of the two lines would make 32 % of 57, and 448 % the yield."""
    assert outcome.usual.series is None
    assert facts(outcome, ENGLISH) == ()
    for result in run_results(outcome):
        assert (result.limiting, result.yield_percent, result.gas_expected) == (None, None, None)
    names = {step.name for step in derivation(outcome, ENGLISH)}
    assert names == {"Amount of reagent", "Gas found", "Uncertainty"}
