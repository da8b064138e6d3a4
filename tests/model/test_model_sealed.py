"""A closed vessel: nothing leaves, whatever happens in it; open ones are as they were."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.model.cup import Contents, cup_state
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.observables import Seen
from tarebook.model.priors import central_parameters
from tarebook.planning.expected import expected_loss
from tarebook.series.definition import parse_definition

POOL = (Path(__file__).parents[1] / "snapshots" / "pool" / "experiment.toml").read_text("utf-8")
CLOSED = """
[weighing]
sealed_runs = ["3", "8"]
sealed_vessel_rated_kPa = 900
sealed_vessel_mL = 500
"""
OPEN = parse_definition(POOL)
CUPS = Contents(
    reagent=np.array([0.005, 0.020, 0.035]),
    diluent=np.array([0.035, 0.020, 0.005]),
    sample=np.full(3, 1.5),
    temperature=np.full(3, 294.0),
    minutes=np.array([5.0, 10.0, 600.0]),
)


def lost(contents: Contents, effects: frozenset[CupEffect] = ALL_EFFECTS) -> np.ndarray:
    parameters = central_parameters(OPEN).with_values(content=np.array(0.95))
    state = cup_state(OPEN, parameters, contents, effects)
    shown = Seen(OPEN, parameters, contents, np.zeros(3), state, effects)
    return shown.lost


@pytest.mark.parametrize("effects", [ALL_EFFECTS, frozenset[CupEffect]()])
def test_what_goes_into_a_closed_vessel_is_weighed_at_the_end(
    effects: frozenset[CupEffect],
) -> None:
    one_closed = lost(replace(CUPS, sealed=np.array([False, True, False])), effects)
    everywhere_open = lost(CUPS, effects)
    assert abs(one_closed[1]) < 1e-9
    assert everywhere_open[1] > 0.5
    np.testing.assert_array_equal(one_closed[[0, 2]], everywhere_open[[0, 2]])


def test_a_plan_expects_no_loss_of_a_closed_run() -> None:
    closed, as_before = parse_definition(POOL + CLOSED), expected_loss(OPEN, 0.95)
    expected = expected_loss(closed, 0.95)
    np.testing.assert_allclose(expected[[2, 7]], 0.0, atol=1e-9)
    rest = [0, 1, 3, 4, 5, 6]
    np.testing.assert_array_equal(expected[rest], as_before[rest])
    assert np.all(as_before > 0.1)
