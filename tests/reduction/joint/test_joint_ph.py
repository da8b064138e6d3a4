"""The pH of a run is known no better than the activities in its liquid are."""

from __future__ import annotations

import numpy as np
import pytest
from scripts.one_voice.laboratories import experiment_of

from tarebook.api.reduce_series import reduce_table
from tarebook.model.cup import Contents, cup_state
from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.priors import central_parameters
from tarebook.model.release import with_uncertainty
from tarebook.model.simulate import simulate


@pytest.mark.parametrize("name", ["clean-pool-granules", "fizzing-tablet-hand-soak"])
def test_u_of_ph_holds_what_the_activity_model_leaves(name: str) -> None:
    experiment = experiment_of(name)
    claimed = experiment.sample.claimed_mass_fraction
    assert claimed is not None
    truth = central_parameters(experiment).with_values(content=np.array(claimed.value))
    readings = simulate(experiment, truth, np.random.Generator(np.random.SFC64(3))).table
    full = reduce_table(experiment, readings, seed=4, draws=200, made_on="").full
    found = [run.ph for run in full.runs]
    planned = experiment.planned
    contents = Contents(
        reagent=np.array([[run.reagent for run in planned]]),
        diluent=np.array([[run.diluent for run in planned]]),
        sample=np.array([[run.sample for run in planned]]),
        minutes=np.full((1, len(planned)), experiment.procedure.minutes),
        temperature=np.full((1, len(planned)), experiment.room.temperature),
    )
    state = cup_state(experiment, truth, contents, ALL_EFFECTS, with_uncertainty)
    left = np.ravel(state.u_ph)
    assert len(found) == left.size
    # Where the cups were poured somewhat otherwise than planned it is nearly the same.
    assert all(ph is not None and ph.u > 0.8 * u for ph, u in zip(found, left, strict=True))
    assert left.min() > 0.01
