"""Stated influences against refits with a reading moved."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from tarebook.planning.changes import row_of, with_row
from tarebook.planning.contents import ContentRange, content_range
from tarebook.planning.exactness import HARMLESS_GROWTH, Exactness, exactness
from tarebook.planning.information import expected_u, scenario
from tarebook.planning.rows import Best
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.problem import READ
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.trial import CONTENT
from tarebook.series.experiment import Experiment


@pytest.mark.parametrize("quantity", READ)
def test_influence_is_the_shift_of_a_refit(bath: Experiment, quantity: Quantity) -> None:
    contents = content_range(bath)
    care = exactness(bath, contents, Best.CONTENT)
    known = scenario(bath, row_of(bath), contents.centre)
    where = READ.index(quantity)
    for index in (1, 7):
        off = 0.1 * known.problem.u[where, index]
        shifts = []
        for sign in (1.0, -1.0):
            observed = known.problem.observed.copy()
            observed[where, index] += sign * off
            fitted = solve(replace(known.problem, observed=observed), start=known.unknowns)
            shifts.append(float(fitted.unknowns[CONTENT]) - contents.centre)
        stated = next(
            reading.influence
            for reading in care.readings
            if reading.quantity is quantity and reading.run == bath.planned[index].run
        )
        assert (shifts[0] - shifts[1]) / (2.0 * off) == pytest.approx(
            stated, rel=0.02, abs=2e-4 * care.u / off
        )


@pytest.mark.parametrize(
    ("quantity", "name"), [(Quantity.TEMPERATURE, "temperature"), (Quantity.MINUTES, "minutes")]
)
def test_influence_of_conditions(pool: Experiment, quantity: Quantity, name: str) -> None:
    contents = content_range(pool)
    care = exactness(pool, contents, Best.CONTENT)
    known = scenario(pool, row_of(pool), contents.centre)
    found = []
    for step in (0.2, -0.2):
        moved = getattr(known.problem, name).copy()
        moved[7] += step
        fitted = solve(replace(known.problem, **{name: moved}), start=known.unknowns)
        found.append(float(fitted.unknowns[CONTENT]))
    stated = next(r for r in care.readings if r.quantity is quantity and r.run == "8")
    assert (found[0] - found[1]) / 0.4 == pytest.approx(stated.influence, rel=0.02)


def test_ends_of_the_harmless_range_are_where_u_has_grown(pool: Experiment) -> None:
    contents = content_range(pool)
    one = ContentRange(
        low=contents.centre, centre=contents.centre, high=contents.centre, claimed=True
    )
    care = exactness(pool, one, Best.CONTENT)
    row = row_of(pool)
    limit = (1.0 + HARMLESS_GROWTH) * care.u
    centre = np.array([contents.centre])
    checked = 0
    for index, planned in enumerate(pool.planned):
        reading = next(
            r for r in care.readings if r.quantity is Quantity.REAGENT and r.run == planned.run
        )
        assert reading.target_low is not None
        assert reading.target_high is not None
        assert reading.target_low <= planned.reagent <= reading.target_high
        for end in (reading.target_low, reading.target_high):
            moved = row.copy()
            moved[index] = end
            assert expected_u(pool, moved, centre).content <= limit * (1 + 1e-6)
        beyond = reading.target_high + 0.00012
        if beyond < pool.total_volume - 0.0003:
            moved[index] = beyond
            assert expected_u(pool, moved, centre).content > limit * (1 - 1e-3)
            checked += 1
    assert checked


def test_kinds_are_ranked_and_take_the_tightest_run(bath: Experiment) -> None:
    care = exactness(bath, content_range(bath), Best.EQUIVALENCE)
    known = [kind for kind in care.kinds if math.isfinite(kind.instrument_u)]
    assert care.kinds[: len(known)] == tuple(known)  # those of which nothing is known come last
    ease = [kind.read_to / kind.instrument_u for kind in known]
    assert ease == sorted(ease)
    assert {kind.quantity for kind in care.kinds} == {
        *READ, Quantity.TEMPERATURE, Quantity.MINUTES
    }  # fmt: skip
    for kind in care.kinds:
        of_kind = [r.read_to for r in care.readings if r.quantity is kind.quantity]
        assert kind.read_to == min(of_kind)
        assert (kind.miss is not None) == (kind.quantity in (Quantity.REAGENT, Quantity.SAMPLE))


def test_twice_the_row_makes_each_reading_matter_less(pool: Experiment) -> None:
    contents = content_range(pool)
    once = exactness(pool, contents, Best.CONTENT)
    twice = exactness(with_row(pool, np.repeat(row_of(pool), 2)), contents, Best.CONTENT)

    def largest(care: Exactness) -> float:
        finals = [r for r in care.readings if r.quantity is Quantity.FINAL]
        return max(abs(reading.influence) for reading in finals)

    assert largest(twice) < largest(once)
