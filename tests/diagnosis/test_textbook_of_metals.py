"""What is said where the textbook calculation takes water vapor for hydrogen."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from tests.words import said, to_do

from tarebook.api.reduce_series import FEWEST_DRAWS, reduce_table
from tarebook.findings.finding import Severity
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.report.derivation import derivation
from tarebook.report.facts import facts
from tarebook.report.languages.writing import ENGLISH
from tarebook.report.outcome import Outcome
from tarebook.report.payload import main_result
from tarebook.report.run_results import run_results
from tarebook.report.text import summary
from tarebook.report.workbook import workbook
from tarebook.series.definition import parse_definition

LABORATORY = Path(__file__).parents[1] / "laboratories" / "magnesium-turnings-in-acid"


@pytest.fixture(scope="module")
def magnesium() -> Outcome:
    """A flask with a narrow neck, in which little water evaporates, so that a content is stated."""
    text = (LABORATORY / "experiment.toml").read_text(encoding="utf-8")
    narrow = "minutes = 8\nevaporation_mg_per_minute = 0.1\nevaporation_relative_u = 0.3"
    flask = parse_definition(text.replace("minutes = 8", narrow))
    truth = central_parameters(flask).with_values(content=np.array(0.96))
    made = simulate(flask, truth, np.random.Generator(np.random.SFC64(20)))
    return reduce_table(flask, made.table, seed=20, draws=FEWEST_DRAWS, made_on="", pictures=False)


def test_no_cup_that_makes_gas_is_to_be_covered(magnesium: Outcome) -> None:
    found = next(one for one in magnesium.findings if one.code == "textbook-above-one")
    assert found.severity == "note"
    assert "watch glass" not in to_do(found)
    assert "Never cover a cup that makes gas" in to_do(found)
    # Hydrogen in the cup is lighter than the air that it displaced: nothing "stayed behind".
    assert float(found.evidence["gas_kept_g"]) < 0
    assert "lighter than the air it displaced" in said(found)
    assert "-0.0" not in said(found)


def test_gas_lighter_than_air_is_not_said_to_be_held_back(magnesium: Outcome) -> None:
    held = next(one for one in facts(magnesium, ENGLISH) if "held back" in one.label)
    assert "lighter than the air it displaced" in held.note


@pytest.fixture(scope="module", params=[20, 21, 22, 23])
def open_cup(request: pytest.FixtureRequest) -> Outcome:
    """Magnesium in open cups, in which about as much water leaves as hydrogen."""
    experiment = parse_definition((LABORATORY / "experiment.toml").read_text(encoding="utf-8"))
    truth = central_parameters(experiment).with_values(content=np.array(0.95))
    made = simulate(experiment, truth, np.random.Generator(np.random.SFC64(request.param)))
    return reduce_table(
        experiment, made.table, seed=20, draws=FEWEST_DRAWS, made_on="", pictures=False
    )


def test_open_cups_of_a_metal_state_no_content_by_any_calculation(open_cup: Outcome) -> None:
    """Two lines through these masses name 230 to 270 % of magnesium."""
    assert open_cup.series is None
    assert main_result(open_cup) is None
    assert "We found" not in summary(open_cup)
    (stop,) = [found for found in open_cup.findings if found.severity is Severity.STOP]
    assert stop.code == "content-open"
    assert "as much water left" in said(stop)


def test_what_rests_on_the_content_is_not_said_of_any_run(open_cup: Outcome) -> None:
    for result in run_results(open_cup):
        assert result.reagent is not None
        assert result.lost is not None
        assert result.limiting is None
        assert result.p_reagent_limiting is None
        assert result.yield_percent is None
    names = [step.name for step in derivation(open_cup, ENGLISH)]
    assert "Gas found" in names
    assert "Limiting reactant and yield" not in names
    assert workbook(open_cup)
