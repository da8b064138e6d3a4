from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from tarebook.measurement.instruments import is_readable, volume_instrument
from tarebook.planning.changes import with_row, with_stock, with_ware
from tarebook.planning.contents import content_range
from tarebook.planning.information import expected_u
from tarebook.planning.rows import (
    Best,
    best_row,
    described,
    equal_steps,
    even_row,
    grid,
    pourable,
)
from tarebook.planning.span import equivalence_range
from tarebook.series.experiment import Experiment


def rng() -> np.random.Generator:
    return np.random.Generator(np.random.SFC64(2))


@pytest.mark.parametrize("best", list(Best))
@pytest.mark.parametrize("which", ["pool", "bath", "unclaimed"])
def test_rows_span_the_change_over_and_can_be_poured(
    which: str, best: Best, request: pytest.FixtureRequest
) -> None:
    experiment: Experiment = request.getfixturevalue(which)
    contents, n = content_range(experiment), len(experiment.planned)
    low, high = equivalence_range(experiment, contents)
    equipment, total = experiment.equipment, experiment.total_volume
    for row in (
        best_row(experiment, n, contents, best, rng()),
        even_row(experiment, n, contents, best),
    ):
        assert row is not None
        assert len(row) == n
        assert np.all(np.diff(row) >= 0)
        assert np.count_nonzero(row < low) >= 2
        assert np.count_nonzero(row > high) >= 2
        assert pourable(equipment.reagent, row).all()
        assert pourable(equipment.diluent, total - row).all()


@pytest.mark.parametrize("best", list(Best))
def test_best_is_better_than_even_is_better_than_equal(bath: Experiment, best: Best) -> None:
    contents = content_range(bath)
    placed = best_row(bath, 9, contents, best, rng())
    even = even_row(bath, 9, contents, best)
    assert placed is not None
    equal = equal_steps(bath, 9)
    assert even is not None
    assert equal is not None
    u = [
        described(bath, name, row, contents).u(best)
        for name, row in (("best", placed), ("even", even), ("equal", equal))
    ]
    assert u[0] < u[1] < u[2]


def test_even_row_has_one_step_and_no_even_row_is_much_better(pool: Experiment) -> None:
    contents = content_range(pool)
    even = even_row(pool, 8, contents, Best.CONTENT)
    assert even is not None
    steps = np.diff(even)
    np.testing.assert_allclose(steps, steps[0], rtol=1e-9)
    u = expected_u(pool, even, contents.scenarios).content
    low, high = equivalence_range(pool, contents)
    for start in np.arange(0.005, 0.03, 0.001):
        for step in np.arange(0.001, 0.0045, 0.001):
            row = start + step * np.arange(8)
            spans = row[1] < low and row[-2] > high and row[-1] <= 0.035 + 1e-9
            if spans:
                assert expected_u(pool, row, contents.scenarios).content >= u / 1.0101


def test_best_row_ends_at_lines_of_both_cylinders(pool: Experiment) -> None:
    row = best_row(pool, 8, content_range(pool), Best.CONTENT, rng())
    assert row is not None
    assert is_readable(row, 0.001).all()
    assert is_readable(pool.total_volume - row, 0.001).all()


@pytest.mark.parametrize("n_runs", [5, 8, 12])
@pytest.mark.parametrize("best", list(Best))
def test_best_row_has_at_most_two_cups_alike(pool: Experiment, n_runs: int, best: Best) -> None:
    row = best_row(pool, n_runs, content_range(pool), best, rng())
    assert row is not None
    assert max(Counter(np.round(row, 9).tolist()).values()) <= 2


def test_ware_of_few_volumes_repeats_no_more_than_it_must(pool: Experiment) -> None:
    """A 10 mL pipette measures 0 to 40 mL in five portions; twelve runs fill three alike."""
    pipette = volume_instrument("transfer pipette", 0.01, grade="A")
    experiment = with_ware(pool, reagent=pipette, diluent=pipette)
    row = best_row(experiment, 12, content_range(experiment), Best.CONTENT, rng())
    assert row is not None
    assert max(Counter(np.round(row, 9).tolist()).values()) == 3


def test_even_row_and_equal_steps_end_at_lines(pool: Experiment) -> None:
    for n_runs in (4, 6, 7, 9, 12):
        for row in (
            even_row(pool, n_runs, content_range(pool), Best.CONTENT),
            equal_steps(pool, n_runs),
        ):
            assert row is not None
            assert is_readable(row, 0.001).all()
            assert is_readable(pool.total_volume - row, 0.001).all()


def test_no_row_where_the_change_over_is_out_of_reach(pool: Experiment) -> None:
    weak = with_stock(pool, 0.2)
    contents = content_range(weak)
    assert best_row(weak, 8, contents, Best.CONTENT, rng()) is None
    assert even_row(weak, 8, contents, Best.CONTENT) is None


def test_transfer_pipette_gives_whole_fillings(pool: Experiment) -> None:
    pipette = volume_instrument("transfer pipette", 0.005, grade="A")
    experiment = with_ware(pool, reagent=pipette)
    volumes = grid(experiment).reagent
    np.testing.assert_allclose(volumes, [0.0, 0.005, 0.01, 0.015, 0.02, 0.025], rtol=1e-12)


def test_piston_pipette_is_set_not_read(pool: Experiment) -> None:
    piston = volume_instrument("piston pipette", 0.01)
    experiment = with_ware(replace(pool, total_volume=0.015), reagent=piston)
    volumes = grid(experiment).reagent
    assert volumes[0] == 0.0
    assert volumes[1] >= 0.001
    assert volumes.max() <= 0.01 + 1e-9
    assert len(volumes) > 10


def test_described_counts_the_sides(pool: Experiment) -> None:
    contents = content_range(pool)
    row = described(pool, "given", np.array([0.005, 0.02, 0.022, 0.03]), contents)
    assert (row.before, row.after) == (2, 1)
    assert row.u(Best.CONTENT) == row.u_content
    assert row.u(Best.EQUIVALENCE) == row.u_equivalence


def test_row_keeps_names_where_it_can(bath: Experiment) -> None:
    same = with_row(bath, np.linspace(0.006, 0.038, 9))
    assert [run.run for run in same.planned] == list("ABCDEFGHI")
    fewer = with_row(bath, np.linspace(0.006, 0.038, 4))
    assert [run.run for run in fewer.planned] == ["1", "2", "3", "4"]
    assert all(run.reagent + run.diluent == pytest.approx(0.045) for run in fewer.planned)


def test_ends_of_the_row_are_there_if_one_pour_holds_all(pool: Experiment) -> None:
    volumes = grid(pool).reagent
    assert volumes[0] == 0.0
    assert volumes[-1] == pool.total_volume
    assert volumes[1] == pytest.approx(0.005)  # a tenth of the cylinder
    larger = grid(replace(pool, total_volume=0.06)).reagent
    assert larger[0] == pytest.approx(0.01)  # of 60 mL at most 50 are diluent
    assert larger[-1] == pytest.approx(0.05)


def test_no_ware_no_row(pool: Experiment) -> None:
    """Two cylinders of 50 mL cannot make 150 mL in one pour each."""
    much = replace(pool, total_volume=0.15)
    assert grid(much).reagent.size == 0
    assert equal_steps(much, 8) is None
    assert even_row(much, 8, content_range(much), Best.CONTENT) is None
    assert best_row(much, 8, content_range(much), Best.CONTENT, rng()) is None


def test_total_between_two_steps(pool: Experiment) -> None:
    odd = replace(pool, total_volume=0.0403)
    even = even_row(odd, 8, content_range(odd), Best.CONTENT)
    assert even is not None
    assert is_readable(even, 0.0005).all()
    assert grid(odd).reagent[-1] == pytest.approx(0.0403)
