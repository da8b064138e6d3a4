import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from tarebook.core.errors import OutOfRangeError
from tarebook.core.quantity import Source
from tarebook.measurement.effects import (
    Effect,
    Shape,
    arcsine,
    draw,
    normal,
    rectangular,
    triangular,
    type_a,
    u_of_half_width,
)

BENCH = Source("the bench", "found")


def generator(seed: int = 5) -> np.random.Generator:
    return np.random.Generator(np.random.SFC64(seed))


@pytest.mark.parametrize(
    ("shape", "reference"),
    [
        (Shape.NORMAL, stats.norm(scale=2.0)),
        (Shape.RECTANGULAR, stats.uniform(-2 * math.sqrt(3), 4 * math.sqrt(3))),
        (Shape.TRIANGULAR, stats.triang(0.5, -2 * math.sqrt(6), 4 * math.sqrt(6))),
        (Shape.ARCSINE, stats.arcsine(-2 * math.sqrt(2), 4 * math.sqrt(2))),
    ],
)
def test_draws_follow_the_distribution(shape: Shape, reference: Any) -> None:
    draws = draw(shape, 2.0, generator(), 50_000)
    assert reference.std() == pytest.approx(2.0)
    # the seed is fixed, so this passes or fails for good
    assert stats.kstest(draws, reference.cdf).pvalue > 0.01


def test_few_degrees_of_freedom_make_the_tails_heavier() -> None:
    draws = draw(Shape.NORMAL, 2.0, generator(), 50_000, dof=4.0)
    assert stats.kstest(draws, stats.t(4, scale=2.0).cdf).pvalue > 0.01


@pytest.mark.parametrize("shape", list(Shape))
def test_one_width_for_each_column(shape: Shape) -> None:
    u = np.array([0.0, 1.0, 10.0])
    draws = draw(shape, u, generator(), (20_000, 3))
    assert draws.shape == (20_000, 3)
    # the kurtosis of no shape is above that of the normal: s of a sample is within 5 / sqrt(2 n)
    np.testing.assert_allclose(draws.std(axis=0), u, rtol=5 / math.sqrt(40_000), atol=0)


@given(st.floats(0, 1e6), st.sampled_from([rectangular, triangular, arcsine]))
def test_no_draw_leaves_its_bounds(half_width: float, make: type[Effect]) -> None:
    effect = make("any", half_width=half_width, unit="g", shared=True, source=BENCH)  # type: ignore[call-arg]  # a function
    draws = draw(effect.shape, effect.u, generator(), 1000)
    assert np.abs(draws).max() <= half_width * (1 + 1e-12)


def test_a_stated_95_percent_half_width_of_a_normal() -> None:
    assert u_of_half_width(1.96, Shape.NORMAL) == pytest.approx(1.0, rel=1e-4)


def test_scatter_of_repeats() -> None:
    repeats = np.array([10.01, 10.03, 9.98, 10.02])
    of_mean = type_a("filling", repeats, unit="g", shared=False, source=BENCH)
    single = type_a("filling", repeats, unit="g", shared=False, source=BENCH, of_mean=False)
    assert single.u == pytest.approx(2 * of_mean.u)
    assert single.u == pytest.approx(math.sqrt(0.0014 / 3))
    assert of_mean.dof == 3


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="Read once more"):
        type_a("filling", np.array([1.0]), unit="g", shared=False, source=BENCH)
    with pytest.raises(OutOfRangeError, match="half-width"):
        rectangular("any", half_width=-1.0, unit="g", shared=False, source=BENCH)
    with pytest.raises(OutOfRangeError, match="standard uncertainty of any"):
        normal("any", u=math.nan, unit="g", shared=False, source=BENCH)
    with pytest.raises(OutOfRangeError, match="degrees of freedom of any"):
        normal("any", u=1.0, unit="g", shared=False, source=BENCH, dof=0.0)
