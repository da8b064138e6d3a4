"""A carbonate or an acid that the model does not know: said beforehand, and no content stated."""

from __future__ import annotations

from pathlib import Path

import pytest

from tarebook.api.reduce_series import must_stop, reduce_table
from tarebook.findings.finding import Severity
from tarebook.model.cup_chemistry import gas_kept_is_unknown
from tarebook.planning.contents import content_range
from tarebook.planning.judge import faults
from tarebook.records.sheet import parse_sheet
from tarebook.report.text import text
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
DEFINITION = (POOL / "experiment.toml").read_text(encoding="utf-8")
EQUATION = "NaHCO3 + HCl -> NaCl + H2O + CO2"


def with_reaction(equation: str, sample: str, reagent: str, gas: str = "CO2") -> Experiment:
    assert EQUATION in DEFINITION
    changed = DEFINITION.replace(EQUATION, equation)
    changed = changed.replace('sample = "NaHCO3"', f'sample = "{sample}"')
    changed = changed.replace('reagent = "HCl"', f'reagent = "{reagent}"')
    return parse_definition(changed.replace('gas = "CO2"', f'gas = "{gas}"'))


LITHIUM = ("Li2CO3 + 2 HCl -> 2 LiCl + H2O + CO2", "Li2CO3", "HCl")


@pytest.mark.parametrize(
    ("reaction", "is_unknown"),
    [
        (LITHIUM, True),
        (("Mg5(CO3)4(OH)2 + 10 HCl -> 5 MgCl2 + 6 H2O + 4 CO2", "Mg5(CO3)4(OH)2", "HCl"), True),
        (("NaHCO3 + HClO4 -> NaClO4 + H2O + CO2", "NaHCO3", "HClO4"), True),
        (("Na2SO3 + 2 HCl -> 2 NaCl + H2O + SO2", "Na2SO3", "HCl", "SO2"), True),
        ((EQUATION, "NaHCO3", "HCl"), False),
        (("NaHCO3 + CH2O2 -> NaCHO2 + H2O + CO2", "NaHCO3", "CH2O2"), False),
        (("Mg + 2 HCl -> MgCl2 + H2", "Mg", "HCl", "H2"), False),
        (("Mn + 2 HCl -> MnCl2 + H2", "Mn", "HCl", "H2"), False),
    ],
)
def test_whose_gas_is_known(reaction: tuple[str, ...], *, is_unknown: bool) -> None:
    assert gas_kept_is_unknown(with_reaction(*reaction).reaction) is is_unknown


def test_the_plan_refuses() -> None:
    """It said "This plan works" and promised the content to 0.64 %."""
    experiment = with_reaction(*LITHIUM)
    advices = faults(experiment, content_range(experiment))
    assert (advices[0].code, advices[0].severity) == ("chemistry-unknown", "stop")


def test_no_content_is_stated_and_no_cup_accused() -> None:
    table = parse_sheet((POOL / "readings.csv").read_text(encoding="utf-8"))
    outcome = reduce_table(
        with_reaction(*LITHIUM), table, seed=1, draws=2_000, made_on="", pictures=False
    )
    assert must_stop(outcome.findings)
    first = outcome.findings[0]
    assert (first.code, first.severity) == ("chemistry-unknown", Severity.STOP)
    assert outcome.full.is_withheld
    assert outcome.series is None
    assert not [finding for finding in outcome.findings if finding.code.startswith("slip-")]
    assert "We found" not in text(outcome)
