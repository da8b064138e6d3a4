"""What has to be on the bench, and wishes that cannot be met."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

import numpy as np
import pytest

from tarebook.core.errors import AskedFor, InputError
from tarebook.planning.prepare.amounts import equivalence_mass, equivalence_volume, run_sums
from tarebook.planning.prepare.expected import expected_loss
from tarebook.planning.prepare.supplies import portions, stock_needed
from tarebook.planning.prepare.whole import Prepared, prepare
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

BLANK = (resources.files("tarebook.api") / "blank.toml").read_text(encoding="utf-8")
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/experiment.toml"))


def prepared(experiment: Experiment, groups: int = 3, balances: int = 1) -> Prepared:
    return prepare(experiment, groups, balances, np.random.Generator(np.random.SFC64(2)))


@pytest.fixture(scope="module")
def experiment() -> Experiment:
    return parse_definition(BLANK)


def test_a_tray_holds_the_row_and_the_margin(experiment: Experiment) -> None:
    reagent, diluent, sample = portions(experiment)
    # 176 mL in the row and 10 mL of rinsing, a tenth more, rounded up to 10 mL.
    np.testing.assert_allclose(reagent, 0.210, atol=1e-9)
    # 144 mL of water and 10 mL.
    np.testing.assert_allclose(diluent, 0.170, atol=1e-9)
    assert sample == 9


def test_margin_and_rinsing_are_those_of_the_definition() -> None:
    text = BLANK + "\n[prepare]\nmargin_percent = 50\nrinsing_mL = 0\n"
    assert portions(parse_definition(text)) == pytest.approx((0.27, 0.22, 12.0))


@pytest.mark.parametrize("groups", [1, 7, 40])
def test_the_stock_made_is_enough_for_all_trays(experiment: Experiment, groups: int) -> None:
    done = prepared(experiment, groups)
    assert done.recipe.total >= stock_needed(experiment, groups)
    assert done.supplies.stock_needed >= groups * sum(run.reagent for run in experiment.planned)


def test_everyone_has_goggles(experiment: Experiment) -> None:
    done = prepared(experiment, 5)
    goggles = next(item for item in done.supplies.room if item.key == "goggles")
    assert goggles.total == 5 * 2 + 2
    sheets = next(item for item in done.supplies.bench if item.key == "bench sheets")
    assert sheets.total == 5 * 8


def test_a_sample_balance_of_its_own_is_listed() -> None:
    own = "\n[instruments.sample_balance]\nreadability_g = 0.001\n"
    keys = [item.key for item in prepared(parse_definition(BLANK + own)).supplies.room]
    assert "sample balance" in keys
    assert "sample balance" not in [
        item.key for item in prepared(parse_definition(BLANK)).supplies.room
    ]


def test_the_ware_of_the_stock_and_of_its_titration_is_listed(experiment: Experiment) -> None:
    done = prepared(experiment, 3)
    listed = [(item.work, item.key, item.size, item.total) for item in done.supplies.room]
    # 3 x 210 mL and three aliquots: 1 L of 0.5 mol/L from 12 mol/L, 41.6 mL in a 50 mL cylinder.
    assert ("stock", "volumetric flask", 1000.0, 1) in listed
    assert ("stock", "beaker", 1000.0, 1) in listed
    assert ("stock", "graduated cylinder", 50.0, 1) in listed
    assert ("titration", "burette", 50.0, 1) in listed
    assert ("titration", "conical flask", 250.0, 3) in listed
    many = prepared(experiment, 40)
    assert many.recipe.by_mass
    keys = [item.key for item in many.supplies.room if item.work == "stock"]
    assert "container" in keys
    assert "volumetric flask" not in keys
    assert "beaker" not in keys


def test_each_measuring_vessel_says_for_what_it_is(experiment: Experiment) -> None:
    ware = [i.detail for i in prepared(experiment).supplies.bench if i.key == "graduated cylinder"]
    assert ware == ["hydrochloric acid", "water"]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: str(path.parent.name))
def test_the_equation_and_the_model_tell_one_story(path: Path) -> None:
    """Loss on the balance: some 5 to 11 % below the equation where the sample limits.

    The 11 % are those of washing soda, where little gas leaves much acid, which keeps more of it.
    """
    experiment = parse_definition(path.read_text(encoding="utf-8"))
    sums, expected = run_sums(experiment), expected_loss(experiment)
    assert expected is not None
    made = np.array([one.gas_mass for one in sums])
    ratio = expected.lost[-1] / made[-1]
    assert 0.88 < ratio < 0.97
    assert np.all(expected.stays[made > 0] > 0)
    limits = [one.reagent_limits for one in sums]
    if experiment.grows == "sample":
        mass = equivalence_mass(experiment)
        assert limits == [run.sample > mass for run in experiment.planned]
    else:
        volume = equivalence_volume(experiment)
        assert limits == [run.reagent < volume for run in experiment.planned]
    for one in sums:
        assert min(one.reagent_left, one.analyte_left) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(
    ("groups", "balances", "where"),
    [
        (0, 1, AskedFor.GROUPS),
        (-1, 1, AskedFor.GROUPS),
        (100_000, 1, AskedFor.GROUPS),
        (1, 0, AskedFor.BALANCES),
    ],
)
def test_impossible_wishes_are_refused(
    experiment: Experiment, groups: int, balances: int, where: AskedFor
) -> None:
    with pytest.raises(InputError) as caught:
        prepared(experiment, groups, balances)
    assert caught.value.faults[0].where is where
