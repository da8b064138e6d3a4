"""A carbonate that is left over dissolves as far as its solubility product allows."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tarebook.chemistry.equilibrium import (
    StrongIon,
    System,
    UnknownSubstanceError,
    acid,
    capped,
)
from tarebook.chemistry.equilibrium.left_over import dissolving
from tarebook.chemistry.equilibrium.solids import log_saturation, solids
from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError

CHALK = System(
    acids=(acid("carbonic"), acid("acetic")),
    strong_ions=(StrongIon("Ca^2+", 2), StrongIon("Cl-", -1)),
)
CUPS: dict[str, Any] = {
    "totals": {"carbonic": 0.4, "acetic": [0.0, 0.1, 0.8]},
    "strong": {"Ca^2+": 0.4, "Cl-": [[0.8], [0.82], [0.7]]},
    "temperature": 293.15,
    "pressure": 9e4,
}


def test_the_liquid_is_saturated_or_all_is_dissolved() -> None:
    left = np.array([0.0, 1e-4, 0.05])[:, None, None]
    cups = capped(CHALK, **CUPS, solids={"CaCO3": left})
    dissolved = cups.from_solids["CaCO3"]
    assert dissolved.shape == cups.ph.shape == (3, 3, 3)
    saturation = log_saturation(CHALK, solids()["CaCO3"], cups, 293.15)
    some_left = dissolved < left * (1 - 1e-9)
    assert some_left.any()
    assert (~some_left).any()
    np.testing.assert_allclose(saturation[some_left & (dissolved > 0)], 0.0, rtol=0, atol=1e-10)
    assert (saturation[~some_left & (dissolved > 0)] < 0).all()
    assert (saturation[some_left & (dissolved == 0)] > 0).all()
    # what dissolved is in the balances
    carbon = cups.dissolved + cups.released
    np.testing.assert_allclose(carbon, 0.4 + dissolved, rtol=1e-12)
    np.testing.assert_allclose(cups.of("Ca^2+"), 0.4 + dissolved, rtol=1e-12)


def test_with_nothing_left_over_it_is_the_same() -> None:
    plain, none = capped(CHALK, **CUPS), capped(CHALK, **CUPS, solids={"CaCO3": 0.0})
    np.testing.assert_array_equal(plain.ph, none.ph)
    np.testing.assert_array_equal(plain.released, none.released)
    assert not none.from_solids["CaCO3"].any()
    assert plain.from_solids == {}


def test_lime_that_is_above_saturation_takes_up_nothing() -> None:
    """Calcium with carbonate that no acid has met: nothing dissolves, and nothing precipitates."""
    cups = capped(
        CHALK,
        totals={"carbonic": 0.01},
        strong={"Ca^2+": 0.01},
        temperature=298.15,
        pressure=40.0,
        solids={"CaCO3": 0.1},
    )
    assert float(cups.from_solids["CaCO3"]) == 0.0


def test_acid_left_over_dissolves_it_first() -> None:
    """0.02 mol/kg of acid takes 0.01 of chalk, and the saturation a little more."""
    strong = {"Ca^2+": 0.4, "Cl-": [0.80, 0.82]}
    cups = capped(
        CHALK, **{**CUPS, "totals": {"carbonic": 0.4}, "strong": strong}, solids={"CaCO3": 0.5}
    )
    without, with_acid = cups.from_solids["CaCO3"]
    assert float(with_acid - without) == pytest.approx(0.01, rel=0.02)
    assert float(cups.ph[0]) > 5.3


def test_smooth_enough_for_central_differences() -> None:
    h = 1e-4
    amounts = 0.4 + h * np.arange(-2, 3)
    cups = capped(
        CHALK,
        **{**CUPS, "totals": {"carbonic": 0.4}, "strong": {"Ca^2+": amounts, "Cl-": 2 * amounts}},
        solids={"CaCO3": 0.5},
    )
    found = cups.released
    near, far = (found[3] - found[1]) / (2 * h), (found[4] - found[0]) / (4 * h)
    assert float(near) == pytest.approx(float(far), rel=1e-5, abs=1e-9)


def test_shifts_act_on_it_too() -> None:
    shifts = {"carbonic": [np.array([0.0, 0.1]), np.array(0.0)]}
    one = {**CUPS, "totals": {"carbonic": 0.4}, "strong": {"Ca^2+": 0.4, "Cl-": 0.8}}
    cups = capped(CHALK, **one, shifts=shifts, solids={"CaCO3": 0.5})
    plain, moved = cups.from_solids["CaCO3"]
    # K2 KH/K1 is what counts: m^2 as its inverse
    assert float(moved / plain) == pytest.approx(10**-0.05, rel=0.02)


def test_what_is_not_known_is_refused() -> None:
    with pytest.raises(UnknownSubstanceError, match="CaCO3, MgCO3"):
        capped(CHALK, **CUPS, solids={"ZnCO3": 0.1})
    with pytest.raises(UnknownSubstanceError, match=r"Mg\^2\+"):
        capped(CHALK, **CUPS, solids={"MgCO3": 0.1})
    with pytest.raises(OutOfRangeError, match="kinds of solids"):
        capped(CHALK, **CUPS, solids={"CaCO3": 0.1, "MgCO3": 0.1})
    with pytest.raises(OutOfRangeError, match="left over of CaCO3"):
        capped(CHALK, **CUPS, solids={"CaCO3": -0.1})


@pytest.mark.parametrize("steepness", [0.5, 3.0, 20.0])
def test_the_root_is_found_however_steep(steepness: float) -> None:
    at = np.array([1e-9, 1e-4, 0.02, 0.3, 5.0])

    def saturation(dissolved: FloatArray, where: np.ndarray[Any, Any]) -> FloatArray:
        return np.asarray(steepness * np.log(dissolved / at[where]) + dissolved - at[where])

    np.testing.assert_allclose(dissolving(saturation, np.full(5, 9.0)), at, rtol=1e-9)
    some = dissolving(saturation, np.full(5, 0.1))
    np.testing.assert_allclose(some, np.minimum(at, 0.1), rtol=1e-9)


def test_few_trials_do() -> None:
    """Each trial is an equilibrium of every cup with a solid: they are what a chalk row costs."""
    trials = 0
    at = np.geomspace(3e-4, 2e-2, 7)

    def saturation(dissolved: FloatArray, where: np.ndarray[Any, Any]) -> FloatArray:
        nonlocal trials
        trials += 1
        return np.asarray(2.0 * np.log(dissolved / at[where]) + 20.0 * (dissolved - at[where]))

    np.testing.assert_allclose(dissolving(saturation, np.full(7, 0.1)), at, rtol=1e-9)
    assert trials <= 8


def test_the_saturation_that_is_asked_for_is_reached() -> None:
    reached = np.array([-0.7, 0.0, 0.7])
    cup = CUPS | {"totals": {"carbonic": 0.4, "acetic": 0.0}, "strong": {"Ca^2+": 0.4, "Cl-": 0.8}}
    cups = capped(CHALK, **cup, solids={"CaCO3": 0.1}, saturation=reached)
    found = log_saturation(CHALK, solids()["CaCO3"], cups, 293.15)
    np.testing.assert_allclose(found, reached, rtol=0, atol=1e-10)
    # beside much calcium about as the root
    dissolved = cups.from_solids["CaCO3"]
    np.testing.assert_allclose(np.diff(np.log(dissolved)), 0.35, atol=0.03)


def test_every_solid_has_its_source() -> None:
    for solid in solids().values():
        assert solid.source.work
        assert solid.u_log_k > 0
