"""Every effect can be switched off, and with all of them off the model is the usual sum."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from tarebook.model.cup import Contents, CupState, cup_state
from tarebook.model.effects import ALL_EFFECTS, NO_EFFECTS, CupEffect
from tarebook.model.observables import Seen
from tarebook.model.parameters import Parameters
from tarebook.model.priors import central_parameters
from tarebook.records.readings import VOLUMES, Quantity
from tarebook.series.experiment import Experiment

Cups = Callable[..., Contents]
ROW = [5.0, 12.0, 22.0, 35.0]


def odd(experiment: Experiment) -> Parameters:
    """Parameters in which every effect shows."""
    return central_parameters(experiment).with_values(
        own_acid=np.array(3e-4),
        scale_reagent=np.array(0.004),
        scale_diluent=np.array(-0.003),
    )


@settings(max_examples=60)
@given(
    content=st.floats(0.05, 1.0),
    strength=st.floats(0.05, 2.0),
    reagent=st.lists(st.floats(0.0, 40.0), min_size=1, max_size=8),
    sample=st.floats(0.1, 3.0),
    tare=st.floats(1.0, 200.0),
)
def test_without_effects_the_model_is_the_usual_sum(
    granules: Experiment,
    content: float,
    strength: float,
    reagent: list[float],
    sample: float,
    tare: float,
) -> None:
    """Readings without errors give the true amounts back, by mass lost over molar mass."""
    experiment = granules
    parameters = odd(experiment).with_values(
        content=np.array(content), concentration=np.array(strength)
    )
    acid = np.array(reagent) / 1000.0
    n = len(acid)
    contents = Contents(
        reagent=acid,
        diluent=0.040 - acid,
        sample=np.full(n, sample),
        temperature=np.full(n, 293.15),
        minutes=np.full(n, 30.0),
    )
    state = cup_state(experiment, parameters, contents, NO_EFFECTS)
    tares = np.full(n, tare)
    shown = Seen(experiment, parameters, contents, tares, state, NO_EFFECTS)
    lost = shown.lost
    reaction = experiment.reaction
    gas = lost / reaction.gas_molar_mass.value
    in_sample = content * shown.of(Quantity.SAMPLE) / reaction.analyte_molar_mass.value
    # a difference of masses of some 200 g carries rounding of some 1e-13 g
    np.testing.assert_allclose(
        gas, np.minimum(strength * shown.of(Quantity.REAGENT), in_sample), atol=1e-12
    )
    np.testing.assert_array_equal(shown.of(Quantity.REAGENT), contents.reagent)
    np.testing.assert_array_equal(shown.of(Quantity.DILUENT), contents.diluent)
    np.testing.assert_array_equal(shown.of(Quantity.SAMPLE), contents.sample)
    np.testing.assert_allclose(
        shown.of(Quantity.FINAL), tares + state.liquid + sample - lost, atol=1e-12
    )


def test_each_effect_switched_off_adds_nothing(granules: Experiment, cups: Cups) -> None:
    parameters, contents = odd(granules), cups(ROW)

    def without(effect: CupEffect) -> CupState:
        return cup_state(granules, parameters, contents, ALL_EFFECTS - {effect})

    whole = cup_state(granules, parameters, contents)
    for name, effect in (
        ("head_gas", CupEffect.HEAD_GAS),
        ("vapour", CupEffect.VAPOUR),
        ("evaporated", CupEffect.EVAPORATION),
        ("own_acid_amount", CupEffect.OWN_ACID),
        ("dissolved", CupEffect.DISSOLVED_GAS),
    ):
        assert np.all(getattr(whole, name) > 0.0)
        np.testing.assert_array_equal(getattr(without(effect), name), 0.0)
    assert np.all(whole.temperature < contents.temperature)
    np.testing.assert_array_equal(without(CupEffect.COOLING).temperature, contents.temperature)


def test_calibration_hold_up_and_buoyancy_switched_off(granules: Experiment, cups: Cups) -> None:
    parameters, contents, tare = odd(granules), cups(ROW), np.full(4, 15.0)
    state = cup_state(granules, parameters, contents)

    def shown(off: set[CupEffect]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        found = Seen(granules, parameters, contents, tare, state, ALL_EFFECTS - off)
        quantities = (*VOLUMES, Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
        return np.array([found.of(quantity) for quantity in quantities])

    whole = shown(set())
    both = shown({CupEffect.CALIBRATION, CupEffect.HOLD_UP})
    np.testing.assert_array_equal(both[:2], [contents.reagent, contents.diluent])
    assert np.all(whole[:2] != both[:2])
    np.testing.assert_array_equal(whole[2:], both[2:])
    floating = shown({CupEffect.BUOYANCY})
    np.testing.assert_allclose(floating[2], tare + state.liquid, rtol=1e-15)
    np.testing.assert_array_equal(floating[3], contents.sample)
    # 40 g of liquid of 1 g/mL: the air carries 1.2 mg/mL, the weights 0.15 mg/g
    np.testing.assert_allclose(floating[2] - whole[2], 0.040 * 1.2 * (1 - 1 / 8.0), rtol=0.03)
