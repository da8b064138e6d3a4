"""The whole plan, and what it expects."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from tarebook.core.phrase import Phrase
from tarebook.measurement.instruments import balance
from tarebook.measurement.weighing import mass_loss_u
from tarebook.planning.changes import (
    pleasing_numbers,
    row_of,
    with_balances,
    with_row,
    with_sample,
    with_stock,
)
from tarebook.planning.contents import content_range
from tarebook.planning.expected import expect, expected_loss, foam_volume
from tarebook.planning.information import expected_u
from tarebook.planning.plan import Plan
from tarebook.planning.remedies import RemedyKind
from tarebook.planning.rows import Best
from tarebook.planning.variants import upgrades, variants
from tarebook.planning.wishes import Wishes
from tarebook.series.experiment import Experiment


def test_pool_plan(pool_plan: Plan) -> None:
    assert pool_plan.works
    assert pool_plan.between == ("5", "6")
    assert 0.0 < pool_plan.place < 1.0
    assert [row.name for row in pool_plan.rows] == ["given", "equal steps", "best", "even"]
    gain = pool_plan.gain("best")
    assert gain is not None
    assert 0.05 < gain < 0.5
    assert pool_plan.gain("equal steps") == 0.0
    assert pool_plan.consumption.stock == pytest.approx(0.160)
    assert pool_plan.consumption.sample == pytest.approx(12.0)


@pytest.mark.slow
def test_same_draws_same_plan(
    pool: Experiment, planned: Callable[..., Plan], pool_plan: Plan
) -> None:
    again = planned(pool)
    assert again.rows == pool_plan.rows
    assert again.expected.equivalence == pool_plan.expected.equivalence


@pytest.mark.slow
@pytest.mark.parametrize("which", ["pool_plan", "bath_plan"])
def test_proposals_have_the_change_over_inside(which: str, request: pytest.FixtureRequest) -> None:
    plan: Plan = request.getfixturevalue(which)
    at = plan.expected.equivalence
    for name in ("best", "even"):
        row = plan.row(name)
        assert row is not None
        assert min(row.reagent) < at.low
        assert max(row.reagent) > at.high


def test_other_sample_is_better_and_still_works(pool: Experiment, pool_plan: Plan) -> None:
    other, best = pool_plan.other_sample, pool_plan.row("best")
    assert other is not None
    assert best is not None
    assert other.row.u_content < best.u_content
    heavier = with_sample(pool, other.mass)
    u = expected_u(heavier, np.array(other.row.reagent), content_range(pool).scenarios)
    assert u.content == pytest.approx(other.row.u_content)


def test_wished_sample_is_not_argued_with(pool: Experiment, planned: Callable[..., Plan]) -> None:
    assert planned(pool, Wishes(sample_mass=1.0)).other_sample is None


@pytest.mark.slow
def test_definition_that_cannot_work_is_still_told_about(
    pool: Experiment, planned: Callable[..., Plan]
) -> None:
    plan = planned(with_stock(pool, 0.3))
    assert not plan.works
    assert plan.between == ()
    assert plan.place > 1.0
    assert plan.gain("best") is None
    assert plan.findings[0].code == "change-over-outside"


@pytest.mark.slow
def test_row_on_one_spot(pool: Experiment, planned: Callable[..., Plan]) -> None:
    plan = planned(with_row(pool, [0.02] * 8))
    assert not plan.works
    assert math.isinf(plan.place)


def test_expected_loss_lies_in_its_band(bath: Experiment) -> None:
    contents = content_range(bath)
    found = expect(bath, contents, np.random.Generator(np.random.SFC64(1)))
    losses = expected_loss(bath, contents.centre)
    for run, loss in zip(found.runs, losses, strict=True):
        assert run.lost.value == pytest.approx(loss)
        assert run.lost.low < run.lost.value < run.lost.high
    chances = [run.p_reagent_limiting for run in found.runs]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] == 1.0
    assert chances[-1] == 0.0
    curve = np.array([point.lost for point in found.curve])
    at_runs = np.interp(row_of(bath), [p.reagent for p in found.curve], curve)
    np.testing.assert_allclose(at_runs, losses, rtol=0, atol=0.01)


def test_foam_is_the_stated_rule() -> None:
    """Half of the gas in 5 s, bubbles of 2 s: a fifth of the gas stands in the liquid."""
    assert foam_volume(0.5) == pytest.approx(0.1)


def test_mass_loss_u_by_hand(bath: Experiment) -> None:
    """Two weighings of the cup on 0.01 g and 0.006 g, linearity 0.01 g; the sample on 0.001 g."""
    equipment = bath.equipment
    cup = 2 * (0.01**2 / 12 + 0.006**2) + 0.01**2 / 3
    sample = 0.001**2 / 12 + 0.001**2
    assert mass_loss_u(equipment.balance, equipment.sample_balance) == pytest.approx(
        math.sqrt(cup + sample)
    )


def test_what_each_run_teaches_is_drop_one(pool: Experiment, pool_plan: Plan) -> None:
    contents = content_range(pool).scenarios
    row = row_of(pool)
    whole = expected_u(pool, row, contents)
    for index, lesson in enumerate(pool_plan.lessons):
        without = expected_u(pool, np.delete(row, index), contents)
        assert lesson.content == pytest.approx(without.content / whole.content - 1.0, rel=1e-6)
        assert lesson.equivalence == pytest.approx(
            without.equivalence / whole.equivalence - 1.0, rel=1e-6
        )


def test_upgrades_are_ranked_and_help(bath: Experiment) -> None:
    found = upgrades(bath, content_range(bath), Best.CONTENT)
    gains = [upgrade.gain for upgrade in found]
    assert gains == sorted(gains, reverse=True)
    assert min(gains) > -1e-9
    balance_of_cups = Phrase.of("plan-balance", step_g=0.001)
    assert found[0].what == Phrase.of("upgrade-balance", balance=balance_of_cups, weighs="cups")
    finer = with_balances(bath, main=balance(0.001))
    u = expected_u(finer, row_of(bath), content_range(bath).scenarios).content
    assert found[0].u == pytest.approx(u)


def test_variants_move_as_they_must(pool: Experiment) -> None:
    found = {
        (variant.what.key.removeprefix("variant-"), variant.what.values.get("way")): variant
        for variant in variants(pool, content_range(pool))
    }
    now = found["as-planned", None]
    stronger, weaker = (found["stock", way].equivalence for way in ("stronger", "weaker"))
    assert stronger < now.equivalence < weaker
    assert found["sample", "smaller"].lost < now.lost < found["sample", "larger"].lost
    finer, coarser = (found["balance", way].u_content for way in ("finer", "coarser"))
    assert finer < now.u_content < coarser
    # Colder water holds more of the gas back.
    assert found["room", "colder"].lost < now.lost < found["room", "warmer"].lost
    more = found["runs", None]
    assert more.runs == now.runs + 4
    assert more.u_content < now.u_content
    assert more.sample == pytest.approx(18.0)


def test_stock_keeps_its_relative_u(pool: Experiment) -> None:
    other = with_stock(pool, 1.5).reagent
    now = pool.reagent.concentration
    assert other.concentration.u / other.concentration.value == pytest.approx(now.u / now.value)
    assert other.density.value > pool.reagent.density.value


def test_pleasing_numbers_come_nearest_first() -> None:
    numbers = pleasing_numbers(0.75)
    assert numbers[0] == 0.75
    assert min(numbers) <= 0.0076
    assert max(numbers) >= 70.0
    distance = [abs(math.log(number / 0.75)) for number in numbers]
    assert distance == sorted(distance)


@pytest.mark.slow
def test_too_few_runs_get_a_row_that_is_long_enough(
    pool: Experiment, planned: Callable[..., Plan]
) -> None:
    plan = planned(with_row(pool, [0.005]))
    assert not plan.works
    for name in ("best", "even"):
        row = plan.row(name)
        assert row is not None
        assert len(row.reagent) == 4
    remedies = plan.remedies["change-over-outside"]
    assert [remedy.kind for remedy in remedies] == [RemedyKind.ROW]
