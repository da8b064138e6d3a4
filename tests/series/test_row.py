"""The planned row: what grows along it, what each run asks for, blank cups."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from tarebook.core.errors import InputError
from tarebook.model.cup import Contents, cup_state
from tarebook.model.delivery import liquid_mass
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.planning.changes import with_row, with_sample
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.problem import READ, joint_problem
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

CLEAN = (Path(__file__).parents[1] / "snapshots" / "pool" / "experiment.toml").read_text("utf-8")


def row_of(series: str, **changes: str) -> Experiment:
    """Return the pool experiment with another table of the series."""
    text = re.sub(r"\[series\]\n.*?\n(?=\n*\[)", f"[series]\n{series}\n", CLEAN, flags=re.DOTALL)
    for old, new in changes.items():
        text = re.sub(rf"(?m)^{old} = .*\n", new, text)
    return parse_definition(text)


def test_every_run_asks_for_the_nominal_mass_unless_the_series_says_more() -> None:
    experiment = row_of("total_mL = 40\nreagent_mL = [10, 20, 30]")
    assert [run.sample for run in experiment.planned] == [1.5, 1.5, 1.5]
    assert experiment.grows == "reagent"


def test_a_growing_sample_with_one_pour_for_all() -> None:
    experiment = row_of(
        "total_mL = 40\nreagent_mL = [25]\nsample_g = [0.3, 0.6, 0.9, 1.2]", nominal_g=""
    )
    assert experiment.grows == "sample"
    assert [run.reagent for run in experiment.planned] == [0.025] * 4
    assert [run.diluent for run in experiment.planned] == pytest.approx([0.015] * 4)
    assert [run.sample for run in experiment.planned] == [0.3, 0.6, 0.9, 1.2]
    assert experiment.sample.nominal_mass == pytest.approx(0.75), "the middle of those asked for"
    assert [run.run for run in experiment.planned] == ["1", "2", "3", "4"]


def test_a_blank_cup_stands_in_a_row_in_which_the_reagent_grows() -> None:
    experiment = row_of("total_mL = 40\nreagent_mL = [0, 10, 20]\nsample_g = [0, 1.5, 1.5]")
    assert [run.is_blank for run in experiment.planned] == [True, False, False]
    assert experiment.grows == "reagent"
    assert with_sample(experiment, 3.0).planned[0].is_blank
    assert with_sample(experiment, 3.0).planned[1].sample == pytest.approx(3.0)
    assert with_row(experiment, [0.0, 0.005, 0.01]).planned[0].is_blank


@pytest.mark.parametrize(
    ("series", "where"),
    [
        ("total_mL = 40\nreagent_mL = [5, 10]\nsample_g = [1, 2, 3]", "reagent_mL"),
        ("total_mL = 40\nreagent_mL = [5, 10, 20]\nsample_g = [1, 2]", "sample_g"),
        ("total_mL = 40\nreagent_mL = [5, 10]\nsample_g = [0, 0]", "sample_g"),
        ('total_mL = 40\nreagent_mL = [5]\nsample_g = [1, 2]\nruns = ["A"]', "runs"),
    ],
)
def test_a_row_that_does_not_fit_together_is_refused(series: str, where: str) -> None:
    with pytest.raises(InputError) as caught:
        row_of(series)
    assert [fault.where.rpartition(" ")[2] for fault in caught.value.faults] == [f"series.{where}"]


def test_a_definition_without_any_sample_mass_is_refused_once() -> None:
    with pytest.raises(InputError) as caught:
        row_of("total_mL = 40\nreagent_mL = [5, 10]", nominal_g="")
    (fault,) = caught.value.faults
    assert fault.where.endswith("sample.nominal_g")
    assert "sample_g" in fault.do


def test_readings_and_stand_ins_follow_what_each_run_asks_for() -> None:
    experiment = row_of("total_mL = 40\nreagent_mL = [25]\nsample_g = [0, 0.5, 1.0, 2.0]")
    rng = np.random.Generator(np.random.SFC64(7))
    made = simulate(experiment, central_parameters(experiment), rng)
    assert made.contents.sample == pytest.approx([0.0, 0.5, 1.0, 2.0], rel=0.05)
    without = type(made.table)(
        runs=made.table.runs,
        readings=tuple(r for r in made.table.readings if r.quantity is not Quantity.SAMPLE),
    )
    problem = joint_problem(experiment, without, without.runs, frozenset())
    masses = problem.observed[READ.index(Quantity.SAMPLE)]
    assert masses == pytest.approx([0.0, 0.5, 1.0, 2.0])
    trust = problem.u[READ.index(Quantity.SAMPLE)]
    assert trust[0] < 1e-5 < trust[1]


TABLETS = 'nominal_g = 1.6\npiece_g = 3.2\npieces_in = "halves"\n'


def test_portions_that_come_in_pieces() -> None:
    experiment = row_of("total_mL = 40\nreagent_mL = [0, 10, 20]", nominal_g=TABLETS)
    assert [experiment.pieces_asked(run.run) for run in experiment.planned] == [0.5] * 3
    counted = row_of(
        "total_mL = 40\nreagent_mL = [30]\npieces = [0.5, 1, 1.5]",
        nominal_g='piece_g = 3.2\npieces_in = "halves"\n',
    )
    assert [run.sample for run in counted.planned] == pytest.approx([1.6, 3.2, 4.8])
    assert counted.sample.nominal_mass == pytest.approx(3.2)
    assert counted.grows == "sample"
    assert row_of("total_mL = 40\nreagent_mL = [5]").pieces_asked("1") is None


@pytest.mark.parametrize(
    ("sample", "allowed"),
    [
        ("nominal_g = 4.2\npiece_g = 3.2\n", "1 (3.2 g) or 2 (6.4 g)"),
        ("nominal_g = 1.6\npiece_g = 3.2\n", "1 (3.2 g) or 2 (6.4 g)"),
        ('nominal_g = 2.4\npiece_g = 3.2\npieces_in = "halves"\n', "0.5 (1.6 g) or 1 (3.2 g)"),
    ],
)
def test_a_portion_that_nobody_can_take_from_pieces_is_refused(sample: str, allowed: str) -> None:
    with pytest.raises(InputError) as caught:
        row_of("total_mL = 40\nreagent_mL = [5, 10]", nominal_g=sample)
    (fault,) = caught.value.faults
    assert allowed in fault.allowed


def test_pieces_without_their_mass_are_refused() -> None:
    with pytest.raises(InputError) as caught:
        row_of("total_mL = 40\nreagent_mL = [5, 10]\npieces = [1, 2]")
    assert "piece_g" in caught.value.faults[0].do


@pytest.mark.parametrize("name", ["water", "Distilled water", "deionised water", "Wasser"])
def test_water_needs_no_density(name: str) -> None:
    experiment = row_of(f'total_mL = 40\nreagent_mL = [5, 10]\ndiluent = "{name}"')
    assert experiment.diluent_density is None


def test_another_diluent_is_refused_without_its_density_and_used_with_it() -> None:
    series = 'total_mL = 40\nreagent_mL = [5, 10]\ndiluent = "brine"\n'
    with pytest.raises(InputError) as caught:
        row_of(series)
    (fault,) = caught.value.faults
    assert fault.where.endswith("series.diluent_density_g_per_mL")
    brine = row_of(series + "diluent_density_g_per_mL = 1.150")
    one, ten, room = np.array(0.0), np.array(0.010), np.array(brine.room.temperature)
    assert float(liquid_mass(brine, one, ten, room)) == pytest.approx(11.50)
    contents = Contents(
        reagent=np.array([0.005]), diluent=np.array([0.035]), sample=np.array([1.5]),
        temperature=np.array([brine.room.temperature]), minutes=np.array([5.0]),
    )  # fmt: skip
    state = cup_state(brine, central_parameters(brine), contents)
    water = cup_state(row_of(series.replace("brine", "water")), central_parameters(brine), contents)
    assert float(state.liquid[0] - water.liquid[0]) == pytest.approx(35 * (1.15 - 0.998), abs=0.01)


def test_only_ware_with_two_ends_is_read_twice() -> None:
    with pytest.raises(InputError) as caught:
        parse_definition(
            CLEAN.replace("[instruments.reagent]", '[instruments.reagent]\nread = "start and end"')
        )
    assert "burette" in caught.value.faults[0].allowed
