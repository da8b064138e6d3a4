import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from tarebook.core.errors import OutOfRangeError
from tarebook.measurement.effects import Shape, draw, u_of_half_width


def generator(seed: int = 5) -> np.random.Generator:
    return np.random.Generator(np.random.SFC64(seed))


@pytest.mark.parametrize(
    ("shape", "reference"),
    [
        (Shape.NORMAL, stats.norm(scale=2.0)),
        (Shape.RECTANGULAR, stats.uniform(-2 * math.sqrt(3), 4 * math.sqrt(3))),
        (Shape.TRIANGULAR, stats.triang(0.5, -2 * math.sqrt(6), 4 * math.sqrt(6))),
    ],
)
def test_draws_follow_the_distribution(shape: Shape, reference: Any) -> None:
    draws = draw(shape, 2.0, generator(), 50_000)
    assert reference.std() == pytest.approx(2.0)
    # the seed is fixed, so this passes or fails for good
    assert stats.kstest(draws, reference.cdf).pvalue > 0.01


@pytest.mark.parametrize("shape", list(Shape))
def test_one_width_for_each_column(shape: Shape) -> None:
    u = np.array([0.0, 1.0, 10.0])
    draws = draw(shape, u, generator(), (20_000, 3))
    assert draws.shape == (20_000, 3)
    # the kurtosis of no shape is above that of the normal: s of a sample is within 5 / sqrt(2 n)
    np.testing.assert_allclose(draws.std(axis=0), u, rtol=5 / math.sqrt(40_000), atol=0)


@given(st.floats(0, 1e6), st.sampled_from([Shape.RECTANGULAR, Shape.TRIANGULAR]))
def test_no_draw_leaves_its_bounds(half_width: float, shape: Shape) -> None:
    draws = draw(shape, u_of_half_width(half_width, shape), generator(), 1000)
    assert np.abs(draws).max() <= half_width * (1 + 1e-12)


def test_a_stated_95_percent_half_width_of_a_normal() -> None:
    assert u_of_half_width(1.96, Shape.NORMAL) == pytest.approx(1.0, rel=1e-4)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="half-width"):
        u_of_half_width(-1.0, Shape.RECTANGULAR)
