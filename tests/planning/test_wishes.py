"""Wishes: granted, or refused with the nearest that works."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

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
    BetweenPieces,
    BetweenSteps,
    BeyondModel,
    ImpossibleWishError,
    NoAmount,
    NoSuchSolution,
    NotMeasurable,
    OutOfReach,
    PlanBeyondModelError,
    Reason,
    Stopped,
    StrongerThanBottle,
    TooFewRuns,
    TooManyRuns,
    VesselTooSmall,
    Wished,
)
from tarebook.planning.rows import Best
from tarebook.planning.wishes import Wishes
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment, Piece

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


def offers(error: ImpossibleWishError) -> dict[Wished, float]:
    return {amount.of: amount.value for amount in error.nearest.amounts}


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
        (Wishes(stock=0.1), OutOfReach),
        (Wishes(sample_mass=0.01), Stopped),
        (Wishes(sample_mass=3.0), OutOfReach),
        (Wishes(total_volume=0.3), VesselTooSmall),
        (Wishes(total_volume=0.15), NotMeasurable),
        (Wishes(total_volume=0.04003), NotMeasurable),
        (Wishes(total_volume=0.02), OutOfReach),
        (Wishes(stock=15.0), NoSuchSolution),
        (Wishes(stock=12.0), BeyondModel),
    ],
)
def test_impossible_wish_names_the_nearest_that_works(
    pool: Experiment, wishes: Wishes, because: type[Reason]
) -> None:
    error = refused(pool, wishes)
    assert isinstance(error.because, because)
    assert error.wished == wishes.amounts
    assert error.nearest.amounts
    assert not error.nearest.all_else_as_defined
    for amount in error.nearest.amounts:
        assert granted(pool, having(amount, wishes)) is not None


@pytest.mark.parametrize(
    ("wishes", "because"),
    [
        (Wishes(stock=1e-4), Stopped),
        (Wishes(stock=500.0), NoSuchSolution),
        (Wishes(sample_mass=1e-4), Stopped),
        (Wishes(sample_mass=500.0), BeyondModel),
        (Wishes(total_volume=1e-4), NotMeasurable),
        (Wishes(total_volume=50.0), VesselTooSmall),
        (Wishes(total_volume=0.15, sample_mass=9.0), NotMeasurable),
        (Wishes(sample_mass=9.0, stock=0.01), Stopped),
    ],
)
def test_far_off_or_contradicting_wishes_name_what_works_too(
    pool: Experiment, wishes: Wishes, because: type[Reason]
) -> None:
    """From however far away, and where two wishes spoil each other: each alone."""
    error = refused(pool, wishes)
    assert isinstance(error.because, because)
    assert error.wished == wishes.amounts
    assert error.nearest.amounts
    for amount in error.nearest.amounts:
        assert granted(pool, having(amount, Wishes())) is not None


@pytest.mark.parametrize(
    ("wishes", "code"),
    [
        (Wishes(sample_mass=0.01), "sample-too-small-for-balance"),
        (Wishes(sample_mass=1e-4), "sample-too-small-for-balance"),
        (Wishes(stock=1e-4), "mass-lost-too-small"),
        (Wishes(sample_mass=9.0, stock=0.01), "sample-does-not-dissolve"),
    ],
)
def test_a_rule_that_stops_the_row_is_handed_on_whole(
    pool: Experiment, wishes: Wishes, code: str
) -> None:
    because = refused(pool, wishes).because
    assert isinstance(because, Stopped)
    assert because.advice.code == code
    assert because.advice.severity == "stop"


def test_two_wishes_that_spoil_each_other_say_that_the_rest_is_given_up(pool: Experiment) -> None:
    error = refused(pool, Wishes(sample_mass=9.0, stock=0.01))
    assert error.nearest.all_else_as_defined
    assert {amount.of for amount in error.nearest.amounts} <= {Wished.SAMPLE_MASS, Wished.STOCK}


@pytest.mark.parametrize("amount", [1e300, 1e-300, float("nan"), float("inf"), -1.0, 0.0])
def test_numbers_that_are_no_amounts_are_refused_at_once(pool: Experiment, amount: float) -> None:
    for wishes in (Wishes(stock=amount), Wishes(sample_mass=amount), Wishes(total_volume=amount)):
        error = refused(pool, wishes)
        assert isinstance(error.because, NoAmount)
        assert not error.because.least <= amount <= error.because.most
        assert [one.of for one in error.wished] == [one.of for one in wishes.amounts]


@pytest.mark.parametrize(
    ("number", "because", "nearest"),
    [
        (0, TooFewRuns(), 4),
        (1, TooFewRuns(), 4),
        (3, TooFewRuns(), 4),
        (61, TooManyRuns(most=60), 60),
    ],
)
def test_number_of_runs_has_bounds(
    pool: Experiment, number: int, because: Reason, nearest: int
) -> None:
    error = refused(pool, Wishes(n_runs=number))
    assert error.because == because
    assert error.wished == (Amount(of=Wished.N_RUNS, value=number),)
    assert error.nearest.amounts == (Amount(of=Wished.N_RUNS, value=nearest),)


def test_what_the_ware_holds_is_told_in_the_units_of_memory(pool: Experiment) -> None:
    assert refused(pool, Wishes(total_volume=0.3)).because == VesselTooSmall(
        vessel=pool.vessel.name, capacity=pool.vessel.capacity
    )
    because = refused(pool, Wishes(stock=0.1)).because
    assert isinstance(because, OutOfReach)
    assert because.total == pool.total_volume
    assert because.first < because.last <= pool.total_volume
    assert because.low < because.high
    # With two runs wanted on either side even the last would not do.
    assert because.high > because.first


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
    assert type(back.because) is type(error.because)
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
    assert isinstance(error.because, BeyondModel)
    assert error.nearest is not None
    assert error.nearest.amounts


@pytest.fixture(scope="module")
def vinegar() -> Experiment:
    """Baking soda in spirit vinegar, used as it comes: 5 g in 100 mL."""
    return parse_definition(VINEGAR.read_text(encoding="utf-8"))


def test_vinegar_is_diluted_but_never_made_stronger(vinegar: Experiment) -> None:
    bottle = vinegar.reagent.concentration.value
    because = refused(vinegar, Wishes(stock=1.0)).because
    assert isinstance(because, StrongerThanBottle)
    assert because.strength == bottle == pytest.approx(0.833, abs=5e-4)
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
    error = refused(tablets, Wishes(sample_mass=1.0))
    assert error.because == BetweenPieces(piece=1.6, part=0.8)
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
    assert error.because == BetweenSteps(balance=own.name)
    assert offers(error) == {Wished.SAMPLE_MASS: 1.5}


def test_offered_totals_leave_head_space(pool: Experiment) -> None:
    """Nothing between half of the cup and all of it is offered."""
    small = with_vessel(pool, 0.09)
    offered = offers(refused(small, Wishes(total_volume=0.15)))
    assert offered[Wished.TOTAL_VOLUME] <= 0.045
