"""The solver against PHREEQC 3.7.3 (USGS, through phreeqpy) on the same constants and model.

The database is written from our own tables, so what is compared is the solution of the
equations: mass and charge balance, activity coefficients, ideal gas. The Debye-Hueckel slope is
each program's own (they differ by 5e-4 of it), and so is the activity of water: PHREEQC takes it
from the osmotic coefficient, ours is the straight line 1 - 0.017 sum(m).
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray
from phreeqpy.iphreeqc.phreeqc_dll import IPhreeqc
from tests.cups import closed, open_to

from tarebook.chemistry.equilibrium import (
    Acid,
    Equilibrium,
    StrongIon,
    System,
    acid,
    acid_names,
    capped,
    phreeqc_database,
)
from tarebook.chemistry.equilibrium.exchange import element, species_of
from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.units import kelvin

ATMOSPHERE = 101325.0
SODIUM, CHLORIDE = StrongIon("Na+", 1), StrongIon("Cl-", -1)
CUP = System(
    acids=(acid("carbonic"), acid("acetic"), acid("citric")),
    strong_ions=(SODIUM, CHLORIDE),
)
PUNCH = """
KNOBS
 -convergence_tolerance 1e-12
SELECTED_OUTPUT
 -reset false
USER_PUNCH
 -headings pH I aw carbon water
 10 PUNCH -LA("H+"), MU, ACT("H2O"), TOTMOLE("Carbonic"), TOT("water")
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Solutions to compare: arrays of one length; `pressure` (atm) is nan where closed."""

    celsius: FloatArray
    bicarbonate: FloatArray
    hydrochloric: FloatArray
    acetic: FloatArray
    citric: FloatArray
    pressure: FloatArray

    def take(self, where: NDArray[np.intp] | BoolArray) -> Grid:
        return Grid(**{name: getattr(self, name)[where] for name in self.__slots__})


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    ph: FloatArray
    ionic_strength: FloatArray
    water_activity: FloatArray
    carbon: FloatArray
    water: FloatArray


def grid(
    bicarbonates: Sequence[float] = (0.05, 0.2, 0.5, 0.8),
    amounts: Sequence[float] = (0.0, 0.05, 0.3, 1.0),
) -> Grid:
    """720 systems: three acids, four amounts, four bicarbonates, three temperatures, five gases."""
    rows = []
    for celsius, bicarbonate, kind, amount, pressure in itertools.product(
        (10.0, 25.0, 35.0),
        bicarbonates,
        range(3),
        amounts,
        (np.nan, 0.0004, 0.01, 0.1, 1.0),
    ):
        acids = [0.0, 0.0, 0.0]
        acids[kind] = amount
        rows.append((celsius, bicarbonate, *acids, pressure))
    columns = np.array(rows).T
    return Grid(**dict(zip(Grid.__slots__, columns, strict=True)))


def run_phreeqc(database: str, inputs: str, n: int) -> Answer:
    """Run PHREEQC and return the last `n` rows of its answers."""
    program = IPhreeqc()
    program.load_database_string(database)
    program.run_string(PUNCH + inputs)
    rows = program.get_selected_output_array()
    assert rows[0] == ["pH", "I", "aw", "carbon", "water"]
    ph, strength, activity, carbon, water = np.array(rows[1:][-n:], dtype=np.float64).T
    assert ph.size == n
    return Answer(
        ph=ph, ionic_strength=strength, water_activity=activity, carbon=carbon, water=water
    )


def solution_text(g: Grid, *, total_carbon: bool = False) -> str:
    """Return the solutions of a grid as PHREEQC reads them."""
    lines = []
    for i in range(g.celsius.size):
        carbon = f"Carbonic {g.bicarbonate[i]}"
        if not (total_carbon or np.isnan(g.pressure[i])):
            carbon += f" CO2(g) {np.log10(g.pressure[i]):.15g}"
        lines += [
            f"SOLUTION {i + 1}",
            " units mol/kgw",
            f" temp {g.celsius[i]}",
            " pH 7 charge",
            f" {carbon}",
            f" Na {g.bicarbonate[i]}",
            f" Cl {g.hydrochloric[i]}",
            f" Acetic {g.acetic[i]}",
            f" Citric {g.citric[i]}",
        ]
    return "\n".join([*lines, "END", ""])


def run_ours(g: Grid) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Return pH, carbon, ionic strength and water activity from our solver."""
    out = np.empty((4, g.celsius.size))
    shut = np.isnan(g.pressure)
    for where in (shut, ~shut):
        part = g.take(where)
        totals = {"acetic": part.acetic, "citric": part.citric}
        strong = {"Na+": part.bicarbonate, "Cl-": part.hydrochloric}
        t = kelvin(part.celsius)
        r: Equilibrium
        if where is shut:
            totals["carbonic"] = part.bicarbonate
            r = closed(CUP, totals=totals, strong=strong, temperature=t)
        else:
            gas = part.pressure * ATMOSPHERE
            r = open_to(CUP, totals=totals, strong=strong, temperature=t, pressure=gas)
        out[:, where] = r.ph, r.dissolved, r.ionic_strength, r.water_activity
    return out[0], out[1], out[2], out[3]


def within_range(g: Grid) -> tuple[Grid, Answer]:
    """Return the systems that PHREEQC finds below 1.5 mol/kg, and its answers."""
    theirs = run_phreeqc(phreeqc_database(CUP), solution_text(g), g.celsius.size)
    inside = np.flatnonzero(theirs.ionic_strength < 1.499)
    parts = {name: getattr(theirs, name)[inside] for name in Answer.__slots__}
    return g.take(inside), Answer(**parts)


def relative(found: FloatArray, expected: FloatArray) -> FloatArray:
    return np.asarray(np.abs(found / expected - 1.0))


@pytest.mark.published("PHREEQC 3.7.3 through phreeqpy 0.6, run beside; basis: computed, library")
def test_grid_of_cups() -> None:
    g, theirs = within_range(grid())
    ph, carbon, strength, activity = run_ours(g)
    d_ph, d_carbon = np.abs(ph - theirs.ph), relative(carbon, theirs.carbon / theirs.water)
    print(
        f"\n{g.celsius.size} systems: largest difference in pH {d_ph.max():.2g}, in carbon "
        f"{100 * d_carbon.max():.2g} %, in I {np.abs(strength - theirs.ionic_strength).max():.2g} "
        f"mol/kg, in a_w {np.abs(activity - theirs.water_activity).max():.2g}"
    )
    assert g.celsius.size >= 200
    np.testing.assert_allclose(ph, theirs.ph, rtol=0, atol=0.002)
    np.testing.assert_allclose(carbon, theirs.carbon / theirs.water, rtol=1e-3, atol=0)
    np.testing.assert_allclose(strength, theirs.ionic_strength, rtol=1e-3, atol=0)
    np.testing.assert_allclose(activity, theirs.water_activity, rtol=0, atol=0.006)


@pytest.mark.published("PHREEQC 3.7.3 through phreeqpy 0.6, run beside; basis: computed, library")
def test_grid_of_cups_to_4_mol_per_kg() -> None:
    """The same grid up to vinegar strength.

    The activities of water differ by up to 0.04 there, which moves pH by 0.015 and the carbon by
    0.4 %.
    """
    g = grid(bicarbonates=(0.05, 0.5, 1.5, 3.0), amounts=(0.0, 0.3, 1.5))
    theirs = run_phreeqc(phreeqc_database(CUP), solution_text(g), g.celsius.size)
    inside = theirs.ionic_strength < 3.999
    ph, carbon, strength, activity = run_ours(g.take(inside))
    kg = theirs.water[inside]
    d_ph = np.abs(ph - theirs.ph[inside])
    d_carbon = relative(carbon, theirs.carbon[inside] / kg)
    d_water = np.abs(activity - theirs.water_activity[inside])
    print(
        f"\n{inside.sum()} systems to {strength.max():.2f} mol/kg: largest difference in pH "
        f"{d_ph.max():.2g}, in carbon {100 * d_carbon.max():.2g} %, in a_w {d_water.max():.2g}"
    )
    assert inside.sum() > 300
    assert strength.max() > 3.5
    np.testing.assert_allclose(ph, theirs.ph[inside], rtol=0, atol=0.02)
    np.testing.assert_allclose(carbon, theirs.carbon[inside] / kg, rtol=5e-3, atol=0)
    np.testing.assert_allclose(strength, theirs.ionic_strength[inside], rtol=5e-3, atol=0)
    assert d_water.max() < 0.04


@pytest.mark.published("PHREEQC 3.7.3 through phreeqpy 0.6, run beside; basis: computed, library")
def test_released_gas() -> None:
    """Degassing in PHREEQC: a gas phase at fixed pressure, empty at the start.

    The activity of water moves the carbon by 0.1 % in the strongest cups.
    """
    g = grid()
    g = g.take(np.flatnonzero((g.pressure >= 0.01) & (g.celsius == 25.0)))
    n = g.celsius.size
    text = solution_text(g, total_carbon=True)
    for i in range(n):
        text += (
            f"USE solution {i + 1}\nEQUILIBRIUM_PHASES 1\n"
            f" CO2(g) {np.log10(g.pressure[i]):.15g} 0\nEND\n"
        )
    theirs = run_phreeqc(phreeqc_database(CUP), text, n)
    # HCO3- + H+ gives CO2 and water: the water at the end is not quite the 1 kg of the start.
    kg = theirs.water
    ours = capped(
        CUP,
        totals={
            "carbonic": g.bicarbonate / kg,
            "acetic": g.acetic / kg,
            "citric": g.citric / kg,
        },
        strong={"Na+": g.bicarbonate / kg, "Cl-": g.hydrochloric / kg},
        temperature=kelvin(g.celsius),
        pressure=g.pressure * ATMOSPHERE,
    )
    released = g.bicarbonate - theirs.carbon
    degassed = released > 1e-9
    assert degassed.sum() > 0.5 * n
    assert (~degassed).sum() > 5
    np.testing.assert_allclose(ours.ph, theirs.ph, rtol=0, atol=0.002)
    np.testing.assert_allclose(ours.dissolved * kg, theirs.carbon, rtol=1.5e-3, atol=0)
    np.testing.assert_allclose(ours.released * kg, released, rtol=3e-3, atol=1e-6)
    assert not ours.released[~degassed].any()


@pytest.mark.published("PHREEQC 3.7.3 through phreeqpy 0.6, run beside; basis: computed, library")
@pytest.mark.parametrize("celsius", [5.0, 20.0, 40.0])
def test_every_acid_of_the_table(celsius: float) -> None:
    """Each acid, half neutralised and with all its protons, at 0.05 mol/kg.

    Ammonium acts on what is dissolved as a strong ion does, which the database does not say.
    """
    for name in acid_names():
        one = acid(name)
        system = System(acids=(one,), strong_ions=(SODIUM, CHLORIDE))
        sodium = np.array([0.025, 0.05, 0.075, 0.11])
        chloride = np.full(4, 0.05 * max(one.charge, 0))
        text = "".join(
            f"SOLUTION {i + 1}\n units mol/kgw\n temp {celsius}\n pH 7 charge\n"
            f" {element(name)} 0.05\n Na {sodium[i]}\n Cl {chloride[i]}\n"
            for i in range(4)
        )
        ph = _their_ph(system, text + "END\n", 4)
        ours = closed(
            system,
            totals={name: 0.05},
            strong={"Na+": sodium, "Cl-": chloride},
            temperature=kelvin(celsius),
        )
        allowed = 0.003 if name == "ammonium" else 0.001
        np.testing.assert_allclose(ours.ph, ph, rtol=0, atol=allowed, err_msg=name)


def _their_ph(system: System, text: str, n: int) -> FloatArray:
    program = IPhreeqc()
    program.load_database_string(phreeqc_database(system))
    program.run_string(
        'SELECTED_OUTPUT\n -reset false\nUSER_PUNCH\n -headings pH\n 10 PUNCH -LA("H+")\n' + text
    )
    rows = program.get_selected_output_array()
    assert len(rows) == n + 1
    return np.array([row[0] for row in rows[1:]], dtype=np.float64)


@pytest.mark.published("PHREEQC 3.7.3 through phreeqpy 0.6, run beside; basis: computed, library")
def test_species_one_by_one() -> None:
    """All molalities of one solution of several acids."""
    acids: Sequence[Acid] = tuple(acid(n) for n in ("carbonic", "phosphoric", "boric"))
    system = System(acids=tuple(acids), strong_ions=(SODIUM, CHLORIDE))
    names = [form for one in acids for form in species_of(one)]
    program = IPhreeqc()
    program.load_database_string(phreeqc_database(system))
    program.run_string(
        "SELECTED_OUTPUT\n -reset false\n -molalities H+ OH- " + " ".join(names) + "\n"
        "SOLUTION 1\n units mol/kgw\n temp 15\n pH 7 charge\n Carbonic 0.1\n Phosphoric 0.05\n"
        " Boric 0.02\n Na 0.2\n Cl 0.03\nEND\n"
    )
    theirs = np.array(program.get_selected_output_array()[1], dtype=np.float64)
    ours = closed(
        system,
        totals={"carbonic": 0.1, "phosphoric": 0.05, "boric": 0.02},
        strong={"Na+": 0.2, "Cl-": 0.03},
        temperature=kelvin(15.0),
    )
    np.testing.assert_allclose(ours.molality[:-2], theirs, rtol=2e-3, atol=1e-14)
