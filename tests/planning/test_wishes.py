"""Wishes: granted, or refused with the nearest that works."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.core.units import litres
from tarebook.measurement.instruments import balance
from tarebook.planning.changes import (
    TWO_DIGITS,
    other_samples,
    row_of,
    with_balances,
    with_sample,
    with_stock,
    with_vessel,
)
from tarebook.planning.feasible import granted
from tarebook.planning.plan import Plan
from tarebook.planning.prepare.stock_recipe import Way, stock_recipe
from tarebook.planning.rows import Best
from tarebook.planning.wishes import ImpossibleWishError, PlanBeyondModelError, Wishes
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment, Piece

VINEGAR = Path(__file__).parents[1] / "laboratories" / "baking-soda-and-vinegar" / "experiment.toml"


def test_no_wish_leaves_the_row(pool: Experiment) -> None:
    assert granted(pool, Wishes(best=Best.EQUIVALENCE)) is pool


@pytest.mark.parametrize(
    "wishes",
    [
        Wishes(n_runs=12),
        Wishes(n_runs=4),
        Wishes(sample_mass=1.0),
        Wishes(stock=0.9),
        Wishes(total_volume=0.05),
        Wishes(total_volume=0.03, sample_mass=0.9, stock=0.8, n_runs=6),
    ],
)
def test_granted_wishes_are_kept_and_work(
    pool: Experiment, planned: Callable[..., Plan], wishes: Wishes
) -> None:
    plan = planned(pool, wishes)
    made = plan.experiment
    assert plan.works
    assert plan.laid_out_anew
    assert len(made.planned) == (wishes.n_runs or 8)
    assert made.total_volume == (wishes.total_volume or pool.total_volume)
    assert made.sample.nominal_mass == (wishes.sample_mass or 1.5)
    if wishes.stock:
        assert made.reagent.concentration.value == pytest.approx(wishes.stock)
    assert plan.between
    np.testing.assert_allclose(np.diff(row_of(made)), np.diff(row_of(made))[0], rtol=1e-6)


@pytest.mark.parametrize(
    ("wishes", "because"),
    [
        (Wishes(stock=0.1), "the equivalence point lies at"),
        (Wishes(sample_mass=0.01), "known to 20 %"),
        (Wishes(sample_mass=3.0), "the equivalence point lies at"),
        (Wishes(total_volume=0.3), "holds 200 mL"),
        (Wishes(total_volume=0.15), "cannot be measured"),
        (Wishes(total_volume=0.04003), "cannot be measured"),
        (Wishes(total_volume=0.02), "the equivalence point lies at"),
        (Wishes(stock=15.0), "no solution of HCl holds more than"),
        (Wishes(stock=12.0), "beyond what the model"),
    ],
)
def test_impossible_wish_names_the_nearest_that_works(
    pool: Experiment, wishes: Wishes, because: str
) -> None:
    with pytest.raises(ImpossibleWishError) as refused:
        granted(pool, wishes)
    assert because in refused.value.because
    offers = re.findall(r"--([a-zA-Z-]+) (\d+(?:\.\d+)?)", refused.value.nearest)
    assert offers
    for option, number in offers:
        value = float(number)
        wished = {
            "total_volume": wishes.total_volume,
            "sample_mass": wishes.sample_mass,
            "stock": wishes.stock,
        }
        wished |= {
            "stock-mol-per-L": {"stock": value},
            "sample-g": {"sample_mass": value},
            "total-mL": {"total_volume": litres(value)},
        }[option]
        assert granted(pool, Wishes(**wished)) is not None  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("wishes", "because"),
    [
        (Wishes(stock=1e-4), "no cup loses more than"),
        (Wishes(stock=500.0), "no solution of HCl holds more than"),
        (Wishes(sample_mass=1e-4), "known to 2000 %"),
        (Wishes(sample_mass=500.0), "beyond what the model"),
        (Wishes(total_volume=1e-4), "cannot be measured"),
        (Wishes(total_volume=50.0), "holds 200 mL"),
        (Wishes(total_volume=0.15, sample_mass=9.0), "cannot be measured"),
        (Wishes(sample_mass=9.0, stock=0.01), "g of NaHCO3 are left"),
    ],
)
def test_far_off_or_contradicting_wishes_name_what_works_too(
    pool: Experiment, wishes: Wishes, because: str
) -> None:
    """From however far away, and where two wishes spoil each other: each alone."""
    with pytest.raises(ImpossibleWishError) as refused:
        granted(pool, wishes)
    assert "Works instead" in refused.value.nearest
    offers = re.findall(r"--([a-zA-Z-]+) (\d+(?:\.\d+)?)", refused.value.nearest)
    assert offers
    assert because in refused.value.because
    for option, number in offers:
        value = float(number)
        alone = {
            "stock-mol-per-L": Wishes(stock=value),
            "sample-g": Wishes(sample_mass=value),
            "total-mL": Wishes(total_volume=litres(value)),
        }[option]
        assert granted(pool, alone) is not None


@pytest.mark.parametrize("amount", [1e300, 1e-300, float("nan"), float("inf"), -1.0, 0.0])
def test_numbers_that_are_no_amounts_are_refused_at_once(pool: Experiment, amount: float) -> None:
    for wishes in (Wishes(stock=amount), Wishes(sample_mass=amount), Wishes(total_volume=amount)):
        with pytest.raises(ImpossibleWishError, match=r"a number above zero, from 1e-06 to 10000"):
            granted(pool, wishes)


@pytest.mark.parametrize("number", [0, 1, 3, 61])
def test_number_of_runs_has_bounds(pool: Experiment, number: int) -> None:
    with pytest.raises(ImpossibleWishError, match=r"Use --runs (4|60)\."):
        granted(pool, Wishes(n_runs=number))


@pytest.mark.parametrize(
    "wishes", [Wishes(stock=-1.0), Wishes(sample_mass=0.0), Wishes(total_volume=-0.01)]
)
def test_amounts_are_positive(pool: Experiment, wishes: Wishes) -> None:
    with pytest.raises(ImpossibleWishError, match="a number above zero"):
        granted(pool, wishes)


def test_row_beyond_the_model(pool: Experiment, planned: Callable[..., Plan]) -> None:
    """The message names the cups at which the model ends, and a way out."""
    with pytest.raises(PlanBeyondModelError, match="Works instead") as refused:
        planned(with_stock(pool, 5.0))
    runs = tuple(run.run for run in pool.planned)
    # The last cups hold the most of the strong stock.
    assert refused.value.runs
    assert refused.value.runs == runs[-len(refused.value.runs) :]
    assert len(refused.value.runs) < len(runs)
    assert f"cannot be judged in cups {', '.join(refused.value.runs)}:" in str(refused.value)


@pytest.fixture(scope="module")
def vinegar() -> Experiment:
    """Baking soda in spirit vinegar, used as it comes: 5 g in 100 mL."""
    return parse_definition(VINEGAR.read_text(encoding="utf-8"))


def offers(refused: ImpossibleWishError) -> dict[str, float]:
    found = re.findall(r"--([a-zA-Z-]+) (\d+(?:\.\d+)?)", refused.nearest)
    return {option: float(number) for option, number in found}


def test_vinegar_is_diluted_but_never_made_stronger(vinegar: Experiment) -> None:
    bottle = vinegar.reagent.concentration.value
    with pytest.raises(ImpossibleWishError, match=r"0\.833 mol/L, and it can only be diluted"):
        granted(vinegar, Wishes(stock=1.0))
    diluted = granted(vinegar, Wishes(stock=0.8))
    bought = diluted.preparation.bought
    assert bought is not None
    assert not bought.is_the_stock
    recipe = stock_recipe(diluted, 0.5)
    assert recipe.way is Way.LIQUID
    with pytest.raises(ImpossibleWishError) as refused:
        granted(vinegar, Wishes(sample_mass=6.0))
    assert offers(refused.value)
    assert offers(refused.value).get("stock-mol-per-L", 0.0) <= bottle


def test_no_plan_speaks_of_stronger_vinegar(
    vinegar: Experiment, planned: Callable[..., Plan]
) -> None:
    words = [variant.words for variant in planned(vinegar).variants]
    assert not any("stronger stock" in word for word in words)
    assert any("weaker stock" in word for word in words)


@pytest.fixture(scope="module")
def tablets(pool: Experiment) -> Experiment:
    """The pool granules pressed to tablets of 1.6 g, broken in halves at most."""
    sample = replace(pool.sample, piece=Piece(mass=1.6, part=0.5), nominal_mass=1.6)
    return with_sample(replace(pool, sample=sample), 1.6)


def test_portions_of_tablets_are_whole_parts_everywhere(
    tablets: Experiment, planned: Callable[..., Plan]
) -> None:
    with pytest.raises(ImpossibleWishError, match=r"a whole number of 0\.8 g") as refused:
        granted(tablets, Wishes(sample_mass=1.0))
    assert offers(refused.value)["sample-g"] == 1.6
    plan = planned(tablets)
    masses = [variant.sample / variant.runs for variant in plan.variants]
    if plan.other_sample:
        masses.append(plan.other_sample.mass)
    np.testing.assert_allclose(np.array(masses) / 0.8, np.round(np.array(masses) / 0.8))
    assert len(set(np.round(masses, 6))) == 3
    with pytest.raises(ImpossibleWishError) as refused:
        granted(tablets, Wishes(total_volume=0.012))
    offered = offers(refused.value).get("sample-g", 0.8)
    assert offered / 0.8 == pytest.approx(round(offered / 0.8))


def test_portions_are_steps_of_the_balance(pool: Experiment) -> None:
    coarse = with_balances(pool, own=balance(0.1))
    assert all(
        mass * 10 == pytest.approx(round(mass * 10)) for mass in other_samples(coarse, TWO_DIGITS)
    )
    with pytest.raises(ImpossibleWishError, match="shows no such mass") as refused:
        granted(with_balances(pool, own=balance(0.01)), Wishes(sample_mass=1.505))
    assert offers(refused.value)["sample-g"] == 1.5


def test_offered_totals_leave_head_space(pool: Experiment) -> None:
    """Nothing between half of the cup and all of it is offered."""
    small = with_vessel(pool, 0.09)
    with pytest.raises(ImpossibleWishError) as refused:
        granted(small, Wishes(total_volume=0.15))
    assert offers(refused.value)["total-mL"] <= 45.0
