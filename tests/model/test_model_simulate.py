"""Simulated readings look like readings: rounded, near the plan, the same for one seed."""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal

import numpy as np
import pytest

from tarebook.model.cup import cup_state
from tarebook.model.delivery import delivered
from tarebook.model.effects import NO_EFFECTS, CupEffect
from tarebook.model.observables import Seen
from tarebook.model.priors import central_parameters
from tarebook.model.release import Mixture, Released
from tarebook.model.simulate import POURING_STEPS, Simulated, simulate
from tarebook.records.readings import Quantity
from tarebook.series.experiment import Experiment

Build = Callable[..., Experiment]
COARSE = {
    "readability_g = 0.001": "readability_g = 0.05\nrepeatability_g = 0.05\nlinearity_g = 0.1"
}


def made(experiment: Experiment, seed: int) -> Simulated:
    rng = np.random.Generator(np.random.SFC64(seed))
    return simulate(experiment, central_parameters(experiment), rng)


def typed(simulated: Simulated, quantity: Quantity) -> list[Decimal]:
    table = simulated.table
    return [Decimal(table.of(run, quantity)[0].typed) for run in table.runs]


@pytest.mark.parametrize("changes", [{}, COARSE])
def test_readings_are_rounded_as_the_instruments_round(
    build: Build, changes: dict[str, str]
) -> None:
    experiment = build(changes)
    simulated = made(experiment, 1)
    step = Decimal(str(experiment.equipment.balance.readability))
    for quantity in (Quantity.TARE, Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL):
        values = typed(simulated, quantity)
        assert len(values) == len(experiment.planned)
        assert all(value % step == 0 for value in values)
        exponents = {value.as_tuple().exponent for value in values}
        assert exponents == {step.as_tuple().exponent}
    volume_step = Decimal(str(round(1000 * experiment.equipment.reagent.finest_reading, 6)))
    for quantity in (Quantity.REAGENT, Quantity.DILUENT):
        assert all(value % volume_step == 0 for value in typed(simulated, quantity))


def test_one_seed_one_series(granules: Experiment) -> None:
    assert made(granules, 2).table == made(granules, 2).table
    assert made(granules, 2).table != made(granules, 3).table


def test_pours_are_near_their_targets(granules: Experiment) -> None:
    off = []
    for seed in range(40):
        simulated = made(granules, seed)
        for run, value in zip(granules.planned, typed(simulated, Quantity.REAGENT), strict=True):
            off.append(float(value) - 1000.0 * run.reagent)
    step = 1000.0 * granules.equipment.reagent.finest_reading
    # standard deviation of a standard deviation of 320 values: 4 %
    assert np.std(off) == pytest.approx(POURING_STEPS * step, rel=0.16)
    assert abs(np.mean(off)) < 4 * POURING_STEPS * step / np.sqrt(len(off))


def test_nothing_is_poured_where_nothing_was_asked_for(build: Build) -> None:
    ends = build({"[5, 10, 14, 18, 22, 26, 30, 35]": "[0, 10, 20, 30, 40]"})
    simulated = made(ends, 5)
    assert typed(simulated, Quantity.REAGENT)[0] == 0
    assert typed(simulated, Quantity.DILUENT)[-1] == 0
    assert simulated.contents.reagent[0] == 0.0
    assert simulated.state.gas_released[0] == pytest.approx(0.0, abs=1e-9)


def test_readings_scatter_about_what_is_true(granules: Experiment) -> None:
    """Mass lost as read less mass lost in truth, over its standard uncertainty: about normal."""
    scores = []
    balance = granules.equipment.balance
    difference_u = math.hypot(math.sqrt(2) * balance.weighing_u, balance.linearity_u)
    for seed in range(60):
        simulated = made(granules, 100 + seed)
        shown = Seen(
            granules,
            simulated.parameters,
            simulated.contents,
            np.zeros(len(granules.planned)),
            simulated.state,
        )
        true = shown.of(Quantity.LIQUID) - shown.of(Quantity.FINAL)
        liquid, final = (
            np.array([float(v) for v in typed(simulated, q)])
            for q in (Quantity.LIQUID, Quantity.FINAL)
        )
        scores.append((liquid - final - true) / difference_u)
    values = np.array(scores)
    # the linearity is shared by a series: 60 independent values of the mean
    assert abs(values.mean()) < 0.5
    assert values.std() == pytest.approx(1.0, abs=0.15)


def test_without_effects_the_cup_gets_what_was_read_but_for_the_eye(granules: Experiment) -> None:
    rng = np.random.Generator(np.random.SFC64(6))
    parameters = central_parameters(granules).with_values(scale_reagent=np.array(0.05))
    simulated = simulate(granules, parameters, rng, effects=NO_EFFECTS)
    read = np.array([float(v) for v in typed(simulated, Quantity.REAGENT)]) / 1000.0
    off = simulated.contents.reagent - read
    # 5 % of the scale would be 0.25 to 1.75 mL
    assert np.max(np.abs(off)) < 0.0015
    state = cup_state(granules, parameters, simulated.contents, NO_EFFECTS)
    np.testing.assert_array_equal(simulated.state.gas_released, state.gas_released)


def test_waiting_times_can_be_given(granules: Experiment) -> None:
    rng = np.random.Generator(np.random.SFC64(7))
    minutes = np.arange(8.0)
    simulated = simulate(granules, central_parameters(granules), rng, minutes=minutes)
    assert typed(simulated, Quantity.MINUTES) == [Decimal(n) for n in range(8)]
    np.testing.assert_array_equal(simulated.contents.minutes, minutes)


def test_hold_up_stays_in_the_cylinder(granules: Experiment) -> None:
    """The same chance with and without the liquid left behind: the cup lacks just that."""
    parameters = central_parameters(granules)
    first, second = (
        simulate(granules, parameters, np.random.Generator(np.random.SFC64(8)), effects=effects)
        for effects in (frozenset({CupEffect.HOLD_UP}), NO_EFFECTS)
    )
    lacking = second.contents.reagent - first.contents.reagent
    np.testing.assert_allclose(lacking, parameters.hold_up_reagent, rtol=1e-9)
    zero = delivered(np.array(0.0), np.array(0.0), parameters.hold_up_reagent)
    assert float(zero) == 0.0


def test_another_chemistry_can_stand_in(granules: Experiment) -> None:
    def keeps_all(mixture: Mixture) -> Released:
        none = 0.0 * mixture.water
        return Released(gas=none, ph=none, ionic_strength=none, extrapolated=none > 1.0)

    rng = np.random.Generator(np.random.SFC64(9))
    simulated = simulate(granules, central_parameters(granules), rng, release=keeps_all)
    np.testing.assert_array_equal(simulated.state.gas_released, 0.0)
    lost = [
        float(a + b - c)
        for a, b, c in zip(
            *(typed(simulated, q) for q in (Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)),
            strict=True,
        )
    ]
    # only water evaporates
    assert max(lost) < 0.02
