"""Definitions and plans for the tests of planning."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.planning.plan import Plan, make_plan
from tarebook.planning.wishes import Wishes
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

EXAMPLES = Path(__file__).parents[2] / "examples"


def example(name: str) -> Experiment:
    return parse_definition((EXAMPLES / name / "experiment.toml").read_text(encoding="utf-8"))


@pytest.fixture(scope="session")
def pool() -> Experiment:
    """Eight runs with hydrochloric acid on a 0.001 g balance."""
    return example("clean-pool-granules")


@pytest.fixture(scope="session")
def bath() -> Experiment:
    """Nine runs with acetic acid on a 0.01 g balance."""
    return example("weak-acid-foot-bath")


@pytest.fixture(scope="session")
def unclaimed(pool: Experiment) -> Experiment:
    """The pool granules, of whose content nothing is claimed."""
    return replace(pool, sample=replace(pool.sample, claimed_mass_fraction=None))


@pytest.fixture(scope="session")
def planned() -> Callable[..., Plan]:
    def plan(experiment: Experiment, wishes: Wishes | None = None) -> Plan:
        rng = np.random.Generator(np.random.SFC64(3))
        return make_plan(experiment, wishes or Wishes(), rng)

    return plan


@pytest.fixture(scope="session")
def pool_plan(pool: Experiment, planned: Callable[..., Plan]) -> Plan:
    return planned(pool)


@pytest.fixture(scope="session")
def bath_plan(bath: Experiment, planned: Callable[..., Plan]) -> Plan:
    return planned(bath)
