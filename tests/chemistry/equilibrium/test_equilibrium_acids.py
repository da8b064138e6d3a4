"""Acids: the shipped table, and what an acid refuses."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from tarebook.chemistry.equilibrium import (
    StrongIon,
    UnknownSubstanceError,
    acid,
    acid_names,
)
from tarebook.chemistry.equilibrium.acids import equilibrium_table, log_k_from_enthalpy
from tarebook.chemistry.equilibrium.constants import constants_at, evaluate_log_k
from tarebook.core.errors import OutOfRangeError, TarebookError
from tarebook.core.tables import reference_table
from tarebook.core.units import GAS_CONSTANT


def test_the_table_is_whole() -> None:
    substances = reference_table("tarebook.chemistry", "substances")
    rows = [*substances["carbonate"], *substances["acid"]]
    of_substances = {name for row in rows for name in row.get("acids", ())}
    # Borax is a buffer of published pH; oxalic acid stays out of what can be named.
    assert set(acid_names()) == of_substances | {"boric", "oxalic"}
    for name in acid_names():
        one = acid(name)
        assert one.source.work
        assert one.low <= 278.15
        assert one.high >= 313.15
        stated = equilibrium_table()["acid"][name]["u_pK"]
        assert len(stated) == len(one.steps)
        assert all(u > 0 for u in stated)
    species = [form for name in acid_names() for form in acid(name).species]
    assert len(set(species)) == len(species)
    for part in ("water", "henry", "activity", "permittivity", "density"):
        assert equilibrium_table()[part]["source"]
        assert equilibrium_table()[part]["basis"]


def test_pk_falls_with_temperature_as_the_enthalpy_says() -> None:
    # van 't Hoff: d ln K / dT = dH / (R T**2)
    t, h = np.array(298.15), 0.01
    for enthalpy in (-8000.0, 0.0, 13800.0):
        step = log_k_from_enthalpy(5.0, enthalpy, -200.0)
        assert evaluate_log_k(step, t) == pytest.approx(-5.0, abs=1e-12)
        slope = (evaluate_log_k(step, t + h) - evaluate_log_k(step, t - h)) / (2 * h)
        expected = enthalpy / (GAS_CONSTANT * 298.15**2) / np.log(10.0)
        assert slope == pytest.approx(expected, abs=1e-9)


def test_heat_capacity_changes_the_enthalpy() -> None:
    step = log_k_from_enthalpy(5.0, 1000.0, -200.0)
    t, h = np.array(308.15), 0.01
    slope = (evaluate_log_k(step, t + h) - evaluate_log_k(step, t - h)) / (2 * h)
    enthalpy = 1000.0 - 200.0 * 10.0
    assert slope == pytest.approx(enthalpy / (GAS_CONSTANT * 308.15**2) / np.log(10.0), abs=1e-9)


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"steps": ()}, "dissociation steps"),
        ({"steps": acid("acetic").steps * 7}, "dissociation steps"),
        ({"species": ("A",)}, "forms"),
        ({"water": ()}, "counts of water"),
    ],
)
def test_what_does_not_fit_is_refused(changes: dict[str, Any], what: str) -> None:
    with pytest.raises(OutOfRangeError, match=what):
        replace(acid("acetic"), **changes)


def test_unknown_acid_says_what_there_is() -> None:
    with pytest.raises(UnknownSubstanceError, match="carbonic") as caught:
        acid("muriatic")
    assert isinstance(caught.value, TarebookError)
    assert isinstance(caught.value, LookupError)
    assert caught.value.known == acid_names()


def test_strong_ion_without_charge_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="charge of Ar"):
        StrongIon("Ar", 0)


def test_shift_moves_the_constant() -> None:
    acids, t = [acid("citric")], np.array(298.15)
    plain = constants_at(acids, t)
    moved = constants_at(acids, t, {"citric": [0.1, 0.0, -0.2], "henry": [0.3], "water": [0.01]})
    ratios = [float(b / a) for a, b in zip(plain.k[0], moved.k[0], strict=True)]
    assert ratios == pytest.approx([10**-0.1, 1.0, 10**0.2], rel=1e-12)
    assert moved.henry / plain.henry == pytest.approx(10**0.3, rel=1e-12)
    assert moved.water / plain.water == pytest.approx(10**-0.01, rel=1e-12)


def test_shift_of_what_is_not_there_is_refused() -> None:
    with pytest.raises(UnknownSubstanceError, match="boric"):
        constants_at([acid("acetic")], np.array(298.15), {"boric": [0.1]})
    with pytest.raises(OutOfRangeError, match="number of shifts for acetic"):
        constants_at([acid("acetic")], np.array(298.15), {"acetic": [0.1, 0.1]})
