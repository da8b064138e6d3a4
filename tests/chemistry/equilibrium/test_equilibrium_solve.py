"""The kernel: balances, mass action, the sure solver, smoothness."""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.cups import closed, invented_acid, open_to

from tarebook.chemistry.equilibrium import (
    Equilibrium,
    StrongIon,
    System,
    acid,
    acid_names,
    capped,
)
from tarebook.chemistry.equilibrium import equilibrate as equilibrate_module
from tarebook.chemistry.equilibrium.activity import debye_hueckel_slope
from tarebook.chemistry.equilibrium.bracket import bracketed
from tarebook.chemistry.equilibrium.constants import constants_at
from tarebook.chemistry.equilibrium.interactions import epsilon
from tarebook.chemistry.equilibrium.kernel import Kernel, Problem, State
from tarebook.chemistry.equilibrium.solve import refine, settled, start
from tarebook.chemistry.equilibrium.sums import species_sums
from tarebook.core.arrays import FloatArray

IONS = (StrongIon("Na+", 1), StrongIon("Ca2+", 2), StrongIon("Cl-", -1))
AMINE = invented_acid("amine", 2, [2.0, 6.0, 9.0])
TABLE = tuple(acid(name) for name in acid_names())


def generator(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.SFC64(seed))


def charges_of(system: System) -> FloatArray:
    forms = [z for one in system.acids for z in one.charges]
    return np.array([1, -1, *forms, *(ion.charge for ion in system.strong_ions)], dtype=np.float64)


def check_balances(
    system: System, r: Equilibrium, totals: dict[str, FloatArray], t: FloatArray
) -> None:
    """Charge, mass, ionic strength, water, and the law of mass action of every step."""
    z = charges_of(system)
    shape = r.ph.shape
    assert r.molality.shape == (z.size, *shape)
    assert (r.molality >= 0).all()
    charge = np.tensordot(z, r.molality, 1)
    np.testing.assert_allclose(charge, 0.0, rtol=0, atol=1e-10)
    strength = 0.5 * np.tensordot(z * z, r.molality, 1)
    np.testing.assert_allclose(r.ionic_strength, strength, rtol=0, atol=1e-10)
    activity = 1.0 - 0.017 * r.molality.sum(axis=0)
    np.testing.assert_allclose(r.water_activity, activity, rtol=0, atol=1e-10)
    known = constants_at(system.acids, t)
    root = np.sqrt(r.ionic_strength)
    slope = debye_hueckel_slope(t)
    shielding = -slope * root / (1 + 1.5 * root)
    # each strong ion acts on each species, and ammonium, by its total, as a strong ion does
    acting = [(ion.name, ion.charge, r.of(ion.name)) for ion in system.strong_ions]
    acting += [
        (one.species[0], 1, r.of(one.species[0]) + sum(r.of(name) for name in one.species[1:]))
        for one in system.acids
        if one.charge == 1
    ]

    def log_activity(row: int) -> FloatArray:
        gamma = z[row] ** 2 * shielding
        for name, charge, molality in acting:
            gamma = gamma + epsilon(system.species[row], int(z[row]), name, charge) * molality
        return np.asarray(np.log10(r.molality[row]) + gamma)

    proton = -r.ph
    np.testing.assert_allclose(log_activity(0), proton, rtol=0, atol=1e-9)
    water = np.log10(known.water) + np.log10(r.water_activity)
    np.testing.assert_allclose(log_activity(1) + proton, water, rtol=0, atol=1e-9)
    row = 2
    for one, constants in zip(system.acids, known.k, strict=True):
        forms = slice(row, row + len(one.species))
        if one.name in totals:
            total = r.molality[forms].sum(axis=0)
            rest = r.released if one.name == "carbonic" else 0.0
            np.testing.assert_allclose(total + rest, totals[one.name], rtol=0, atol=1e-10)
        there = np.all(r.molality[forms] > 1e-200, axis=0)
        for j, (k, w) in enumerate(zip(constants, one.water, strict=True)):
            with np.errstate(divide="ignore", invalid="ignore"):
                quotient = log_activity(row + j + 1) + proton - log_activity(row + j)
                quotient -= w * np.log10(r.water_activity)
            difference = np.where(there, quotient - np.log10(k), 0.0)
            np.testing.assert_allclose(difference, 0.0, rtol=0, atol=1e-9)
        row += len(one.species)


amounts = st.one_of(st.just(0.0), st.floats(1e-9, 0.12))
shapes = st.sampled_from([(), (1,), (5,), (2, 3)])


@st.composite
def cases(draw: st.DrawFn) -> dict[str, Any]:
    acids = draw(st.lists(st.sampled_from([*TABLE, AMINE]), max_size=5, unique_by=lambda a: a.name))
    shape = draw(shapes)
    rng = generator(draw(st.integers(0, 2**32)))

    def array(top: float) -> FloatArray:
        return np.asarray(rng.uniform(0.0, top, shape) * rng.integers(0, 2, shape))

    return {
        "system": System(acids=tuple(acids), strong_ions=IONS),
        "totals": {one.name: array(draw(amounts)) for one in acids},
        "strong": {"Na+": array(0.5), "Ca2+": array(0.02), "Cl-": draw(st.floats(0, 0.5))},
        "temperature": np.asarray(rng.uniform(278.15, 313.15, shape)),
        "pressure": np.asarray(10.0 ** rng.uniform(-2, 5.3, shape)),
    }


@pytest.mark.slow
@given(case=cases())
@settings(max_examples=150)
def test_balances_close(case: dict[str, Any]) -> None:
    pressure = case.pop("pressure")
    r = closed(**case)
    check_balances(case["system"], r, case["totals"], case["temperature"])
    assert not r.released.any()
    if "carbonic" in case["totals"]:
        r = capped(**case, pressure=pressure)
        check_balances(case["system"], r, case["totals"], case["temperature"])
        assert (r.released >= 0).all()
        assert (r.pressure <= pressure * (1 + 1e-9)).all()
        left = r.released > 1e-12
        np.testing.assert_allclose(r.pressure[left], pressure[left], rtol=1e-9, atol=0)
        del case["totals"]["carbonic"]
        r = open_to(**case, pressure=pressure)
        check_balances(case["system"], r, case["totals"], case["temperature"])
        np.testing.assert_allclose(r.pressure, pressure, rtol=1e-9, atol=0)


def cup_problem(n: int, seed: int, top: float = 0.8) -> tuple[Kernel, Problem, FloatArray]:
    """Cups of bicarbonate, acetic and citric acid under CO2, as the kernel sees them."""
    rng = generator(seed)
    acids = (acid("carbonic"), acid("acetic"), acid("citric"))
    t = rng.uniform(278.15, 313.15, n)
    known = constants_at(acids, t)
    sodium = rng.uniform(0.0, top, n)
    problem = Problem(
        charge=sodium,
        square=sodium,
        strong=sodium,
        totals=(sodium, rng.uniform(0, 1, n), rng.uniform(0, 0.1, n)),
        k=known.k,
        water=known.water,
        slope=known.slope,
        gas=known.henry * 10.0 ** rng.uniform(0, 5.2, n),
    )
    return Kernel(acids), problem, sodium


def fast(kernel: Kernel, problem: Problem, n: int) -> State:
    """Return what Newton's steps end at, the carbon limited as the sure solver has it."""
    state, _ = start(kernel, problem, n)
    by_total = kernel.limited_by_total(problem, bracketed(kernel, problem, n, 4.0))
    state, done = refine(kernel, settled(kernel, problem, by_total), state, 12, few_go_on=True)
    assert done.all()
    return state


@pytest.mark.parametrize("top", [0.8, 1.8])
def test_fast_and_sure_solver_agree(top: float) -> None:
    kernel, problem, _ = cup_problem(300, 5, top=top)
    quick, sure = fast(kernel, problem, 300), bracketed(kernel, problem, 300, 4.0)
    np.testing.assert_allclose(quick.x, sure.x, rtol=0, atol=2e-11)
    np.testing.assert_allclose(quick.root, sure.root, rtol=0, atol=2e-11)
    np.testing.assert_allclose(quick.water, sure.water, rtol=0, atol=1e-12)


def test_what_limits_the_carbon_is_found_in_any_mixture(monkeypatch: pytest.MonkeyPatch) -> None:
    """Few or many cups below the pressure of the gas, in large blocks: as one by one."""
    monkeypatch.setattr(equilibrate_module, "MANY", 64)
    monkeypatch.setattr(equilibrate_module, "BLOCK", 256)
    for low in (1.5, 3.0, 4.0, 4.9):
        case = cup(1000) | {"pressure": 10.0 ** generator(3).uniform(low, 5.0, 1000)}
        whole = capped(**case)
        kept = whole.released == 0.0
        assert kept.any()
        assert not kept.all()
        np.testing.assert_array_less(whole.pressure, case["pressure"] * (1 + 1e-9))
        np.testing.assert_allclose(whole.pressure[~kept], case["pressure"][~kept], rtol=1e-9)
        check_balances(case["system"], whole, case["totals"], case["temperature"])


def test_the_ionic_strength_has_one_root() -> None:
    """G(r) = computed I - r**2 changes sign once over the allowed range, in every cup."""
    kernel, problem, _ = cup_problem(300, 6, top=1.8)
    water = np.full(300, 0.98)
    signs = []
    for r in np.linspace(1e-4, 2.0, 60):
        c = kernel.conditional(problem, np.full(300, r), water)
        low, high = np.full(300, -42.0), np.full(300, 3.0)
        for _ in range(60):
            middle = 0.5 * (low + high)
            below = kernel.charge(problem, c, middle) < 0
            low, high = np.where(below, middle, low), np.where(below, high, middle)
        signs.append(0.5 * species_sums(kernel, problem, c, low).square > r * r)
    changes = np.abs(np.diff(np.array(signs, dtype=np.int64), axis=0)).sum(axis=0)
    assert (changes == 1).all()


def test_charge_rises_with_ph_falling() -> None:
    kernel, problem, sodium = cup_problem(50, 7)
    c = kernel.conditional(problem, np.sqrt(sodium), np.full(50, 0.98))
    values = [kernel.charge(problem, c, np.full(50, x)) for x in np.linspace(-36.0, 2.0, 200)]
    assert (np.diff(np.array(values), axis=0) > 0).all()


def test_derivatives_are_exact() -> None:
    """The sums' derivatives in x, r and a_w against central differences."""
    kernel, problem, _ = cup_problem(40, 8)
    state = fast(kernel, problem, 40)
    x, root, water = state.x, state.root + 0.05, state.water
    h = 1e-5
    base = species_sums(kernel, problem, kernel.conditional(problem, root, water), x)
    up = species_sums(kernel, problem, kernel.conditional(problem, root, water), x + h)
    down = species_sums(kernel, problem, kernel.conditional(problem, root, water), x - h)
    np.testing.assert_allclose(base.charge_x, (up.charge - down.charge) / (2 * h), rtol=1e-7)
    np.testing.assert_allclose(
        base.square_x, (up.square - down.square) / (2 * h), rtol=1e-6, atol=1e-9
    )
    np.testing.assert_allclose(
        base.coupling.amount_x, (up.amount - down.amount) / (2 * h), rtol=1e-6, atol=1e-9
    )
    up = species_sums(kernel, problem, kernel.conditional(problem, root + h, water), x)
    down = species_sums(kernel, problem, kernel.conditional(problem, root - h, water), x)
    ion = -problem.slope / (1 + 1.5 * root) ** 2
    for found, high, low in (
        (-base.square_x * ion, up.charge, down.charge),
        (base.square_l * ion, up.square, down.square),
        (base.coupling.amount_l * ion, up.amount, down.amount),
    ):
        np.testing.assert_allclose(found, (high - low) / (2 * h), rtol=1e-6, atol=1e-8)
    up = species_sums(kernel, problem, kernel.conditional(problem, root, water + h), x)
    down = species_sums(kernel, problem, kernel.conditional(problem, root, water - h), x)
    for found, high, low in (
        (base.coupling.charge_w, up.charge, down.charge),
        (base.coupling.square_w, up.square, down.square),
        (base.coupling.amount_w, up.amount, down.amount),
    ):
        np.testing.assert_allclose(found / water, (high - low) / (2 * h), rtol=1e-6, atol=1e-8)


def cup(n: int, seed: int = 9) -> dict[str, Any]:
    rng = generator(seed)
    sodium = rng.uniform(0.02, 0.5, n)
    return {
        "system": System(acids=(acid("carbonic"), acid("acetic")), strong_ions=IONS[:1]),
        "totals": {"carbonic": sodium, "acetic": rng.uniform(0.0, 0.8, n)},
        "strong": {"Na+": sodium},
        "temperature": rng.uniform(283.15, 308.15, n),
        "pressure": 10.0 ** rng.uniform(2, 5, n),
    }


def test_the_sure_solver_takes_over(monkeypatch: pytest.MonkeyPatch) -> None:
    case = cup(40)
    fast = capped(**case)
    monkeypatch.setattr(equilibrate_module, "NEWTON_STEPS", 0)
    sure = capped(**case)
    np.testing.assert_allclose(sure.ph, fast.ph, rtol=0, atol=1e-11)
    np.testing.assert_allclose(sure.released, fast.released, rtol=0, atol=1e-11)


def test_blocks_do_not_show() -> None:
    n = equilibrate_module.BLOCK + 3
    case = cup(n)
    whole = capped(**case)
    picks = [0, 1, equilibrate_module.BLOCK - 1, equilibrate_module.BLOCK, n - 1]
    for i in picks:
        one = capped(
            case["system"],
            totals={name: values[i] for name, values in case["totals"].items()},
            strong={"Na+": case["strong"]["Na+"][i]},
            temperature=case["temperature"][i],
            pressure=case["pressure"][i],
        )
        assert one.ph.shape == ()
        assert float(whole.ph[i]) == pytest.approx(float(one.ph), abs=1e-12)
        assert float(whole.released[i]) == pytest.approx(float(one.released), abs=1e-13)


@pytest.mark.parametrize("mode", ["closed", "capped"])
def test_smooth_enough_for_central_differences(mode: str) -> None:
    """Two steps give one derivative, and inputs moved by rounding move nothing above 1e-10."""
    case = cup(30)
    h = 1e-4
    steps = np.arange(-2, 3)[:, None] * h
    sodium = case["totals"]["carbonic"]
    case["totals"] = {"carbonic": sodium, "acetic": sodium * 1.2 + 0.05 + steps}
    case["pressure"] = 2000.0

    def values() -> FloatArray:
        if mode == "closed":
            return closed(**{k: v for k, v in case.items() if k != "pressure"}).ph
        r = capped(**case)
        assert (r.released > 0).all()
        return r.dissolved

    first = values()
    near = (first[3] - first[1]) / (2 * h)
    far = (first[4] - first[0]) / (4 * h)
    # their difference is the third derivative's h**2/2, a few millionths here; noise adds 1e-13/h
    np.testing.assert_allclose(near, far, rtol=2e-5, atol=1e-8)
    case["totals"]["acetic"] = case["totals"]["acetic"] * (1 + 1e-14)
    np.testing.assert_allclose(values(), first, rtol=0, atol=1e-10)


def test_wide_grid() -> None:
    """From nothing at all to strong mixtures, with and without gas: all of it balances."""
    names = ("carbonic", "acetic", "citric")
    system = System(acids=tuple(acid(name) for name in names), strong_ions=IONS)
    sodium, acetic, citric, chloride, t, pressure = (
        np.array(column)
        for column in zip(
            *itertools.product(
                (*np.linspace(0.0, 0.8, 9), 1.4, 2.2),
                (0.0, 1e-6, 0.1, 0.5, 1.0),
                (0.0, 0.01, 0.05),
                (0.0, 0.2, 0.5),
                (278.15, 295.0, 313.15),
                (0.0, 40.0, 1e3, 1e5),
            ),
            strict=True,
        )
    )
    r = capped(
        system,
        totals={"carbonic": sodium, "acetic": acetic, "citric": citric},
        strong={"Na+": sodium, "Cl-": chloride},
        temperature=t,
        pressure=pressure,
    )
    check_balances(
        system, r, {"carbonic": sodium, "acetic": acetic, "citric": citric}, np.asarray(t)
    )
