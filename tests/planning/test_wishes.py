"""Wishes: granted, or refused with the nearest that works."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.core.phrase import Phrase
from tarebook.core.units import millilitres
from tarebook.findings.instruments import called
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
from tarebook.planning.refusals import (
    Amount,
    ImpossibleWishError,
    Nearest,
    PlanBeyondModelError,
    Wished,
)
from tarebook.planning.rows import Best
from tarebook.planning.wishes import Wishes
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment, Piece

pytestmark = pytest.mark.slow

VINEGAR = Path(__file__).parents[1] / "laboratories" / "baking-soda-and-vinegar" / "experiment.toml"


def refused(experiment: Experiment, wishes: Wishes) -> ImpossibleWishError:
    with pytest.raises(ImpossibleWishError) as caught:
        granted(experiment, wishes)
    return caught.value


def having(amount: Amount, wishes: Wishes) -> Wishes:
    """Return wishes with what was offered in the place of the same or none."""
    match amount.of:
        case Wished.TOTAL_VOLUME:
            return replace(wishes, total_volume=amount.value)
        case Wished.SAMPLE_MASS:
            return replace(wishes, sample_mass=amount.value)
        case Wished.STOCK:
            return replace(wishes, stock=amount.value)
        case Wished.N_RUNS:
            return replace(wishes, n_runs=int(amount.value))


def nearest_of(error: ImpossibleWishError | PlanBeyondModelError) -> Nearest:
    assert error.nearest is not None
    return error.nearest


def offers(error: ImpossibleWishError) -> dict[Wished, float]:
    return {amount.of: amount.value for amount in nearest_of(error).amounts}


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
        (Wishes(stock=0.1), "refusal-out-of-reach"),
        (Wishes(sample_mass=0.01), "sample-too-small-for-balance"),
        (Wishes(sample_mass=3.0), "refusal-out-of-reach"),
        (Wishes(total_volume=0.3), "refusal-vessel-too-small"),
        (Wishes(total_volume=0.15), "refusal-not-measurable"),
        (Wishes(total_volume=0.04003), "refusal-not-measurable"),
        (Wishes(total_volume=0.02), "refusal-out-of-reach"),
        (Wishes(stock=15.0), "refusal-no-such-solution"),
        (Wishes(stock=12.0), "refusal-beyond-model"),
    ],
)
def test_impossible_wish_names_the_nearest_that_works(
    pool: Experiment, wishes: Wishes, because: str
) -> None:
    error = refused(pool, wishes)
    assert error.because.key == because
    assert error.wished == wishes.amounts
    assert nearest_of(error).amounts
    assert not nearest_of(error).all_else_as_defined
    for amount in nearest_of(error).amounts:
        assert granted(pool, having(amount, wishes)) is not None


@pytest.mark.parametrize(
    ("wishes", "because"),
    [
        (Wishes(stock=1e-4), "mass-lost-too-small"),
        (Wishes(stock=500.0), "refusal-no-such-solution"),
        (Wishes(sample_mass=1e-4), "sample-too-small-for-balance"),
        (Wishes(sample_mass=500.0), "refusal-beyond-model"),
        (Wishes(total_volume=1e-4), "refusal-not-measurable"),
        (Wishes(total_volume=50.0), "refusal-vessel-too-small"),
        (Wishes(total_volume=0.15, sample_mass=9.0), "refusal-not-measurable"),
        (Wishes(sample_mass=9.0, stock=0.01), "sample-does-not-dissolve"),
    ],
)
def test_far_off_or_contradicting_wishes_name_what_works_too(
    pool: Experiment, wishes: Wishes, because: str
) -> None:
    """From however far away, and where two wishes spoil each other: each alone."""
    error = refused(pool, wishes)
    assert error.because.key == because
    assert error.wished == wishes.amounts
    assert nearest_of(error).amounts
    for amount in nearest_of(error).amounts:
        assert granted(pool, having(amount, Wishes())) is not None


def test_a_rule_that_stops_the_row_is_handed_on_with_its_numbers(pool: Experiment) -> None:
    values = refused(pool, Wishes(sample_mass=0.01)).because.values
    assert values["sample_g"] == 0.01
    assert values["balance"] == called(pool.equipment.sample_balance)


def test_two_wishes_that_spoil_each_other_say_that_the_rest_is_given_up(pool: Experiment) -> None:
    error = refused(pool, Wishes(sample_mass=9.0, stock=0.01))
    assert nearest_of(error).all_else_as_defined
    assert {amount.of for amount in nearest_of(error).amounts} <= {Wished.SAMPLE_MASS, Wished.STOCK}


@pytest.mark.parametrize("amount", [1e300, 1e-300, float("nan"), float("inf"), -1.0, 0.0])
def test_numbers_that_are_no_amounts_are_refused_at_once(pool: Experiment, amount: float) -> None:
    for wishes in (Wishes(stock=amount), Wishes(sample_mass=amount), Wishes(total_volume=amount)):
        error = refused(pool, wishes)
        assert error.because.key == "refusal-no-amount"
        assert error.because.values["of"] is wishes.amounts[0].of
        assert error.nearest is None
        assert [one.of for one in error.wished] == [one.of for one in wishes.amounts]


@pytest.mark.parametrize(
    ("number", "because", "nearest"),
    [
        (0, "refusal-too-few-runs", 4),
        (1, "refusal-too-few-runs", 4),
        (3, "refusal-too-few-runs", 4),
        (61, "refusal-too-many-runs", 60),
    ],
)
def test_number_of_runs_has_bounds(
    pool: Experiment, number: int, because: str, nearest: int
) -> None:
    error = refused(pool, Wishes(n_runs=number))
    assert error.because.key == because
    assert error.because.values["most"] == 60
    assert error.wished == (Amount(of=Wished.N_RUNS, value=number),)
    assert nearest_of(error).amounts == (Amount(of=Wished.N_RUNS, value=nearest),)


def test_what_the_ware_holds_is_told_with_its_units(pool: Experiment) -> None:
    assert refused(pool, Wishes(total_volume=0.3)).because == Phrase.of(
        "refusal-vessel-too-small",
        vessel=pool.vessel.name,
        capacity_mL=millilitres(pool.vessel.capacity),
    )
    values = refused(pool, Wishes(stock=0.1)).because.values
    low, high, first, last, total = (
        values[name] for name in ("low_mL", "high_mL", "first_mL", "last_mL", "total_mL")
    )
    assert total == millilitres(pool.total_volume)
    assert first < last <= total  # type: ignore[operator]
    assert low < high  # type: ignore[operator]
    # With two runs wanted on either side even the last would not do.
    assert high > first  # type: ignore[operator]


@pytest.mark.parametrize(
    "wishes",
    [
        Wishes(n_runs=2),
        Wishes(stock=500.0),
        Wishes(sample_mass=500.0),
        Wishes(sample_mass=9.0, stock=0.01),
    ],
)
def test_a_refusal_comes_back_whole_from_another_process(pool: Experiment, wishes: Wishes) -> None:
    error = refused(pool, wishes)
    back = pickle.loads(pickle.dumps(error))
    assert (back.wished, back.nearest) == (error.wished, error.nearest)
    assert back.because == error.because
    assert str(back) == str(error)


def test_row_beyond_the_model(pool: Experiment, planned: Callable[..., Plan]) -> None:
    """The message names the cups at which the model ends, and a way out."""
    with pytest.raises(PlanBeyondModelError) as caught:
        planned(with_stock(pool, 5.0))
    error, runs = caught.value, tuple(run.run for run in pool.planned)
    # The last cups hold the most of the strong stock.
    assert error.runs
    assert error.runs == runs[-len(error.runs) :]
    assert len(error.runs) < len(runs)
    assert error.because.key == "refusal-beyond-model"
    where = error.because.values["where"]
    assert isinstance(where, Phrase)
    assert where.values["name"] == "ionic strength"
    assert nearest_of(error).amounts


@pytest.fixture(scope="module")
def vinegar() -> Experiment:
    """Baking soda in spirit vinegar, used as it comes: 5 g in 100 mL."""
    return parse_definition(VINEGAR.read_text(encoding="utf-8"))


def test_vinegar_is_diluted_but_never_made_stronger(vinegar: Experiment) -> None:
    bottle = vinegar.reagent.concentration.value
    because = refused(vinegar, Wishes(stock=1.0)).because
    assert because.key == "refusal-stronger-than-bottle"
    assert because.values["strongest_mol_per_L"] == bottle == pytest.approx(0.833, abs=5e-4)
    diluted = granted(vinegar, Wishes(stock=0.8))
    bought = diluted.preparation.bought
    assert bought is not None
    assert not bought.is_the_stock
    recipe = stock_recipe(diluted, 0.5)
    assert recipe.way is Way.LIQUID
    offered = offers(refused(vinegar, Wishes(sample_mass=6.0)))
    assert offered
    assert offered.get(Wished.STOCK, 0.0) <= bottle


def test_no_plan_speaks_of_stronger_vinegar(
    vinegar: Experiment, planned: Callable[..., Plan]
) -> None:
    found = [one.what for one in planned(vinegar).variants if one.what.key == "variant-stock"]
    assert [what.values["way"] for what in found] == ["weaker"]


@pytest.fixture(scope="module")
def tablets(pool: Experiment) -> Experiment:
    """The pool granules pressed to tablets of 1.6 g, broken in halves at most."""
    sample = replace(pool.sample, piece=Piece(mass=1.6, part=0.5), nominal_mass=1.6)
    return with_sample(replace(pool, sample=sample), 1.6)


def test_portions_of_tablets_are_whole_parts_everywhere(
    tablets: Experiment, planned: Callable[..., Plan]
) -> None:
    error = refused(tablets, Wishes(sample_mass=1.0))
    assert error.because == Phrase.of("refusal-between-pieces", piece_g=1.6, part_g=0.8)
    assert offers(error) == {Wished.SAMPLE_MASS: 1.6}
    plan = planned(tablets)
    masses = [variant.sample / variant.runs for variant in plan.variants]
    if plan.other_sample:
        masses.append(plan.other_sample.mass)
    np.testing.assert_allclose(np.array(masses) / 0.8, np.round(np.array(masses) / 0.8))
    assert len(set(np.round(masses, 6))) == 3
    offered = offers(refused(tablets, Wishes(total_volume=0.012))).get(Wished.SAMPLE_MASS, 0.8)
    assert offered / 0.8 == pytest.approx(round(offered / 0.8))


def test_portions_are_steps_of_the_balance(pool: Experiment) -> None:
    coarse = with_balances(pool, own=balance(0.1))
    assert all(
        mass * 10 == pytest.approx(round(mass * 10)) for mass in other_samples(coarse, TWO_DIGITS)
    )
    own = balance(0.01)
    error = refused(with_balances(pool, own=own), Wishes(sample_mass=1.505))
    assert error.because == Phrase.of("refusal-between-steps", balance=called(own))
    assert offers(error) == {Wished.SAMPLE_MASS: 1.5}


def test_offered_totals_leave_head_space(pool: Experiment) -> None:
    """Nothing between half of the cup and all of it is offered."""
    small = with_vessel(pool, 0.09)
    offered = offers(refused(small, Wishes(total_volume=0.15)))
    assert offered[Wished.TOTAL_VOLUME] <= 0.045
