"""The acid of the sample: what the definition says of it, and what it does in the cup."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from tarebook.core.errors import InputError
from tarebook.core.phrase import Phrase
from tarebook.model.cup import Contents, cup_state
from tarebook.model.cup_chemistry import assumptions
from tarebook.model.own_acid import own_acid
from tarebook.model.priors import central_parameters, priors
from tarebook.series.experiment import Experiment

Build = Callable[..., Experiment]
Cups = Callable[..., Contents]
NOMINAL = "nominal_g = 1.5"


def with_sample(build: Build, lines: str) -> Experiment:
    return build({NOMINAL: f"{NOMINAL}\n{lines}"})


def test_nothing_said_is_no_acid_give_or_take(granules: Experiment) -> None:
    found = own_acid(granules)
    assert found.protons.value == 0.0
    assert found.protons.u == pytest.approx(1e-4)
    assert found.unnamed == 1.0


def test_named_acids_share_the_protons(build: Build) -> None:
    """2 mmol of citric acid give 6 mmol of protons, 1 mmol of cream of tartar gives one."""
    tablet = with_sample(
        build,
        '[[sample.acids]]\nformula = "C6H8O7"\nmmol_per_g = 2.0\nu_mmol_per_g = 0.1\n'
        '[[sample.acids]]\nformula = "KC4H5O6"\nmmol_per_g = 1.0\nu_mmol_per_g = 0.2\n',
    )
    found = own_acid(tablet)
    assert found.protons.value == pytest.approx(7e-3)
    assert found.protons.u == pytest.approx(np.hypot(3 * 1e-4, 2e-4))
    assert found.unnamed == pytest.approx(0.0, abs=1e-12)
    moles = [per_proton * found.protons.value for _, per_proton in found.named]
    np.testing.assert_allclose(moles, [2e-3, 1e-3], rtol=1e-12)


def test_a_mass_fraction_is_moles_over_molar_mass(build: Build) -> None:
    tablet = with_sample(
        build, '[[sample.acids]]\nformula = "C9H8O4"\nmass_fraction = 0.10\nu_mass_fraction = 0.005'
    )
    found = own_acid(tablet)
    assert found.protons.value == pytest.approx(0.10 / 180.159, rel=1e-5)
    assert found.protons.u == pytest.approx(0.005 / 180.159, rel=1e-5)


@pytest.mark.parametrize("lines", ['own_acid = "unknown"', '[[sample.acids]]\nformula = "C6H8O7"'])
def test_an_unknown_amount_has_a_wide_prior(build: Build, lines: str) -> None:
    tablet = with_sample(build, lines)
    prior = next(p for p in priors(tablet) if p.name == "own_acid")
    assert [prior.centre, prior.u] == pytest.approx([2e-3, 3e-3])
    assert [s.common for s, _ in own_acid(tablet).named] == ["citric acid"]


def test_an_acid_without_a_name_is_said_to_be_guessed(build: Build) -> None:
    (said,) = assumptions(with_sample(build, 'own_acid = "unknown"'))
    assert said == Phrase("model-acid_without_name")
    assert assumptions(with_sample(build, '[[sample.acids]]\nformula = "C6H8O7"')) == ()


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        ('[[sample.acids]]\nformula = "C6H12O6"', "C6H12O6"),
        (
            '[[sample.acids]]\nformula = "C6H8O7"\nmmol_per_g = 1.0\nmass_fraction = 0.2',
            "mmol_per_g and mass_fraction",
        ),
        ('[[sample.acids]]\nformula = "C6H8O7"\nu_mmol_per_g = 0.1', "no mmol_per_g"),
        ('[[sample.acids]]\nformula = "C6H8O7"\nmg_per_piece = 500', "no piece_g"),
        ('own_acid = "none"\n[[sample.acids]]\nformula = "C6H8O7"', '"none" beside'),
        ('own_acid = "unknown"\nown_acid_mmol_per_g = 1.0', '"unknown" beside'),
    ],
)
def test_what_cannot_be_is_refused(build: Build, lines: str, found: str) -> None:
    with pytest.raises(InputError) as refused:
        with_sample(build, lines)
    assert any(found in fault.found for fault in refused.value.faults)


def test_weak_own_acid_keeps_protons_that_a_strong_one_gives(build: Build, cups: Cups) -> None:
    """Much acid, little bicarbonate: citric acid left over makes pH 2 to 3, a strong one pH 1."""
    named = with_sample(build, '[[sample.acids]]\nformula = "C6H8O7"\nmmol_per_g = 2.0')
    bare = with_sample(build, "own_acid_mmol_per_g = 6.0\nown_acid_u_mmol_per_g = 0.3")
    contents = cups([0.0, 5.0], sample=1.5)
    of_named, of_bare = (
        cup_state(one, central_parameters(one).with_values(content=np.array(0.2)), contents)
        for one in (named, bare)
    )
    np.testing.assert_allclose(of_named.gas_made, of_bare.gas_made, rtol=1e-9)
    assert np.all(of_named.ph > of_bare.ph + 1.0)
    assert 2.0 < of_named.ph[0] < 4.5
    little = cups([0.0, 2.0], sample=1.5)
    # with bicarbonate in excess all three protons are given up: the same gas either way
    rich, poor = (
        cup_state(
            one,
            central_parameters(one).with_values(content=np.array(0.95)),
            little,
        )
        for one in (named, bare)
    )
    np.testing.assert_allclose(rich.gas_released, poor.gas_released, rtol=0.02)
