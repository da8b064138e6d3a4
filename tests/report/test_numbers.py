"""Rounding and typesetting of numbers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tarebook.core.errors import OutOfRangeError
from tarebook.core.quantity import Estimate, Measured, Source
from tarebook.report import numbers
from tarebook.report.numbers import NumberStyle

COMMA = NumberStyle(decimal=",")


@given(value=st.floats(-1e4, 1e4, allow_nan=False), u=st.floats(5e-5, 1e3))
def test_u_shows_two_digits_and_the_value_ends_at_the_same_place(value: float, u: float) -> None:
    shown_value, shown_u = numbers.plus_minus(value, u, numbers.TERMINAL).split(" ± ")
    digits = shown_u.replace(".", "").lstrip("0")
    assert len(digits) == 2 or (u >= 95 and len(digits) >= 2)
    assert float(shown_u) == pytest.approx(u, rel=0.05)
    assert len(shown_value.partition(".")[2]) == len(shown_u.partition(".")[2])
    last_place = 10.0 ** -numbers.places(value, u)
    assert abs(float(shown_value.replace("−", "-")) - value) <= 0.5001 * last_place


def test_no_negative_zero_and_a_true_minus() -> None:
    assert numbers.fixed(-0.0004, 2) == "0.00"
    assert numbers.fixed(-1.5, 1) == "\u22121.5"


def test_a_decimal_comma_reaches_every_part() -> None:
    estimate = Estimate(value=0.91234, u=0.0061, low=0.9, high=0.925, unit="g/g")
    assert numbers.quantity(estimate, COMMA) == "91,23\u202f±\u202f0,61\u00a0%"
    assert numbers.interval(estimate, COMMA) == "90,00 to 92,50\u00a0%"
    assert numbers.probability(0.9999, COMMA) == ">\u00a099,9\u00a0%"


def test_units_leave_memory() -> None:
    source = Source("the definition", "declared")
    stock = Measured(value=0.5, u=0.0025, unit="mol/L", source=source)
    assert numbers.quantity(stock, numbers.TERMINAL) == "0.5000 ± 0.0025 mol/L"
    volume = Estimate(value=0.02147, u=0.00088, low=0.02, high=0.023, unit="L")
    assert numbers.quantity(volume, numbers.TERMINAL) == "21.47 ± 0.88 mL"


@pytest.mark.parametrize(("value", "u"), [(float("nan"), 1.0), (1.0, float("nan")), (1.0, -1.0)])
def test_what_is_no_number_is_refused(value: float, u: float) -> None:
    with pytest.raises(OutOfRangeError):
        numbers.places(value, u)


@pytest.mark.parametrize(
    ("value", "u", "shown"),
    [
        (0.0, 4.2e-6, "0"),
        (3e-9, 1e-8, "0"),
        (13.7, 2e-7, "13.7"),
        (0.0, 1.1e-5, "0"),
        (0.0, 6e-5, "0.000000"),
    ],
)
def test_nothing_is_printed_below_what_its_unit_carries(value: float, u: float, shown: str) -> None:
    assert numbers.plus_minus(value, u, numbers.TERMINAL).partition(" ±")[0] == shown


@given(st.floats(0.0, 0.9e-6) | st.floats(1.1e-5, 1.0))
def test_a_chance_is_never_a_row_of_zeros(p: float) -> None:
    shown = numbers.p_value(p, numbers.TERMINAL)
    assert len(shown) <= 9
    assert numbers.p_value(2.34e-6) == "2.3 × 10⁻⁶"
    assert float(shown.replace("< 10⁻⁶", "1e-6")) == pytest.approx(max(p, 1e-6), rel=0.05)


def test_a_percentage_that_is_not_known_is_said_in_words() -> None:
    hopeless = Estimate(value=1900.0, u=15000.0, low=-3e4, high=3e4, unit="%")
    assert numbers.quantity(hopeless) == numbers.NOT_KNOWN
    assert numbers.interval(hopeless) == numbers.NOT_KNOWN
