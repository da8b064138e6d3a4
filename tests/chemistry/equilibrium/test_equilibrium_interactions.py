"""The table of interaction coefficients, and what stands in for what it does not hold."""

from __future__ import annotations

import pytest

from tarebook.chemistry.equilibrium import acid, acid_names
from tarebook.chemistry.equilibrium.interactions import (
    counterpart,
    epsilon,
    epsilon_matrix,
    interaction_table,
)

IONS = {"Na+": 1, "K+": 1, "Ca^2+": 2, "Mg^2+": 2, "Cl-": -1, "NO3-": -1, "Br-": -1}


def test_every_row_has_its_source_and_names_what_is_known() -> None:
    forms = {"H+": 1, "OH-": -1, **IONS}
    for name in acid_names():
        forms |= zip(acid(name).species, acid(name).charges, strict=True)
    pairs = []
    for group in interaction_table()["set"]:
        assert group["source"]
        assert group["basis"] in {"read", "secondary", "library", "memory", "computed"}
        for one, other, value in group["epsilon"]:
            assert forms[one] * forms[other] <= 0, (one, other)
            assert abs(value) < 0.5
            pairs.append(frozenset((one, other)))
    assert len(pairs) == len(set(pairs)), "a pair stands in the table twice"


def test_like_signs_do_not_act_on_each_other() -> None:
    assert epsilon("H+", 1, "Na+", 1) == epsilon("Cit^3-", -3, "Cl-", -1) == 0.0


@pytest.mark.parametrize(
    ("species", "charge", "ion", "ion_charge", "same_as"),
    [
        ("HCO3-", -1, "Li+", 1, "Na+"),
        ("HTar-", -1, "K+", 1, "Na+"),
        ("H+", 1, "Br-", -1, "Cl-"),
        ("CO2", 0, "Ba^2+", 2, "Ca^2+"),
    ],
)
def test_what_has_no_row_counts_as_its_like(
    species: str, charge: int, ion: str, ion_charge: int, same_as: str
) -> None:
    assert epsilon(species, charge, ion, ion_charge) == epsilon(
        species, charge, same_as, ion_charge
    )


def test_a_stranger_takes_the_mean_of_its_charge() -> None:
    anion = interaction_table()["anion"]
    assert epsilon("stranger(-2)", -2, "Na+", 1) == anion["-2"]
    assert epsilon("stranger(-6)", -6, "Na+", 1) == anion["-4"]
    assert epsilon("stranger(0)", 0, "Na+", 1) == interaction_table()["neutral"]["cation"]
    assert epsilon("stranger(0)", 0, "Cl-", -1) == 0.0
    assert epsilon("stranger(+1)", 1, "Cl-", -1) == 0.0
    assert counterpart("La^3+", 3) == ""


def test_matrix_holds_the_same() -> None:
    species = [("CO2", 0), ("HCO3-", -1), ("CO3^2-", -2)]
    found = epsilon_matrix(species, list(IONS.items()))
    assert found.shape == (3, 7)
    assert found[2, 0] == epsilon("CO3^2-", -2, "Na+", 1) == -0.17
    assert epsilon_matrix(species, []).shape == (3, 0)
