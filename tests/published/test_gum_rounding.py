"""How the Guide writes a result and its uncertainty."""

from __future__ import annotations

import pytest

from tarebook.report import numbers


@pytest.mark.published(
    "JCGM 100:2008 (GUM), 7.2.2: a mass of 100.021 47 g with u = 0.35 mg is written 100.021 47(35) "
    "g; basis: memory"
)
def test_mass_of_7_2_2() -> None:
    assert numbers.plus_minus(100.02147, 0.00035, numbers.TERMINAL) == "100.02147 ± 0.00035"


@pytest.mark.published(
    "JCGM 100:2008 (GUM), 7.2.6: 10.057 62 ohm with u = 27 milliohm is rounded to 10.058 ohm; "
    "basis: memory"
)
def test_resistance_of_7_2_6() -> None:
    assert numbers.plus_minus(10.05762, 0.027, numbers.TERMINAL) == "10.058 ± 0.027"
