"""One report never gives two values for one quantity, whatever the row."""

from __future__ import annotations

import datetime as dt
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from scripts.one_voice import (
    Printed,
    disagreements,
    missing_in_print,
    of_outcome,
    of_plan,
)

from tarebook.api.reduce import reduce_table
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.planning.plan import make_plan
from tarebook.planning.prepare.whole import prepare
from tarebook.planning.wishes import Wishes
from tarebook.report.languages.writing import writing
from tarebook.report.outcome import Outcome
from tarebook.report.sheets.setting import Setting
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

ROOT = Path(__file__).parents[2]
PATHS = {
    path.parent.name: path
    for folder in (ROOT / "tests" / "laboratories", ROOT / "examples")
    for path in sorted(folder.glob("*/experiment.toml"))
}


@cache
def experiment_of(name: str) -> Experiment:
    return parse_definition(PATHS[name].read_text(encoding="utf-8"))


def outcome_of(name: str) -> Outcome:
    experiment = experiment_of(name)
    claimed = experiment.sample.claimed_mass_fraction
    assert claimed is not None
    truth = central_parameters(experiment).with_values(content=np.array(claimed.value))
    rng = np.random.Generator(np.random.SFC64(3))
    readings = simulate(experiment, truth, rng).table
    return reduce_table(experiment, readings, seed=4, draws=2_000, made_on="")


@pytest.mark.parametrize("name", PATHS)
def test_every_output_of_a_row_has_the_same_values(name: str) -> None:
    outcome = outcome_of(name)
    every = list(of_outcome(outcome))
    # Where no content can be stated, the page has no numbers of the model to be gathered.
    of_page = {"page"} if outcome.full.series is not None else set()
    assert {"JSON", "CSV", "workbook"} | of_page == {one.where for one in every}
    assert disagreements(every) == ()


@pytest.mark.parametrize("name", ["fizzing-tablet-hand-soak", "soda-grows-in-acid", "labels-only"])
def test_terminal_and_paper_print_what_the_page_prints(name: str) -> None:
    assert missing_in_print(outcome_of(name)) == ()


@pytest.mark.parametrize("name", PATHS)
def test_plan_and_key_expect_the_same_of_a_row(name: str) -> None:
    experiment = experiment_of(name)
    rng = np.random.Generator(np.random.SFC64(3))
    plan = make_plan(experiment, Wishes(), rng)
    setting = Setting(
        prepared=prepare(experiment, 1, 1, rng),
        writing=writing("en"),
        paper="a4",
        day=dt.date(2026, 9, 1),
    )
    every = list(of_plan(plan, setting))
    assert {"plan", "key"} <= {one.where for one in every}
    assert disagreements(every) == ()


def test_two_values_for_one_quantity_are_found() -> None:
    """Within the digits printed they agree; one more digit apart they do not."""
    full = Printed(name="yield", where="JSON", value=94.94)
    assert disagreements([full, Printed(name="yield", where="page", value=94.9, last=0.1)]) == ()
    other = Printed(name="yield", where="derivation", value=177.0, last=1.0)
    assert len(disagreements([full, other])) == 1
