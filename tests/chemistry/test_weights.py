"""Atomic weights: uncertainty, absences, and agreement with a library's table."""

from __future__ import annotations

import math

import periodictable
import pytest

from tarebook.chemistry.weights import (
    ELEMENTS,
    NoAtomicWeightError,
    standard_atomic_weight,
)


def test_half_width_is_taken_as_rectangular() -> None:
    chlorine = standard_atomic_weight("Cl")
    assert chlorine.value == 35.45
    assert chlorine.unit == "g/mol"
    assert chlorine.u == pytest.approx(0.01 / math.sqrt(3), rel=1e-12)
    assert chlorine.source.basis == "secondary"


def test_all_118_elements_are_known() -> None:
    # periodictable 2.1.0, element 0 being the neutron.
    assert {e.symbol for e in periodictable.elements if e.number} == ELEMENTS


@pytest.mark.parametrize("symbol", ["Tc", "Rn", "Pu", "Og"])
def test_no_stable_isotope_no_weight(symbol: str) -> None:
    with pytest.raises(NoAtomicWeightError, match="no standard atomic weight"):
        standard_atomic_weight(symbol)


def test_not_an_element() -> None:
    with pytest.raises(NoAtomicWeightError, match="no element symbol"):
        standard_atomic_weight("na")


def test_library_value_lies_inside_the_half_width() -> None:
    # periodictable 2.1.0 carries the full (not abridged) table of 2021.
    for element in periodictable.elements:
        if element.number and element._mass_unc:
            weight = standard_atomic_weight(element.symbol)
            assert abs(weight.value - element.mass) <= weight.u * math.sqrt(3)
