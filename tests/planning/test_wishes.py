"""Wishes: granted, or refused with the nearest that works."""

from __future__ import annotations

import re
from collections.abc import Callable

import numpy as np
import pytest

from tarebook.core.units import litres
from tarebook.planning.changes import row_of, with_stock
from tarebook.planning.feasible import granted
from tarebook.planning.plan import Plan
from tarebook.planning.rows import Best
from tarebook.planning.wishes import ImpossibleWishError, PlanBeyondModelError, Wishes
from tarebook.series.experiment import Experiment


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
        (Wishes(stock=15.0), "beyond what the model"),
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
        (Wishes(stock=500.0), "no such solution"),
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
    with pytest.raises(PlanBeyondModelError, match="Works instead"):
        planned(with_stock(pool, 5.0))
