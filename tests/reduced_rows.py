"""Rows of the laboratories and examples, simulated once and reduced."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np

from tarebook.api.reduce_series import reduce_table
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.report.outcome import Outcome
from tarebook.series.definition import parse_definition

TESTS = Path(__file__).parent
FOLDERS = (TESTS / "laboratories", TESTS.parent / "examples")


@cache
def made(name: str) -> Outcome:
    """Return a simulated row of a laboratory or an example, reduced."""
    paths = [folder / name / "experiment.toml" for folder in FOLDERS]
    definition = next(path for path in paths if path.exists()).read_text(encoding="utf-8")
    experiment = parse_definition(definition)
    claimed = experiment.sample.claimed_mass_fraction
    assert claimed is not None
    truth = central_parameters(experiment).with_values(content=np.array(claimed.value))
    rng = np.random.Generator(np.random.SFC64(11))
    readings = simulate(experiment, truth, rng).table
    return reduce_table(experiment, readings, seed=5, draws=2_000, made_on="")
