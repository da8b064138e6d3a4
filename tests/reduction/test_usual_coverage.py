"""Do the 95 % intervals of the usual sum hold the truth in 95 of 100 simulated series?

The series are simulated without anything that happens in the cup; the scales of the vessels, the
strength of the stock, balance, eye and hand err as the definition says. What is left for the usual
sum to get wrong is its own propagation. (With the cup's effects it is off by several percent, as
the model's own tests show: the intervals of the usual sum do not cover those.)
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tarebook.core.arrays import FloatArray
from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.model.effects import CupEffect
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.reduction.reading_errors import declared_acid
from tarebook.reduction.results import SetAside
from tarebook.reduction.usual_series import reduce_usual
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

pytestmark = pytest.mark.slow

EXAMPLES = Path(__file__).parents[2] / "examples"
NOTHING = SetAside(unusable={}, doubtful={})
N_SERIES = 400
TEXTBOOK_ONLY = frozenset({CupEffect.CALIBRATION, CupEffect.OWN_ACID})
"""Scales err, and acid of the sample counts with the acid poured, as far as the definition says."""


def experiment(name: str) -> Experiment:
    return parse_definition((EXAMPLES / name / "experiment.toml").read_text(encoding="utf-8"))


def covered(planned: Experiment, lowest: float, highest: float) -> FloatArray:
    """Return how often content, equivalence and second content lie in their intervals."""
    rng, of_acid = (np.random.Generator(np.random.SFC64(seed)) for seed in (1, 2))
    stock, scale_u = planned.reagent.concentration, planned.equipment.reagent.scale_u
    reaction = planned.reaction
    acid, protons = declared_acid(planned), protons_of_extent(reaction)
    assert acid is not None
    hits = np.zeros(3)
    for number in range(N_SERIES):
        content = float(rng.uniform(lowest, highest))
        strength = float(stock.value + stock.u * rng.standard_normal())
        truth = central_parameters(planned).with_values(
            content=np.array(content),
            concentration=np.array(strength),
            scale_reagent=np.array(scale_u * rng.standard_normal()),
            own_acid=np.array(own := float(acid.value + acid.u * of_acid.standard_normal())),
        )
        table = simulate(planned, truth, rng, effects=TEXTBOOK_ONLY).table
        series = reduce_usual(planned, table, NOTHING, seed=number, draws=2_000).series
        assert series is not None
        amount = planned.sample.nominal_mass * content / reaction.analyte_molar_mass.value
        extent = amount / reaction.analyte_coefficient
        extent -= planned.sample.nominal_mass * own / protons
        equivalence = extent * reaction.reagent_coefficient
        pairs = (
            (series.sample_mass_fraction, content),
            (series.equivalence, equivalence / strength),
            (series.content_from_equivalence, content),
        )
        hits += [found.low <= true <= found.high for found, true in pairs]
    return hits / N_SERIES


@pytest.mark.parametrize(
    ("name", "lowest", "highest"),
    [("clean-pool-granules", 0.90, 1.00), ("weak-acid-foot-bath", 0.70, 0.80)],
)
def test_intervals_hold_what_they_promise(name: str, lowest: float, highest: float) -> None:
    """400 series: one standard deviation of the count is 1.1 %.

    The change-over is covered a little too often, since a scatter smaller than the instruments'
    does not narrow the intervals while a larger one widens them.
    """
    content, equivalence, second = covered(experiment(name), lowest, highest)
    assert 0.93 <= content <= 0.975
    assert 0.93 <= equivalence <= 0.975
    assert 0.93 <= second <= 0.99
