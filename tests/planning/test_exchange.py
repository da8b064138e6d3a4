from __future__ import annotations

from itertools import combinations_with_replacement

import numpy as np
import pytest

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.planning.exchange import criterion, exchange, information, with_one_more


@pytest.fixture
def field() -> tuple[FloatArray, FloatArray, FloatArray]:
    """Three scenarios, seven candidates of two rows each, four parameters."""
    rng = np.random.Generator(np.random.SFC64(7))
    return (
        rng.standard_normal((3, 7, 2, 4)),
        np.diag([0.0, 1.0, 0.5, 2.0]),
        rng.standard_normal((3, 4)),
    )


@pytest.mark.parametrize("wanted", [True, False])
def test_update_is_what_a_new_inverse_gives(
    field: tuple[FloatArray, FloatArray, FloatArray], wanted: bool
) -> None:
    factors, base, goal = field
    before = information(factors, base, np.array([0, 3]))
    inverse = np.asarray(np.linalg.inv(before), dtype=np.float64)
    fast = with_one_more(inverse, factors, goal if wanted else None).mean(axis=0)
    slow = np.array(
        [
            criterion(information(factors, base, np.array([0, 3, j])), goal if wanted else None)
            for j in range(7)
        ]
    )
    if not wanted:  # The determinant's update leaves out what all candidates share.
        slow = slow - criterion(before, None)
    np.testing.assert_allclose(fast, slow, rtol=1e-9)


@pytest.mark.parametrize("wanted", [True, False])
def test_finds_the_best_of_all_designs(
    field: tuple[FloatArray, FloatArray, FloatArray], wanted: bool
) -> None:
    factors, base, goal = field
    every = np.array(list(combinations_with_replacement(range(7), 4)))
    values = criterion(information(factors, base, every), goal if wanted else None)
    rng = np.random.Generator(np.random.SFC64(8))
    found = exchange(
        factors,
        base,
        np.ones((4, 7), dtype=np.bool_),
        goal if wanted else None,
        rng.integers(0, 7, (12, 4)),
    )
    assert found.value == pytest.approx(float(values.min()), rel=1e-6)
    assert found.chosen == tuple(every[int(np.argmin(values))])


def test_keeps_to_what_a_slot_allows(field: tuple[FloatArray, FloatArray, FloatArray]) -> None:
    factors, base, goal = field
    allowed = np.zeros((3, 7), dtype=np.bool_)
    allowed[0, :2] = allowed[1, 2:5] = allowed[2, 6] = True
    found = exchange(factors, base, allowed, goal, np.array([[6, 6, 6], [0, 0, 0]]))
    first, second, third = found.chosen
    assert first in (0, 1)
    assert second in (2, 3, 4)
    assert third == 6


def test_refuses_a_slot_without_candidates(
    field: tuple[FloatArray, FloatArray, FloatArray],
) -> None:
    factors, base, goal = field
    allowed = np.ones((2, 7), dtype=np.bool_)
    allowed[1] = False
    with pytest.raises(OutOfRangeError, match="slot 2"):
        exchange(factors, base, allowed, goal, np.array([[0, 1]]))
