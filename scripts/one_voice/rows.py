"""One row of each laboratory with all that is printed of it, before and after it was poured."""

from __future__ import annotations

import datetime as dt

import numpy as np
from scripts.one_voice.laboratories import experiment_of
from scripts.one_voice.outputs import Outputs, render
from scripts.one_voice.unpoured import Sheets, print_sheets

from tarebook.api.reduce_series import reduce_table
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.planning.plan import make_plan
from tarebook.planning.prepare.whole import prepare
from tarebook.planning.wishes import Wishes
from tarebook.report.languages.writing import writing
from tarebook.report.plan_outcome import PlanOutcome
from tarebook.report.sheets.setting import Setting

SEED = 3


def outputs_of(name: str) -> Outputs:
    """Return what is printed of a simulated row of a laboratory with the content it claims."""
    experiment = experiment_of(name)
    claimed = experiment.sample.claimed_mass_fraction
    if claimed is None:
        raise ValueError(f"{name} claims no content")
    truth = central_parameters(experiment).with_values(content=np.array(claimed.value))
    rng = np.random.Generator(np.random.SFC64(SEED))
    readings = simulate(experiment, truth, rng).table
    return render(reduce_table(experiment, readings, seed=4, draws=2_000, made_on=""))


def sheets_of(name: str) -> Sheets:
    """Return plan, key and handout of a laboratory."""
    experiment = experiment_of(name)
    rng = np.random.Generator(np.random.SFC64(SEED))
    setting = Setting(
        prepared=prepare(experiment, 1, 1, rng),
        writing=writing("en"),
        paper="a4",
        day=dt.date(2026, 9, 1),
    )
    plan = make_plan(experiment, Wishes(), rng)
    outcome = PlanOutcome(plan=plan, seed=SEED, version="0.1.0", made_on="")
    return print_sheets(outcome, setting)
