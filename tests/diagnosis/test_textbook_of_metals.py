"""What is said where the textbook calculation takes water vapor for hydrogen."""

from __future__ import annotations

import pytest
from scripts.study_laboratories.laboratory import laboratories
from scripts.study_laboratories.physics import PHYSICS
from scripts.study_laboratories.series import generator

from tarebook.api.reduce import FEWEST_DRAWS, reduce_table
from tarebook.report import numbers
from tarebook.report.facts import facts
from tarebook.report.outcome import Outcome


@pytest.fixture(scope="module")
def magnesium() -> Outcome:
    laboratory = next(one for one in laboratories() if one.name == "magnesium-turnings-in-acid")
    _, made = PHYSICS["own"].series(laboratory, generator(laboratory, 20, 3))
    return reduce_table(
        laboratory.experiment, made.table, seed=20, draws=FEWEST_DRAWS, made_on="", pictures=False
    )


def test_no_cup_that_makes_gas_is_to_be_covered(magnesium: Outcome) -> None:
    found = next(one for one in magnesium.findings if one.code == "textbook-above-one")
    assert found.severity == "note"
    assert "watch glass" not in found.do
    assert "Never cover a cup that makes gas" in found.do
    # Hydrogen in the cup is lighter than the air that it displaced: nothing "stayed behind".
    assert float(found.evidence["gas_kept_g"]) < 0
    assert "lighter than the air it displaced" in found.message
    assert "-0.0" not in found.message


def test_gas_lighter_than_air_is_not_said_to_be_held_back(magnesium: Outcome) -> None:
    held = next(one for one in facts(magnesium, numbers.PRINT) if "held back" in one.label)
    assert "lighter than the air it displaced" in held.note
