"""Time on the bench: the simulated queue against closed results and hand counts."""

from __future__ import annotations

import math
from importlib import resources

import numpy as np
import pytest

from tarebook.core.errors import OutOfRangeError
from tarebook.planning.prepare.bench_plan import bench_plan
from tarebook.planning.prepare.bench_time import bench_time, group_steps, pace
from tarebook.planning.prepare.queue import Mark, Plan, Until, Visit, Work, run
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

BLANK = (resources.files("tarebook.api") / "blank.toml").read_text(encoding="utf-8")


@pytest.fixture
def rng() -> np.random.Generator:
    return np.random.Generator(np.random.SFC64(5))


@pytest.fixture(scope="module")
def experiment() -> Experiment:
    return parse_definition(BLANK)


def test_first_come_first_served_by_hand() -> None:
    plans = [Plan(start, (Visit("balance", 4.0), Work(1.0))) for start in (0.0, 1.0, 2.0, 20.0)]
    one = run(plans, {"balance": 1})
    assert one.waits.tolist() == [0.0, 3.0, 6.0, 0.0]
    assert sorted(one.ends.tolist()) == [5.0, 9.0, 13.0, 25.0]
    assert one.busy["balance"] == 16.0
    two = run(plans, {"balance": 2})
    assert two.waits.tolist() == [0.0, 0.0, 2.0, 0.0]


def test_waiting_counts_from_the_mark_and_never_backwards() -> None:
    steps = (Mark("a"), Work(3.0), Until("a", 10.0), Until("a", 5.0), Visit("balance", 1.0))
    lesson = run([Plan(2.0, steps)], {"balance": 1})
    assert lesson.arrivals.tolist() == [12.0]
    assert lesson.ends.tolist() == [13.0]


def erlang_c(servers: int, load: float) -> float:
    """Return the probability that a customer of an M/M/c queue has to wait.

    A. K. Erlang 1917, in any text on queues, from memory: by the recursion of his B formula,
    B(c) = a B(c-1) / (c + a B(c-1)), and C = B / (1 - (a/c)(1 - B)).
    """
    blocked = 1.0
    for count in range(1, servers + 1):
        blocked = load * blocked / (count + load * blocked)
    return blocked / (1.0 - load / servers * (1.0 - blocked))


@pytest.mark.slow
@pytest.mark.parametrize(("servers", "load"), [(1, 0.7), (2, 1.4), (5, 4.0)])
def test_the_queue_meets_erlang_c(servers: int, load: float, rng: np.random.Generator) -> None:
    """M/M/c: P(wait) = C(c, a), mean wait = C / (c - a) service times.

    The closed form of C for two servers is checked below.
    Batches of a long run give the statistical error; five of them are allowed.
    """
    batches, customers = 40, 2500
    waited, mean = [], []
    for _ in range(batches):
        starts = np.cumsum(rng.exponential(1.0 / load, customers))
        service = rng.exponential(1.0, customers)
        plans = [
            Plan(float(start), (Visit("balance", float(time)),))
            for start, time in zip(starts, service, strict=True)
        ]
        waits = run(plans, {"balance": servers}).waits[500:]
        waited.append(float(np.mean(waits > 0)))
        mean.append(float(np.mean(waits)))
    expected = erlang_c(servers, load)
    for found, closed in ((waited, expected), (mean, expected / (servers - load))):
        error = float(np.std(found, ddof=1)) / math.sqrt(batches)
        assert abs(float(np.mean(found)) - closed) < 5.0 * error
        assert error < 0.08 * closed


@pytest.mark.parametrize("load", [0.1, 0.5, 1.0, 1.9])
def test_erlang_c_for_two_servers_is_its_closed_form(load: float) -> None:
    np.testing.assert_allclose(erlang_c(2, load), load**2 / (2.0 + load), rtol=1e-12)


def test_a_group_weighs_each_vessel_three_times_and_each_portion_once(
    experiment: Experiment, rng: np.random.Generator
) -> None:
    steps = group_steps(experiment, pace(experiment), rng)
    stages = [step.stage for step in steps if isinstance(step, Visit)]
    # Eight vessels in trays of four.
    assert {stage: stages.count(stage) for stage in set(stages)} == {
        "tare": 2,
        "liquid": 2,
        "sample": 2,
        "final": 2,
    }


def test_a_group_alone_never_waits_and_takes_what_its_steps_take(
    experiment: Experiment, rng: np.random.Generator
) -> None:
    alone = bench_time(experiment, 1, 1, rng, replicates=200)
    assert alone.mean_wait == 0.0
    assert alone.jam_stage == ""
    # Per tray of four: 3 x 4 weighings of 0.75, pouring 4 x 2, adding 4 x 0.5: 19 min. After the
    # second tray the slowest of four fizzings of 4 min, 10 min of waiting, 4 last weighings.
    least = 2 * 19.0 + 4.0 + 10.0 + 3.0
    assert least < alone.end < least + 4.0


def test_more_balances_and_staggered_starts_shorten_the_waits(
    experiment: Experiment, rng: np.random.Generator
) -> None:
    one, four = (bench_time(experiment, 8, count, rng) for count in (1, 4))
    late = bench_time(experiment, 8, 2, rng, stagger=15.0)
    assert four.mean_wait < one.mean_wait / 3
    assert four.end < one.end
    assert late.mean_wait < bench_time(experiment, 8, 2, rng).mean_wait
    # One balance cannot finish before all weighings are done one after the other.
    assert one.end >= 8 * 32 * 0.75 * 0.9
    assert 0.9 < one.busy <= 1.0


def test_the_plan_says_what_cures_the_jam(experiment: Experiment, rng: np.random.Generator) -> None:
    plan = bench_plan(experiment, 12, 2, rng)
    assert not plan.fits
    assert plan.as_wished.long_wait > plan.wait_limit
    assert plan.more_balances is not None
    assert plan.more_balances.long_wait <= plan.wait_limit
    fewer = bench_time(experiment, 12, plan.more_balances.balances - 2, rng)
    assert fewer.long_wait > plan.wait_limit
    assert plan.as_wished.jam_stage in ("tare", "liquid", "sample", "final")


def test_a_stagger_that_does_not_fit_into_the_lesson_is_not_offered(
    rng: np.random.Generator,
) -> None:
    short, long = (
        parse_definition(f"{BLANK}\n[prepare]\nlesson_minutes = {minutes}\n")
        for minutes in (90, 400)
    )
    assert bench_plan(short, 12, 2, rng).stagger is None
    staggered = bench_plan(long, 12, 2, rng).stagger
    assert staggered is not None
    assert staggered.long_wait <= 3.0
    assert 90.0 < staggered.late_end <= 400.0


def test_one_group_fits(experiment: Experiment, rng: np.random.Generator) -> None:
    plan = bench_plan(experiment, 1, 1, rng)
    assert plan.fits
    assert plan.more_balances is None
    assert plan.stagger is None


def test_measured_durations_win_over_assumed_ones(rng: np.random.Generator) -> None:
    said = "\n[prepare]\nweighing_minutes = 0.25\npouring_minutes = 1\nadding_minutes = 0.2\n"
    text = BLANK + said + "fizzing_minutes = 2\n"
    steps = pace(parse_definition(text))
    assert (steps.weighing, steps.pouring, steps.adding, steps.fizzing) == (0.25, 1.0, 0.2, 2.0)
    assert steps.source.basis == "declared"
    assert pace(parse_definition(BLANK)).source.basis == "memory"


def test_the_same_seed_gives_the_same_lesson(experiment: Experiment) -> None:
    one, two = (
        bench_time(experiment, 5, 2, np.random.Generator(np.random.SFC64(9))) for _ in range(2)
    )
    assert one == two


@pytest.mark.parametrize(("groups", "balances"), [(0, 1), (1, 0), (-3, 2)])
def test_nobody_at_no_balance_is_refused(
    experiment: Experiment, rng: np.random.Generator, groups: int, balances: int
) -> None:
    with pytest.raises(OutOfRangeError):
        bench_time(experiment, groups, balances, rng)
