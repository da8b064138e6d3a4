"""Priors: complete, sourced, what the definition says wins."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tarebook.model.parameters import NAMES, SCALES, Scale, from_fit_scale, to_fit_scale
from tarebook.model.priors import (
    WIDEST,
    Prior,
    central_parameters,
    correlation_root,
    drawn_parameters,
    priors,
    whitening,
)
from tarebook.series.experiment import Experiment

Build = Callable[..., Experiment]


def by_name(experiment: Experiment) -> dict[str, Prior]:
    return {prior.name: prior for prior in priors(experiment)}


def test_every_parameter_has_a_prior_with_a_source(granules: Experiment) -> None:
    found = priors(granules)
    assert tuple(prior.name for prior in found) == NAMES
    for prior in found:
        assert prior.source.work
        assert prior.label
        assert prior.u > 0
        assert math.isfinite(prior.fit_centre)
    assert [prior.name for prior in found if math.isinf(prior.u)] == ["content"]


def test_the_definition_wins(build: Build) -> None:
    said = build(
        {
            "[vessel]": "[waiting]\nminutes = 5\ngas_pressure_atm = 0.5\ngas_pressure_relative_u = "
            "0.2\ndegassing_per_minute = 0.1\nhead_gas_fraction = 0.5\nhead_gas_u = 0.1\n"
            "evaporation_mg_per_minute = 20\nvapour_saturation = 0.8\n[vessel]",
            "nominal_g = 1.5": "nominal_g = 1.5\nown_acid_mmol_per_g = 0.4\n"
            "own_acid_u_mmol_per_g = 0.05\nclaimed_mass_fraction = 0.9\nclaimed_tolerance = 0.01",
        }
    )
    found = by_name(said)
    assert found["gas_pressure"].centre == pytest.approx(0.5 * 101325)
    # the spread of published Henry constants, 2 %, stands beside the 20 % of the definition
    assert found["gas_pressure"].u == pytest.approx(math.hypot(0.2, 0.02))
    assert found["degassing"].centre == 0.1
    assert found["head_fraction"].u == pytest.approx(0.1)
    assert found["vapour_saturation"].u == pytest.approx(0.06 / 0.16)
    assert found["evaporation"].centre == pytest.approx(0.020)
    assert found["vapour_saturation"].centre == 0.8
    assert found["own_acid"].centre == pytest.approx(4e-4)
    assert found["own_acid"].u == pytest.approx(5e-5)
    assert found["content"].centre == 0.9
    declared = ("gas_pressure", "degassing", "head_fraction", "evaporation", "vapour_saturation")
    assert all(found[name].source.basis == "declared" for name in declared)


def test_thin_air_holds_less_gas(build: Build) -> None:
    high = by_name(build({"pressure_kPa = 101.325": "pressure_kPa = 75"}))
    low = by_name(build())
    vapour = 2339.0
    ratio = high["gas_pressure"].centre / low["gas_pressure"].centre
    assert ratio == pytest.approx((75_000 - vapour) / (101_325 - vapour), rel=1e-4)


def test_a_light_gas_does_not_lie_in_the_vessel(build: Build) -> None:
    metal = build(
        {
            "NaHCO3 + HCl -> NaCl + H2O + CO2": "Mg + 2 HCl -> MgCl2 + H2",
            '"NaHCO3"': '"Mg"',
            'gas = "CO2"': 'gas = "H2"',
        }
    )
    assert by_name(metal)["head_fraction"].centre < by_name(build())["head_fraction"].centre / 3


def test_ware_that_is_marked_for_what_it_delivers_leaves_less(build: Build) -> None:
    pipette = '[instruments.reagent]\nkind = "burette"\ncapacity_mL = 50'
    burette = build(
        {'[instruments.reagent]\nkind = "graduated cylinder"\ncapacity_mL = 50': pipette}
    )
    found = by_name(burette)
    assert found["hold_up_reagent"].centre < 0.1 * found["hold_up_diluent"].centre


def test_what_is_declared_exact_stays_divisible(build: Build) -> None:
    exact = build(
        {
            "nominal_g = 1.5": "nominal_g = 1.5\nown_acid_mmol_per_g = 0.0\n"
            "own_acid_u_mmol_per_g = 0.0"
        }
    )
    assert 0 < by_name(exact)["own_acid"].u <= 1e-8


def test_a_u_as_wide_as_its_value_is_cut(build: Build) -> None:
    wide = build({"[vessel]": "[waiting]\nvapour_saturation = 0.001\n[vessel]"})
    found = by_name(wide)["vapour_saturation"].u
    assert found == WIDEST
    # 95 % of a normal distribution lie within 1.96 standard deviations.
    assert math.exp(1.96 * found) == pytest.approx(50.0, rel=0.02)


def test_a_waiting_time_that_was_not_read_is_that_of_the_plan(granules: Experiment) -> None:
    assert by_name(granules)["waiting"].centre == 1.0


def test_draws_have_the_priors_medians_and_spreads(granules: Experiment) -> None:
    rng = np.random.Generator(np.random.SFC64(8))
    n = 20_000
    drawn, middle = drawn_parameters(granules, rng, n), central_parameters(granules)
    for prior in priors(granules):
        values = getattr(drawn, prior.name)
        assert values.shape == (n, 1)
        np.testing.assert_allclose(getattr(middle, prior.name), prior.centre)
        if math.isinf(prior.u):
            np.testing.assert_array_equal(values, prior.centre)
            continue
        scaled = (to_fit_scale(prior.name, values) - prior.fit_centre) / prior.u
        assert abs(float(np.median(scaled))) < 5 * 1.2533 / math.sqrt(n)
        # of hold-ups and head gas the lower tail is cut at zero: the upper half has the whole width
        upper = float(np.percentile(scaled, 84.134)) - float(np.median(scaled))
        assert upper == pytest.approx(1.0, abs=0.05)


def test_draws_repeat_with_their_seed(granules: Experiment) -> None:
    first, second = (
        drawn_parameters(granules, np.random.Generator(np.random.SFC64(9)), 3) for _ in range(2)
    )
    for name in NAMES:
        np.testing.assert_array_equal(getattr(first, name), getattr(second, name))


@given(value=st.floats(1e-6, 1.0 - 1e-6), name=st.sampled_from(NAMES))
def test_the_scale_of_the_fit_is_undone(value: float, name: str) -> None:
    back = from_fit_scale(name, to_fit_scale(name, np.array(value)))
    np.testing.assert_allclose(back, value, rtol=1e-9)


@given(fitted=st.floats(-30.0, 30.0), name=st.sampled_from(tuple(SCALES)))
def test_no_fit_leaves_the_range(fitted: float, name: str) -> None:
    value = float(from_fit_scale(name, np.array(fitted)))
    assert value > 0
    assert value <= 1 or SCALES[name] is Scale.LOGARITHMIC


def test_one_hand_drains_both_vessels(granules: Experiment) -> None:
    """The two hold-ups err together; the rows of the fit say what the draws do."""
    known = priors(granules)
    names = [prior.name for prior in known]
    i, j = names.index("hold_up_reagent"), names.index("hold_up_diluent")
    assert (known[j].beside, known[j].correlation) == ("hold_up_reagent", 0.9)
    rows = whitening(known)[1:, 1:]  # of the content nothing is known
    covariance = np.linalg.inv(rows.T @ rows)
    u = np.sqrt(np.diag(covariance))
    np.testing.assert_allclose(u, [prior.u for prior in known[1:]], rtol=1e-9)
    assert covariance[i - 1, j - 1] / (u[i - 1] * u[j - 1]) == pytest.approx(0.9)
    drawn = drawn_parameters(granules, np.random.Generator(np.random.SFC64(4)), 20_000)
    first, second = drawn.hold_up_reagent[:, 0], drawn.hold_up_diluent[:, 0]
    above = (first > 0) & (second > 0)
    assert np.corrcoef(first[above], second[above])[0, 1] > 0.8


def test_the_root_of_the_correlations_makes_them_and_unit_variances(granules: Experiment) -> None:
    known = priors(granules)
    names = [prior.name for prior in known]
    root = correlation_root(known)
    np.testing.assert_array_equal(root, np.tril(root))
    expected = np.eye(len(known))
    for i, prior in enumerate(known):
        if prior.correlation:
            j = names.index(prior.beside)
            expected[i, j] = expected[j, i] = prior.correlation
    assert np.count_nonzero(expected) > len(known)
    np.testing.assert_allclose(root @ root.T, expected, rtol=0, atol=1e-12)


def test_a_burette_and_a_cylinder_have_nothing_in_common(build: Build) -> None:
    pipette = '[instruments.reagent]\nkind = "burette"\ncapacity_mL = 50'
    burette = build(
        {'[instruments.reagent]\nkind = "graduated cylinder"\ncapacity_mL = 50': pipette}
    )
    assert by_name(burette)["hold_up_diluent"].correlation == 0.0
