from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tarebook.model.equivalence import equivalence_reading
from tarebook.model.priors import central_parameters, priors
from tarebook.planning.contents import content_range
from tarebook.planning.rows import Best, best_row, even_row
from tarebook.planning.span import equivalence_range, sure_range
from tarebook.series.experiment import Experiment


def with_strength_u(experiment: Experiment, relative: float) -> Experiment:
    strength = experiment.reagent.concentration
    known = replace(strength, u=relative * strength.value)
    return replace(experiment, reagent=replace(experiment.reagent, concentration=known))


@pytest.mark.parametrize("best", list(Best))
def test_two_cups_lie_beyond_also_when_much_liquid_stays_behind(
    pool: Experiment, best: Best
) -> None:
    """At three u more liquid left in the cylinder than usual, the sample limits in two cups still.

    Of simulated series of a row that served every content and no more, half in a hundred were left
    without a content: the reagent limited in all their cups.
    """
    contents = content_range(pool)
    (held,) = (one for one in priors(pool) if one.name == "hold_up_reagent")
    much = central_parameters(pool).with_values(
        content=np.array(contents.high), hold_up_reagent=np.array(held.centre + 3.0 * held.u)
    )
    at = float(equivalence_reading(pool, much))
    rng = np.random.Generator(np.random.SFC64(2))
    for row in (best_row(pool, 8, contents, best, rng), even_row(pool, 8, contents, best)):
        assert row is not None
        assert np.count_nonzero(row > at) >= 2


def test_what_moves_the_equivalence_point_adds_as_squares(pool: Experiment) -> None:
    contents = content_range(pool)
    plain = equivalence_range(pool, contents)
    exact, unsure = (sure_range(with_strength_u(pool, u), contents) for u in (0.0, 0.05))
    # A stock weaker by 15 % asks for 1/0.85 of what reaches the cup, a stronger one for 1/1.15.
    delivered = np.array(plain) - float(central_parameters(pool).hold_up_reagent)
    down, up = delivered[0] * (1.0 - 1.0 / 1.15), delivered[1] * (1.0 / 0.85 - 1.0)
    assert plain.low - unsure.low == pytest.approx(np.hypot(plain.low - exact.low, down), rel=1e-4)
    assert unsure.high - plain.high == pytest.approx(
        np.hypot(exact.high - plain.high, up), rel=1e-4
    )


@pytest.mark.parametrize("relative", [0.5, 1e-9])
def test_strength_hardly_known_still_has_a_row_for_every_content(
    pool: Experiment, relative: float
) -> None:
    vague = with_strength_u(pool, relative)
    contents = content_range(vague)
    rng = np.random.Generator(np.random.SFC64(2))
    row = best_row(vague, 8, contents, Best.CONTENT, rng)
    assert row is not None
    low, high = equivalence_range(vague, contents)
    assert np.count_nonzero(row < low) >= 2
    assert np.count_nonzero(row > high) >= 2
