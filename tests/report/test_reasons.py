"""Reasons and messages in plain words."""

from __future__ import annotations

import pytest

from tarebook.reduction.changeover_results import ChangeoverNotFound
from tarebook.report import numbers
from tarebook.report.reasons import in_plain_words


def plainly(message: str) -> str:
    return in_plain_words(message, 2.0, numbers.TERMINAL)


@pytest.mark.parametrize(("side", "beyond"), [("left", "less"), ("right", "more")])
def test_a_break_per_gram_becomes_a_volume_for_the_sample(side: str, beyond: str) -> None:
    error = ChangeoverNotFound(side, 0.009, 0.0125, "Add runs.")  # type: ignore[arg-type]
    assert plainly(str(error)) == (
        "the two lines would meet between 18.0 and 25.0 mL of reagent for 2 g of sample, and fewer "
        f"than two runs have {beyond} than that. Add runs."
    )


def test_one_straight_line_is_said_so() -> None:
    error = ChangeoverNotFound("both", 0.009, 0.0125, "Add runs on both sides.")
    assert plainly(str(error)) == (
        "all runs follow one straight line, so the same reactant limits in each of them. Add runs "
        "on both sides."
    )


@pytest.mark.parametrize(
    ("message", "shown"),
    [
        ("about -0.60 g", "about \u22120.60 g"),
        ("(-3 to -1)", "(\u22123 to \u22121)"),
        ("runs 3-5", "runs 3-5"),
        ("ISO 4787-2", "ISO 4787-2"),
        ("change-over", "change-over"),
    ],
)
def test_a_hyphen_before_a_number_alone_is_a_minus(message: str, shown: str) -> None:
    assert plainly(message) == shown


def test_other_reasons_stay_as_they_are() -> None:
    why = "usable runs are too few for the full model: 2 of 3 needed"
    assert plainly(why) == why
