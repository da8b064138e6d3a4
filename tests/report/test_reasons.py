"""Reasons and messages in plain words."""

from __future__ import annotations

import pytest

from tarebook.report import numbers
from tarebook.report.reasons import in_plain_words


def plainly(message: str) -> str:
    return in_plain_words(message, numbers.TERMINAL)


@pytest.mark.parametrize(
    ("message", "shown"),
    [
        ("about -0.60 g", "about \u22120.60 g"),
        ("(-3 to -1)", "(\u22123 to \u22121)"),
        ("runs 3-5", "runs 3-5"),
        ("ISO 4787-2", "ISO 4787-2"),
        ("equivalence point", "equivalence point"),
    ],
)
def test_a_hyphen_before_a_number_alone_is_a_minus(message: str, shown: str) -> None:
    assert plainly(message) == shown


def test_other_reasons_stay_as_they_are() -> None:
    why = "usable runs are too few for the full model: 2 of 3 needed"
    assert plainly(why) == why
