"""Readings that were not taken: the fit goes on, and says what they would have been worth."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tarebook.core.phrase import Phrase
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.joint.full import reduce_full
from tarebook.reduction.joint.results import FullReduction, FullSeries
from tarebook.reduction.results import SetAside
from tarebook.series.experiment import Experiment

Without = Callable[..., RunTable]
Exact = Callable[..., RunTable]
NONE = SetAside(unusable={}, doubtful={})
VOLUMES = (Quantity.REAGENT, Quantity.DILUENT)


@pytest.fixture(scope="module")
def table(granules: Experiment, exact: Exact) -> RunTable:
    return exact(granules, 0.90)


def reduced(experiment: Experiment, table: RunTable) -> FullReduction:
    return reduce_full(experiment, table, NONE, None, pictures=False)


def series(experiment: Experiment, table: RunTable) -> FullSeries:
    found = reduced(experiment, table).series
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("quantities", "runs", "most"),
    [
        ((Quantity.SAMPLE,), ("4",), 1.3),
        ((Quantity.LIQUID,), ("4",), 1.3),
        ((Quantity.TARE,), ("4",), 1.3),
        ((Quantity.FINAL,), ("4",), 1.3),
        (VOLUMES, ("4",), 1.3),
        # a waiting time that was planned and not read is known to a third
        ((Quantity.MINUTES, Quantity.TEMPERATURE), ("4",), 1.1),
        ((Quantity.TARE,), (), 3.0),
        (VOLUMES, (), 3.0),
        # volumes read to 0.25 mL then have to say what balances said to a milligram
        ((Quantity.LIQUID,), (), 40.0),
        ((Quantity.SAMPLE,), (), 10.0),
        ((Quantity.TARE, *VOLUMES), (), 5.0),
    ],
)
def test_it_works_and_knows_less(
    granules: Experiment,
    table: RunTable,
    without: Without,
    quantities: tuple[Quantity, ...],
    runs: tuple[str, ...],
    most: float,
) -> None:
    """The content stays within its u of the truth; the u grows, but no more than it must."""
    whole = series(granules, table).sample_mass_fraction
    found = series(granules, without(table, *quantities, runs=runs)).sample_mass_fraction
    assert abs(found.value - 0.90) < found.u
    assert whole.u * 0.999 < found.u < most * whole.u


def test_a_reading_that_is_missing_costs_a_degree_of_freedom(
    granules: Experiment, table: RunTable, without: Without
) -> None:
    whole = series(granules, table)
    for quantity in (Quantity.TARE, Quantity.LIQUID, Quantity.FINAL):
        assert series(granules, without(table, quantity, runs=("2",))).dof == whole.dof - 1
    # For what was poured and weighed in, the plan still stands, if with little trust.
    for quantity in (Quantity.REAGENT, Quantity.DILUENT, Quantity.SAMPLE):
        assert series(granules, without(table, quantity, runs=("2",))).dof == whole.dof


def test_what_a_missing_reading_costs_is_what_taking_it_brings(
    granules: Experiment, table: RunTable, without: Without
) -> None:
    """The forecast against the fit of the same series with the reading in its place."""
    for quantity in (Quantity.SAMPLE, Quantity.LIQUID, Quantity.FINAL, Quantity.REAGENT):
        lacking = series(granules, without(table, quantity, runs=("1", "6")))
        assert {missing.run for missing in lacking.missing} == {"1", "6"}
        for missing in lacking.missing:
            assert missing.reading == quantity.value
            other = {"1": "6", "6": "1"}[missing.run]
            taken = series(granules, without(table, quantity, runs=(other,)))
            assert missing.u_if_taken == pytest.approx(taken.sample_mass_fraction.u, rel=0.03)
            assert missing.u_if_taken <= lacking.sample_mass_fraction.u


def test_the_dearest_comes_first_and_nothing_missing_is_nothing(
    granules: Experiment, table: RunTable, without: Without
) -> None:
    assert series(granules, table).missing == ()
    lacking = without(table, Quantity.FINAL, runs=("8",))
    lacking = without(lacking, Quantity.TARE, runs=("1", "2"))
    costs = [missing.u_if_taken for missing in series(granules, lacking).missing]
    assert len(costs) == 3
    assert costs == sorted(costs)


def test_runs_without_any_reading_are_left_out(
    granules: Experiment, table: RunTable, without: Without
) -> None:
    every = tuple(Quantity)
    found = reduced(granules, without(table, *every, runs=("3",)))
    assert [run.run for run in found.runs] == ["1", "2", "4", "5", "6", "7", "8"]
    assert found.series is not None


def test_two_runs_are_too_few(granules: Experiment, table: RunTable, without: Without) -> None:
    found = reduced(granules, without(table, *Quantity, runs=("1", "2", "3", "4", "5", "6")))
    assert found.series is None
    assert found.no_series_because == Phrase.of("too-few-for-model", runs=2, needed=3)
    assert found.runs == ()


def test_doubtful_runs_do_not_count(granules: Experiment, table: RunTable) -> None:
    aside = SetAside(unusable={"1": Phrase("no-tare")}, doubtful={"5": Phrase("too-heavy")})
    found = reduce_full(granules, table, aside, None, pictures=False)
    assert [run.run for run in found.runs] == ["2", "3", "4", "6", "7", "8"]


def test_a_vessel_that_was_weighed_only_once_is_of_no_use(
    granules: Experiment, table: RunTable, without: Without
) -> None:
    """Its one mass says nothing of the gas: the content is that of the other runs."""
    others = without(table, *Quantity, runs=("4",))
    once = without(table, Quantity.TARE, Quantity.LIQUID, runs=("4",))
    expected, found = series(granules, others), series(granules, once)
    assert found.sample_mass_fraction.u == pytest.approx(expected.sample_mass_fraction.u, rel=0.02)
