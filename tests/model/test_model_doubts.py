"""What is not certain about the chemistry of a cup: parameters of the whole row."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.core.arrays import FloatArray
from tarebook.model.cup import Contents, CupState, cup_state
from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.parameters import Parameters
from tarebook.model.priors import LATER, central_parameters, drawn_parameters, priors
from tarebook.model.release import Mixture, Released, by_equilibrium
from tarebook.model.simulate import simulate
from tarebook.reduction.joint.problem import joint_problem
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.trial import CONTENT
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

EXAMPLES = Path(__file__).parents[2] / "examples"


def example(name: str, **change: str) -> Experiment:
    """Return the experiment of an example, with some of its words changed."""
    text = (EXAMPLES / name / "experiment.toml").read_text(encoding="utf-8")
    for old, new in change.items():
        text = text.replace(old, new)
    return parse_definition(text)


def poured(experiment: Experiment) -> Contents:
    """Return cups filled as planned."""
    planned = experiment.planned
    return Contents(
        reagent=np.array([run.reagent for run in planned]),
        diluent=np.array([run.diluent for run in planned]),
        sample=np.array([experiment.sample_asked(run.run) for run in planned]),
        temperature=np.array(experiment.room.temperature),
        minutes=np.array(experiment.procedure.minutes),
    )


def moved(experiment: Experiment, **values: float) -> CupState:
    """Return the cups with some parameters away from the middle."""
    arrays = {name: np.array(value) for name, value in values.items()}
    return cup_state(
        experiment, central_parameters(experiment).with_values(**arrays), poured(experiment)
    )


def test_activity_is_told_in_u_of_the_dissolved_carbon() -> None:
    granules = example("clean-pool-granules")
    seen: list[FloatArray] = []

    def noting(mixture: Mixture) -> Released:
        from tarebook.model import release

        solution = release._solved(mixture)
        seen.append(solution.dissolved * solution.u_dissolved * mixture.water)
        return by_equilibrium(mixture)

    plain = cup_state(granules, central_parameters(granules), poured(granules), release=noting)
    more, less = moved(granules, activity=1.0), moved(granules, activity=-1.0)
    one_u = seen[0] * granules.reaction.gas_molar_mass.value
    np.testing.assert_allclose(plain.gas_released - more.gas_released, one_u, rtol=0.02)
    np.testing.assert_allclose(less.gas_released - plain.gas_released, one_u, rtol=0.02)
    # some 1 mg, all cups alike: what the pressure of CO2 does as well
    assert 0.0004 < one_u.min() < one_u.max() < 0.0015


def test_the_first_gas_comes_little_by_little() -> None:
    """Washing soda gives no gas up to half the acid: no doubt about activity makes any appear."""
    soda = example("washing-soda-crystals")
    first = poured(soda)
    row = replace(
        first,
        reagent=np.linspace(0.0, 0.03, 121),
        diluent=np.linspace(0.04, 0.01, 121),
        sample=np.full(121, first.sample[0]),
    )
    middle = central_parameters(soda)
    plain, more, less = (
        cup_state(soda, middle.with_values(activity=np.array(z)), row).gas_released
        for z in (0.0, 2.0, -2.0)
    )
    none = plain == 0.0
    assert none.any()
    assert not more[none].any()
    assert not less[none].any()
    assert (more >= 0.0).all()
    assert np.abs(np.diff(less - plain)).max() < 0.0015


def test_saturation_moves_only_cups_with_solid_left() -> None:
    shells = example("egg-shells-in-acid")
    plain, more = moved(shells), moved(shells, saturation=0.7)
    held = plain.gas_released - more.gas_released
    left = plain.excess < 0
    assert left.any()
    assert not left.all()
    assert not held[~left].any()
    assert ((held[left] > 0.0015) & (held[left] < 0.0035)).all()
    granules = example("clean-pool-granules")
    same = moved(granules, saturation=0.7).gas_released
    np.testing.assert_array_equal(moved(granules).gas_released, same)


def test_the_product_of_a_solid_hardly_known_widens_its_saturation() -> None:
    shells = example("egg-shells-in-acid")
    magnesia = example("egg-shells-in-acid", CaCO3="MgCO3", CaCl2="MgCl2")
    chalk_u, magnesia_u = (
        next(one.u for one in priors(each) if one.name == "saturation")
        for each in (shells, magnesia)
    )
    assert chalk_u == pytest.approx(0.70, abs=0.005)
    assert magnesia_u == pytest.approx(np.hypot(0.7, 0.2 * np.log(10)))


def test_what_joined_later_leaves_the_old_draws() -> None:
    assert LATER[-2:] == ("saturation", "activity")
    granules = example("clean-pool-granules")
    drawn = drawn_parameters(granules, np.random.Generator(np.random.SFC64(4)), 3)
    rng = np.random.Generator(np.random.SFC64(4))
    (later,) = rng.spawn(1)
    for name in LATER:
        noise = later.standard_normal((3, 1))
        if name in LATER[-2:]:
            u = next(one.u for one in priors(granules) if one.name == name)
            np.testing.assert_allclose(getattr(drawn, name), u * noise, rtol=1e-12)


def u_content(experiment: Experiment, truth: Parameters, *without: str) -> float:
    """Return u of the content by the fit, with some parameters taken as known."""
    made = simulate(experiment, truth, np.random.Generator(np.random.SFC64(3)))
    problem = joint_problem(experiment, made.table, tuple(made.table.runs), ALL_EFFECTS)
    known = tuple(replace(one, u=1e-6) if one.name in without else one for one in problem.priors)
    solution = solve(replace(problem, priors=known))
    return float(np.sqrt(solution.covariance.shared[CONTENT, CONTENT]))


@pytest.mark.parametrize(
    ("name", "least", "most"),
    [
        ("egg-shells-in-acid", 1.06, 1.3),
        ("clean-pool-granules", 1.0, 1.01),
        ("weak-acid-foot-bath", 1.0, 1.01),
    ],
)
def test_the_content_is_less_sure_where_the_doubt_is_real(
    name: str, least: float, most: float
) -> None:
    experiment = example(name)
    truth = central_parameters(experiment)
    more = u_content(experiment, truth) / u_content(experiment, truth, "activity", "saturation")
    assert least <= more <= most
